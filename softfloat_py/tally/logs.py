"""Runs noted by their operands, which takes less time than to count them, and counted many at once.

A log has the runs of one use in one direction that one place in the user's code started. What they did is
worked out when somebody asks, or when the log is full: the plain engine runs them again and leaves a record
of each, or the array engine runs them all at once.
"""

from __future__ import annotations

from array import array
from collections import Counter
from itertools import repeat
from types import CodeType
from typing import TYPE_CHECKING, Any

from softfloat_py.engines import plain
from softfloat_py.integer_form.counting import Usage
from softfloat_py.keeping import kept
from softfloat_py.tally.origins import Line
from softfloat_py.uses import Use

if TYPE_CHECKING:
    from numpy.typing import NDArray

WORD = 64  # bits of the widest operand that an array of Python's holds
WORTH = 1 << 13  # runs of a use after which its array code is worth making
FEW = 128  # runs that the plain engine counts more quickly


class Log(list[int]):
    """Operands of runs, one after the other: `log.extend(operands)` notes a run.

    `full` is the number of operands at which it is to be settled. `code` is kept lest its id, which stands
    for it in `Counts.logs`, go to another. `host` is the host's value that stood beside an emulated one there
    last; a constant is always the same object.
    """

    __slots__ = ("code", "direction", "full", "host", "line", "use")

    def __init__(self, use: Use, direction: int, line: Line, code: CodeType | None, runs: int) -> None:
        super().__init__()
        self.use, self.direction, self.line, self.code = use, direction, line, code
        self.full = runs * use.operation.arity
        self.host: Any = None

    def taken_out(self) -> list[int]:
        """All that is noted, which goes from the log."""
        operands = self[:]
        del self[: len(operands)]  # what another thread adds meanwhile stays
        return operands


class RunCounter:
    """Counts runs of a use: by the plain engine at first, by the array engine once that is worth its code."""

    def __init__(self, use: Use) -> None:
        self.use, self.arity = use, use.operation.arity
        self.runs = 0

    def usage(self, operands: list[int], direction: int) -> Usage:
        """What the runs with these operands, one after the other, did."""
        runs = len(operands) // self.arity
        self.runs += runs
        if runs < FEW or self.runs < WORTH:
            return plain.compiled(self.use.program).usage(self.records(operands, direction))
        from softfloat_py.engines import arrays

        compiled = arrays.compiled(self.use.program)
        usage = compiled.run_aligned(self._arrays(operands), direction, keep_counts=True).usage
        assert usage is not None
        return usage

    def records(self, operands: list[int], direction: int) -> Counter[tuple[int, ...]]:
        """The records of the runs, each with how often it was left."""
        columns: list[Any] = [operands[place :: self.arity] for place in range(self.arity)]
        run: Any = plain.compiled(self.use.program).run
        if self.use.takes_direction:
            columns.append(repeat(direction))
        return Counter(outcome[-1] for outcome in map(run, *columns))

    def _arrays(self, operands: list[int]) -> list[NDArray[Any]]:
        import numpy as np

        from softfloat_py.engines.arrays.words import from_ints, storage_of

        columns = []
        for place, width in enumerate(self.use.widths):
            column = operands[place :: self.arity]
            if width > WORD:
                columns.append(from_ints(column, width))
            else:  # which is quicker than what numpy makes of a list
                words: NDArray[Any] = np.frombuffer(array("Q", column), np.uint64)
                columns.append(words.astype(storage_of(width)))
        return columns


@kept
def counter_of(use: Use) -> RunCounter:
    """What counts the runs of a use."""
    return RunCounter(use)
