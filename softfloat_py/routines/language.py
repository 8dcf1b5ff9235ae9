"""The words a routine may use: real, typed Python that computes on unsigned numbers of exact width.

A routine is an ordinary function of `Bits`, run as it stands by Python itself (the *direct* engine), and
read as text by `integer_form.reader` for everything else. It may contain assignments, `if`, early
`return`, `for _ in range(n)` (a loop that stays one), `for i in unrolled(...)` (written out before
anything runs), calls of other routines (written out too, unless those are `called`), and the words below.
Parameters that are not `Bits` (formats, options, whole numbers) are fixed before a routine runs, and an `if`
on them is decided then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

from softfloat_py.environment import Flags
from softfloat_py.errors import WidthError
from softfloat_py.routines import phases
from softfloat_py.routines.steps import STEPS, Immediate, constant_width
from softfloat_py.routines.tables import Table, table_of

Routine = Callable[..., Any]
R = TypeVar("R", bound=Routine)


# -- the course of a routine ----------------------------------------------------------------------------


def phase(name: str) -> None:
    """Name the part of the algorithm that the following statements of this block belong to.

    What there is to name, and what each is for, stands in `phases`; UnknownNameError for any other.
    """
    phases.explained(name)


def unrolled(*bounds: int) -> range:
    """The numbers of `range(*bounds)`, for a loop that is written out before anything runs.

    A loop over `range` stays a loop, which costs a counter and a branch a round; its rounds are alike, and
    what they carry keeps its width. In a loop over `unrolled`, the number of the round is fixed in each: it
    may choose a place, a width or a side of an `if`, and nothing is counted for it.
    """
    return range(*bounds)


def called(routine: R) -> R:
    """Let a routine be called: where others call it, it stays a routine of its own, with a call and a return.

    Any other is written out in the place of its call. One that is called may return early wherever it
    likes, and signal; it must not call itself, in however many steps. A parameter of it is an operand where
    the value is known only when it runs; what is fixed where it is called, constants included, is fixed in
    it, so it is a routine apart for each such value.
    """
    routine.is_called = True  # type: ignore[attr-defined]
    return routine


# -- numbers --------------------------------------------------------------------------------------------


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

    def step(self, name: str, operands: tuple[Bits | int, ...], immediate: Immediate) -> Bits:
        """What a step is for a kind of operands that are no numbers."""
        raise NotImplementedError("numbers have their steps carried out")

    def __add__(self, other: Bits | int) -> Bits:
        return step("add", self, other)

    def __radd__(self, other: int) -> Bits:
        return step("add", other, self)

    def __sub__(self, other: Bits | int) -> Bits:
        return step("subtract", self, other)

    def __rsub__(self, other: int) -> Bits:
        return step("subtract", other, self)

    def __mul__(self, other: Bits | int) -> Bits:
        return step("multiply", self, other)

    def __rmul__(self, other: int) -> Bits:
        return step("multiply", other, self)

    def __and__(self, other: Bits | int) -> Bits:
        return step("and", self, other)

    def __rand__(self, other: int) -> Bits:
        return step("and", other, self)

    def __or__(self, other: Bits | int) -> Bits:
        return step("or", self, other)

    def __ror__(self, other: int) -> Bits:
        return step("or", other, self)

    def __xor__(self, other: Bits | int) -> Bits:
        return step("xor", self, other)

    def __rxor__(self, other: int) -> Bits:
        return step("xor", other, self)

    def __invert__(self) -> Bits:
        return step("not", self)

    def __lshift__(self, distance: int) -> Bits:
        """Shift by a constant; for a variable distance see `shift_left`, which states a width."""
        if isinstance(distance, Bits):
            raise WidthError(
                "a shift left by a variable distance needs a stated width: shift_left(x, n, width)"
            )
        return step("shift_left", self, immediate=distance)

    def __rshift__(self, distance: Bits | int) -> Bits:
        if isinstance(distance, Bits):
            return step("shift_right_variable", self, distance)
        return step("shift_right", self, immediate=distance)

    def __rrshift__(self, other: int) -> Bits:
        return step("shift_right_variable", other, self)

    def __eq__(self, other: Bits | int) -> Bits:  # type: ignore[override]
        return step("equal", self, other)

    def __ne__(self, other: Bits | int) -> Bits:  # type: ignore[override]
        return step("not_equal", self, other)

    def __lt__(self, other: Bits | int) -> Bits:
        return step("less", self, other)

    def __le__(self, other: Bits | int) -> Bits:
        return step("less_or_equal", self, other)

    def __gt__(self, other: Bits | int) -> Bits:
        return step("less", other, self)

    def __ge__(self, other: Bits | int) -> Bits:
        return step("less_or_equal", other, self)


def _bits(operand: Bits | int) -> Bits:
    return operand if isinstance(operand, Bits) else Bits(operand, constant_width(operand))


def step(name: str, *operands: Bits | int, immediate: Immediate = 0) -> Bits:
    """Carry out one step on numbers, checking its side condition; of operands that are no numbers, such as
    those of `integer_form.tracing`, one says what a step is.
    """
    for operand in operands:
        if type(operand) is not Bits and isinstance(operand, Bits):
            return operand.step(name, operands, immediate)
    kind = STEPS[name]
    numbers = [_bits(operand) for operand in operands]
    values, widths = [n.value for n in numbers], [n.width for n in numbers]
    if not kind.condition(values, widths, immediate):
        raise WidthError(f"{kind.condition_text}: {name} of {numbers}, {immediate}")
    return Bits(kind.value(values, widths, immediate), kind.width(widths, immediate))


# -- words ------------------------------------------------------------------------------------------------


def constant(value: int, width: int) -> Bits:
    """A constant with more width than its value needs."""
    return Bits(value, width)


def field(x: Bits, low: int, width: int) -> Bits:
    """`width` bits of x from bit `low` up, or what is left of x: a shift and a mask, each only where it is
    needed.
    """
    if low + width >= x.width:
        return x >> low
    return (x >> low) & ((1 << width) - 1)


def concatenate(high: Bits, low: Bits) -> Bits:
    """`high` directly above `low`: high.width + low.width bits."""
    return (high << low.width) | low


def resize(x: Bits, width: int) -> Bits:
    """x in more or fewer bits, which must hold it.

    It costs nothing: no bit changes, only what is known of the width. Both sides of an `if` must leave a name
    with the same width, so this evens them out, a sum being one bit wider than what it started from:

        if x == 0:
            x = resize(x + 1, x.width)
    """
    return step("resize", x, immediate=width)


def with_point(x: Bits, places: int) -> Bits:
    """x, which was computed just then, as a fixed-point number with so many bits after the point.

    It is no step, and changes nothing: explanations show x so.
    """
    return x


def shift_left(x: Bits, distance: Bits, width: int) -> Bits:
    """x shifted left by a variable distance, in `width` bits, which must hold the result."""
    return step("shift_left_variable", x, distance, immediate=width)


def select(condition: Bits, if_true: Bits | int, if_false: Bits | int) -> Bits:
    """One of two values, both of which have been computed."""
    return step("select", condition, if_true, if_false)


def move(x: Bits) -> Bits:
    """x in another register."""
    return step("move", x)


def load(x: Bits) -> Bits:
    """x brought from memory into a register."""
    return step("load", x)


def store(x: Bits) -> Bits:
    """x put from a register into memory."""
    return step("store", x)


def look_up(table: Table | Sequence[int], index: Bits | int) -> Bits:
    """The entry of a constant table at an index that only a run knows, as wide as the table's entries.

    The index must be less than the number of entries.
    """
    return step("look_up", index, immediate=table_of(table))


def divide(x: Bits | int, y: Bits | int, width: int) -> Bits:
    """x divided by y, rounded down, in `width` bits, which must hold it; y must not be zero."""
    return step("divide", x, y, immediate=width)


def count_leading_zeros(x: Bits) -> Bits:
    """Zero bits above the highest set bit: 0 to x.width."""
    return step("count_leading_zeros", x)


def add_modulo(x: Bits | int, y: Bits | int, width: int) -> Bits:
    """x + y in `width` bits, what does not fit lost: addition of two's complement numbers."""
    return step("add_modulo", x, y, immediate=width)


def subtract_modulo(x: Bits | int, y: Bits | int, width: int) -> Bits:
    """x - y in `width` bits, wrapping around: subtraction of two's complement numbers."""
    return step("subtract_modulo", x, y, immediate=width)


# -- exceptions -------------------------------------------------------------------------------------------

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
