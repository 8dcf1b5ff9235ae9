"""The step of a run that rounded: a significand with extra bits, an increment, and the bits that stay."""

from __future__ import annotations

from dataclasses import dataclass

from softfloat_py.engines.stepwise import Event, Record
from softfloat_py.integer_form.grammar import Operand, Step


@dataclass(frozen=True, slots=True)
class RoundedSum:
    """The addition that rounds: significand with extra bits, increment, and the bits that stay."""

    significand: int
    width: int
    extra: int
    increment: int
    rounded: int
    sum_event: Event
    event: Event

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
    """The rounding of a run, which is the shift that drops the extra bits of a sum; None without one."""
    sums: dict[Operand, Event] = {}
    for event in record.events:
        step = event.statement
        if not isinstance(step, Step) or step.phase != "round":
            continue
        if step.kind.name == "add":
            sums[step.target] = event
        elif step.kind.name == "shift_right" and step.operands[0] in sums:
            sum_event = sums[step.operands[0]]
            assert isinstance(sum_event.statement, Step)
            significand, increment = sum_event.values
            width = sum_event.statement.operands[0].width
            return RoundedSum(significand, width, step.immediate, increment, event.result, sum_event, event)
    return None
