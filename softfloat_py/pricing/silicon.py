"""Readings of boards beside what a model estimates for the same calls."""

from __future__ import annotations

from dataclasses import dataclass

from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.measured_sets import MeasuredSet, Reading
from softfloat_py.pricing.program_price import program_price


@dataclass(frozen=True, slots=True)
class OnSilicon:
    """Cycles of the body of an operation, a call on average, and those estimated for it."""

    reading: Reading
    measured: float
    estimated: float

    @property
    def ratio(self) -> float:
        """Measured cycles over estimated ones."""
        return self.measured / self.estimated


def beside_estimates(model: CostModel, measured: MeasuredSet) -> list[OnSilicon]:
    """Each reading of a set beside the model's estimate."""
    return [
        OnSilicon(reading, measured.cycles(reading.mean), _estimated(model, reading))
        for reading in measured.readings
    ]


def _estimated(model: CostModel, reading: Reading) -> float:
    price = program_price(model, reading.use.program)
    cycles = price.total(reading.measured_calls.usage) / reading.calls
    return cycles - model.cycles_of_an_empty_call
