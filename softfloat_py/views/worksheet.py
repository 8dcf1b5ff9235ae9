"""The significands of one run under each other, place by place, as one would write them on paper.

A row stands where its bits count: in the places that are kept, or in the extra ones below them. The rows are
the recorded steps behind the rounded significand; nothing is worked out again.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.grammar import Operand, Program, Step, Variable
from softfloat_py.teaching.provenance import Provenance
from softfloat_py.teaching.rounded_sum import RoundedSum
from softfloat_py.views.layout import columns

GROUP = 4
MOST_BELOW = 40  # places below the extra ones; the listing of the steps has all


@dataclass(frozen=True, slots=True)
class Row:
    """A significand: `cells` has one character a place, the first one for a carry; `lost` fell off below."""

    phase: str
    sign: str
    name: str
    cells: str
    lost: str = ""


class Worksheet:
    """The rows of one run and its ruler."""

    def __init__(self, program: Program, record: Record, fmt: BinaryFormat, rounding: RoundedSum) -> None:
        self.rounding = rounding
        self.narrowest = min(fmt.precision, *(operand.width for operand in program.operands))
        provenance = Provenance(program, record)
        sum_step = rounding.sum_event.statement
        assert isinstance(sum_step, Step)
        chosen = {id(event) for event in provenance.behind(sum_step.operands[0], self.narrowest)}
        chosen |= {id(rounding.sum_event), id(rounding.event)}
        self.rows: list[Row] = []
        for event in record.events:
            if id(event) in chosen:
                self.rows += self._rows_of(event)

    def lines(self) -> list[str]:
        """The ruler and the rows."""
        ruler = ("", "", "", self._spaced(_ruler(self.rounding)))
        shown = [ruler]
        phase = ""
        for row in self.rows:
            places = self._spaced(row.cells + row.lost) + (" fell off" if row.lost else "")
            shown.append((row.phase if row.phase != phase else "", row.name, row.sign, places))
            phase = row.phase
        return columns(shown, "<<<<")

    def _rows_of(self, event: Event) -> Iterator[Row]:
        step = event.statement
        assert isinstance(step, Step)
        kind, phase = step.kind.name, step.phase
        if kind in ("resize", "move", "shift_left"):
            return  # the same bits in the same places
        if kind in ("add", "subtract"):
            yield from self._sum_rows(event, step)
            return
        lost = ""
        if kind.startswith("shift_right") and event is not self.rounding.event:
            distance = step.immediate or event.values[-1]
            lost = f"{event.values[0]:0{step.operands[0].width}b}"[step.operands[0].width - distance :]
        carry = event is self.rounding.event
        yield Row(phase, "", _result_name(step), self._cells(event.result, step.target.width, carry), lost)

    def _sum_rows(self, event: Event, step: Step) -> Iterator[Row]:
        """Operands by their lowest places, the first one unless it stands just above, and the result."""
        adding = step.kind.name == "add"
        widest = max(operand.width for operand in step.operands)
        first, second = [
            " " + f"{value:0{operand.width}b}".rjust(widest)
            for operand, value in zip(step.operands, event.values, strict=True)
        ]
        if not self.rows or self.rows[-1].cells != first:
            yield Row(step.phase, "", _name(step.operands[0]), first)
        yield Row(step.phase, "+" if adding else "-", _name(step.operands[1]), second)
        yield Row(step.phase, "=", _name(step.target), self._cells(event.result, step.target.width, adding))

    def _cells(self, value: int, width: int, carry: bool) -> str:
        return ("" if carry else " ") + f"{value:0{width}b}"

    def _spaced(self, cells: str) -> str:
        """Cells in groups: the carry, the kept places by fours, the extra places, what is below."""
        kept, width = self.rounding.kept, self.rounding.width
        padded = cells.ljust(1 + width)
        groups = [padded[0] + padded[1 : 1 + GROUP]]
        groups += [padded[i : min(i + GROUP, 1 + kept)] for i in range(1 + GROUP, 1 + kept, GROUP)]
        below = padded[1 + width :].rstrip()
        below = below if len(below) <= MOST_BELOW else below[:MOST_BELOW] + "…"
        extra = [padded[1 + kept : 1 + width], below]
        return "  ".join([" ".join(groups), *extra]).rstrip()


def _name(operand: Operand) -> str:
    """The source's name of a value; none for one that it did not name."""
    return operand.name.replace("_", " ") if isinstance(operand, Variable) and operand.name != "t" else ""


def _result_name(step: Step) -> str:
    """The source's name of a result, or what it is by its kind and phase."""
    if step.kind.name.startswith("shift_right"):
        return _name(step.target) or "shifted right"
    return _name(step.target) or ("significand" if step.phase == "unpack" else "")


def _ruler(rounding: RoundedSum) -> str:
    """The number of the place above each group of kept bits, then a letter above each extra bit."""
    starts = range(1, rounding.kept + 1, GROUP)
    kept = "".join(f"{start:<{GROUP}}" for start in starts)[: rounding.kept]
    return " " + kept + extra_letters(rounding.extra)


def extra_letters(extra: int) -> str:
    """G, R, S: guard (half a unit), round, sticky; without a guard bit, round is half a unit."""
    return "RS" if extra == 2 else "G" + "R" * (extra - 2) + "S"
