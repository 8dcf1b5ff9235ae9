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
from fractions import Fraction
from typing import Any, NamedTuple

import gmpy2  # type: ignore[import-untyped]

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format

Outcome = tuple[int, int]  # an encoding and flags
SPARE_BITS = 12
# As plain numbers, for speed: there are millions of results.
DIRECTIONS = tuple(map(int, Rounding))
TIES_TO_EVEN, TIES_TO_AWAY, TOWARD_POSITIVE, TOWARD_NEGATIVE, TOWARD_ZERO = DIRECTIONS
OVERFLOW, UNDERFLOW, INEXACT = map(int, (Flags.OVERFLOW, Flags.UNDERFLOW, Flags.INEXACT))
MOST_BITS = 1 << 17
LARGEST_EXPONENT = 1100  # more than a format has whose numbers all are doubles
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
        return _cut_of(name, NATIVE[name](context, _mpfr(x), _mpfr(y)))
    if name in ("exp2m1", "exp10m1") and x < -bits:  # between -1 and its neighbour, for any number of bits
        return Cut(True, (1 << bits) - 1, -bits, True)
    if name in ("exp2m1", "exp10m1") and x > LARGEST_EXPONENT:
        return Cut(False, 1, FAR, True)
    exact = EXACT[name](x, y)
    if exact is not None:
        significand, exponent = exact.numerator, 1 - exact.denominator.bit_length()
        return Cut(significand < 0, abs(significand), exponent, False)
    return _enclosed(name, bits, x, y)


def _mpfr(x: float) -> Any:
    return gmpy2.mpfr(x, 53)


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
        result, lost = COMPOSED[name](gmpy2.context(precision=working), _mpfr(x), _mpfr(y))
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

# -- functions that are composed: a result, and how many of its last bits are lost to errors -----------------
#
# With w bits, half a unit in the last place is 2^-w of the value or less, and 2^-w of a value is one unit or
# less. So the error in units is at most the number of steps, each times the condition numbers of those after
# it.

Composed = Callable[[Any, Any, Any], tuple[Any, int]]


def _power_less_one(base: int) -> Composed:
    def composed(context: Any, x: Any, _: Any) -> tuple[Any, int]:
        exponent = context.mul(x, context.log(base))
        # Two errors in the exponent, multiplied by up to |exponent| + 1, and that of expm1.
        return context.expm1(exponent), int(min(abs(exponent), FAR)).bit_length() + 3

    return composed


def _logarithm_plus_one(base: int) -> Composed:
    return lambda context, x, _: (context.div(context.log1p(x), context.log(base)), 2)


def _over_pi(method: str) -> Composed:
    return lambda context, x, _: (context.div(getattr(context, method)(x), context.const_pi()), 2)


def _angle(context: Any, part: float) -> Any:
    return context.mul(context.const_pi(), _mpfr(part))


def _rise(context: Any, part: float) -> Any:
    """sin(pi part), for 0 <= part <= 1/2: condition numbers are at most 1."""
    return context.sin(_angle(context, part)) if part <= 0.25 else context.cos(_angle(context, 0.5 - part))


def _reduced(x: Any, period: int) -> float:
    """x less a multiple of the period, between its halves; exact, as all the differences below are."""
    return math.remainder(float(x), period)


def _sin_pi(context: Any, x: Any, _: Any) -> tuple[Any, int]:
    rest = _reduced(x, 2)
    part = abs(rest)
    result = _rise(context, 1 - part if part > 0.5 else part)
    return (result if rest > 0 else context.minus(result)), 2


def _cos_pi(context: Any, x: Any, _: Any) -> tuple[Any, int]:
    part = abs(_reduced(x, 2))
    nearer = 1 - part if part > 0.5 else part
    result = context.cos(_angle(context, nearer)) if nearer <= 0.25 else _rise(context, 0.5 - nearer)
    return (context.minus(result) if part > 0.5 else result), 2


def _tan_pi(context: Any, x: Any, _: Any) -> tuple[Any, int]:
    """The condition number of the tangent is at most pi/2 up to pi/4."""
    rest = _reduced(x, 1)
    part = abs(rest)
    result = context.tan(_angle(context, part if part < 0.25 else 0.5 - part))
    result = result if part < 0.25 else context.div(1, result)
    return (result if rest > 0 else context.minus(result)), 3


def _atan2_pi(context: Any, y: Any, x: Any) -> tuple[Any, int]:
    return context.div(context.atan2(y, x), context.const_pi()), 2


def _compound(context: Any, x: Any, n: Any) -> tuple[Any, int]:
    exponent = context.mul(n, context.log1p(x))
    return context.exp(exponent), int(min(abs(exponent), FAR)).bit_length() + 2


def _rootn(context: Any, x: Any, n: Any) -> tuple[Any, int]:
    root = context.rootn(x, int(abs(n)))
    return (root if n > 0 else context.div(1, root)), 2


COMPOSED: dict[str, Composed] = {
    "exp2m1": _power_less_one(2),
    "exp10m1": _power_less_one(10),
    "log2p1": _logarithm_plus_one(2),
    "log10p1": _logarithm_plus_one(10),
    "sin_pi": _sin_pi,
    "cos_pi": _cos_pi,
    "tan_pi": _tan_pi,
    "asin_pi": _over_pi("asin"),
    "acos_pi": _over_pi("acos"),
    "atan_pi": _over_pi("atan"),
    "atan2_pi": _atan2_pi,
    "compound": _compound,
    "rootn": _rootn,
}

# -- their exact results ------------------------------------------------------------------------------------

Exact = Callable[[float, float], Fraction | None]


def _exact_power_less_one(base: int, least: int) -> Exact:
    """Whole powers."""
    return lambda x, _: Fraction(base) ** int(x) - 1 if x.is_integer() and x >= least else None


def _exact_logarithm_plus_one(base: int) -> Exact:
    def exact(x: float, _: float) -> Fraction | None:
        successor = 1 + Fraction(x)
        digits = max(successor.numerator.bit_length(), successor.denominator.bit_length())
        exponent = round(math.log(successor.numerator, base) - math.log(successor.denominator, base))
        found = abs(exponent) <= digits and Fraction(base) ** exponent == successor
        return Fraction(exponent) if found else None

    return exact


def _where(values: dict[float, Fraction]) -> Exact:
    return lambda x, _: values.get(x)


def _exact_sin_pi(x: float, _: float) -> Fraction | None:
    """Rational only at multiples of 1/2, but for sixths (Niven's theorem, from memory)."""
    return Fraction(1 if x % 2 == 0.5 else -1) if x % 1 == 0.5 else None


def _exact_cos_pi(x: float, _: float) -> Fraction | None:
    return Fraction(1 if x % 2 == 0 else -1) if x.is_integer() else None


def _exact_tan_pi(x: float, _: float) -> Fraction | None:
    return Fraction(1 if x % 1 == 0.25 else -1) if x % 0.5 == 0.25 else None


def _exact_atan2_pi(y: float, x: float) -> Fraction | None:
    sign = Fraction(math.copysign(1, y))
    if abs(y) == abs(x):
        return sign / 4 if x > 0 else sign * 3 / 4
    if x == 0 or math.isinf(y):
        return sign / 2
    return sign if y == 0 or math.isinf(x) else None


def _exact_compound(x: float, n: float) -> Fraction | None:
    """A power of a fraction with an odd numerator of b bits has more than (b - 1) n bits. With many it is no
    number of a format, nor halfway between two.
    """
    successor, power = 1 + Fraction(x), int(n)
    numerator, factor = successor.numerator, 0
    while numerator % 2 == 0:
        numerator, factor = numerator // 2, factor + 1
    if numerator == 1:
        exponent = (factor + 1 - successor.denominator.bit_length()) * power
        return Fraction(2) ** max(min(exponent, 4 * LARGEST_EXPONENT), -4 * LARGEST_EXPONENT)
    return successor**power if power > 0 and (numerator.bit_length() - 1) * power < 1000 else None


def _exact_rootn(x: float, n: float) -> Fraction | None:
    root = gmpy2.context(precision=64).rootn(_mpfr(x), int(abs(n)))
    if root.rc:
        return None
    value = Fraction(int(root.as_integer_ratio()[0]), int(root.as_integer_ratio()[1]))
    if n > 0:
        return value
    return 1 / value if abs(value.numerator).bit_count() == 1 else None


HALF = Fraction(1, 2)
EXACT: dict[str, Exact] = {
    "exp2m1": _exact_power_less_one(2, -LARGEST_EXPONENT),
    "exp10m1": _exact_power_less_one(10, 0),
    "log2p1": _exact_logarithm_plus_one(2),
    "log10p1": _exact_logarithm_plus_one(10),
    "sin_pi": _exact_sin_pi,
    "cos_pi": _exact_cos_pi,
    "tan_pi": _exact_tan_pi,
    "asin_pi": _where({1.0: HALF, -1.0: -HALF}),
    "acos_pi": _where({0.0: HALF, -1.0: Fraction(1)}),
    "atan_pi": _where({1.0: HALF / 2, -1.0: -HALF / 2}),
    "atan2_pi": _exact_atan2_pi,
    "compound": _exact_compound,
    "rootn": _exact_rootn,
}
