"""The encoding that a text says, correctly rounded (IEEE 754-2019, clause 5.12).

A text may be of any length and have any exponent. Two cuts keep the exact arithmetic short, and neither
changes what comes out:

- *Digits.* All that rounding asks is on which side of a *boundary* a value lies: a number of the format, the
  middle between two, or the place from which results are tiny. A boundary is m × 2**-k with m of at most
  p + 1 bits and k of at most p - emin + 1. That is m × 5**k × 10**-k, of at most
  0.302 (p + 1) + 0.699 (p - emin + 1) + 1 digits, and a whole one has fewer. `_digits_that_matter` is not
  less; for hexadecimal digits, of four bits each, it is far more than enough. Where more digits follow, a
  single 1, the *sticky digit*, stands for all of them: the value stays strictly between the same two
  numbers of as many digits as were kept, and no boundary lies strictly between those.
- *Exponents.* Beyond a little more than the format's range in either direction, all values round alike.
"""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from softfloat_py.environment import Flags, Rounding, current
from softfloat_py.errors import TextError
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.encoding import encode, encode_exact
from softfloat_py.numbers.text.text_parsing import (
    SIGNALING_PAYLOAD,
    InfinityText,
    NaNText,
    Notation,
    Numeral,
    Radix,
    parse,
)

STICKY_DIGIT = "1"
BEYOND = 8  # binary places outside the range of a format where everything rounds alike


def encode_text(
    fmt: BinaryFormat, text: str, notation: Notation | None = None, rounding: Rounding | None = None
) -> tuple[int, Flags]:
    """The encoding of what a text says, and the flags that raised; `text_parsing` has what may be written.

    `rounding` defaults to the current environment's direction. Underflow is detected after rounding. A NaN
    keeps its sign and its payload; `snan` is signalling, with the payload 1 if it states none. Where the
    format has no signalling NaN, it is an invalid operation that delivers the quiet one (clause 5.12.1
    allows either). Raises TextError for a text that is no number, and for a payload that does not fit.

    >>> from softfloat_py.numbers.formats import binary32
    >>> bits, flags = encode_text(binary32, "0x1.8p-1")
    >>> hex(bits), str(flags)
    ('0x3f400000', 'none')
    """
    said = parse(text, notation or Notation.ANY)
    if isinstance(said, InfinityText):
        return encode(fmt, -math.inf if said.negative else math.inf)
    if isinstance(said, NaNText):
        bits, flags = _nan(fmt, said, text)
        return bits | (fmt.sign_bit if said.negative else 0), flags
    environment = current.get()
    direction = environment.direction if rounding is None else int(rounding)
    return encode_exact(fmt, _value(fmt, said), said.negative, direction, environment.options.saturate)


def _digits_that_matter(fmt: BinaryFormat) -> int:
    return 2 * fmt.precision - fmt.emin + 3


def _value(fmt: BinaryFormat, numeral: Numeral) -> Fraction:
    """The magnitude of a number, or one that is rounded just like it."""
    digits, radix = numeral.digits, numeral.radix
    if not digits:
        return Fraction(0)
    enough = _digits_that_matter(fmt)
    if len(digits) > enough:
        digits = digits[:enough] + STICKY_DIGIT
    lowest, highest = fmt.emin - fmt.precision - BEYOND, fmt.emax + BEYOND
    leading = min(max(numeral.leading, lowest), highest)
    exponent = leading - radix.exponents_per_digit * (len(digits) - 1)
    return _whole(digits, radix) * Fraction(radix.of_exponent) ** exponent


def _whole(digits: str, radix: Radix) -> int:
    """Digits as a whole number; Decimal reads more decimal digits than int() does."""
    return int(Decimal(digits)) if radix is Radix.DECIMAL else int(digits, radix.value)


def _nan(fmt: BinaryFormat, said: NaNText, text: str) -> tuple[int, Flags]:
    """The encoding of a NaN without its sign."""
    # The only NaN of a format without infinities has no payload, as has one without bits below the quiet bit.
    largest = fmt.quiet_bit - 1 if fmt.has_infinity else 0
    missing = SIGNALING_PAYLOAD if said.signaling and largest else 0
    payload = missing if said.payload is None else said.payload
    if payload > largest:
        expected = f"a payload from 0 to {largest:#x}, as {fmt.name} has it,"
        raise TextError("the text of a NaN", text, said.place, expected)
    if not said.signaling:
        return fmt.quiet_nan | payload, Flags.NONE
    if largest == 0:
        return fmt.quiet_nan, Flags.INVALID_OPERATION
    if payload == 0:
        raise TextError("the text of a signalling NaN", text, said.place, "a payload of 1 or more")
    return fmt.infinity | payload, Flags.NONE
