"""Small legal routines, read by the tests of reading, specialising, printing, counting and pricing."""

from __future__ import annotations

from collections.abc import Callable

from softfloat_py.environment import Flags
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines.language import (
    Bits,
    constant,
    field,
    look_up,
    phase,
    resize,
    select,
    signal,
    unrolled,
)
from softfloat_py.routines.tables import Table


def program(routine: Callable[..., object], **widths: int) -> Program:
    """A small routine with operands of these widths, read."""
    return read(routine, widths, {})


def heights(crest: Bits, trough: Bits) -> Bits:
    """Three steps; the first operand is needed for two."""
    rise = crest & trough
    fall = crest ^ rise
    return rise | fall


def clamped(height: Bits, limit: Bits) -> Bits:
    """The lesser of two heights, in the same width on both sides."""
    phase("compare")
    if height > limit:
        height = limit
    phase("scale")
    return (height << 2) + 3


def reversed_bits(x: Bits) -> Bits:
    """The bits of x in reverse, by a loop that stays one."""
    phase("order")
    turned = constant(0, x.width)
    for _ in range(x.width):
        turned = (field(turned, 0, x.width - 1) << 1) | field(x, 0, 1)
        x = resize(x >> 1, x.width)
    return turned


def shifted_by(x: Bits, distance: Bits) -> Bits:
    """x shifted right by a loop of variable length."""
    phase("align")
    for _ in range(distance):
        x = resize(x >> 1, x.width)
    return x


def folded(x: Bits) -> Bits:
    """The four nibbles of x combined, by a loop that is written out."""
    phase("reduce")
    parity = field(x, 0, 4)
    for place in unrolled(1, 4):
        parity = parity ^ field(x, 4 * place, 4)
    return parity


PERIODS = Table((3, 7, 12, 17), name="periods")


def looked_up(x: Bits) -> Bits:
    """Entries of tables, of which one has an index that is fixed, and one is the same wherever it is read."""
    return look_up(PERIODS, x) + look_up(PERIODS, 1) + look_up((0, 0, 0), x)


def halved(x: Bits, fmt: Format, options: Options) -> Bits:
    """x / 2 of a number with room below it; what it costs depends on the options."""
    phase("classify")
    if options.special:
        if field(x, fmt.trailing_bits, fmt.exponent_bits) == fmt.largest_exponent_field:
            signal(Flags.INVALID_OPERATION)
            return x
    phase("scale")
    odd = field(x, 0, 1)
    signal(Flags.INEXACT, odd)
    return x - fmt.leading_one


def helper(x: Bits) -> tuple[Bits, Bits]:
    """Two values of one call."""
    phase("unpack")
    return x + 1, x ^ 5


def with_helper(x: Bits) -> Bits:
    """A routine that calls another for its value."""
    phase("add")
    first, second = helper(x)
    return first + second


def early(x: Bits) -> Bits:
    """A routine that returns early for zero."""
    phase("special operands")
    if x == 0:
        return constant(255, 8)
    return x


def with_early(x: Bits) -> Bits:
    """A routine that hands over to one that returns early."""
    phase("negate")
    x = ~x
    return early(x)


def nothing_to_do(x: Bits) -> Bits:
    """What an 8-bit x is, in steps that change nothing."""
    unchanged = ((((x | 0) ^ 0) & 255) - 0) << 0
    return select(constant(1, 1), unchanged, ~x)


def loop_for_nothing(x: Bits) -> Bits:
    """A value turned over in a loop, and then forgotten."""
    spray = constant(3, 8)
    for _ in range(4):
        spray = spray ^ x
    return ~x
