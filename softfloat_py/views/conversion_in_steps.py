"""A conversion in steps beside the direct one, as text and HTML."""

from __future__ import annotations

from fractions import Fraction
from html import escape

from softfloat_py.environment import Rounding
from softfloat_py.studies.double_rounding import HALF, Conversion, ConversionInSteps
from softfloat_py.views.layout import columns, counted, table_html
from softfloat_py.views.rounding_words import DIRECTIONS

NEAREST = (Rounding.TIES_TO_EVEN, Rounding.TIES_TO_AWAY)

_HEADINGS = ("", "result", "rounded by, in units of its last place")


def text(conversion: ConversionInSteps) -> str:
    """A line for each step and for the direct way, and sentences on why they differ or not."""
    table = columns([_HEADINGS, *_rows(conversion)], "<<<")
    return "\n".join([_title(conversion), *(f"  {line}" for line in table), *_sentences(conversion)])


def html(conversion: ConversionInSteps) -> str:
    """The same for a notebook."""
    sentences = "".join(f"<p>{escape(sentence)}</p>" for sentence in _sentences(conversion))
    table = table_html(_HEADINGS, _rows(conversion))
    return f"<div><p><b>{escape(_title(conversion))}</b></p>{table}{sentences}</div>"


def _title(conversion: ConversionInSteps) -> str:
    start = conversion.start
    return f"{start} of {start.format.name}, rounded {DIRECTIONS[conversion.rounding]}"


def _rows(conversion: ConversionInSteps) -> list[tuple[str, str, str]]:
    named = [(f"to {step.result.format.name}", step) for step in conversion.steps]
    named.append((f"directly to {conversion.result.format.name}", conversion.direct))
    return [(name, str(step.result), _rounded_by(step)) for name, step in named]


def _rounded_by(step: Conversion) -> str:
    error = step.error
    if error is None:
        return "overflow" if step.flags.overflow else ""
    if error == 0:
        return "exact"
    sign, magnitude = "+" if error > 0 else "-", abs(error)
    if magnitude == HALF:
        return f"{sign}1/2, a tie"
    gap = magnitude - HALF
    if abs(gap) < Fraction(1, 1000):
        return f"{sign}1/2 {'and' if gap > 0 else 'less'} {float(abs(gap)):.2g}"
    return f"{sign}{float(magnitude):.3g}"


def _sentences(conversion: ConversionInSteps) -> list[str]:
    """What the difference is, and why there is one or not."""
    if not conversion.differs:
        return ["The steps and the direct way give the same number.", _why_equal(conversion)]
    side = "above" if conversion.units_apart > 0 else "below"
    apart = counted(abs(conversion.units_apart), "unit")
    name = conversion.result.format.name
    return [
        f"The steps end {apart} in the last place of {name} {side} the direct result.",
        _why_different(conversion),
    ]


def _why_equal(conversion: ConversionInSteps) -> str:
    if sum(step.flags.inexact for step in conversion.steps) < 2:
        return "Fewer than two of the steps rounded anything."
    if conversion.rounding not in NEAREST:
        return "Rounding twice in one direction is as good as once."
    return "That is so for this value; another one may be rounded onto the middle between two numbers."


def _why_different(conversion: ConversionInSteps) -> str:
    before, last = (step.result.format.name for step in conversion.steps[-2:])
    if conversion.makes_a_tie:
        return (
            f"The step to {before} moved the value onto the middle between two numbers of {last}; "
            "the last step then broke a tie that was none."
        )
    return f"A step before the last had rounded away what decides in {last}."
