"""Elementary functions in multiple precision: what numbers of any format round to, in all five directions.

MPFR, through gmpy2, rounds the functions that it has correctly, and says whether that was exact. Cut off a
few bits behind the format's, with whether anything was left, a result is all that rounding needs. What MPFR
lacks here is composed of functions that it has, with as many bits as it takes: exact results are told apart
by rules; the others are enclosed more and more narrowly until only one cut is possible.

Operands for which clause 9.2.1 prescribes a result are not asked about (special_values.h).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import gmpy2  # type: ignore[import-untyped]

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from tests.campaigns.composed import COMPOSED, EXACT, LARGEST_EXPONENT, as_mpfr

Outcome = tuple[int, int]  # an encoding and flags
SPARE_BITS = 12
# As plain numbers, for speed: there are millions of results.
DIRECTIONS = tuple(map(int, Rounding))
TIES_TO_EVEN, TIES_TO_AWAY, TOWARD_POSITIVE, TOWARD_NEGATIVE, TOWARD_ZERO = DIRECTIONS
OVERFLOW, UNDERFLOW, INEXACT = map(int, (Flags.OVERFLOW, Flags.UNDERFLOW, Flags.INEXACT))
MOST_BITS = 1 << 17
FAR = 1 << 40  # an exponent beyond those of all formats


class Cut(NamedTuple):
    """A magnitude other than zero, (significand + rest) * 2**exponent, where the rest is less than 1; and the
    sign. `has_rest`: whether there is one.
    """

    negative: bool
    significand: int
    exponent: int
    has_rest: bool


def outcomes(name: str, fmt: Format, x: int, y: int) -> tuple[Outcome, ...]:
    """Encoding and flags of a function's result in each direction, on an encoding, two, or one and an integer
    in 64 bits of two's complement.

    Raises ArithmeticError where it has none, or where it is not decided with MOST_BITS bits.
    """
    first = value_of(fmt, x)
    second = float(y - (y >> 63 << 64)) if name in WITH_INTEGER else value_of(fmt, y)
    return rounded(fmt, cut(name, fmt.precision + SPARE_BITS, first, second))


def value_of(fmt: Format, bits: int) -> float:
    """The value of an encoding, in a format whose numbers all are doubles."""
    field, trailing = divmod(bits % fmt.sign_bit, fmt.leading_one)
    if field == fmt.largest_exponent_field:
        magnitude = math.nan if trailing else math.inf
    elif field == 0:
        magnitude = math.ldexp(trailing, fmt.emin - fmt.trailing_bits)
    else:
        magnitude = math.ldexp(fmt.leading_one + trailing, field - fmt.bias - fmt.trailing_bits)
    return -magnitude if bits >= fmt.sign_bit else magnitude


# -- rounding -----------------------------------------------------------------------------------------------


def rounded(fmt: Format, value: Cut) -> tuple[Outcome, ...]:
    """A cut result as a number of the format in each direction (IEEE 754-2019, clauses 4.3, 7.4, 7.5, a, and
    7.6; from memory).
    """
    emin, emax, trailing_bits = fmt.emin, fmt.emax, fmt.trailing_bits
    infinity, sign = fmt.infinity, fmt.sign_bit if value.negative else 0
    leading = value.exponent + value.significand.bit_length() - 1
    if leading > emax:
        return tuple(_overflowed(fmt, value.negative, direction) for direction in DIRECTIONS)
    held = max(leading, emin)
    # Half of the last place stands in for the rest.
    significand, dropped = 2 * value.significand + value.has_rest, held - trailing_bits - value.exponent + 1
    if dropped > significand.bit_length() + 1:  # less than half of the smallest number
        significand, dropped = 1, 2
    elif dropped < 0:
        significand, dropped = significand << -dropped, 0
    inexact = significand & (1 << dropped) - 1 != 0
    found = []
    for direction in DIRECTIONS:
        bits = (held - emin << trailing_bits) + _rounded(significand, dropped, direction, value.negative)
        if bits >= infinity:
            found.append(_overflowed(fmt, value.negative, direction))
            continue
        flags = INEXACT if inexact else 0
        # With exponents of any size, there would be one bit more just below the normal numbers.
        if inexact and leading < emin:
            below = leading < emin - 1
            if below or _rounded(significand, dropped - 1, direction, value.negative) < 2 << trailing_bits:
                flags |= UNDERFLOW
        found.append((sign | bits, flags))
    return tuple(found)


def _rounded(significand: int, dropped: int, direction: int, negative: bool) -> int:
    """A significand without some low bits."""
    kept, rest = significand >> dropped, significand & (1 << dropped) - 1
    if rest == 0 or direction == TOWARD_ZERO:
        return kept
    if direction == TOWARD_POSITIVE:
        return kept + (not negative)
    if direction == TOWARD_NEGATIVE:
        return kept + negative
    half = 1 << dropped - 1
    return kept + (rest > half or (rest == half and (direction == TIES_TO_AWAY or kept % 2 == 1)))


def _overflowed(fmt: Format, negative: bool, direction: int) -> Outcome:
    inward = TOWARD_POSITIVE if negative else TOWARD_NEGATIVE
    magnitude = fmt.largest_finite if direction in (TOWARD_ZERO, inward) else fmt.infinity
    return magnitude | (fmt.sign_bit if negative else 0), OVERFLOW | INEXACT


# -- results, cut off ---------------------------------------------------------------------------------------


def cut(name: str, bits: int, x: float, y: float) -> Cut:
    """A result with so many bits, or more where it is exact."""
    if name in NATIVE:
        context = gmpy2.context(precision=bits, round=gmpy2.RoundToZero)
        return _cut_of(name, NATIVE[name](context, as_mpfr(x), as_mpfr(y)))
    if name in ("exp2m1", "exp10m1") and x < -bits:  # between -1 and its neighbour, for any number of bits
        return Cut(True, (1 << bits) - 1, -bits, True)
    if name in ("exp2m1", "exp10m1") and x > LARGEST_EXPONENT:
        return Cut(False, 1, FAR, True)
    exact = EXACT[name](x, y)
    if exact is not None:
        significand, exponent = exact.numerator, 1 - exact.denominator.bit_length()
        return Cut(significand < 0, abs(significand), exponent, False)
    return _enclosed(name, bits, x, y)


def _cut_of(name: str, result: Any) -> Cut:
    """What MPFR gave, rounded toward zero; a result too small for it is one too small for any format."""
    negative = bool(gmpy2.is_signed(result))
    if result == 0 and result.rc:
        return Cut(negative, 1, -FAR, True)
    _check(name, result)
    significand, exponent = result.as_mantissa_exp()
    # Cut off behind the precision, not behind the last bit that is not zero.
    spare = max(result.precision - significand.bit_length(), 0)
    return Cut(negative, abs(int(significand)) << spare, int(exponent) - spare, result.rc != 0)


def _check(name: str, result: Any) -> None:
    if gmpy2.is_nan(result) or gmpy2.is_infinite(result) or result == 0:
        raise ArithmeticError(f"{name} must have a finite result other than zero here, not {result}")


def _enclosed(name: str, bits: int, x: float, y: float) -> Cut:
    """A result that is composed, and is not exact."""
    working = bits + 40
    while working <= MOST_BITS:
        result, lost = COMPOSED[name](gmpy2.context(precision=working), as_mpfr(x), as_mpfr(y))
        if result.rc and (gmpy2.is_infinite(result) or result == 0):  # beyond MPFR, and so beyond any format
            return Cut(False, 1, FAR if result else -FAR, True)
        _check(name, result)
        significand, exponent = (int(part) for part in result.as_mantissa_exp())
        spare = working - significand.bit_length()
        low, high = (abs(significand) << spare) - (1 << lost), (abs(significand) << spare) + (1 << lost)
        dropped = working - bits
        if low >> dropped == high - 1 >> dropped:
            return Cut(significand < 0, low >> dropped, exponent - spare + dropped, True)
        working *= 2
    raise ArithmeticError(f"{name} of {x!r} and {y!r} is not decided with {MOST_BITS} bits")


# -- functions that MPFR has --------------------------------------------------------------------------------


def _of_one(method: str) -> Callable[[Any, Any, Any], Any]:
    return lambda context, x, _: getattr(context, method)(x)


def _of_two(method: str) -> Callable[[Any, Any, Any], Any]:
    return lambda context, x, y: getattr(context, method)(x, y)


NATIVE: dict[str, Callable[[Any, Any, Any], Any]] = {
    **{name: _of_one(name) for name in ("exp", "expm1", "exp2", "exp10", "log", "log2", "log10")},
    **{name: _of_one(name) for name in ("sin", "cos", "tan", "asin", "acos", "atan")},
    **{name: _of_one(name) for name in ("sinh", "cosh", "tanh", "asinh", "acosh", "atanh")},
    **{name: _of_two(name) for name in ("hypot", "pow", "atan2")},
    "square_root": _of_one("sqrt"),
    "r_sqrt": _of_one("rec_sqrt"),
    "logp1": _of_one("log1p"),
    "powr": _of_two("pow"),
    "pown": _of_two("pow"),
}
WITH_INTEGER = ("pown", "rootn", "compound")
