"""Best, typical and worst cycles of operations, as text, HTML and plain data."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from softfloat_py.pricing.bounds import Bounds
from softfloat_py.pricing.cost_model import CompiledCode
from softfloat_py.pricing.typical_operands import EXPONENTS, SAMPLES, SEED
from softfloat_py.views.cpu_table import comparisons
from softfloat_py.views.layout import Section, arithmetic, columns, grouped, sections_html, sections_text
from softfloat_py.views.trust import code_in_words

CAUTION = """\
These are bounds of estimates, without wait states, caches or interrupts: measure on the target before relying
on them. They are no certified worst-case execution time, which is the business of the standard that applies
(such as IEC 61508 for functional safety, DO-178C for airborne software) and of qualified people."""

_HEADINGS = ("cycles of a call", "best", "typical", "worst")


def text(bounds: Sequence[Bounds]) -> str:
    """Bounds on one CPU with the same options, a line each, with what they mean and the caution."""
    return f"{table(bounds)}\n\n{CAUTION}"


def table(bounds: Sequence[Bounds]) -> str:
    """The same without the caution, which then has to follow."""
    heading = [*_heading(bounds[0]), "", *_lines(bounds)]
    return sections_text(heading, _sections(bounds))


def html(bounds: Sequence[Bounds]) -> str:
    """The same for a notebook, with the caution."""
    sections = [Section("Bounds", _lines(bounds)), *_sections(bounds), Section(CAUTION, [])]
    return sections_html(_heading(bounds[0]), sections)


def as_data(bounds: Sequence[Bounds]) -> dict[str, Any]:
    """All of bounds in lists, dictionaries, texts and numbers, as JSON takes them."""
    return {"bounds": [_record(each) for each in bounds], "caution": CAUTION}


def _record(bounds: Bounds) -> dict[str, Any]:
    use = bounds.use
    return {
        "cpu": bounds.cpu.name,
        "compiler": bounds.cpu.compiled_by.id,
        "operation": bounds.operation,
        "format": use.format.name,
        "parameter": None if use.parameter is None else use.parameter.name,
        "options": use.options.name,
        "best": bounds.best,
        "typical": bounds.typical,
        "worst": bounds.worst,
        "lowest_estimate": bounds.estimated.lowest,
        "highest_estimate": bounds.estimated.highest,
        "compiled_over_estimate": bounds.compiled_ratios,
    }


def _lines(bounds: Sequence[Bounds]) -> list[str]:
    return columns([_HEADINGS, *map(_row, bounds)], "<>>>")


def _heading(bounds: Bounds) -> list[str]:
    model = bounds.cpu
    return [
        f"{model.title} ({model.name}), {code_in_words(model)}",
        f"arithmetic: {arithmetic(bounds.use.options.name)}",
    ]


def _row(bounds: Bounds) -> tuple[str, ...]:
    return bounds.name, grouped(bounds.best), grouped(bounds.typical), grouped(bounds.worst)


def _sections(bounds: Sequence[Bounds]) -> list[Section]:
    trust = [line for some in _compared_together(bounds) for line in _trust(some)]
    return [Section("What they mean", _meaning()), Section("How far to trust them", trust)]


def _meaning() -> list[str]:
    return [
        "best and worst: over all ways through the integer form, also such as no operands lead to,",
        "with as many rounds of a loop of variable length (in the remainders) as its counter could hold",
        f"typical: the mean of {grouped(SAMPLES)} calls on random normal numbers (seed {SEED}),",
        f"with exponents from -{EXPONENTS} to {EXPONENTS} where the format has them, rounded ties to even",
    ]


def _compared_together(bounds: Sequence[Bounds]) -> list[list[Bounds]]:
    """The bounds by the comparisons that speak of them: elementary functions after others."""
    together: defaultdict[tuple[bool, tuple[CompiledCode, ...]], list[Bounds]] = defaultdict(list)
    for each in bounds:
        compared = tuple(each.cpu.comparisons_of(each.operation))
        together[each.use.operation.elementary, compared].append(each)
    return [some for _, some in sorted(together.items(), key=lambda item: item[0][0])]


def _trust(some: Sequence[Bounds]) -> list[str]:
    first = some[0]
    elementary, ratios = first.use.operation.elementary, first.compiled_ratios
    compared = first.cpu.comparisons_of(first.operation)
    if ratios is None:
        nothing = "no elementary function" if elementary else "nothing"
        return [
            f"{nothing} has been measured on this CPU: best and worst are those of estimates, as they are"
        ]
    lowest, highest = ratios
    of = "of elementary functions " if elementary else ""
    if any(each.only for each in compared):
        of = f"of {', '.join(dict.fromkeys(each.operation for each in some))} "
    return [
        f"{of}best is the lowest estimate times {lowest:.2f}, worst the highest times {highest:.2f}: so far",
        "was compiled code from estimates where the two were compared; typical is an estimate as it is",
        *comparisons(compared),
    ]
