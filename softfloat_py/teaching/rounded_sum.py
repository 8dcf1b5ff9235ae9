"""The step of a run that rounded: a significand with extra bits, an increment, and the bits that stay.

The extra bits are dropped by a shift. Where a number is rounded to an integer in its encoding, they are
cleared in their places, by a mask; in a tie the bit above them is, since they are clear already.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import If, Operand, Step


@dataclass(frozen=True, slots=True)
class RoundedSum:
    """The addition that rounds: significand with extra bits, increment, and the bits that stay; `in_place` if
    they stay where they are in the encoding.
    """

    significand: int
    width: int
    extra: int
    increment: int
    rounded: int
    sum_event: Event
    event: Event
    in_place: bool = False

    @property
    def kept(self) -> int:
        """How many bits stay."""
        return self.width - self.extra

    @property
    def extra_bits(self) -> str:
        """The bits below the last kept one, before rounding."""
        return f"{self.significand:0{self.width}b}"[self.kept :]

    @property
    def kept_before(self) -> int:
        """The kept bits before rounding."""
        return int(f"{self.significand:0{self.width}b}"[: self.kept], 2)


def find_rounding(record: Record) -> RoundedSum | None:
    """The rounding of a run, which is the step that drops or clears the extra bits of a sum; None without
    one.
    """
    sums: dict[Operand, Event] = {}
    masks: set[Operand] = set()
    arrived: dict[Operand, Operand | None] = {}
    for event in record.events:
        step = event.statement
        if isinstance(step, If):
            for join in step.joins:
                arrived[join.target] = join.if_true if event.result else join.if_false
        if not isinstance(step, Step) or step.phase != "round":
            continue
        if step.kind.name in ("add", "add_modulo"):
            sums[step.target] = event
        elif step.kind.name == "not":
            masks.add(step.target)
        elif sum_event := sums.get(_origin(step.operands[0], arrived)):
            if step.kind.name == "shift_right":
                return _rounded(sum_event, event, step.immediate, in_place=False)
            if step.kind.name == "and" and step.operands[1] in masks:
                return _rounded(sum_event, event, _extra_bits(event), in_place=True)
    return None


def _origin(operand: Operand, arrived: Mapping[Operand, Operand | None]) -> Operand:
    """What came to a value where ways met, or the value itself."""
    while (before := arrived.get(operand)) is not None:
        operand = before
    return operand


def _extra_bits(event: Event) -> int:
    """How many bits a mask clears, or are below the one that it clears in a tie."""
    assert isinstance(event.statement, Step)
    cleared = event.values[1] ^ (1 << event.statement.target.width) - 1
    is_tie = cleared & cleared + 1
    return cleared.bit_length() - 1 if is_tie else cleared.bit_length()


def _rounded(sum_event: Event, event: Event, extra: int, in_place: bool) -> RoundedSum:
    assert isinstance(sum_event.statement, Step)
    significand, increment = sum_event.values
    width = sum_event.statement.operands[0].width
    rounded = event.result >> extra if in_place else event.result
    return RoundedSum(significand, width, extra, increment, rounded, sum_event, event, in_place)
