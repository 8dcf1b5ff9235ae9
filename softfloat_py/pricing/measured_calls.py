"""The calls that are measured on a board: operands, what must come out, and what they count.

The operands are the typical ones of an operation, as many as are asked for, without those whose result is no
finite number. A program on a board has the same ones in its tables. A checksum says whether it computed what
is computed here: CRC-32, as IEEE 802.3 has it (clause 3.2.9; from memory), over the results' bytes, those of
each with the lowest first.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import islice
from typing import Any

from softfloat_py.engines import plain
from softfloat_py.environment import Rounding
from softfloat_py.integer_form.counting import Usage
from softfloat_py.pricing.typical_operands import typical_operands
from softfloat_py.tally.origins import Line
from softfloat_py.tally.tally import Tally
from softfloat_py.uses import Use

MOST_CALLS = 100  # few need as many: what is measured and what is estimated are the same calls


@dataclass(frozen=True, eq=False)
class MeasuredCalls:
    """Calls of an operation, rounded ties to even: a row of operands, results and a record each."""

    use: Use
    operands: Sequence[tuple[int, ...]]
    results: Sequence[tuple[int, ...]]
    records: Sequence[Any]

    def __len__(self) -> int:
        return len(self.operands)

    @cached_property
    def checksum(self) -> int:
        """The checksum of all results."""
        return zlib.crc32(b"".join(self._bytes()))

    @cached_property
    def usage(self) -> Usage:
        """What the calls count."""
        return plain.compiled(self.use.program).usage(self.records)

    @property
    def tally(self) -> Tally:
        """A tally of the calls, as if the program on the board had started them."""
        tally = Tally()
        tally.note_usage(self.use, self.usage, Line("measure.c", 1))
        return tally

    def _bytes(self) -> Iterator[bytes]:
        widths = self.use.program.result_widths
        for row in self.results:
            for result, width in zip(row, widths, strict=False):
                yield result.to_bytes(result_bytes(width), "little")


def result_bytes(width: int) -> int:
    """The bytes of a result that the checksum is made of."""
    return -(-width // 8)


@lru_cache(maxsize=64)
def measured_calls(use: Use, calls: int) -> MeasuredCalls:
    """The first so many calls of an operation, at most MOST_CALLS; fewer where it has fewer."""
    rows = list(islice(_finite(use), min(calls, MOST_CALLS)))
    operands, results, records = zip(*rows, strict=True)
    return MeasuredCalls(use, operands, results, records)


def _finite(use: Use) -> Iterator[tuple[tuple[int, ...], tuple[int, ...], Any]]:
    """Calls whose results are finite, if they are numbers: operands, results, record."""
    run: Any = plain.compiled(use.program).run
    for operands in typical_operands(use):
        delivered = run(*use.arguments(operands, Rounding.TIES_TO_EVEN))
        results = delivered[: use.operation.results]
        if use.delivered is None or use.delivered.is_finite(results[0]):
            yield operands, results, delivered[-1]
