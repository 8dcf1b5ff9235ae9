"""Elementary functions that MPFR lacks here, composed of those that it has; and their exact results.

A composed result comes with how many of its last bits are lost to errors. With w bits, half a unit in the
last place is 2^-w of the value or less, and 2^-w of a value is one unit or less. So the error in units is at
most the number of steps, each times the condition numbers of those after it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import gmpy2  # type: ignore[import-untyped]

LARGEST_EXPONENT = 1100  # more than a format has whose numbers all are doubles
MOST = 1 << 40  # more than any exponent of MPFR's
Composed = Callable[[Any, Any, Any], tuple[Any, int]]


def as_mpfr(x: float) -> Any:
    """A double as MPFR's number."""
    return gmpy2.mpfr(x, 53)


def _power_less_one(base: int) -> Composed:
    def composed(context: Any, x: Any, _: Any) -> tuple[Any, int]:
        exponent = context.mul(x, context.log(base))
        # Two errors in the exponent, multiplied by up to |exponent| + 1, and that of expm1.
        return context.expm1(exponent), int(min(abs(exponent), MOST)).bit_length() + 3

    return composed


def _logarithm_plus_one(base: int) -> Composed:
    return lambda context, x, _: (context.div(context.log1p(x), context.log(base)), 2)


def _over_pi(method: str) -> Composed:
    return lambda context, x, _: (context.div(getattr(context, method)(x), context.const_pi()), 2)


def _angle(context: Any, part: float) -> Any:
    return context.mul(context.const_pi(), as_mpfr(part))


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
    return context.exp(exponent), int(min(abs(exponent), MOST)).bit_length() + 2


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


def _of_sign(x: float, same: bool) -> Fraction:
    """1 of the sign of x, or of the other. Remainders are taken of |x|: others are rounded."""
    return Fraction(1 if (x > 0) is same else -1)


def _exact_sin_pi(x: float, _: float) -> Fraction | None:
    """Rational only at multiples of 1/2, but for sixths (Niven's theorem, from memory)."""
    return _of_sign(x, abs(x) % 2 == 0.5) if abs(x) % 1 == 0.5 else None


def _exact_cos_pi(x: float, _: float) -> Fraction | None:
    return Fraction(1 if abs(x) % 2 == 0 else -1) if x.is_integer() else None


def _exact_tan_pi(x: float, _: float) -> Fraction | None:
    return _of_sign(x, abs(x) % 1 == 0.25) if abs(x) % 0.5 == 0.25 else None


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
    root = gmpy2.context(precision=64).rootn(as_mpfr(x), int(abs(n)))
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
