"""Constants and functions of rational numbers as integers: within what is stated of MPFR's."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import gmpy2  # type: ignore[import-untyped]
import pytest

from softfloat_py.routines.elementary import power_series, reals

LARGEST_ERROR = Fraction(1, 2) + Fraction(1, 1 << 20)  # in units of the last place
each_precision = pytest.mark.parametrize("bits", [1, 24, 160, 2000])

VALUES = {
    "ln": (Fraction(2), Fraction(10), Fraction(1), Fraction(1, 3), Fraction(1025, 1024), Fraction(7, 2)),
    "exp": (Fraction(0), Fraction(1, 3), Fraction(-5), Fraction(32), Fraction(-1, 1 << 40)),
    "power_of_two": (Fraction(0), Fraction(1, 256), Fraction(255, 256), Fraction(-32), Fraction(32)),
    "arc_tangent": (Fraction(0), Fraction(1), Fraction(1, 256), Fraction(22, 7), Fraction(1, 1 << 40)),
    "sine": (Fraction(0), Fraction(1, 3), Fraction(-11, 7), Fraction(8)),
    "cosine": (Fraction(0), Fraction(1, 3), Fraction(-11, 7), Fraction(8)),
}
EXACT = {
    "ln": gmpy2.log,
    "exp": gmpy2.exp,
    "power_of_two": gmpy2.exp2,
    "arc_tangent": gmpy2.atan,
    "sine": gmpy2.sin,
    "cosine": gmpy2.cos,
}
CONSTANTS: dict[str, tuple[Callable[[int], int], Callable[[], Any]]] = {
    "pi": (reals.pi, gmpy2.const_pi),
    "half of pi": (power_series.half_pi, lambda: gmpy2.const_pi() / 2),
    "one over pi": (power_series.reciprocal_of_pi, lambda: 1 / gmpy2.const_pi()),
    "two over pi": (power_series.two_over_pi, lambda: 2 / gmpy2.const_pi()),
    "ln of 10": (lambda bits: power_series.ln_of_base(10, bits), lambda: gmpy2.log(10)),
    "log2 of e": (lambda bits: power_series.log2_of_base(power_series.E, bits), lambda: 1 / gmpy2.log(2)),
    "log2 of 10": (lambda bits: power_series.log2_of_base(10, bits), lambda: gmpy2.log2(10)),
}


def error(found: int, exact: Any, bits: int) -> Fraction:
    """How far off a fixed-point number is, in units of its last place."""
    return abs(found - Fraction(*map(int, exact.as_integer_ratio())) * (1 << bits))


@each_precision
@pytest.mark.parametrize("name", EXACT)
def test_function_is_the_nearest_multiple(name: str, bits: int) -> None:
    """A function of a rational number is off by half a unit of the last place, and 2^-20 of it, at most."""
    for value in VALUES[name]:
        with gmpy2.context(precision=bits + 200):
            exact = EXACT[name](gmpy2.mpfr(gmpy2.mpq(value)))

        assert error(getattr(reals, name)(value, bits), exact, bits) <= LARGEST_ERROR, value


@each_precision
@pytest.mark.parametrize("name", CONSTANTS)
def test_constant_is_the_nearest_multiple(name: str, bits: int) -> None:
    """So is a constant."""
    found, exact = CONSTANTS[name]
    with gmpy2.context(precision=bits + 200):
        assert error(found(bits), exact(), bits) <= LARGEST_ERROR
