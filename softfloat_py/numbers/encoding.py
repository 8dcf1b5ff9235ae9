"""How a number becomes an encoding of a binary format, correctly rounded.

The exact value is cut to p + 2 bits and a sticky bit, then rounded by the routine that rounds everything.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from numbers import Rational
from typing import Any

from softfloat_py.engines import plain
from softfloat_py.environment import DIRECTION_BITS, Flags, Rounding, current
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.constants import exactly, is_real, refusal, with_ratio
from softfloat_py.numbers.leading_bit import from_twin
from softfloat_py.options import COMPLETE, Options
from softfloat_py.routines.exponent_range import signed_exponent_bits
from softfloat_py.routines.rounding import round_to_format

SATURATING = Options(saturate=True)


def encode(
    fmt: BinaryFormat, value: Any, rounding: Rounding | None = None, *, options: Options | None = None
) -> tuple[int, Flags]:
    """The encoding of a Python or numpy number, correctly rounded, and the flags that raised.

    `rounding` and `options` default to those of the current environment. A NaN becomes the canonical one.
    Raises OperandError for anything but a real number.

    >>> from softfloat_py.numbers.formats import binary32
    >>> hex(encode(binary32, 1.5)[0])
    '0x3fc00000'
    """
    if not is_real(value):
        raise refusal("a constant", fmt.name, value)
    value = with_ratio(value)
    if value != value:
        return fmt.quiet_nan, Flags.NONE
    saturate = (current.get().options if options is None else options).saturate
    negative = value < 0 or (value == 0 and not isinstance(value, Rational) and math.copysign(1, value) < 0)
    if value in (math.inf, -math.inf):
        limit = fmt.largest_finite if saturate else fmt.first_special
        return limit | (fmt.sign_bit if negative else 0), Flags.NONE
    direction = current.get().direction if rounding is None else int(rounding)
    return encode_exact(fmt, exactly(value), negative, direction, saturate)


def encode_exact(
    fmt: BinaryFormat, exact: Fraction, negative: bool, direction: int, saturate: bool = False
) -> tuple[int, Flags]:
    """The encoding of a rational number, correctly rounded, and the flags that raised."""
    if exact == 0:
        return (fmt.sign_bit if negative else 0), Flags.NONE
    exponent, significand = _leading_bits(abs(exact), fmt.precision + 2)
    # Exponents beyond what the routine's width holds are as good as those at its end.
    limit = (1 << (signed_exponent_bits(fmt) - 1)) - 1
    exponent_less_one = max(-limit, min(limit, exponent + fmt.bias - 1)) % (1 << signed_exponent_bits(fmt))
    bits, flags, _ = _rounder(fmt.twin, saturate)(int(negative), exponent_less_one, significand, direction)
    return from_twin(fmt, bits), Flags(flags)


def _leading_bits(magnitude: Fraction, count: int) -> tuple[int, int]:
    """Exponent of the leading bit, and that many leading bits with a sticky bit below them."""
    numerator, denominator = magnitude.numerator, magnitude.denominator
    exponent = numerator.bit_length() - denominator.bit_length()
    if numerator << max(-exponent, 0) < denominator << max(exponent, 0):
        exponent -= 1
    shift = count - 1 - exponent
    whole, rest = divmod(numerator << max(shift, 0), denominator << max(-shift, 0))
    return exponent, whole << 1 | (rest != 0)


@lru_cache(maxsize=256)
def _rounder(fmt: BinaryFormat, saturate: bool) -> Callable[..., Any]:
    """The routine on ints: sign, exponent less one, significand, direction → encoding, flags, record."""
    widths = {
        "sign": 1,
        "exponent_less_one": signed_exponent_bits(fmt),
        "significand": fmt.precision + 3,
        "direction": DIRECTION_BITS,
    }
    fixed = {"fmt": fmt, "options": SATURATING if saturate else COMPLETE}
    form = read(round_to_format, widths, fixed, uniform=("direction",), keep_flags=True)
    return plain.compiled(form).run
