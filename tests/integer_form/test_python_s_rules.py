"""What is fixed before a routine runs is computed by Python's own rules, and so is what is refused."""

from __future__ import annotations

from typing import Any

import pytest

from softfloat_py.engines import direct, stepwise
from softfloat_py.errors import RoutineError
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Bits, Routine, constant, resize


def signs(x: Bits, n: int) -> Bits:
    """All of Python's signs before whole numbers."""
    return resize(x + ~n, 12) + (+(-n)) + -(+n) + (not n)


def operands_of_or(x: Bits, n: int) -> Bits:
    """A width that is not given is another's."""
    return resize(x, 4 * n * n or 12)


def operands_of_and(x: Bits, n: int) -> Bits:
    """The operand that decides: the first that is false, or the last."""
    return resize(x, (n and x.width and n * n + 9) or 9)


def bits_behind_and(x: Bits, n: int) -> Bits:
    """The last operand may be bits, as it is not asked for its truth."""
    return constant(1, 9) | (n and x | 0x100)


def rounds_between_two_numbers(x: Bits, n: int) -> Bits:
    """Rounds counted from another number than 0, and in steps."""
    for _ in range(n, 4):
        x = resize((x + 3) & 0xFF, 8)
    for _ in range(9, 0, -4):
        x = resize((x + 1) & 0xFF, 8)
    return x


def rounds_that_are_a_constant(x: Bits, n: int) -> Bits:
    """A number of rounds that is a constant with a width."""
    for _ in range(constant(3, 2)):
        x = resize((x + n * n) & 0xFF, 8)
    return x


def numbers_before_bits(x: Bits, n: int) -> Bits:
    """A whole number on the left of each operator that it may stand by."""
    shifted = 200 >> (x & 7)
    return (3 * x) + (5 & x) + (5 | x) + (5 ^ x) + (300 - x) + shifted + n * n


LEGAL = [
    signs,
    operands_of_or,
    operands_of_and,
    bits_behind_and,
    rounds_between_two_numbers,
    rounds_that_are_a_constant,
    numbers_before_bits,
]


@pytest.mark.parametrize("n", [-3, 0, 2])
@pytest.mark.parametrize("routine", LEGAL, ids=lambda routine: routine.__name__)
def test_a_form_computes_what_python_does(routine: Routine, n: int) -> None:
    """The form of a routine gives what the routine itself gives, width and all, for every operand."""
    if routine is signs and n >= 0:
        n = -1 - n  # x + ~n has no negative number
    program = read(routine, {"x": 8}, {"n": n})
    for x in range(256):
        assert direct.run(routine, {"x": (x, 8)}, {"n": n})[0] == stepwise.run(program, (x,)).results
    assert (routine(Bits(7, 8), n).width,) == program.result_widths


def without_a_word(n: int) -> int:
    """A helper that fails and says nothing."""
    raise ValueError


def failing_helper(x: Bits, n: int) -> Bits:
    """Python raises here."""
    y = x + without_a_word(n)
    return y + 1


def name_of_the_other_way(x: Bits, n: int) -> Bits:
    """A name that only those know who have returned."""
    if x == 1:
        y = x + 1
        return resize(y & 0xFF, 8)
    return y


def variable_rounds_from_one(x: Bits, n: int) -> Bits:
    """A loop of variable length that does not start at 0."""
    for _ in range(1, x):
        x = ~x
    return x


REFUSED: dict[Any, str] = {
    failing_helper: "ValueError",
    name_of_the_other_way: "y is assigned on one side of an if only",
    variable_rounds_from_one: "a number of rounds that is not fixed must be the only argument of range",
}


@pytest.mark.parametrize("routine", REFUSED, ids=lambda routine: routine.__name__)
def test_what_python_refuses_is_no_form(routine: Routine) -> None:
    """A fault is noted once whether or not there are words to it."""
    with pytest.raises(RoutineError) as caught:
        read(routine, {"x": 8}, {"n": 3})
    (fault,) = caught.value.faults
    assert f": {REFUSED[routine]}\n" in fault


def test_what_python_raised_is_the_cause() -> None:
    """The error leads on to Python's own, with its traceback: it may be a bug, not an illegal routine."""
    with pytest.raises(RoutineError) as caught:
        read(failing_helper, {"x": 8}, {"n": 3})
    cause = caught.value.__cause__
    assert isinstance(cause, ValueError)
    assert cause.__traceback__ is not None
