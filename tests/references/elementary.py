"""Elementary functions (IEEE 754-2019, clause 9.2) by GNU MPFR: any format, all directions, all flags.

MPFR rounds the functions that it has correctly, toward zero here, with a few bits more than the format. Where
that was not exact, half of the last place stands in for what was cut off: the exact value and its stand-in
lie strictly between the same two numbers of so many bits, and so between the same two boundaries of rounding.
The functions that it lacks are composed with many times the bits, and what they deliver exactly is told
apart.

Special operands are dealt with here, by clause 9.2.1, from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import gmpy2  # type: ignore[import-untyped]

from softfloat_py.environment import Flags
from tests.references.exact_rounding import Destination, Outcome
from tests.references.predicates import is_infinite, is_sign_minus, is_zero

SPARE_BITS = 16
Function = Callable[..., Any]
Reference = Callable[..., Outcome]


def exactly(value: Fraction) -> Any:
    """A dyadic number as MPFR's, with as many bits as it takes."""
    bits = max(value.numerator.bit_length(), 2)
    with gmpy2.context(gmpy2.get_context(), precision=bits):
        return gmpy2.div_2exp(gmpy2.mpfr(value.numerator, bits), value.denominator.bit_length() - 1)


def stand_in(to: Destination, function: Function, *operands: Fraction) -> Fraction:
    """What rounds in the format as MPFR's function of some dyadic numbers does.

    Results too large or too small for MPFR are so for every format: any such number stands in for them.
    """
    precision = to.fmt.precision + SPARE_BITS
    with gmpy2.context(
        precision=precision,
        round=gmpy2.RoundToZero,
        emin=gmpy2.get_emin_min(),
        emax=gmpy2.get_emax_max(),
    ):
        result = function(*map(exactly, operands))
        inexact = result.rc
    if abs(result) >= gmpy2.mpfr(2) ** (2 * to.fmt.emax + 9):
        return Fraction(2) ** (2 * to.fmt.emax + 9) * (1 if result > 0 else -1)
    least = Fraction(2) ** (4 * to.fmt.emin - 4 * precision)
    if abs(result) < exactly(least):
        return -least if gmpy2.is_signed(result) else least
    value = Fraction(int(result.as_integer_ratio()[0]), int(result.as_integer_ratio()[1]))
    if not inexact:
        return value
    _, exponent, _ = result.digits(2)  # 0.1b... times 2^exponent
    half: Fraction = Fraction(2) ** (exponent - precision - 1)
    return value + half if value > 0 else value - half


# -- exponential functions ----------------------------------------------------------------------------------


def _exponential(function: Function) -> Reference:
    def expected(to: Destination, x: int) -> Outcome:
        if is_infinite(to.fmt, x):
            return to.zero(negative=False) if is_sign_minus(to.fmt, x) else to.infinity(negative=False)
        return to.round(stand_in(to, function, to.fmt.decode(x)))

    return expected


def _less_one(function: Function, base: int | None = None) -> Reference:
    """Of b^x - 1, which for whole numbers b and x is computed exactly."""

    def expected(to: Destination, x: int) -> Outcome:
        if is_zero(to.fmt, x):
            return to.zero(is_sign_minus(to.fmt, x))
        if is_infinite(to.fmt, x):
            return to.round(Fraction(-1)) if is_sign_minus(to.fmt, x) else to.infinity(negative=False)
        value = to.fmt.decode(x)
        if base is not None and value.denominator == 1 and abs(value) <= 2 * to.fmt.emax + 64:
            if base == 2 or value > 0:
                return to.round(Fraction(base) ** int(value) - 1)
        return to.round(stand_in(to, function, value))

    return expected


def _power_less_one(base: int) -> Function:
    """base^x - 1, which MPFR lacks, by e^(x ln base) - 1 with many times the bits."""

    def function(x: Any) -> Any:
        with gmpy2.context(gmpy2.get_context(), precision=4 * gmpy2.get_context().precision + 64):
            value = gmpy2.expm1(x * gmpy2.log(gmpy2.mpfr(base)))
        return +value

    return function


# -- logarithms ---------------------------------------------------------------------------------------------


def _logarithm(function: Function) -> Reference:
    def expected(to: Destination, x: int) -> Outcome:
        if is_zero(to.fmt, x):
            return to.infinity(negative=True)[0], Flags.DIVISION_BY_ZERO
        if is_sign_minus(to.fmt, x):
            return to.invalid()
        if is_infinite(to.fmt, x):
            return to.infinity(negative=False)
        value = to.fmt.decode(x)
        return to.zero(negative=False) if value == 1 else to.round(stand_in(to, function, value))

    return expected


def whole_logarithm(value: Fraction, base: int) -> int | None:
    """The logarithm of a positive number where it is a whole number."""
    magnitude, n = max(value, 1 / value), 0
    while magnitude % base == 0:
        magnitude, n = magnitude / base, n + 1
    if magnitude != 1:
        return None
    return n if value >= 1 else -n


def log_of_sum(base: int) -> Function:
    """log(1 + x), where that is no whole number: a quotient of natural logarithms, with so many bits that it
    is told from the logarithm of x.
    """

    def function(x: Any) -> Any:
        exponent = gmpy2.frexp(x)[0]
        with gmpy2.context(gmpy2.get_context()) as wide:
            wide.precision = 4 * wide.precision + max(2 * exponent, 0)
            quotient = gmpy2.log1p(x) / gmpy2.log(base)
        return gmpy2.mpfr(quotient, 0)

    return function


def _logarithm_plus_one(base: int | None) -> Reference:
    function = log_of_sum(base) if base else gmpy2.log1p

    def expected(to: Destination, x: int) -> Outcome:
        if is_zero(to.fmt, x):
            return to.zero(is_sign_minus(to.fmt, x))
        if is_infinite(to.fmt, x):
            return to.invalid() if is_sign_minus(to.fmt, x) else to.infinity(negative=False)
        value = to.fmt.decode(x)
        if value == -1:
            return to.infinity(negative=True)[0], Flags.DIVISION_BY_ZERO
        if value < -1:
            return to.invalid()
        whole = whole_logarithm(1 + value, base) if base else None
        return to.round(stand_in(to, function, value) if whole is None else Fraction(whole))

    return expected


# -- hyperbolic functions -----------------------------------------------------------------------------------


def _sinh(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return to.zero(is_sign_minus(to.fmt, x))
    if is_infinite(to.fmt, x):
        return to.infinity(is_sign_minus(to.fmt, x))
    return to.round(stand_in(to, gmpy2.sinh, to.fmt.decode(x)))


def _cosh(to: Destination, x: int) -> Outcome:
    if is_infinite(to.fmt, x):
        return to.infinity(negative=False)
    return to.round(stand_in(to, gmpy2.cosh, to.fmt.decode(x)))


def _tanh(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return to.zero(is_sign_minus(to.fmt, x))
    if is_infinite(to.fmt, x):
        return to.round(Fraction(-1 if is_sign_minus(to.fmt, x) else 1))
    return to.round(stand_in(to, gmpy2.tanh, to.fmt.decode(x)))


# -- inverse trigonometric functions ------------------------------------------------------------------------


Turn = Callable[[Function], Function]


def in_radians(function: Function) -> Function:
    """The function as it is."""
    return function


def of_pi(function: Function) -> Function:
    """The function divided by pi, with many times the bits: what is next to 1/2, say, is told from it."""

    def divided(*operands: Any) -> Any:
        with gmpy2.context(gmpy2.get_context()) as wide:
            wide.precision = 4 * wide.precision
            angle = function(*operands) / gmpy2.const_pi()
        return gmpy2.mpfr(angle, 0)

    return divided


def _quarters(to: Destination, count: int, negative: bool, turn: Turn) -> Outcome:
    """pi/4 some times, or as many fourths."""
    sign = -1 if negative else 1
    if turn is of_pi:
        return to.round(Fraction(sign * count, 4))
    return to.round(stand_in(to, lambda times: times * gmpy2.atan(gmpy2.mpfr(1)), Fraction(sign * count)))


def _arc_tangent(turn: Turn) -> Reference:
    def expected(to: Destination, x: int) -> Outcome:
        negative = is_sign_minus(to.fmt, x)
        if is_zero(to.fmt, x):
            return to.zero(negative)
        if is_infinite(to.fmt, x):
            return _quarters(to, 2, negative, turn)
        value = to.fmt.decode(x)
        if abs(value) == 1:
            return _quarters(to, 1, negative, turn)
        # what is larger rounds alike: it lies between the same two numbers
        largest = Fraction(2) ** (2 * to.fmt.precision + 8)
        return to.round(stand_in(to, turn(gmpy2.atan), max(-largest, min(value, largest))))

    return expected


def _arc_sine(turn: Turn) -> Reference:
    def expected(to: Destination, x: int) -> Outcome:
        negative = is_sign_minus(to.fmt, x)
        if is_zero(to.fmt, x):
            return to.zero(negative)
        if is_infinite(to.fmt, x) or abs(to.fmt.decode(x)) > 1:
            return to.invalid()
        value = to.fmt.decode(x)
        if abs(value) == 1:
            return _quarters(to, 2, negative, turn)
        return to.round(stand_in(to, turn(gmpy2.asin), value))

    return expected


def _arc_cosine(turn: Turn) -> Reference:
    def expected(to: Destination, x: int) -> Outcome:
        if is_infinite(to.fmt, x) or abs(to.fmt.decode(x)) > 1:
            return to.invalid()
        value = to.fmt.decode(x)
        if value in (-1, 0, 1):
            quarters = 2 - 2 * int(value)
            return _quarters(to, quarters, False, turn) if quarters else to.zero(negative=False)
        # what is nearer to 0 rounds alike
        least = Fraction(1, 2 ** (2 * to.fmt.precision + 8))
        return to.round(stand_in(to, turn(gmpy2.acos), _raised(value, least)))

    return expected


def _angle_of_point(turn: Turn) -> Reference:
    def expected(to: Destination, y: int, x: int) -> Outcome:
        fmt, above, back = to.fmt, is_sign_minus(to.fmt, y), is_sign_minus(to.fmt, x)
        if is_zero(fmt, y) or (is_infinite(fmt, x) and not is_infinite(fmt, y)):
            return _quarters(to, 4, above, turn) if back else to.zero(above)
        if is_infinite(fmt, x):
            return _quarters(to, 3 if back else 1, above, turn)
        if is_infinite(fmt, y) or is_zero(fmt, x):
            return _quarters(to, 2, above, turn)
        of_y, of_x = fmt.decode(y), fmt.decode(x)
        if abs(of_y) == abs(of_x):
            return _quarters(to, 3 if back else 1, above, turn)
        if abs(of_y) > abs(of_x) or back:
            # the result is next to 1/2 or 1, and rounds alike where the smaller coordinate is larger
            least = Fraction(1, 2 ** (2 * fmt.precision + 8))
            of_y, of_x = _raised(of_y, least * abs(of_x)), _raised(of_x, least * abs(of_y))
        return to.round(stand_in(to, turn(gmpy2.atan2), of_y, of_x))

    return expected


def _raised(value: Fraction, least: Fraction) -> Fraction:
    """A value whose magnitude is at least so large."""
    magnitude = max(abs(value), least)
    return magnitude if value > 0 else -magnitude


# -- inverse hyperbolic functions ---------------------------------------------------------------------------


def _inverse_hyperbolic_sine(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return to.zero(is_sign_minus(to.fmt, x))
    if is_infinite(to.fmt, x):
        return to.infinity(is_sign_minus(to.fmt, x))
    return to.round(stand_in(to, gmpy2.asinh, to.fmt.decode(x)))


def _inverse_hyperbolic_cosine(to: Destination, x: int) -> Outcome:
    if is_infinite(to.fmt, x) and not is_sign_minus(to.fmt, x):
        return to.infinity(negative=False)
    if is_infinite(to.fmt, x) or to.fmt.decode(x) < 1:
        return to.invalid()
    value = to.fmt.decode(x)
    return to.zero(negative=False) if value == 1 else to.round(stand_in(to, gmpy2.acosh, value))


def _inverse_hyperbolic_tangent(to: Destination, x: int) -> Outcome:
    if is_zero(to.fmt, x):
        return to.zero(is_sign_minus(to.fmt, x))
    if is_infinite(to.fmt, x) or abs(to.fmt.decode(x)) > 1:
        return to.invalid()
    value = to.fmt.decode(x)
    if abs(value) == 1:
        return to.infinity(value < 0)[0], Flags.DIVISION_BY_ZERO
    return to.round(stand_in(to, gmpy2.atanh, value))


# -- trigonometric functions --------------------------------------------------------------------------------


def _circular(function: Function, at_zero: int | None) -> Reference:
    """A function of radians: 1 at zero, or the zero itself."""

    def expected(to: Destination, x: int) -> Outcome:
        if is_infinite(to.fmt, x):
            return to.invalid()
        value = to.fmt.decode(x)
        if value == 0:
            return to.zero(bool(is_sign_minus(to.fmt, x))) if at_zero is None else to.round(Fraction(at_zero))
        return to.round(stand_in(to, function, value))

    return expected


def times_pi(function: Function) -> Function:
    """A function of pi x, for x up to 1/4 in magnitude: relative errors are not made larger."""

    def of_pi_times(x: Any) -> Any:
        with gmpy2.context(gmpy2.get_context()) as wide:
            wide.precision *= 4
            value = function(x * gmpy2.const_pi())
        return +value

    return of_pi_times


def _half_turns(x: Fraction) -> tuple[int, Fraction]:
    """The whole number of right angles nearest to pi x, modulo 4, and what is beyond, in half turns."""
    whole = round(2 * x)
    return whole % 4, x - Fraction(whole, 2)


def _sine_of_half_turns(ahead: int) -> Reference:
    """The sine of pi x, so many right angles further on."""

    def expected(to: Destination, x: int) -> Outcome:
        if is_infinite(to.fmt, x):
            return to.invalid()
        quadrant, beyond = _half_turns(to.fmt.decode(x))
        quadrant = (quadrant + ahead) % 4
        if beyond == 0 and quadrant % 2 == 0:
            return to.zero(is_sign_minus(to.fmt, x) and not ahead)
        if beyond == 0:
            return to.round(Fraction(1 if quadrant == 1 else -1))
        function = times_pi(gmpy2.cos if quadrant % 2 else gmpy2.sin)
        sign = -1 if quadrant >= 2 else 1
        return to.round(sign * stand_in(to, function, beyond))

    return expected


def _tangent_of_half_turns(to: Destination, x: int) -> Outcome:
    if is_infinite(to.fmt, x):
        return to.invalid()
    quadrant, beyond = _half_turns(to.fmt.decode(x))
    negative = is_sign_minus(to.fmt, x) ^ (quadrant >= 2)
    if beyond == 0 and quadrant % 2 == 0:
        return to.zero(negative)
    if beyond == 0:
        # 1/2 beyond a whole number from 0 downwards: -1/2 is 3 right angles
        return to.infinity(quadrant == 3)[0], Flags.DIVISION_BY_ZERO
    if abs(beyond) == Fraction(1, 4):
        return to.round(4 * beyond * (-1 if quadrant % 2 else 1))
    if quadrant % 2:
        return to.round(-stand_in(to, times_pi(gmpy2.cot), beyond))
    return to.round(stand_in(to, times_pi(gmpy2.tan), beyond))


ELEMENTARY: dict[str, Reference] = {
    "exp": _exponential(gmpy2.exp),
    "exp2": _exponential(gmpy2.exp2),
    "exp10": _exponential(gmpy2.exp10),
    "log": _logarithm(gmpy2.log),
    "log2": _logarithm(gmpy2.log2),
    "log10": _logarithm(gmpy2.log10),
    "asin": _arc_sine(in_radians),
    "asin_pi": _arc_sine(of_pi),
    "acos": _arc_cosine(in_radians),
    "acos_pi": _arc_cosine(of_pi),
    "atan": _arc_tangent(in_radians),
    "atan_pi": _arc_tangent(of_pi),
    "atan2": _angle_of_point(in_radians),
    "atan2_pi": _angle_of_point(of_pi),
    "expm1": _less_one(gmpy2.expm1),
    "exp2m1": _less_one(_power_less_one(2), 2),
    "exp10m1": _less_one(_power_less_one(10), 10),
    "sinh": _sinh,
    "cosh": _cosh,
    "tanh": _tanh,
    "logp1": _logarithm_plus_one(None),
    "log2p1": _logarithm_plus_one(2),
    "log10p1": _logarithm_plus_one(10),
    "asinh": _inverse_hyperbolic_sine,
    "acosh": _inverse_hyperbolic_cosine,
    "atanh": _inverse_hyperbolic_tangent,
    "sin": _circular(gmpy2.sin, None),
    "cos": _circular(gmpy2.cos, 1),
    "tan": _circular(gmpy2.tan, None),
    "sin_pi": _sine_of_half_turns(0),
    "cos_pi": _sine_of_half_turns(1),
    "tan_pi": _tangent_of_half_turns,
}
