"""Estimates beside each other: a line a CPU, or a column a CPU with a line an operation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from softfloat_py.views.clocks import range_of_parts_sold
from softfloat_py.views.estimate_table import CAUTION, calls_in_words
from softfloat_py.views.layout import columns, duration, frequency, frequency_from, grouped, indented, share
from softfloat_py.views.remarks import remarks
from softfloat_py.views.trust import COMPARED, code_cell, kinds_among, times_that_miss

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate

_BESIDE_EACH_OTHER = 6  # CPUs that a screen has room for

_NEARLY = "? is held by the estimate, not by the most that compiled code took"
_COMPARED = "+ such operations were compared with code of this compiler; without it, they were not"
_NOT_COMPARED = "none of these was compared with compiled code"
_BEYOND = "! is a clock beyond that of the fastest parts"
_UNSOLD = "a clock outside the range the tables give for parts sold:"
_IN_SOFTWARE = "* with an FPU, some calls stay in software, and are in the figure at their price here:"


# -- what is called ------------------------------------------------------------------------------------


def summary_table(estimates: Sequence[Estimate]) -> str:
    """A line an estimate of one tally, with one caution for all."""
    headings = ("CPU", "code", "clock", "cycles", "time", "of the deadline", "held", "cycles with an FPU", "")
    rows = [headings, *map(_summary_row, estimates)]
    if not _any_deadline(estimates):
        rows = [row[:5] + row[-2:] for row in rows]
    return _with_notes(columns(rows, "<<" + ">" * (len(rows[0]) - 3) + "<"), estimates)


def side_by_side(estimates: Sequence[Estimate]) -> str:
    """A column an estimate of one tally, with a line an operation, and one caution for all."""
    starts = range(0, len(estimates), _BESIDE_EACH_OTHER)
    tables = [_beside_each_other(estimates[start : start + _BESIDE_EACH_OTHER]) for start in starts]
    return _with_notes(["\n\n".join(map("\n".join, tables))], estimates)


# -- parts ---------------------------------------------------------------------------------------------


def _with_notes(table: Sequence[str], estimates: Sequence[Estimate]) -> str:
    noted = [line for each in estimates[:1] for line in remarks(each.tally)]
    above = [*noted, ""] if noted else []
    return "\n".join([*above, *table, "", *_notes(estimates), "", CAUTION])


def _summary_row(estimate: Estimate) -> tuple[str, ...]:
    return (
        estimate.cpu.name,
        code_cell(estimate),
        frequency(estimate.clock_hz),
        grouped(estimate.cycles),
        duration(estimate.seconds),
        _deadline_share(estimate),
        _held(estimate),
        *_with_fpu(estimate),
    )


def _beside_each_other(estimates: Sequence[Estimate]) -> list[str]:
    calls = estimates[0].calls
    most_first = sorted(calls, key=lambda call: (-estimates[0].by_operation.get(call, 0.0), call))
    rows = [
        ("cycles", "calls", *(each.cpu.name for each in estimates)),
        ("code", "", *map(code_cell, estimates)),
    ]
    for call in most_first:
        cells = (grouped(each.by_operation.get(call, 0.0)) for each in estimates)
        rows.append((" ".join(call), grouped(calls[call]), *cells))
    rows.append(("all", grouped(sum(calls.values())), *(grouped(each.cycles) for each in estimates)))
    rows.append(("with an FPU", "", *(" ".join(_with_fpu(each)).rstrip() for each in estimates)))
    rows.append(("", "", *("" for _ in estimates)))
    rows.append(("clock", "", *(frequency(each.clock_hz) for each in estimates)))
    rows.append(("time", "", *(duration(each.seconds) for each in estimates)))
    if _any_deadline(estimates):
        rows.append(("of the deadline", "", *map(_deadline_share, estimates)))
        rows.append(("held", "", *map(_held, estimates)))
    for kind in kinds_among(calls):
        code = "elementary functions" if kind else "code"
        rows.append((f"compiled {code} by estimate", "", *(_ratios(each, kind) for each in estimates)))
    return columns(rows, "<>" + ">" * len(estimates))


def _any_deadline(estimates: Sequence[Estimate]) -> bool:
    return any(each.deadline is not None for each in estimates)


def _deadline_share(estimate: Estimate) -> str:
    return "-" if estimate.deadline is None else share(estimate.seconds, estimate.deadline)


def _held(estimate: Estimate) -> str:
    """Whether the deadline is held; if not, the slowest clock that would hold it."""
    if estimate.slowest_clock_hz is None:
        return "-"
    if estimate.holds_deadline:
        return "yes" if times_that_miss(estimate) is None else "yes ?"
    return f"from {frequency_from(estimate.slowest_clock_hz)}{' !' if estimate.needs_faster_part else ''}"


def _with_fpu(estimate: Estimate) -> tuple[str, str]:
    """Cycles with an FPU, and the mark of those that are partly of software."""
    if estimate.fpu_cycles is None:
        return "-", ""
    return grouped(estimate.fpu_cycles), "*" if estimate.fpu_missing else ""


def _ratios(estimate: Estimate, elementary: bool) -> str:
    ratios = estimate.cpu.compiled_ratios(elementary)
    return "-" if ratios is None else f"{ratios[0]:.2f} to {ratios[1]:.2f}"


def _notes(estimates: Sequence[Estimate]) -> Iterator[str]:
    """What the marks in a table mean, and on which CPUs the clock is one of no part sold."""
    compared = any(code_cell(each).endswith(COMPARED) for each in estimates)
    yield _COMPARED if compared else _NOT_COMPARED
    if any(each.needs_faster_part and not each.holds_deadline for each in estimates):
        yield _BEYOND
    if any(times_that_miss(each) is not None for each in estimates):
        yield _NEARLY
    if unsold := [each.cpu for each in estimates if not each.is_clock_of_parts_sold]:
        yield _UNSOLD
        yield from indented(", ".join(f"{cpu.name} ({range_of_parts_sold(cpu)})" for cpu in unsold))
    missing = _cpus_by_missing_calls(estimates)
    if missing:
        yield _IN_SOFTWARE
        for calls, cpus in missing.items():
            on = "" if len(missing) == 1 else f" ({', '.join(cpus)})"
            yield from indented(calls + on)


def _cpus_by_missing_calls(estimates: Sequence[Estimate]) -> Mapping[str, list[str]]:
    """The CPUs whose sibling leaves the same calls in software, by these calls in words."""
    found: dict[str, list[str]] = {}
    for each in estimates:
        if each.fpu_cycles is not None and each.fpu_missing:
            found.setdefault(calls_in_words(each.fpu_missing), []).append(each.cpu.name)
    return found
