"""Public names as a type checker sees them. This program is only checked, never run."""

from __future__ import annotations

from pathlib import Path
from typing import assert_type

import numpy as np
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.estimate import Estimate

x = sf.binary32(1.5)
assert_type(x, sf.Number)
assert_type(sf.binary32.from_bits(0x3FC00000), sf.Number)
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
