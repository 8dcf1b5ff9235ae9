"""Polynomials that stand for functions: no further from mpmath's values than each step on the way states."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Any, NamedTuple

import pytest
from mpmath import mp, mpf, workprec  # type: ignore[import-untyped]

from softfloat_py.engines import direct
from softfloat_py.routines.elementary import power_series
from softfloat_py.routines.elementary.fixed_point import horner, horner_of_either_sign
from softfloat_py.routines.elementary.polynomials import polynomial
from softfloat_py.routines.elementary.power_series import E
from softfloat_py.routines.elementary.series import Series, economised

PRECISE = 400  # bits of mpmath's values
BASES = (E, 2, 10)


class Case(NamedTuple):
    """A power series, the function that it is of, and whether signs of its coefficients alternate."""

    series: Series
    function: Callable[[Any], Any]
    alternates: bool = False


def ln(base: int | None) -> Any:
    """The natural logarithm of a base."""
    return mpf(1) if base is E else mp.log(base)


def pi_or_one(of_pi: bool) -> Any:
    """What an angle is divided by."""
    return mp.pi if of_pi else mpf(1)


def at(place: Fraction, x: Any) -> Any:
    """An angle of (place + x) right angles."""
    return mp.pi / 2 * (mpf(place.numerator) / place.denominator + x)


def of_base(base: int | None) -> Iterator[Case]:
    """The series that a base has."""
    yield Case(power_series.power(base), lambda x: mp.exp(x * ln(base)))
    yield Case(power_series.power_less_one(base), lambda x: mp.expm1(x * ln(base)) / x)
    yield Case(power_series.logarithm_of_one_and(base), lambda x: mp.log1p(x) / x / ln(base), True)
    yield Case(power_series.logarithm_of_one_less(base), lambda x: -mp.log1p(-x) / x / ln(base))
    yield Case(power_series.hyperbolic_sine(base), lambda z: mp.sinh(mp.sqrt(z) * ln(base)) / mp.sqrt(z))
    yield Case(power_series.hyperbolic_cosine(base), lambda z: mp.cosh(mp.sqrt(z) * ln(base)))


def of_angles() -> Iterator[Case]:
    """The series of trigonometric and inverse functions."""
    sine, tangent = power_series.SINE_OF_RIGHT_ANGLES, power_series.TANGENT_OF_RIGHT_ANGLES
    yield Case(sine, lambda z: mp.sin(at(Fraction(0), mp.sqrt(z))) / mp.sqrt(z), True)
    yield Case(power_series.COSINE_OF_RIGHT_ANGLES, lambda z: mp.cos(at(Fraction(0), mp.sqrt(z))), True)
    yield Case(tangent, lambda z: mp.tan(at(Fraction(0), mp.sqrt(z))) / mp.sqrt(z))
    yield Case(power_series.HYPERBOLIC_TANGENT, lambda z: mp.tanh(mp.sqrt(z)) / mp.sqrt(z), True)
    yield Case(power_series.AREA_SINE, lambda z: mp.asinh(mp.sqrt(z)) / mp.sqrt(z), True)
    for of_pi in (False, True):
        yield from of_part(of_pi)
    for place in (Fraction(1, 8), Fraction(1, 4), Fraction(31, 64)):
        yield from at_place(place)


def of_part(of_pi: bool) -> Iterator[Case]:
    """The series of inverse functions in radians, or of parts of pi."""
    yield Case(power_series.arc_sine(of_pi), lambda z: mp.asin(mp.sqrt(z)) / mp.sqrt(z) / pi_or_one(of_pi))
    yield Case(
        power_series.arc_tangent_rest(of_pi),
        lambda z: (mp.sqrt(z) - mp.atan(mp.sqrt(z))) / mp.sqrt(z) ** 3 / pi_or_one(of_pi),
        True,
    )


def at_place(place: Fraction) -> Iterator[Case]:
    """The series of what lies behind a place."""
    yield Case(power_series.sine_of_right_angles_from(place), lambda x: mp.sin(at(place, x)))
    yield Case(power_series.tangent_of_right_angles_from(place), lambda x: mp.tan(at(place, x)))


CASES = [*(case for base in BASES for case in of_base(base)), *of_angles()]
each_case = pytest.mark.parametrize("case", CASES, ids=lambda case: case.series.name)
each_size = pytest.mark.parametrize(("below", "bits"), [(4, 17), (5, 41), (8, 130)])


def exact(case: Case, x: Fraction) -> Fraction:
    """The function's value, which is real where a negative argument has an imaginary root too."""
    with workprec(PRECISE):
        value = mp.re(case.function(mpf(x.numerator) / x.denominator))
        return Fraction(int(mp.nint(mp.ldexp(value, PRECISE))), 1 << PRECISE)


def points(below: int, bits: int) -> Iterator[int]:
    """Arguments from above 0 to 2^-below, in units of 2^-bits: both ends, and some between."""
    end = 1 << (bits - below)
    yield from (1, end // 64, end // 3, end // 2, end * 2 // 3, end - 2, end - 1)


@each_size
@each_case
def test_polynomial_is_as_near_as_it_states(case: Case, below: int, bits: int) -> None:
    """An economised polynomial is within its error of the function, which is as small as was asked for."""
    for signs in ((1,), (1, -1)):
        near = economised(case.series, below, bits, both_sides=len(signs) == 2)
        assert near.error <= Fraction(1, 1 << bits)
        for sign in signs:
            for point in points(below, 64):
                x = Fraction(sign * point, 1 << 64)
                value = sum(c * x**k for k, c in enumerate(near.coefficients))

                assert abs(value - exact(case, x)) <= near.error, float(x)


@each_size
@each_case
def test_coefficients_fall(case: Case, below: int, bits: int) -> None:
    """From number 1 on no coefficient is larger than 2^(below - 1) times the one before, as is asked."""
    sizes = [abs(case.series.coefficient(k, 2 * bits)) for k in range(1, 20)]
    assert all(later <= earlier << (below - 1) for earlier, later in pairwise(sizes))


@each_size
@each_case
def test_value_in_fixed_point_is_as_near_as_it_states(case: Case, below: int, bits: int) -> None:
    """The value by Horner's method is within the stated error, in units of its last place."""
    argument_bits = bits + 3
    series = polynomial(case.series, below, argument_bits, bits)
    for point in points(below, argument_bits):
        operands = {"r": (point, argument_bits - below)}
        (found,), _ = direct.run(horner, operands, {"series": series})

        value = exact(case, Fraction(point, 1 << argument_bits))
        assert abs(found - value * (1 << bits)) <= series.error, point


@each_size
@pytest.mark.parametrize("negative", [0, 1])
@pytest.mark.parametrize("base", BASES)
def test_value_for_either_sign(base: int | None, negative: int, below: int, bits: int) -> None:
    """A polynomial of alternating signs gives the function of r, and of -r where that is asked for."""
    case = next(case for case in of_base(base) if case.alternates)
    series = polynomial(case.series, below, bits, bits, both_sides=True)
    for point in points(below, bits):
        operands = {"r": (point, bits - below), "negative": (negative, 1)}
        (found,), _ = direct.run(horner_of_either_sign, operands, {"series": series})

        value = exact(case, Fraction(-point if negative else point, 1 << bits))
        assert abs(found - value * (1 << bits)) <= series.error, point
