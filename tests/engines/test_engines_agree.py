"""All engines deliver the same bits and flags, and those that count the same counts."""

from __future__ import annotations

from collections import Counter
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.engines import arrays, plain, stepwise
from softfloat_py.environment import Flags, Rounding
from softfloat_py.integer_form.counting import Entry, bill_of
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import ELEMENTARY, OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from tests.engines.drawing import (
    ALL_OPTIONS,
    BY_RECIPROCAL,
    OTHERS,
    any_format,
    elementary_uses,
    operands_of,
    parameters_of,
    roundings_of,
)
from tests.engines.running import ENGINES, assert_engines_agree, outcome_of, run_generated, used

TINY = Format("e2p3", exponent_bits=2, precision=3)
EVEN = Rounding.TIES_TO_EVEN
# One to a nearest number and one that depends on the sign: the paths of the others are among theirs.
TWO_DIRECTIONS = (Rounding.TIES_TO_AWAY, Rounding.TOWARD_NEGATIVE)


@pytest.mark.parametrize("name", OTHERS)
@settings(max_examples=25, deadline=None)
@given(data=st.data(), fmt=any_format(), options=st.sampled_from(ALL_OPTIONS))
def test_engines_agree(data: st.DataObject, name: str, fmt: Format, options: Options) -> None:
    """Result, flags and counts are the same on every engine, whatever the format, options and direction."""
    use = used(name, fmt, options, data.draw(parameters_of(name)))
    rounding = data.draw(roundings_of(options))
    operands = data.draw(operands_of(use))

    assert_engines_agree(use, rounding, operands)


@pytest.mark.parametrize("name", ELEMENTARY)
@settings(max_examples=2, deadline=None)
@given(data=st.data())
def test_engines_agree_on_elementary_functions(data: st.DataObject, name: str) -> None:
    """So they are for elementary functions, in the formats that each is tried in."""
    use = data.draw(elementary_uses(name))
    rounding = data.draw(roundings_of(use.options))

    assert_engines_agree(use, rounding, data.draw(operands_of(use)))


WHOLE_FORMAT = [
    *product(["addition", "subtraction", "multiplication", "division", "square_root"], [COMPLETE, LEAN]),
    *product(["division", "square_root"], [BY_RECIPROCAL]),
    *product(["remainder", "augmented_addition", "augmented_multiplication"], [COMPLETE, LEAN]),
]


@pytest.mark.parametrize(("name", "options"), WHOLE_FORMAT, ids=lambda value: getattr(value, "name", value))
def test_engines_agree_on_a_whole_format(name: str, options: Options) -> None:
    """On all operands of a small format, engines agree; arrays and records count what the steps add up to."""
    use = used(name, TINY, options)
    rows = list(product(range(1 << TINY.width), repeat=OPERATIONS[name].arity))
    for rounding in TWO_DIRECTIONS if options.all_directions else [EVEN]:
        direct = [ENGINES["direct"](use, rounding, row).outcome for row in rows]
        stepped = [stepwise.run(use.program, use.arguments(row, rounding)) for row in rows]
        counted: Counter[Entry] = Counter()
        for record in stepped:
            counted.update(record.counts)
        function = plain.compiled(use.program)
        runs = [run_generated(function, use.arguments(row, rounding)) for row in rows]
        columns = tuple(np.array(column, dtype=np.uint64) for column in zip(*rows, strict=True))
        outcome = arrays.compiled(use.program).run(columns, int(rounding), keep_counts=True)

        assert direct == [outcome_of(use, record.results) for record in stepped]
        assert direct == [outcome_of(use, results) for results, _ in runs]
        delivered = zip(*(result.tolist() for result in outcome.results), strict=True)
        assert [result for result, _ in direct] == [outcome_of(use, (*row, 0))[0] for row in delivered]
        if options.flags:
            assert outcome.element_flags is not None
            assert [flags for _, flags in direct] == [Flags(bits) for bits in outcome.element_flags.tolist()]
        assert outcome.usage is not None
        assert len(rows) == outcome.usage.calls
        assert +counted == +function.count([record for _, record in runs])
        assert +counted == +bill_of(use.program).total(outcome.usage)


@pytest.mark.parametrize("length", [0, 1, arrays.PIECE_BYTES // 4, arrays.PIECE_BYTES + 1])
def test_arrays_longer_than_a_piece_are_whole(length: int) -> None:
    """Arrays of any length come out whole and are counted once an element, however they are cut in pieces."""
    use = used("addition", TINY)
    x, y = (np.arange(length, dtype=np.uint64) * factor % (1 << TINY.width) for factor in (1, 5))
    function = plain.compiled(use.program)
    runs = [run_generated(function, (*row, EVEN)) for row in zip(x.tolist(), y.tolist(), strict=True)]
    outcome = arrays.compiled(use.program).run((x, y), int(EVEN), keep_counts=True)

    assert [results[0] for results, _ in runs] == outcome.results[0].tolist()
    assert outcome.usage is not None
    assert +function.count([record for _, record in runs]) == +bill_of(use.program).total(outcome.usage)


def test_operands_of_an_array_operation_are_broadcast() -> None:
    """One operand stands beside each element of the other, and the result has the shape of both."""
    use = used("multiplication", TINY)
    column, row = np.arange(8, dtype=np.uint64).reshape(8, 1), np.arange(5, dtype=np.uint64)
    outcome = arrays.compiled(use.program).run((column, row), int(EVEN), keep_counts=False)
    function = plain.compiled(use.program).run

    assert [[function(x, y, EVEN)[0] for y in range(5)] for x in range(8)] == outcome.results[0].tolist()
