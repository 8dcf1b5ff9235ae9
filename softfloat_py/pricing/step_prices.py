"""What one counted step costs on a CPU: lowered to the CPU's own steps, each priced by its table."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.native_steps import native_steps


class StepPrice(NamedTuple):
    """Cycles of a counted step, and how many of the CPU's own steps it becomes."""

    cycles: float
    native_steps: int


@cache
def step_price(model: CostModel, kind: str, width: int, feature: int | None) -> StepPrice:
    """The price of a step of a kind, a width in bits and the value of its feature."""
    cycles, count = 0.0, 0
    for entry, times in native_steps(kind, width, feature, model.machine).items():
        cycles += times * model.cycles(entry.kind, entry.width, entry.feature)
        count += times
    return StepPrice(cycles, count)
