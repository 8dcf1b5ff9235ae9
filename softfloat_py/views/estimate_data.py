"""Estimates as plain data: every figure under its name, as JSON takes it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from softfloat_py.pricing.measured_sets import MeasuredSet
from softfloat_py.pricing.silicon import beside_estimates
from softfloat_py.views.estimate_table import CAUTION
from softfloat_py.views.trust import kernel_ratios

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate


def as_data(estimate: Estimate) -> dict[str, Any]:
    """All of an estimate in lists, dictionaries, texts and numbers, as JSON takes them."""
    return {
        "cpu": estimate.cpu.name,
        "title": estimate.cpu.title,
        "compiler": estimate.cpu.compiled_by.id,
        "compiler_title": estimate.cpu.compiled_by.title,
        "clock_hz": estimate.clock_hz,
        "clock_range_hz": [estimate.cpu.clock.lowest_mhz * 1e6, estimate.cpu.clock.highest_mhz * 1e6],
        "is_clock_of_parts_sold": estimate.is_clock_of_parts_sold,
        "cycles": estimate.cycles,
        "cycles_by_hand": estimate.cycles_by_hand,
        "seconds": estimate.seconds,
        "deadline_seconds": estimate.deadline,
        "deadline_share": estimate.deadline_share,
        "holds_deadline": estimate.holds_deadline,
        "slowest_clock_hz": estimate.slowest_clock_hz,
        "options": sorted(estimate.options),
        "calls": _listed(estimate.calls, ("operation", "format"), "calls"),
        "by_operation": _listed(estimate.by_operation, ("operation", "format"), "cycles"),
        "by_phase": _listed(estimate.by_phase, ("operation", "phase"), "cycles"),
        "by_step": dict(estimate.by_step),
        "by_line": _listed(estimate.by_line, ("file", "line"), "cycles"),
        "around": dict(estimate.around),
        "fpu_cycles": estimate.fpu_cycles,
        "fpu_software_cycles": estimate.fpu_software_cycles,
        "fpu_missing": _listed(estimate.fpu_missing, ("operation", "format"), "calls"),
        "by_calls": _listed(estimate.by_calls, ("operation", "format"), "cycles"),
        "calls_without_figure": _listed(estimate.calls_without_figure, ("operation", "format"), "calls"),
        "each_call": [
            {"operation": operation, "format": fmt} | spread._asdict()
            for (operation, fmt), spread in estimate.each_call.items()
        ],
        "compiled_over_estimate": estimate.cpu.compiled_ratios(elementary=False),
        "compiled_over_estimate_elementary": estimate.cpu.compiled_ratios(elementary=True),
        "compiled_kernels_over_estimate": kernel_ratios(estimate),
        "compared_with_compiled_code": _compared(estimate),
        "measured_on_silicon": [_measured(estimate, each) for each in estimate.cpu.measured_on_silicon],
        "caution": CAUTION,
    }


def _compared(estimate: Estimate) -> list[dict[str, Any]]:
    """The comparisons with compiled code, each a record."""
    return [
        {
            "compiler": compared.compiler,
            "operations": compared.operations,
            "elementary": compared.elementary,
            "only": list(compared.only),
            "kernels": compared.kernels,
            "in_memory": compared.in_memory,
            "lowest_ratio": compared.lowest_ratio,
            "highest_ratio": compared.highest_ratio,
            "note": compared.origin.note,
        }
        for compared in estimate.cpu.compared_with_compiled_code
    ]


def _measured(estimate: Estimate, measured: MeasuredSet) -> dict[str, Any]:
    """A set of measurements, with the cycles of a call, without the call itself, beside those estimated."""
    return {
        "who": measured.who,
        "board": measured.board,
        "compiler": measured.build,
        "date": measured.date,
        "operations": [
            {
                "operation": each.reading.use.operation.name,
                "format": each.reading.use.format.name,
                "measured_cycles": each.measured,
                "estimated_cycles": each.estimated,
            }
            for each in beside_estimates(estimate.cpu, measured)
        ],
    }


def _listed(amounts: Mapping[Any, float], names: Iterable[str], amount_name: str) -> list[dict[str, Any]]:
    """Entries with composed keys as a list of records."""
    return [dict(zip(names, key, strict=True)) | {amount_name: amount} for key, amount in amounts.items()]
