"""Small routines that call others, legal ones and such as are not."""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.environment import Flags
from softfloat_py.formats import BinaryFormat
from softfloat_py.operations import Operation
from softfloat_py.options import Options
from softfloat_py.routines import addition
from softfloat_py.routines.language import Bits, called, constant, phase, resize, signal


@called
def limited(height: Bits, limit: Bits) -> Bits:
    """The lesser of two heights."""
    phase("compare")
    if limit < height:
        return limit
    return height


def breakers(height: Bits, limit: Bits, depth: Bits) -> Bits:
    """A height that is limited where it is even, and a depth."""
    phase("scale")
    if (height & 1) == 0:
        height = limited(height, limit)
    return height ^ depth


def breakers_twice(height: Bits, limit: Bits) -> Bits:
    """One routine called twice."""
    return limited(limited(height, limit), height)


def breakers_by_name(height: Bits, limit: Bits) -> Bits:
    """The same, the operands of one call in another order."""
    return limited(limit=height, height=limited(height, limit))


class Crest(NamedTuple):
    """A height and whether it is high."""

    height: Bits
    is_high: Bits


@called
def crest_of(height: Bits, places: int) -> Crest:
    """A height less its lowest places, and whether it is high; what is cut off is inexact."""
    if (height & ((1 << places) - 1)) != 0:
        signal(Flags.INEXACT)
    if height > 100:
        return Crest(height >> places << places, constant(1, 1))
    return Crest(height, constant(0, 1))


def crests(height: Bits, other: Bits) -> tuple[Bits, Bits]:
    """Named tuples come out of a call; what is fixed makes routines of their own."""
    first, second = crest_of(height, 2), crest_of(other, 3)
    if other == 7:
        signal(Flags.OVERFLOW)
    return first.height + second.height, first.is_high & second.is_high


@called
def turned(height: Bits) -> Bits:
    """Nothing is raised here."""
    return ~height


def turned_in_rounds(height: Bits, rounds: Bits) -> Bits:
    """A call in every round of a loop."""
    for _ in range(rounds):
        height = turned(height)
    return height


def constants_alone(height: Bits) -> Bits:
    """A call of constants is none."""
    return height + turned(constant(5, 8))


def for_nothing(height: Bits) -> Bits:
    """A call whose result nobody uses."""
    turned(height)
    return height << 1


@called
def summed(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """x + y, called."""
    return addition.addition(x, y, direction, fmt, options)


def twice_added(x: Bits, y: Bits, direction: Bits, fmt: BinaryFormat, options: Options) -> Bits:
    """(x + y) + y, by two calls."""
    return summed(summed(x, y, direction, fmt, options), y, direction, fmt, options)


# The row of an operation that calls.
TWICE_ADDED = Operation("twice_added", "5.4.1", twice_added, ("x", "y"), rounds=True)


# -- not legal -----------------------------------------------------------------------------------------


@called
def itself(height: Bits, places: int) -> Bits:
    """A routine that calls itself."""
    return itself(height, places - 1)


def written_out(height: Bits) -> Bits:
    """A step on the way back to the routine that it came from."""
    return back_again(height)


@called
def back_again(height: Bits) -> Bits:
    """A routine that calls itself by way of another."""
    return written_out(height)


def calls_itself(height: Bits) -> Bits:
    """The call of a routine that calls itself."""
    return itself(height, 3)


def comes_back(height: Bits) -> Bits:
    """The call of a routine that comes back."""
    return back_again(height)


@called
def faulty(height: Bits) -> Bits:
    """A routine with a fault."""
    return resize(height + swell, 9)  # type: ignore[name-defined]  # noqa: F821


def calls_faulty(height: Bits) -> Bits:
    """Two calls of a routine with a fault."""
    first = faulty(height)
    second = faulty(height)
    return first ^ second


@called
def listed(height: Bits, table: list[int]) -> Bits:
    """A routine whose fixed parameter cannot be compared."""
    return height + table[0]


def calls_with_a_list(height: Bits) -> Bits:
    """The call of it."""
    return listed(height, TABLE)


TABLE = [3, 5]


@called
def of_two_shapes(height: Bits) -> tuple[Bits, ...]:
    """Results in different tuples."""
    if height == 0:
        return Crest(height, constant(0, 1))
    return height, constant(1, 1)


def calls_of_two_shapes(height: Bits) -> Bits:
    """The call of it."""
    return of_two_shapes(height)[0]


@called
def signalling(height: Bits) -> Bits:
    """What raises a flag."""
    signal(Flags.INEXACT)
    return height


def signals_in_rounds(height: Bits) -> Bits:
    """The call of it in a loop."""
    for _ in range(3):
        height = resize(signalling(height), 8)
    return height
