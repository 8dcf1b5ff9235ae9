"""Public names as a type checker sees them. This program is only checked, never run."""

from __future__ import annotations

from pathlib import Path
from typing import assert_type

import numpy as np
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.pricing.bounds import Bounds
from softfloat_py.pricing.calibration import Calibration
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.estimate import Estimate, Spread

x = sf.binary32(1.5)
assert_type(x, sf.Number)
assert_type(sf.binary32.from_bits(0x3FC00000), sf.Number)
assert_type(sf.binary128.from_text("0.1"), sf.Number)
assert_type(sf.convert_from_decimal_character("0.1", sf.binary32), sf.Number)
assert_type(sf.convert_to_hex_character(x), str)
assert_type(sf.convert_in_steps(x, sf.bfloat16, sf.binary16).differs, bool)
assert_type(x.bits, int)
assert_type(float(x), float)
assert_type(x.format, sf.Format)
assert_type(x + 0.25, sf.Number)
assert_type(0.25 * x, sf.Number)
assert_type(x < 2, bool)

heights = sf.binary32.array([1.5, 2.5])
assert_type(heights, sf.FloatArray)
assert_type(sf.binary32.array_from_bits(np.array([0x3FC00000], np.uint32)), sf.FloatArray)
host: NDArray[np.floating] = heights.to_numpy()

assert_type(sf.fused_multiply_add(x, 2, 0.25), sf.Number)
assert_type(sf.fused_multiply_add(heights, x, 0.25, rounding=sf.Rounding.TOWARD_ZERO), sf.FloatArray)
assert_type(sf.remainder(x, 0.25), sf.Number)
assert_type(sf.augmented_addition(x, 0.25), tuple[sf.Number, sf.Number])
assert_type(sf.augmented_multiplication(heights, 0.25), tuple[sf.FloatArray, sf.FloatArray])
assert_type(sf.scale_b(x, 3), sf.Number)
assert_type(sf.rootn(x, 3), sf.Number)
assert_type(sf.pow(x, 2.5), sf.Number)
assert_type(sf.log_b(x), int)
assert_type(sf.classify(x), sf.FloatClass)
assert_type(sf.convert_to_integer(x, 16, signed=False), int)
assert_type(sf.convert_to_integer_toward_zero(x), int)
assert_type(sf.round_to_integral_toward_zero(heights), sf.FloatArray)

buoy10 = sf.Format("buoy10", exponent_bits=4, precision=6)
assert_type(buoy10, sf.Format)

with sf.environment(rounding=sf.Rounding.TOWARD_POSITIVE, options=sf.COMPLETE) as env:
    assert_type(env.flags, sf.Flags)
    assert_type(env.flags.inexact, bool)

with sf.counting() as tally:
    assert_type(tally, sf.Tally)
assert_type(tally.calls, dict[tuple[str, str], int])
assert_type(tally.steps, dict[tuple[str, int], int])
assert_type(tally + tally, sf.Tally)
assert_type(sf.Tally.load(Path("heights.json")), sf.Tally)

estimate = tally.estimate("cortex-m0plus", clock_hz=48e6)
assert_type(estimate, Estimate)
assert_type(estimate.cycles, float)
assert_type(estimate.seconds, float)
assert_type(estimate.by_operation, dict[tuple[str, str], float])
assert_type(sf.cost_models(), list[str])
assert_type(sf.cost_model("atmega"), CostModel)
assert_type(sf.load_cost_model("buoy.toml"), CostModel)

with sf.counting(each_call=True) as calls:
    assert_type(calls, sf.Tally)
assert_type(calls.estimate("atmega").each_call, dict[tuple[str, str], Spread])
assert_type(sf.bounds("addition", sf.binary32, "atmega", options=sf.LEAN), Bounds)
calibration = sf.calibrate("atmega", [sf.Measurement(tally, 48_000)])
assert_type(calibration, Calibration)
assert_type(calibration.model, CostModel)

spectrum = sf.binary32.complex_array([1.5, 2.5j])
assert_type(spectrum, sf.ComplexArray)
assert_type(spectrum.real, sf.FloatArray)
assert_type(sf.binary32.complex_number(1.5 - 2j).imag, sf.Number)
assert_type(sf.binary32.linspace(0, 1, 5), sf.FloatArray)
