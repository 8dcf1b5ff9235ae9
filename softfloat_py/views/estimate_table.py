"""Estimates as text, HTML and plain data: cycles, time, where they go, and what an FPU would take."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.views.cpu_table import comparisons
from softfloat_py.views.layout import (
    Section,
    arithmetic,
    columns,
    counted,
    duration,
    frequency,
    grouped,
    sections_html,
    sections_text,
    share,
)

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate

CAUTION = """\
These are estimates for planning, without wait states, caches or interrupts: measure on the target before
relying on them. They are no bound for safety-critical timing, which is the business of the applicable
standard and of qualified people."""

SMALL_SHARE = 0.001  # what is less than this share of the whole is shown together with its like

K = TypeVar("K")


# -- what is called ------------------------------------------------------------------------------------


def text(estimate: Estimate) -> str:
    """One estimate in full, with the caution."""
    return details([estimate])


def details(estimates: Sequence[Estimate]) -> str:
    """Estimates in full, one below the other, with one caution for all."""
    return "\n\n".join([*(sections_text(_heading(e), _sections(e)) for e in estimates), CAUTION])


def html(estimate: Estimate) -> str:
    """One estimate in full for a notebook, with the caution."""
    return sections_html(_heading(estimate), [*_sections(estimate), Section(CAUTION, [])])


def summary_table(estimates: Sequence[Estimate]) -> str:
    """A line an estimate, with one caution for all."""
    return "\n".join([*columns([_SUMMARY_HEADINGS, *map(_summary_row, estimates)], "<>>>>>"), "", CAUTION])


def as_data(estimate: Estimate) -> dict[str, Any]:
    """All of an estimate in lists, dictionaries, texts and numbers, as JSON takes them."""
    return {
        "cpu": estimate.cpu.name,
        "title": estimate.cpu.title,
        "clock_hz": estimate.clock_hz,
        "cycles": estimate.cycles,
        "seconds": estimate.seconds,
        "deadline_seconds": estimate.deadline,
        "deadline_share": estimate.deadline_share,
        "options": sorted(estimate.options),
        "calls": _listed(estimate.calls, ("operation", "format"), "calls"),
        "by_operation": _listed(estimate.by_operation, ("operation", "format"), "cycles"),
        "by_phase": _listed(estimate.by_phase, ("operation", "phase"), "cycles"),
        "by_step": dict(estimate.by_step),
        "by_line": _listed(estimate.by_line, ("file", "line"), "cycles"),
        "around": dict(estimate.around),
        "fpu_cycles": estimate.fpu_cycles,
        "fpu_missing": _listed(estimate.fpu_missing, ("operation", "format"), "calls"),
        "by_calls": _listed(estimate.by_calls, ("operation", "format"), "cycles"),
        "calls_without_figure": _listed(estimate.calls_without_figure, ("operation", "format"), "calls"),
        "each_call": [
            {"operation": operation, "format": fmt} | spread._asdict()
            for (operation, fmt), spread in estimate.each_call.items()
        ],
        "compiled_over_estimate": estimate.cpu.compiled_ratios,
        "compared_with_compiled_code": _compared(estimate),
        "caution": CAUTION,
    }


# -- parts ---------------------------------------------------------------------------------------------


def _heading(estimate: Estimate) -> list[str]:
    model = estimate.cpu
    used = "; ".join(arithmetic(name) for name in sorted(estimate.options))
    time = f"{grouped(estimate.cycles)} cycles, {duration(estimate.seconds)}"
    if estimate.deadline is not None:
        time += (
            f", {share(estimate.seconds, estimate.deadline)} of the deadline of {duration(estimate.deadline)}"
        )
    return [f"{model.title} ({model.name}) at {frequency(estimate.clock_hz)}", f"arithmetic: {used}", time]


def _sections(estimate: Estimate) -> Iterator[Section]:
    yield Section("By operation", _operation_lines(estimate))
    if estimate.each_call:
        yield Section("Cycles of a call, in this run", _each_call_lines(estimate))
    yield Section("By phase", _shares(_named(estimate.by_phase), estimate.cycles))
    yield Section("By step", _shares(_named(estimate.by_step), estimate.cycles))
    yield Section("By source line", _line_lines(estimate))
    if estimate.cpu.arithmetic_library is not None:
        title = f"By calls of {estimate.cpu.arithmetic_library.title}"
        yield Section(title, list(_library_lines(estimate)))
    yield Section("With an FPU", list(_fpu_lines(estimate)))
    yield Section("How far to trust it", list(_trust_lines(estimate)))


def _operation_lines(estimate: Estimate) -> list[str]:
    rows = [("", "calls", "cycles a call", "cycles", "")]
    for key, cycles in _largest_first(estimate.by_operation):
        calls = estimate.calls[key]
        cells = grouped(calls), grouped(cycles / calls), grouped(cycles), share(cycles, estimate.cycles)
        rows.append((" ".join(key), *cells))
    total = sum(estimate.calls.values())
    rows.append(("all", grouped(total), "", grouped(estimate.cycles), ""))
    return columns(rows, "<>>>>")


def _each_call_lines(estimate: Estimate) -> list[str]:
    rows = [(" ".join(key), *map(grouped, spread)) for key, spread in sorted(estimate.each_call.items())]
    lines = columns([("", "lowest", "mean", "highest"), *rows], "<>>>")
    return [*lines, "lowest and highest are those met here, no bounds of what there may be"]


def _library_lines(estimate: Estimate) -> Iterator[str]:
    rows = [("", "calls", "cycles a call", "cycles", "cycles by steps")]
    for key, cycles in _largest_first(estimate.by_calls):
        calls = estimate.calls[key]
        cells = grouped(calls), grouped(cycles / calls), grouped(cycles), grouped(estimate.by_operation[key])
        rows.append((" ".join(key), *cells))
    total = sum(estimate.by_calls.values())
    by_steps = sum(estimate.by_operation[key] for key in estimate.by_calls)
    rows.append(("all these", "", "", grouped(total), grouped(by_steps)))
    yield from columns(rows, "<>>>>")
    yield f"{duration(total / estimate.clock_hz)} by calls, {duration(by_steps / estimate.clock_hz)} by steps"
    for (operation, fmt), calls in sorted(estimate.calls_without_figure.items()):
        yield f"without a figure, and in neither sum: {operation} {fmt}, {counted(calls, 'call')}"


def _line_lines(estimate: Estimate) -> list[str]:
    worth, rest = _worth_a_row(estimate.by_line, estimate.cycles)
    rows = [
        (f"{Path(line.file).name}:{line.number}", grouped(cycles), share(cycles, estimate.cycles), line.text)
        for line, cycles in worth
    ]
    return columns([*rows, *((*row, "") for row in _rest_row(rest, estimate.cycles))], "<>><")


def _fpu_lines(estimate: Estimate) -> Iterator[str]:
    part = estimate.cpu.with_fpu
    if part is None or estimate.fpu_cycles is None:
        yield "no figures for a sibling part with an FPU"
        return
    time = duration(estimate.fpu_cycles / estimate.clock_hz)
    yield f"{part.title}, operands in registers:"
    yield f"{grouped(estimate.fpu_cycles)} cycles, {time} at the same clock"
    if estimate.fpu_cycles and not estimate.fpu_missing:
        yield f"emulation takes {grouped(estimate.cycles / estimate.fpu_cycles)} times as many cycles"
    for (operation, fmt), calls in sorted(estimate.fpu_missing.items()):
        yield f"not done by that FPU, and not in its figure: {operation} {fmt}, {counted(calls, 'call')}"


def _trust_lines(estimate: Estimate) -> Iterator[str]:
    ratios = estimate.cpu.compiled_ratios
    if ratios is None:
        yield "not yet compared with compiled code"
        return
    lowest, highest = ratios
    yield f"compiled code took {lowest:.2f} to {highest:.2f} times the estimate, where the two were compared:"
    yield from comparisons(estimate.cpu)
    notes = (compared.origin.note for compared in estimate.cpu.compared_with_compiled_code)
    yield from dict.fromkeys(note for note in notes if note)


# -- rows ----------------------------------------------------------------------------------------------

_SUMMARY_HEADINGS = ("CPU", "clock", "cycles", "time", "of the deadline", "cycles with an FPU")


def _summary_row(estimate: Estimate) -> tuple[str, ...]:
    return (
        estimate.cpu.name,
        frequency(estimate.clock_hz),
        grouped(estimate.cycles),
        duration(estimate.seconds),
        "-" if estimate.deadline is None else share(estimate.seconds, estimate.deadline),
        "-" if estimate.fpu_cycles is None else grouped(estimate.fpu_cycles),
    )


def _compared(estimate: Estimate) -> list[dict[str, Any]]:
    """The comparisons with compiled code, each a record."""
    return [
        {
            "compiler": compared.compiler,
            "operations": compared.operations,
            "lowest_ratio": compared.lowest_ratio,
            "highest_ratio": compared.highest_ratio,
            "note": compared.origin.note,
        }
        for compared in estimate.cpu.compared_with_compiled_code
    ]


def _named(amounts: Mapping[Any, float]) -> dict[str, float]:
    return {key if isinstance(key, str) else ": ".join(key): amount for key, amount in amounts.items()}


def _shares(amounts: Mapping[str, float], whole: float) -> list[str]:
    worth, rest = _worth_a_row(amounts, whole)
    rows = [(name, grouped(amount), share(amount, whole)) for name, amount in worth]
    return columns([*rows, *_rest_row(rest, whole)], "<>>")


def _worth_a_row(amounts: Mapping[K, float], whole: float) -> tuple[list[tuple[K, float]], list[float]]:
    """Entries in falling order, and the amounts of several too small to have a row of their own."""
    entries = [(key, amount) for key, amount in _largest_first(amounts) if amount]
    small = [amount for _, amount in entries if amount < SMALL_SHARE * whole]
    return (entries[: -len(small)], small) if len(small) > 1 else (entries, [])


def _rest_row(rest: list[float], whole: float) -> list[tuple[str, str, str]]:
    return [(f"{len(rest)} smaller ones", grouped(sum(rest)), share(sum(rest), whole))] if rest else []


def _largest_first(amounts: Mapping[K, float]) -> list[tuple[K, float]]:
    """Entries in falling order of amount, equal ones by key."""
    return sorted(amounts.items(), key=lambda item: (-item[1], item[0]))


def _listed(amounts: Mapping[Any, float], names: Iterable[str], amount_name: str) -> list[dict[str, Any]]:
    """Entries with composed keys as a list of records."""
    return [dict(zip(names, key, strict=True)) | {amount_name: amount} for key, amount in amounts.items()]
