"""What does an elementary function cost, beside a composition of float operations that approximates it?

The compositions are what one writes where there is no such function: reduce the argument, evaluate a
polynomial by Horner's rule, undo the reduction. Choices between two values are not counted, in their favour.

Run by `python examples/function_or_composition.py`, with names of CPUs behind it for others than two.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.polynomial import Chebyshev, Polynomial

import softfloat_py as sf

FORMAT = sf.binary32
CPUS = ("cortex-m0plus", "z80")
SAMPLES = 500


def coefficients(function: Callable[[Any], Any], low: float, high: float, degree: int) -> list[float]:
    """Coefficients of a polynomial near a function on an interval, the highest power's first."""
    near = Chebyshev.interpolate(function, degree, domain=[low, high])
    return [float(c) for c in near.convert(kind=Polynomial).coef[::-1]]


def horner(x: Any, powers: list[float]) -> Any:
    """A polynomial at x: a multiplication and an addition for each coefficient after the first."""
    value = x * powers[0] + powers[1]
    for coefficient in powers[2:]:
        value = value * x + coefficient
    return value


def in_parts(constant: float, *bits: int) -> list[float]:
    """A constant as a sum of parts of so many bits, of which small multiples are exact, and a rest."""
    parts = []
    for count in bits:
        scale = 2.0 ** (count - math.frexp(constant)[1])
        parts.append(math.floor(constant * scale) / scale)
        constant -= parts[-1]
    return [*parts, constant]


EXP = coefficients(np.exp, -0.35, 0.35, 6)
LOG = coefficients(lambda z: np.arctanh(np.sqrt(z)) / np.sqrt(z), 1e-9, 0.1112, 6)
SINE = coefficients(lambda z: np.sin(np.sqrt(z)) / np.sqrt(z), 1e-9, 2.47, 5)
ANGLE = coefficients(lambda z: np.arctan(np.sqrt(z)) / np.sqrt(z), 1e-9, 1.0, 10)
LN_2, PI = in_parts(math.log(2), 12), in_parts(math.pi, 12, 12)


def exp(x: Any) -> Any:
    """e^x = 2^n e^r."""
    n = np.rint(x * (1 / math.log(2)))
    r = (x - n * LN_2[0]) - n * LN_2[1]
    return sf.scale_b(horner(r, EXP), n.astype(np.int32))


def log(x: Any) -> Any:
    """log x = n log 2 + 2 artanh((m - 1) / (m + 1))."""
    m, exponent = np.frexp(x)
    n = sf.convert_from_integer(exponent, FORMAT, width=32)
    s = (m - 1) / (m + 1)
    return n * LN_2[0] + (n * LN_2[1] + (s + s) * horner(s * s, LOG))


def sin(x: Any) -> Any:
    """sin x = +-sin(x - n pi), for |x| up to some hundreds."""
    n = np.rint(x * (1 / math.pi))
    r = ((x - n * PI[0]) - n * PI[1]) - n * PI[2]
    value = r * horner(r * r, SINE)
    return np.where(n.astype(np.int32) % 2 == 1, -value, value)


def atan(x: Any) -> Any:
    """atan x of a positive x, or pi/2 less that of 1/x."""
    is_large = x > 1
    z = np.where(is_large, 1 / x, x)
    value = z * horner(z * z, ANGLE)
    return np.where(is_large, math.pi / 2 - value, value)


CASES: dict[str, tuple[Callable[[Any], Any], float, float]] = {
    "exp": (exp, -10, 10), "log": (log, 0.1, 100), "sin": (sin, -10, 10), "atan": (atan, 0.01, 10),
}  # fmt: skip


def cycles(function: Callable[[Any], Any], x: Any, cpus: list[Any]) -> tuple[Any, list[float]]:
    """What a function gives, and its cycles a call on each CPU."""
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        result = function(x)
    return result, [tally.estimate(cpu).cycles / SAMPLES for cpu in cpus]


def main() -> None:
    """A line for each function and its composition."""
    cpus = [sf.cost_model(name) for name in sys.argv[1:] or CPUS]
    print("cycles a call", *(f"{cpu.name:>15}" for cpu in cpus), "  largest error, units in the last place")
    for name, (composition, low, high) in CASES.items():
        x = FORMAT.array(np.random.default_rng(1).uniform(low, high, SAMPLES).astype(np.float32))
        exact, prices = cycles(getattr(sf, name), x, cpus)
        near, others = cycles(composition, x, cpus)
        error = np.abs((near - exact).to_numpy() / np.spacing(np.abs(exact.to_numpy())))
        for title, row, most in ((name, prices, "0.5"), ("  composed", others, f"{error.max() + 0.5:.0f}")):
            print(f"{title:13}", *(f"{price:15,.0f}" for price in row), f"  {most}")


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
