"""With how many bits elementary functions are computed, in a format and with options.

Let a value have its leading one and `bits` bits after it. A boundary of rounding, a number of the format or
the middle between two, has at most p of them. How near can a function that is transcendental come to one?

- By chance: of 2^w arguments, w the width of the format, the nearest is about 2^-(p + w) away, for the bits
  behind the p-th are like drawn ones. Of the bits that are taken beyond, five or six are as large as what a
  plan loses; each of the others halves the chance that an argument is too near.
- Where it has structure: e^x is 1 + x + x^2/2 + x^3/6..., and next to 1 the first terms may all but cancel: x
  of p bits, near 2^-p, leaves what the third power says, and so 3 p bits and a few; all 2^32 arguments of
  binary32 show it, where 72 are needed. cosh, cos and the powers are of this kind. A second operand that is a
  number has p bits more to cancel the next term with, which makes 4 p (`powers` has an example). Here as well
  some bits are added for what a plan loses.

`accurate` is more than both. It is argued, not proved, but for formats up to binary32, whose arguments have
all been looked at for functions of one operand. Two operands have as many chances as all bits of both.

The first phase has 12 bits more than the format: of 2^12 values then, as many lie too near to a boundary as
twice its error has units. Where all operands together have 16 bits at the most, one phase is taken.
"""

from __future__ import annotations

from typing import NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Elementary, ElementaryRounding, Options

FAST_EXTRA = 12
NARROW = 16  # up to so many bits of operands take one phase
NARROW_EXTRA = 16
ACCURATE_EXTRA = 20
STRUCTURE_EXTRA = 8
INTEGER_BITS = 32  # of an operand that is an integer


class Precision(NamedTuple):
    """Bits after the leading one: of the first phase, and of the second, 0 where there is none."""

    fast: int
    accurate: int


def precision_of(fmt: BinaryFormat, options: Options, operands: int = 1, integers: int = 0) -> Precision:
    """The precision of a function of so many numbers of a format, and so many integers besides."""
    p, chances = fmt.precision, operands * fmt.width + integers * INTEGER_BITS
    if options.elementary_rounding is ElementaryRounding.FAITHFUL:
        return Precision(p + FAST_EXTRA, 0)
    if chances <= NARROW:
        return Precision(p + chances + NARROW_EXTRA, 0)
    accurate = max(p + chances + ACCURATE_EXTRA, (2 + operands) * p + STRUCTURE_EXTRA)
    return Precision(p + FAST_EXTRA, accurate)


def is_by_shifts(bits: int, fmt: BinaryFormat, options: Options) -> bool:
    """Whether so many bits are found by shifts and additions; those of an accurate phase are not."""
    shifts = options.elementary is Elementary.SHIFT_AND_ADD
    return shifts and bits != precision_of(fmt, options).accurate
