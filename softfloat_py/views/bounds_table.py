"""Best, typical and worst cycles of operations, as text, HTML and plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from softfloat_py.views.cpu_table import comparisons
from softfloat_py.views.layout import Section, arithmetic, columns, grouped, sections_html, sections_text

if TYPE_CHECKING:
    from softfloat_py.pricing.bounds import Bounds

CAUTION = """\
These are bounds of estimates, without wait states, caches or interrupts: measure on the target before relying
on them. They are no certified worst-case execution time, which is the business of the standard that applies
(such as IEC 61508 for functional safety, DO-178C for airborne software) and of qualified people."""

_HEADINGS = ("cycles of a call", "best", "typical", "worst")


def text(bounds: Sequence[Bounds]) -> str:
    """Bounds on one CPU with the same options, a line each, with what they mean and the caution."""
    lines = columns([_HEADINGS, *map(_row, bounds)], "<>>>")
    parts = ["\n".join([*_heading(bounds[0]), "", *lines]), sections_text([], _sections(bounds[0])).strip()]
    return "\n\n".join([*parts, CAUTION])


def html(bounds: Sequence[Bounds]) -> str:
    """The same for a notebook."""
    lines = columns([_HEADINGS, *map(_row, bounds)], "<>>>")
    sections = [Section("Bounds", lines), *_sections(bounds[0]), Section(CAUTION, [])]
    return sections_html(_heading(bounds[0]), sections)


def as_data(bounds: Bounds) -> dict[str, Any]:
    """All of a bound in dictionaries, texts and numbers, as JSON takes them."""
    return {
        "cpu": bounds.cpu.name,
        "title": bounds.cpu.title,
        "operation": bounds.operation,
        "format": bounds.work.format.name,
        "parameter": None if bounds.work.parameter is None else bounds.work.parameter.name,
        "options": bounds.work.options.name,
        "best": bounds.best,
        "typical": bounds.typical,
        "worst": bounds.worst,
        "estimated_lowest": bounds.estimated.lowest,
        "estimated_highest": bounds.estimated.highest,
        "compiled_over_estimate": bounds.cpu.compiled_ratios,
        "caution": CAUTION,
    }


def _heading(bounds: Bounds) -> list[str]:
    model = bounds.cpu
    return [f"{model.title} ({model.name})", f"arithmetic: {arithmetic(bounds.work.options.name)}"]


def _row(bounds: Bounds) -> tuple[str, ...]:
    return bounds.name, grouped(bounds.best), grouped(bounds.typical), grouped(bounds.worst)


def _sections(bounds: Bounds) -> list[Section]:
    return [Section("What they mean", _meaning()), Section("How far to trust them", _trust(bounds))]


def _meaning() -> list[str]:
    from softfloat_py.pricing.bounds import EXPONENTS, SAMPLES, SEED

    return [
        "best and worst: over all ways through the integer form, also such as no operands lead to",
        f"typical: the mean of {grouped(SAMPLES)} calls on random normal numbers (seed {SEED}), with exponents from",
        f"-{EXPONENTS} to {EXPONENTS} as far as the format has them, rounded ties to even",
    ]


def _trust(bounds: Bounds) -> list[str]:
    ratios = bounds.cpu.compiled_ratios
    if ratios is None:
        return ["nothing has been measured on this CPU: best and worst are those of estimates, as they are"]
    lowest, highest = ratios
    return [
        f"best is the lowest estimate times {lowest:.2f}, worst the highest times {highest:.2f}: that is how far",
        "compiled code was from estimates where the two were compared; typical is an estimate as it is",
        *comparisons(bounds.cpu),
    ]
