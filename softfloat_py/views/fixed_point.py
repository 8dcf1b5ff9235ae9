"""The fixed-point numbers of one run, their points under each other, with what they are worth."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Context, Decimal
from typing import NamedTuple

from softfloat_py.engines.stepwise import Record
from softfloat_py.integer_form.grammar import Step
from softfloat_py.views.layout import columns

GROUP = 4
MOST_PLACES = 48  # after the point; what is cut off is in the listing of the steps
DIGITS = Context(prec=12)


class Row(NamedTuple):
    """A number: the phase that made it, its name, its bits before and after the point, its value."""

    phase: str
    name: str
    whole: str
    fraction: str
    value: str


def fixed_point_lines(record: Record) -> list[str]:
    """A line for each number that the routines of a run say the point of, in the order of execution."""
    shown, phase = [], ""
    for row in _rows(record):
        shown.append((row.phase if row.phase != phase else "", row.name, row.whole, row.fraction, row.value))
        phase = row.phase
    return columns(shown, "<<><<")


def _rows(record: Record) -> Iterator[Row]:
    for event in record.events:
        step = event.statement
        if isinstance(step, Step) and step.target.point is not None:
            yield _row(step, step.target.point, event.result)
        if event.inside is not None:
            yield from _rows(event.inside)


def _row(step: Step, point: int, number: int) -> Row:
    digits = f"{number:0{max(step.target.width, point + 1)}b}"
    whole, fraction = digits[: len(digits) - point], digits[len(digits) - point :]
    shown = fraction[:MOST_PLACES]
    spaced = " ".join(shown[start : start + GROUP] for start in range(0, len(shown), GROUP))
    more = " …" if len(fraction) > MOST_PLACES else ""
    value = DIGITS.divide(Decimal(number), Decimal(2) ** point)
    return Row(step.phase, step.target.name, whole, f". {spaced}{more}", f"= {value.normalize(DIGITS):g}")
