"""The words a routine may use: real, typed Python that computes on unsigned numbers of exact width.

A routine is an ordinary function of `Bits`, run as it stands by Python itself (the *direct* engine), and
read as text by `integer_form.reader` for everything else. It may contain assignments, `if`, early
`return`, `for _ in range(n)` (a loop that stays one), `for i in unrolled(...)` (written out before
anything runs), calls of other routines, and the words below. Parameters that are not `Bits` (formats,
options, whole numbers) are fixed before a routine runs, and an `if` on them is decided then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from softfloat_py.environment import Flags
from softfloat_py.errors import WidthError
from softfloat_py.routines import phases
from softfloat_py.routines.steps import STEPS, constant_width

Routine = Callable[..., Any]
unrolled = range


@dataclass(frozen=True, slots=True)
class Door:
    """A routine of one value that an operand or a result of another goes through; `fixed` are its other
    parameters.
    """

    routine: Routine
    fixed: Mapping[str, Any]

    def arguments(self, value: Any) -> dict[str, Any]:
        """The routine's arguments, by name; the value is its first parameter, x."""
        return {"x": value, **self.fixed}


class Bits:
    """An unsigned number of an exact width, as a run of a routine sees it.

    Operators give results as wide as they can become (the formulas are the width rules of
    `steps.STEPS`); an int beside a Bits is a constant of as many bits as it needs. A step whose side
    condition fails raises WidthError.

    >>> Bits(5, 3) + Bits(7, 3)
    Bits(12, 4)
    """

    __slots__ = ("value", "width")

    def __init__(self, value: int, width: int) -> None:
        if width < 1 or not 0 <= value < 1 << width:
            raise WidthError(
                f"a value of {width} bits must lie between 0 and {(1 << width) - 1}, not {value}"
            )
        self.value = value
        self.width = width

    def __repr__(self) -> str:
        return f"Bits({self.value}, {self.width})"

    def __bool__(self) -> bool:
        """Truth of a one-bit value; anything wider must be compared with something."""
        if self.width != 1:
            raise WidthError(
                f"a condition must be one bit wide, not {self.width}; compare it, for example x != 0"
            )
        return bool(self.value)

    def __index__(self) -> int:
        """The number itself, so that `range(distance)` counts that often."""
        return self.value

    __hash__ = None  # type: ignore[assignment]

    def __add__(self, other: Bits | int) -> Bits:
        return _step("add", self, other)

    def __radd__(self, other: int) -> Bits:
        return _step("add", other, self)

    def __sub__(self, other: Bits | int) -> Bits:
        return _step("subtract", self, other)

    def __rsub__(self, other: int) -> Bits:
        return _step("subtract", other, self)

    def __mul__(self, other: Bits | int) -> Bits:
        return _step("multiply", self, other)

    def __rmul__(self, other: int) -> Bits:
        return _step("multiply", other, self)

    def __and__(self, other: Bits | int) -> Bits:
        return _step("and", self, other)

    def __rand__(self, other: int) -> Bits:
        return _step("and", other, self)

    def __or__(self, other: Bits | int) -> Bits:
        return _step("or", self, other)

    def __ror__(self, other: int) -> Bits:
        return _step("or", other, self)

    def __xor__(self, other: Bits | int) -> Bits:
        return _step("xor", self, other)

    def __rxor__(self, other: int) -> Bits:
        return _step("xor", other, self)

    def __invert__(self) -> Bits:
        return _step("not", self)

    def __lshift__(self, distance: int) -> Bits:
        """Shift by a constant; for a variable distance see `shift_left`, which states a width."""
        if isinstance(distance, Bits):
            raise WidthError(
                "a shift left by a variable distance needs a stated width: shift_left(x, n, width)"
            )
        return _step("shift_left", self, immediate=distance)

    def __rshift__(self, distance: Bits | int) -> Bits:
        if isinstance(distance, Bits):
            return _step("shift_right_variable", self, distance)
        return _step("shift_right", self, immediate=distance)

    def __rrshift__(self, other: int) -> Bits:
        return _step("shift_right_variable", other, self)

    def __eq__(self, other: Bits | int) -> Bits:  # type: ignore[override]
        return _step("equal", self, other)

    def __ne__(self, other: Bits | int) -> Bits:  # type: ignore[override]
        return _step("not_equal", self, other)

    def __lt__(self, other: Bits | int) -> Bits:
        return _step("less", self, other)

    def __le__(self, other: Bits | int) -> Bits:
        return _step("less_or_equal", self, other)

    def __gt__(self, other: Bits | int) -> Bits:
        return _step("less", other, self)

    def __ge__(self, other: Bits | int) -> Bits:
        return _step("less_or_equal", other, self)


def _bits(operand: Bits | int) -> Bits:
    return operand if isinstance(operand, Bits) else Bits(operand, constant_width(operand))


def _step(name: str, *operands: Bits | int, immediate: int = 0) -> Bits:
    """Carry out one step on numbers, checking its side condition."""
    kind = STEPS[name]
    numbers = [_bits(operand) for operand in operands]
    values, widths = [n.value for n in numbers], [n.width for n in numbers]
    if not kind.condition(values, widths, immediate):
        raise WidthError(f"{kind.condition_text}: {name} of {numbers}, {immediate}")
    return Bits(kind.meaning(values, widths, immediate), kind.width(widths, immediate))


# -- words --------------------------------------------------------------------------------------------


def constant(value: int, width: int) -> Bits:
    """A constant with more width than its value needs."""
    return Bits(value, width)


def field(x: Bits, low: int, width: int) -> Bits:
    """`width` bits of x from bit `low` up: a shift and a mask, each only where it is needed.

    What lies in the lowest byte is masked first, which leaves no more than that byte to shift.
    """
    if low + width <= 8 < x.width:
        return (x & ((1 << width) - 1) << low) >> low
    shifted = x if low == 0 else x >> low
    return shifted if shifted.width <= width else shifted & ((1 << width) - 1)


def concatenate(high: Bits, low: Bits) -> Bits:
    """`high` directly above `low`: high.width + low.width bits."""
    return (high << low.width) | low


def resize(x: Bits, width: int) -> Bits:
    """x in more or fewer bits, which must hold it; costs nothing.

    Both sides of an `if` must leave a name with the same width, so this also evens them out.
    """
    return _step("resize", x, immediate=width)


def shift_left(x: Bits, distance: Bits, width: int) -> Bits:
    """x shifted left by a variable distance, in `width` bits, which must hold the result."""
    return _step("shift_left_variable", x, distance, immediate=width)


def select(condition: Bits, if_true: Bits | int, if_false: Bits | int) -> Bits:
    """One of two values, both of which have been computed."""
    return _step("select", condition, if_true, if_false)


def move(x: Bits) -> Bits:
    """x in another register."""
    return _step("move", x)


def load(x: Bits) -> Bits:
    """x brought from memory into a register."""
    return _step("load", x)


def store(x: Bits) -> Bits:
    """x put from a register into memory."""
    return _step("store", x)


def count_leading_zeros(x: Bits) -> Bits:
    """Zero bits above the highest set bit: 0 to x.width."""
    return _step("count_leading_zeros", x)


def add_modulo(x: Bits | int, y: Bits | int, width: int) -> Bits:
    """x + y in `width` bits, what does not fit lost: addition of two's complement numbers."""
    return _step("add_modulo", x, y, immediate=width)


def subtract_modulo(x: Bits | int, y: Bits | int, width: int) -> Bits:
    """x - y in `width` bits, wrapping around: subtraction of two's complement numbers."""
    return _step("subtract_modulo", x, y, immediate=width)


def low_word(x: Bits, word: int) -> Bits:
    """The lowest `word` bits of x, when they lie in a register of their own; costs nothing."""
    return _step("low_word", x, immediate=word)


def high_word(x: Bits, word: int) -> Bits:
    """What of x lies above its lowest `word` bits, when that is a register or the carry; costs nothing."""
    return _step("high_word", x, immediate=word)


def add_with_carry(x: Bits, y: Bits | int, carry: Bits | int) -> Bits:
    """x + y + carry; the top bit of the result is the carry out."""
    return _step("add_with_carry", x, y, carry)


def subtract_with_borrow(x: Bits, y: Bits | int, borrow: Bits | int) -> Bits:
    """x - y - borrow; the top bit of the result is the borrow out."""
    return _step("subtract_with_borrow", x, y, borrow)


def shift_left_through_carry(x: Bits, carry: Bits | int) -> Bits:
    """x shifted left by one, carry coming in below; the top bit of the result is the carry out."""
    return _step("shift_left_through_carry", x, carry)


def shift_right_through_carry(x: Bits, carry: Bits | int) -> Bits:
    """x shifted right by one, carry coming in above; the top bit of the result is the carry out."""
    return _step("shift_right_through_carry", x, carry)


def phase(name: str) -> None:
    """Name the part of the algorithm that the following statements of this block belong to.

    What there is to name, and what each is for, stands in `phases`; UnknownNameError for any other.
    """
    phases.explained(name)


_signalled: ContextVar[list[Flags]] = ContextVar("signalled")


def signal(flag: Flags, when: Bits | None = None) -> None:
    """Raise an exception flag (IEEE 754-2019, clause 7), always or when a one-bit condition is set."""
    if when is None or when:
        _signalled.get().append(flag)


@contextmanager
def signals() -> Iterator[list[Flags]]:
    """Collect what is signalled by routines run directly inside the block."""
    collected: list[Flags] = []
    token = _signalled.set(collected)
    try:
        yield collected
    finally:
        _signalled.reset(token)
