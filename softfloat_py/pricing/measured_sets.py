"""What somebody measured on a board: who, on what, with which compiler, and cycles by operation.

Readings are kept as they were made, in ticks of the board's timer for so many runs of a call; what a function
that does nothing takes is already off. So the figures are those of the body of an operation, without call,
return and passing of operands. Every part checks itself when built, as the parts of a cost model do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from softfloat_py.pricing.figures import refuse
from softfloat_py.pricing.measured_calls import MOST_CALLS, MeasuredCalls, measured_calls
from softfloat_py.uses import Use


@dataclass(frozen=True, slots=True)
class Reading:
    """Ticks of the calls of an operation: their mean, the lowest and the highest, and what they computed."""

    use: Use
    calls: int
    mean: float
    lowest: float
    highest: float
    checksum: int

    def __post_init__(self) -> None:
        refuse("of a reading", self._faults())

    def _faults(self) -> Iterator[str]:
        if self.lowest < 1:
            yield (
                f"lowest must be at least 1 tick, not {self.lowest!r}: an operation takes more than a "
                "function that does nothing; let the timer count faster, or define REPEATS to be more"
            )
        if self.highest < self.lowest:
            yield f"highest must be at least lowest ({self.lowest!r}), not {self.highest!r}"
        elif not self.lowest <= self.mean <= self.highest:
            yield (
                f"mean must lie between lowest ({self.lowest!r}) and highest ({self.highest!r}), "
                f"not be {self.mean!r}"
            )
        if not 1 <= self.calls <= MOST_CALLS:
            yield f"calls must be from 1 to {MOST_CALLS}, not {self.calls!r}"
        elif self.checksum != (computed := self.measured_calls.checksum):
            yield (
                f"checksum must be {computed:#010x}, that of {self.name} on these operands, not "
                f"{self.checksum:#010x}: the board computed something else, so its cycles are not those of "
                "this operation; write the C anew, and see that the compiler is told no unsafe options"
            )

    @property
    def name(self) -> str:
        """The operation and its format, as reports name them."""
        return f"{self.use.operation.name} {self.use.format.name}"

    @property
    def measured_calls(self) -> MeasuredCalls:
        """The calls that it is of."""
        return measured_calls(self.use, self.calls)


@dataclass(frozen=True, slots=True)
class MeasuredSet:
    """The readings that somebody made on a board in one go.

    `cpu` is a cost model, or a core or chip that one is for; `emitted_for` says what the C was written for. A
    tick of `timer` is `cycles_per_tick` cycles, and each reading is of `repeats` runs of a call.
    """

    who: str
    board: str
    cpu: str
    clock_mhz: float
    compiler: str
    compiler_options: str
    date: str
    timer: str
    cycles_per_tick: float
    repeats: int
    emitted_for: str
    readings: tuple[Reading, ...]

    def __post_init__(self) -> None:
        refuse("of measurements", self._faults())

    def _faults(self) -> Iterator[str]:
        if not self.readings:
            yield "operations must be at least one, not []"
        names = [reading.name for reading in self.readings]
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield f"operations must be different ones, and have {name} twice"

    def cycles(self, ticks: float) -> float:
        """The cycles of a call, from the ticks of a reading."""
        return ticks * self.cycles_per_tick / self.repeats

    @property
    def made(self) -> str:
        """On which board, by whom and when."""
        return f"{self.board}, by {self.who}, {self.date}"

    @property
    def build(self) -> str:
        """The compiler with its options."""
        return f"{self.compiler}, {self.compiler_options}"
