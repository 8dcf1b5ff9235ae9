"""Clocks for which no part is sold, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.views.layout import frequency

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate


def range_of_parts_sold(model: CostModel) -> str:
    """The clocks that the table gives for parts sold."""
    return f"{model.clock.lowest_mhz:g} to {model.clock.highest_mhz:g} MHz"


def unsold_clock(estimate: Estimate) -> list[str]:
    """A line for a clock outside the range of parts sold; none for any other."""
    if estimate.is_clock_of_parts_sold:
        return []
    clock, sold = frequency(estimate.clock_hz), range_of_parts_sold(estimate.cpu)
    return [f"the clock of {clock} is outside the range the table gives for parts sold, {sold}"]
