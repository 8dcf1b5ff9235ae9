"""The fixed-point numbers of an explanation: those that a routine says the point of, with their worth."""

from __future__ import annotations

from softfloat_py.engines import plain, stepwise
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import binary32
from softfloat_py.routines.language import Bits, phase, with_point
from softfloat_py.teaching.explanation import explain
from softfloat_py.views.fixed_point import fixed_point_lines


def mean_of_crests(x: Bits, y: Bits) -> Bits:
    """Half of the sum of two heights in quarters of a metre: eighths."""
    phase("add")
    total = with_point(x + y, 3)
    return with_point(total ^ 1, 3)


def test_a_point_stands_where_the_routine_says_so() -> None:
    """Bits before and after the point, and the value, of each number that has one."""
    program = read(mean_of_crests, {"x": 4, "y": 4}, {})
    record = stepwise.run(program, (7, 12))

    assert ["add  total  10  . 011  = 2.375", "     t      10  . 010  = 2.25"] == fixed_point_lines(record)


def test_long_fractions_are_cut() -> None:
    """Of a fraction, the first 48 bits are shown; its value is that of all of them."""

    def doubled(x: Bits) -> Bits:
        phase("add")
        return with_point(x + x, 60)

    program = read(doubled, {"x": 60}, {})
    record = stepwise.run(program, (1 << 58,))

    assert [f"add  t  0  . 1000{' 0000' * 11} …  = 0.5"] == fixed_point_lines(record)


def test_a_point_is_no_step() -> None:
    """What is computed and counted is the same without it."""

    def without(x: Bits, y: Bits) -> Bits:
        phase("add")
        total = x + y
        return total ^ 1

    programs = [read(routine, {"x": 4, "y": 4}, {}) for routine in (mean_of_crests, without)]

    assert (18,) == plain.compiled(programs[0]).run(7, 12)[:1]
    assert stepwise.run(programs[1], (7, 12)).counts == stepwise.run(programs[0], (7, 12)).counts


def test_an_exponential_is_shown_in_fixed_point() -> None:
    """0.7 log2(e) is 1 and 0.00988..., by which 2 is raised to 1.00687..., half of e^0.7."""
    text = str(explain("exp", binary32(0.7)))

    assert "= 1.0098865" in text
    assert "= 1.0068763" in text
