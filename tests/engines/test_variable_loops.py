"""Loops of variable length, one in another and behind a condition: results and counts of all engines."""

from __future__ import annotations

from collections import Counter
from itertools import product

import numpy as np

from softfloat_py.engines import arrays, direct, plain, stepwise
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Bits, concatenate, field, phase, resize
from tests.engines.running import run_generated

WIDTHS = {"x": 8, "rounds": 3}


def swell(x: Bits, rounds: Bits) -> Bits:
    """Two halves that change places round by round, one of them turned as often as the other one says."""
    phase("reduce")
    low, high = field(x, 0, 4), field(x, 4, 4)
    if rounds > 2:
        for _ in range(rounds):
            low, high = high, low
            turns = field(high, 0, 2)
            for _ in range(turns):
                low = concatenate(field(low, 0, 3), field(low, 3, 1))
                if low > 9:
                    low = resize(low - 9, 4)
    return concatenate(high, low)


def test_engines_agree_on_loops_of_variable_length() -> None:
    """Every operand gives the same result on every engine, and the counts are those of the steps."""
    program = read(swell, WIDTHS, {})
    rows = list(product(range(1 << WIDTHS["x"]), range(1 << WIDTHS["rounds"])))
    named = [{name: (bits, WIDTHS[name]) for name, bits in zip(WIDTHS, row, strict=True)} for row in rows]
    run_directly = [direct.run(swell, operands, {})[0] for operands in named]
    stepped = [stepwise.run(program, row) for row in rows]
    function = plain.compiled(program)
    generated = [run_generated(function, row) for row in rows]
    columns = list(np.array(rows, dtype=np.uint64).T)
    outcome = arrays.compiled(program).run(columns, 0, keep_counts=True)
    counted: Counter[Entry] = Counter()
    for record in stepped:
        counted.update(record.counts)

    assert run_directly == [record.results for record in stepped]
    assert run_directly == [results for results, _ in generated]
    assert run_directly == [(result,) for result in outcome.results[0].tolist()]
    assert outcome.usage is not None
    assert +counted == +function.count([record for _, record in generated])
    assert +counted == +bill_of(program).total(outcome.usage)
