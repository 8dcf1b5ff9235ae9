"""One estimate as text and HTML: cycles, time, where they go, and what an FPU would take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.views.clocks import unsold_clock
from softfloat_py.views.cpu_table import UNVERIFIED, comparisons, known_share
from softfloat_py.views.layout import (
    Section,
    arithmetic,
    columns,
    counted,
    duration,
    frequency,
    frequency_from,
    grouped,
    indented,
    sections_html,
    sections_text,
    share,
)
from softfloat_py.views.remarks import remarks
from softfloat_py.views.trust import (
    code_in_words,
    comparisons_of_some,
    kernel_comparisons,
    kernel_ratios,
    kernels_in_words,
    kinds_among,
    ratios_in_words,
    silicon_in_words,
    silicon_lines,
    some_in_words,
    times_that_miss,
)

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate

CAUTION = """\
These are estimates for planning, without wait states, caches or interrupts: measure on the target before
relying on them. They are no bound for safety-critical timing, which is the business of the applicable
standard and of qualified people."""

MORE = "All of it: --details on the command line, details() of an estimate in Python."

MOST_ROWS = 6  # of a breakdown in the overview
SMALL_SHARE = 0.001  # what is less than this share of the whole is shown together with its like

K = TypeVar("K")


# -- what is called ------------------------------------------------------------------------------------


def overview(estimate: Estimate) -> str:
    """What decides, on one screen: totals, the largest of each breakdown, the FPU, the trust, the caution."""
    text = sections_text(_heading(estimate), _largest(estimate))
    return f"{text}\n\n{MORE}\n\n{CAUTION}"


def details(estimates: Sequence[Estimate]) -> str:
    """Estimates in full, one below the other, with one caution for all."""
    return "\n\n".join([*(sections_text(_heading(e), _sections(e)) for e in estimates), CAUTION])


def html(estimate: Estimate) -> str:
    """One estimate in full for a notebook, with the caution."""
    return sections_html(_heading(estimate), [*_sections(estimate), Section(CAUTION, [])])


# -- parts ---------------------------------------------------------------------------------------------


def _heading(estimate: Estimate) -> list[str]:
    model = estimate.cpu
    used = "; ".join(arithmetic(name) for name in sorted(estimate.options))
    time = f"{grouped(estimate.cycles)} cycles, {duration(estimate.seconds)}"
    return [
        f"{model.title} ({model.name}) at {frequency(estimate.clock_hz)}, {code_in_words(model)}",
        *unsold_clock(estimate),
        f"arithmetic: {used}",
        *remarks(estimate.tally),
        time + _deadline(estimate),
    ]


def _deadline(estimate: Estimate) -> str:
    """The share of a deadline, and whether it is held; if not, from which clock on."""
    if estimate.deadline is None:
        return ""
    used = share(estimate.seconds, estimate.deadline)
    return f", {used} of the deadline of {duration(estimate.deadline)}: {_held(estimate)}"


def _held(estimate: Estimate) -> str:
    if (most := times_that_miss(estimate)) is not None:
        return f"held, but not by {most:.2f} times the estimate, which compiled code took at the most"
    if estimate.holds_deadline or estimate.slowest_clock_hz is None:
        return "held"
    fastest = frequency(estimate.cpu.clock.highest_mhz * 1e6)
    beyond = f", beyond the {fastest} of the fastest parts" if estimate.needs_faster_part else ""
    return f"missed; held from {frequency_from(estimate.slowest_clock_hz)} up{beyond}"


def _largest(estimate: Estimate) -> Iterator[Section]:
    yield Section("By operation", _operation_lines(estimate, MOST_ROWS))
    yield Section("By source line", _line_lines(estimate, MOST_ROWS))
    yield Section("Largest phases", _shares(_named(estimate.by_phase), estimate.cycles, MOST_ROWS))
    yield Section("With an FPU", list(_fpu_lines(estimate)))
    yield Section("How far to trust it", list(_trust_in_short(estimate)))


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


def _operation_lines(estimate: Estimate, most: int | None = None) -> list[str]:
    rows = [("", "calls", "cycles a call", "cycles", "")]
    entries = _largest_first(estimate.by_operation)
    shown = len(entries) if most is None or len(entries) <= most else most - 1
    for key, cycles in entries[:shown]:
        calls = estimate.calls[key]
        cells = grouped(calls), grouped(cycles / calls), grouped(cycles), share(cycles, estimate.cycles)
        rows.append((" ".join(key), *cells))
    if rest := dict(entries[shown:]):
        calls, cycles = sum(estimate.calls[key] for key in rest), sum(rest.values())
        cells = grouped(calls), "", grouped(cycles), share(cycles, estimate.cycles)
        rows.append((f"{len(rest)} smaller ones", *cells))
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


def _line_lines(estimate: Estimate, most: int | None = None) -> list[str]:
    worth, rest = _worth_a_row(estimate.by_line, estimate.cycles, most)
    rows = [
        (line.place, grouped(cycles), share(cycles, estimate.cycles), line.text) for line, cycles in worth
    ]
    return columns([*rows, *((*row, "") for row in _rest_row(rest, estimate.cycles))], "<>><")


def _fpu_lines(estimate: Estimate) -> Iterator[str]:
    part = estimate.cpu.with_fpu
    if part is None:
        yield "no figures for a sibling part with an FPU"
        return
    yield f"{part.title}, operands in registers:"
    if estimate.fpu_cycles is None:
        yield "its FPU does none of these calls"
        return
    cycles = estimate.fpu_cycles
    times = f"; emulation takes {grouped(estimate.cycles / cycles)} times as many" if cycles else ""
    yield f"{grouped(cycles)} cycles, {duration(cycles / estimate.clock_hz)} at the same clock{times}"
    if estimate.fpu_missing:
        software = grouped(estimate.fpu_software_cycles)
        yield f"{software} of them for what stays in software there, at its price here:"
        yield from indented(calls_in_words(estimate.fpu_missing))


def calls_in_words(calls: Mapping[tuple[str, str], int]) -> str:
    """Calls by operation and format, most first."""
    return ", ".join(f"{grouped(n)} {' '.join(call)}" for call, n in _largest_first(calls))


def _trust_in_short(estimate: Estimate) -> Iterator[str]:
    model = estimate.cpu
    kernels = kernel_ratios(estimate)
    whole = "" if kernels is None else f", whole kernels {kernels[0]:.2f} to {kernels[1]:.2f} times"
    for kind in kinds_among(estimate.calls):
        measured = " where measured" if model.comparisons(kind) else ""
        yield f"{ratios_in_words(model, kind)}{measured}{whole}"
    yield from some_in_words(estimate)
    for measured_set in model.measured_on_silicon:
        yield silicon_in_words(model, measured_set)
    yield f"{known_share(model)} of its figures published or measured, the others {UNVERIFIED}"
    yield from _by_hand(estimate)


def _trust_lines(estimate: Estimate) -> Iterator[str]:
    model, notes = estimate.cpu, []
    for kind in kinds_among(estimate.calls):
        compared = model.comparisons(kind)
        yield f"{ratios_in_words(model, kind)}{', where the two were compared:' if compared else ''}"
        yield from comparisons(compared)
        notes += [each.origin.note for each in compared if each.origin.note]
    yield from some_in_words(estimate)
    yield from comparisons(comparisons_of_some(estimate))
    yield from kernels_in_words(estimate)
    kernels = kernel_comparisons(estimate)
    yield from comparisons(kernels)
    notes += [each.origin.note for each in kernels if each.origin.note]
    yield from dict.fromkeys(notes)
    for measured in model.measured_on_silicon:
        yield from silicon_lines(model, measured)
    yield from _by_hand(estimate)


def _by_hand(estimate: Estimate) -> Iterator[str]:
    """What code takes that no compiler makes, where the CPU's table describes it beside a compiler's."""
    if estimate.cycles_by_hand is not None:
        yield f"scheduled by hand about {grouped(estimate.cycles_by_hand)} cycles"


# -- rows ----------------------------------------------------------------------------------------------


def _named(amounts: Mapping[Any, float]) -> dict[str, float]:
    return {key if isinstance(key, str) else ": ".join(key): amount for key, amount in amounts.items()}


def _shares(amounts: Mapping[str, float], whole: float, most: int | None = None) -> list[str]:
    worth, rest = _worth_a_row(amounts, whole, most)
    rows = [(name, grouped(amount), share(amount, whole)) for name, amount in worth]
    return columns([*rows, *_rest_row(rest, whole)], "<>>")


def _worth_a_row(
    amounts: Mapping[K, float], whole: float, most: int | None = None
) -> tuple[list[tuple[K, float]], list[float]]:
    """Entries in falling order, and the amounts of several that share a row, the small ones at the least.

    With `most`, there are so many rows at the most, that of the small ones included.
    """
    entries = [(key, amount) for key, amount in _largest_first(amounts) if amount]
    shown = sum(amount >= SMALL_SHARE * whole for _, amount in entries)
    if most is not None and len(entries) > most:
        shown = min(shown, most - 1)
    small = [amount for _, amount in entries[shown:]]
    return (entries[:shown], small) if len(small) > 1 else (entries, [])


def _rest_row(rest: list[float], whole: float) -> list[tuple[str, str, str]]:
    return [(f"{len(rest)} smaller ones", grouped(sum(rest)), share(sum(rest), whole))] if rest else []


def _largest_first(amounts: Mapping[K, float]) -> list[tuple[K, float]]:
    """Entries in falling order of amount, equal ones by key."""
    return sorted(amounts.items(), key=lambda item: (-item[1], item[0]))
