"""Programs with operands of one width do what they did."""

from __future__ import annotations

import pytest

from softfloat_py.engines import plain, stepwise
from softfloat_py.integer_form.evened import evened
from softfloat_py.integer_form.grammar import Program, Step
from softfloat_py.integer_form.printing import printed
from softfloat_py.routines.language import Bits, add_modulo, select
from softfloat_py.routines.steps import Computed
from tests.engines.random_runs import random_sample
from tests.engines.running import run_generated
from tests.integer_form.small_routines import program


def uneven(program: Program) -> list[str]:
    """The kinds of the steps whose operands, conditions left aside, have different widths."""
    steps = (step for step in program.body.all_steps() if step.kind.computed_in is not Computed.OWN)
    return [step.kind.name for step in steps if len(_widths(step)) > 1]


def _widths(step: Step) -> set[int]:
    return {one.width for place, one in enumerate(step.operands) if place not in step.kind.conditions}


@pytest.mark.parametrize("seed", range(60))
def test_random_routines_do_what_they_did(seed: int) -> None:
    """Results are the same on the engine that checks every width, and in generated code; widths are even."""
    sample = random_sample(seed)
    even = evened(sample.program)
    function = plain.compiled(even)
    for direction, rows in sample.rows.items():
        for row, expected in list(zip(rows, sample.expected[direction], strict=True))[::4]:
            assert expected == tuple(stepwise.run(even, row).results)
            assert expected == tuple(map(int, run_generated(function, row)[0]))
    assert [] == uneven(even)


def mixed(crest: Bits, trough: Bits) -> Bits:
    """Operands of different widths, one of them cut, and a choice."""
    total = crest + trough
    low = add_modulo(total, trough, 4)
    return select(low < crest, total, low)


def test_operands_come_in_the_width_they_are_computed_in() -> None:
    """A sum in the bits of its result, a wrapping one in those that are left, a comparison in the wider."""
    read = program(mixed, crest=8, trough=3)
    shown = printed(evened(read))

    assert ["add", "add_modulo", "less", "select"] == uneven(read)
    assert shown.splitlines()[2:] == [
        "    crest.7:9 = resize crest.1, 9",
        "    trough.8:9 = resize trough.2, 9",
        "    total.9:10 = add crest.7 trough.8",
        "    total.3:9 = resize total.9, 9",
        "    total.10:4 = low_word total.3, 4",
        "    trough.11:4 = resize trough.2, 4",
        "    low.4:4 = add_modulo total.10 trough.11, 4",
        "    low.12:8 = resize low.4, 8",
        "    t.5:1 = less low.12 crest.1",
        "    low.13:9 = resize low.4, 9",
        "    t.6:9 = select t.5 total.3 low.13",
        "    return t.6",
    ]
