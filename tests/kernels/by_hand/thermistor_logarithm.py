"""The temperature by a logarithm, by hand: two conversions, three divisions and a cubic for each reading."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def times(x: sf.Number, y: sf.Number) -> sf.Number:
    """A product, with a short name."""
    return sf.multiplication(x, y)


def celsius(reading: int) -> sf.Number:
    """The reading and its complement are integers, each converted; a cube is two products."""
    resistance = sf.division(times(b(10_000.0), real(reading)), real(4095 - reading))
    logarithm = sf.log(resistance)
    cube = times(times(logarithm, logarithm), logarithm)
    linear = sf.addition(b(1.129148e-3), times(b(2.34125e-4), logarithm))
    inverse = sf.addition(linear, times(b(8.76741e-8), cube))
    return sf.subtraction(sf.division(b(1.0), inverse), b(273.15))


def vapour_pressure(t: sf.Number) -> sf.Number:
    """Two products, a sum, a division and an exponential."""
    exponent = sf.division(times(b(17.62), t), sf.addition(b(243.12), t))
    return times(b(6.112), sf.exp(exponent))


def kernel(readings: list[int]) -> Any:
    """The pressures follow from the temperatures."""
    temperatures = [celsius(reading) for reading in readings]
    return temperatures, [vapour_pressure(t) for t in temperatures]
