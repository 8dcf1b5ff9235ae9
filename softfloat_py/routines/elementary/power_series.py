"""The power series of the functions that polynomials are made for.

Odd functions are series of z = x^2, with one x divided away: sin x = x S(z). Source of all of them:
Abramowitz and Stegun, Handbook of Mathematical Functions, 4.1.24, 4.2.1, 4.3.65, 4.3.66, 4.4.42 (numbers from
memory); the tests hold them against mpmath.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache, partial
from math import comb, factorial

from softfloat_py.routines.elementary import reals
from softfloat_py.routines.elementary.series import Series

E = None  # the base of natural logarithms and exponentials, which is no whole number


@cache
def ln_of_base(base: int | None, bits: int) -> int:
    """ln of 2, of 10, or of e."""
    return 1 << bits if base is E else reals.ln(Fraction(base), bits)


@cache
def log2_of_base(base: int | None, bits: int) -> int:
    """log2 of 10, or of e."""
    wide = bits + reals.GUARD
    return reals.fixed(Fraction(ln_of_base(base, wide), ln_of_base(2, wide)), bits)


@cache
def log(base: int | None, value: Fraction, bits: int) -> int:
    """The logarithm of a positive rational number, to base 2, 10 or e."""
    if base is E:
        return reals.ln(value, bits)
    wide = bits + reals.GUARD
    return reals.fixed(Fraction(reals.ln(value, wide), ln_of_base(base, wide)), bits)


@cache
def power_of(constant: Callable[[int], int], exponent: int, bits: int) -> int:
    """A power of a constant less than 4, from its fixed-point value: what a factor loses, all others
    multiply, by 4 each at most.
    """
    wide = bits + reals.GUARD + 2 * exponent
    value = 1 << wide
    for _ in range(exponent):
        value = value * constant(wide) >> wide
    return reals.shortened(value, wide - bits)


def half_pi(bits: int) -> int:
    """pi / 2."""
    return reals.shortened(reals.pi(bits + reals.GUARD), reals.GUARD + 1)


@cache
def reciprocal_of_pi(bits: int) -> int:
    """1 / pi."""
    wide = bits + reals.GUARD
    return reals.fixed(Fraction(1 << wide, reals.pi(wide)), bits)


@cache
def arc_tangent(value: Fraction, of_pi: bool, bits: int) -> int:
    """The arc tangent of a rational number, in radians or divided by pi."""
    if not of_pi:
        return reals.arc_tangent(value, bits)
    wide = bits + reals.GUARD
    return reals.fixed(Fraction(reals.arc_tangent(value, wide), reals.pi(wide)), bits)


@cache
def two_over_pi(bits: int) -> int:
    """2 / pi."""
    wide = bits + reals.GUARD
    return reals.fixed(Fraction(2 << wide, reals.pi(wide)), bits)


def _divided(value: int, divisor: int) -> int:
    return reals.fixed(Fraction(value, divisor), 0)


def _alternating(k: int) -> int:
    return -1 if k % 2 else 1


@cache
def power(base: int | None) -> Series:
    """base^x."""
    ln = partial(ln_of_base, base)
    return Series(f"{base or 'e'}^x", lambda k, bits: _divided(power_of(ln, k, bits), factorial(k)))


@cache
def power_less_one(base: int | None) -> Series:
    """(base^x - 1) / x."""
    ln = partial(ln_of_base, base)
    return Series(
        f"({base or 'e'}^x - 1) / x", lambda k, bits: _divided(power_of(ln, k + 1, bits), factorial(k + 1))
    )


@cache
def logarithm_of_one_and(base: int | None) -> Series:
    """log(1 + u) / u, to a base."""
    return Series(
        f"log(1 + u) / u to base {base or 'e'}",
        lambda k, bits: _alternating(k) * _divided_by_ln(base, k + 1, bits),
    )


@cache
def logarithm_of_one_less(base: int | None) -> Series:
    """-log(1 - u) / u, to a base."""
    return Series(f"-log(1 - u) / u to base {base or 'e'}", lambda k, bits: _divided_by_ln(base, k + 1, bits))


@cache
def _divided_by_ln(base: int | None, divisor: int, bits: int) -> int:
    """1 / (divisor ln base)."""
    wide = 2 * bits + reals.GUARD
    return reals.fixed(Fraction(1 << wide, divisor * ln_of_base(base, wide - bits)), 0)


@cache
def arc_tangent_rest(of_pi: bool) -> Series:
    """(x - atan(x)) / x^3 = 1/3 - x^2/5 + ..., of x^2, or that divided by pi."""

    def coefficient(k: int, bits: int) -> int:
        whole = reciprocal_of_pi(bits + reals.GUARD) if of_pi else 1 << (bits + reals.GUARD)
        return reals.fixed(Fraction(_alternating(k) * whole, (2 * k + 3) << reals.GUARD), 0)

    return Series(f"(x - atan(x)) / x^3{' / pi' if of_pi else ''}, of x^2", coefficient)


SINE_OF_RIGHT_ANGLES = Series(
    "sin(pi/2 x) / x, of x^2",
    lambda k, bits: _divided(_alternating(k) * power_of(half_pi, 2 * k + 1, bits), factorial(2 * k + 1)),
)
COSINE_OF_RIGHT_ANGLES = Series(
    "cos(pi/2 x), of x^2",
    lambda k, bits: _divided(_alternating(k) * power_of(half_pi, 2 * k, bits), factorial(2 * k)),
)


@cache
def sine_of_right_angles_from(place: Fraction) -> Series:
    """sin(pi/2 (place + x)), for places from h to 1 - h.

    From number 1 on a coefficient is the one before times pi/2 / (k + 1) and a tangent, at most 2 / (pi h):
    so it is less than 1 / 2h times that.
    """

    def coefficient(k: int, bits: int) -> int:
        wide = bits + reals.GUARD
        angle = Fraction(half_pi(wide), 1 << wide) * place
        value = reals.cosine(angle, wide) if k % 2 else reals.sine(angle, wide)
        sign = -1 if k % 4 >= 2 else 1
        return reals.fixed(
            Fraction(sign * value * power_of(half_pi, k, wide), factorial(k) << 2 * wide), bits
        )

    return Series(f"sin(pi/2 ({place} + x))", coefficient)


@cache
def _tangent_coefficients_at(place: Fraction, count: int, bits: int) -> tuple[int, ...]:
    """The first coefficients of tan(pi/2 (place + x)).

    The tangent t of right angles has t' = pi/2 (1 + t^2), and so each coefficient follows from those before.
    An error of the first grows with them, which is less than 2^20 times for some hundred of them.
    """
    wide = bits + reals.GUARD
    angle = Fraction(half_pi(wide), 1 << wide) * place
    found = [reals.fixed(Fraction(reals.sine(angle, wide), reals.cosine(angle, wide)), wide)]
    for k in range(count - 1):
        square = sum(found[i] * found[k - i] for i in range(k + 1)) >> wide
        found.append(half_pi(wide) * (square + (1 << wide if k == 0 else 0)) // (k + 1) >> wide)
    return tuple(reals.shortened(value, reals.GUARD) for value in found)


def _tangent_coefficient_at(place: Fraction, k: int, bits: int) -> int:
    return _tangent_coefficients_at(place, 1 << (k + 1).bit_length(), bits)[k]


TANGENT_OF_RIGHT_ANGLES = Series(
    "tan(pi/2 x) / x, of x^2", lambda k, bits: _tangent_coefficient_at(Fraction(0), 2 * k + 1, bits)
)


@cache
def tangent_of_right_angles_from(place: Fraction) -> Series:
    """tan(pi/2 (place + x)), for places from h, 1/8 or less, to 1/2.

    The partial fractions of the tangent, 2/pi times 1 / (n - x) - 1 / (n + x) for all odd n, say what number
    k is: the sum of 1 / (n - place)^(k + 1), with 1 / (n + place)^(k + 1) more or, for an even k, less. So
    number k + 1 is at most twice an odd number k, and not much more than 1 / (k + 1) h times an even one.
    """
    return Series(f"tan(pi/2 ({place} + x))", partial(_tangent_coefficient_at, place))


AREA_SINE = Series(
    "arsinh(x) / x, of x^2",
    lambda k, bits: _divided(_alternating(k) * comb(2 * k, k) << bits, (2 * k + 1) << (2 * k)),
)


@cache
def arc_sine(of_pi: bool) -> Series:
    """asin(x) / x = 1 + x^2/6 + 3 x^4/40 + ..., of x^2, or that divided by pi."""

    def coefficient(k: int, bits: int) -> int:
        whole = reciprocal_of_pi(bits + reals.GUARD) if of_pi else 1 << (bits + reals.GUARD)
        return reals.fixed(Fraction(comb(2 * k, k) * whole, (2 * k + 1) << (2 * k + reals.GUARD)), 0)

    return Series(f"asin(x) / x{' / pi' if of_pi else ''}, of x^2", coefficient)


@cache
def hyperbolic_sine(base: int | None) -> Series:
    """(base^x - base^-x) / (2 x), of x^2."""
    ln = partial(ln_of_base, base)
    return Series(
        f"({base or 'e'}^x - {base or 'e'}^-x) / 2 x, of x^2",
        lambda k, bits: _divided(power_of(ln, 2 * k + 1, bits), factorial(2 * k + 1)),
    )


@cache
def hyperbolic_cosine(base: int | None) -> Series:
    """(base^x + base^-x) / 2, of x^2."""
    ln = partial(ln_of_base, base)
    return Series(
        f"({base or 'e'}^x + {base or 'e'}^-x) / 2, of x^2",
        lambda k, bits: _divided(power_of(ln, 2 * k, bits), factorial(2 * k)),
    )


@cache
def _tangent_coefficient(k: int) -> Fraction:
    """Number k of tanh(x) / x, of x^2: tanh is what 1 - tanh^2 is the slope of."""
    if k == 0:
        return Fraction(1)
    products = (_tangent_coefficient(j) * _tangent_coefficient(k - 1 - j) for j in range(k))
    return -sum(products, Fraction(0)) / (2 * k + 1)


HYPERBOLIC_TANGENT = Series(
    "tanh(x) / x, of x^2", lambda k, bits: reals.fixed(_tangent_coefficient(k) * (1 << bits), 0)
)
