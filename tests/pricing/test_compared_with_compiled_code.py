"""How far compiled code is from estimates: the ratios in the cost models follow from measured cycles.

Measured: integer-only C99 of our own for both operations in binary32 (ties to even, no flags, subnormal
numbers, infinities and NaNs handled), compiled and run in simulators that are exact to the cycle; each result
was compared with a host's. A figure is the mean cycles of a call over 1000 random pairs of operands, from
entry to return, the return included and the caller's call and arguments not. Simulated were a Cortex-M0+
(instructions priced by Arm DDI0484C, Table 3.1), an ATmega328P and an MC68000. Two sources of multiplication
were compiled: one makes its product from 16-bit halves; the other has a 64-bit product, which the compiler or
a routine in C provides.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest

import softfloat_py as sf

PAIRS = 1000
ADDITION, MULTIPLICATION = "addition", "multiplication"

# Mean cycles measured, by cost model, compiler and operations as the model names them; in pairs of -O2 and
# -Os, GCC before Clang, 16-bit halves before the 64-bit product.
MEASURED: dict[tuple[str, str, str], dict[str, list[float]]] = {
    (
        "cortex-m0plus",
        "GCC 12.2, -O2 and -Os",
        "addition, multiplication with 16-bit halves; binary32, lean",
    ): {ADDITION: [112.0, 114.6], MULTIPLICATION: [115.5, 118.1]},
    (
        "cortex-m0plus",
        "Clang 14, -O2 and -Os",
        "addition, multiplication with 16-bit halves; binary32, lean",
    ): {ADDITION: [129.2, 142.1], MULTIPLICATION: [116.2, 137.2]},
    (
        "cortex-m0plus",
        "GCC 12.2 and Clang 14, -O2 and -Os",
        "multiplication with a 64-bit product; binary32, lean",
    ): {MULTIPLICATION: [159.5, 166.1, 174.2, 192.2]},
    (
        "atmega",
        "avr-gcc 5.4, -O2 and -Os",
        "addition; binary32, lean",
    ): {ADDITION: [901.2, 921.1]},
    (
        "atmega",
        "avr-gcc 5.4, -O2 and -Os",
        "multiplication with 16-bit halves or a 64-bit product; binary32, lean",
    ): {MULTIPLICATION: [1214.1, 1220.5, 1037.1, 1032.5]},
    (
        "mc68000",
        "GCC 12, -O2 and -Os",
        "addition; binary32, lean",
    ): {ADDITION: [1010.4, 1018.8]},
    (
        "mc68000",
        "GCC 12, -O2 and -Os",
        "multiplication with 16-bit halves or a 64-bit product; binary32, lean",
    ): {MULTIPLICATION: [2243.3, 2259.6, 2419.9, 2429.7]},
}

STATED = {
    (name, compared.compiler, compared.operations): compared
    for name in sf.cost_models()
    for compared in sf.cost_model(name).compared_with_compiled_code
}


def test_no_comparison_without_measured_cycles() -> None:
    """The comparisons in the cost models are those whose cycles are listed here."""
    assert set(MEASURED) == set(STATED)


@pytest.mark.parametrize("comparison", MEASURED)
def test_ratios_are_measured_by_estimated(comparison: tuple[str, str, str]) -> None:
    """The lowest and highest ratio stated are those of the measured cycles to our estimates of today."""
    cpu = comparison[0]
    ratios = [
        cycles / estimated_cycles(operation, cpu)
        for operation, measured in MEASURED[comparison].items()
        for cycles in measured
    ]
    stated = STATED[comparison]

    assert (min(ratios), max(ratios)) == pytest.approx((stated.lowest_ratio, stated.highest_ratio), rel=0.02)


@cache
def estimated_cycles(operation: str, cpu: str) -> float:
    """Mean cycles of a call by the library's estimate, on operands like the measured ones."""
    return tally_of(operation).estimate(cpu).cycles / PAIRS


@cache
def tally_of(operation: str) -> sf.Tally:
    """What one of the operations counts on the pairs, under the lean options."""
    run: Callable[..., object] = {ADDITION: sf.addition, MULTIPLICATION: sf.multiplication}[operation]
    draw = np.random.default_rng(1)
    left, right = random_operands(draw), random_operands(draw)
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        run(left, right)
    return tally


def random_operands(draw: np.random.Generator) -> sf.FloatArray:
    """Numbers with random sign and significand, and a biased exponent from 127 - 8 to 127 + 7."""
    sign = draw.integers(0, 2, PAIRS)
    exponent = draw.integers(127 - 8, 127 + 8, PAIRS)
    trailing = draw.integers(0, 1 << 23, PAIRS)
    return sf.binary32.array_from_bits((sign << 31 | exponent << 23 | trailing).astype(np.uint32))
