"""How runs are noted: by their records at first, as usages of programs when somebody asks."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from threading import RLock
from types import FrameType
from typing import Any

from softfloat_py.engines import plain
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.number_systems import NumberSystem
from softfloat_py.tally.format_names import told_apart
from softfloat_py.tally.origins import Line, Origin
from softfloat_py.uses import Use

RECORDS_LIMIT = 1 << 12  # different records of a place that are kept before they are turned into counts
# Held while usages are added up, which functions that `carrying` made do from their threads.
_ADDING = RLock()


class Records(dict[tuple[int, ...], int]):
    """How often each record was left by runs of a program that a place in the user's code started.

    `records[record] += 1` notes a run. What they took is worked out when somebody asks, or where there are
    too many different ones. `code` is kept lest its id, which stands for it in `Counts.places`, go to
    another. `host` is the host's value that stood beside an emulated one there last; a constant is always the
    same object.
    """

    def __init__(self, counts: Counts, use: Use, frame: FrameType) -> None:
        super().__init__()
        self.counts, self.use = counts, use
        self.line, self.code = Line.of(frame), frame.f_code
        self.host: Any = None

    def __missing__(self, record: tuple[int, ...]) -> int:
        if len(self) >= RECORDS_LIMIT:
            self.settle()
        return 0

    def settle(self) -> None:
        """Turn the records into a usage."""
        if self:
            self.counts.note_usage(self.use, usage_of(self.use, self), self.line)
            self.counts.keep_records(self.use, self)
            self.clear()


def usage_of(use: Use, records: Mapping[tuple[int, ...], int]) -> Usage:
    """What runs of a use's program did, from the records they left and how often each was left."""
    return plain.compiled(use.program).usage(records)


class Counts:
    """What each program did from each line: its *usage*, how often its stretches ran and which features its
    sites met. Steps follow from that by the program's bill.

    Where each call is to be told from the others, the records of the calls are kept beside it.
    """

    def __init__(self, *, each_call: bool = False) -> None:
        self.each_call = each_call
        self._records: defaultdict[Use, Counter[tuple[int, ...]]] = defaultdict(Counter)
        self._usage: dict[tuple[Use, Line], Usage] = {}
        self._cells: list[tuple[Origin, Entry, int]] | None = None
        # By what ran, the id of the user's code and the place in it. A frame knows its place at once, but
        # counts its lines from the top of a function, which may take longer than an operation.
        self.places: dict[tuple[Use, int, int], Records] = {}
        # Records from others, which may come from any thread at any time, so they are not added to `places`.
        self._absorbed: dict[tuple[Use, Line], Counter[tuple[int, ...]]] = {}

    def records_at(self, use: Use, frame: FrameType) -> Records:
        """Where the records of runs that a frame starts are noted.

        An operator on numbers, where every nanosecond is felt, looks into `places` by itself first.
        """
        place = use, id(frame.f_code), frame.f_lasti
        if place not in self.places:
            self.places[place] = Records(self, use, frame)
        return self.places[place]

    def note_runs(self, use: Use, records: Iterable[tuple[int, ...]], frame: FrameType) -> None:
        """Note runs that a frame started by their records."""
        times = self.records_at(use, frame)
        for record in records:
            times[record] += 1

    def note_usage(self, use: Use, usage: Usage, line: Line) -> None:
        """Note runs whose usage is known."""
        place = use, line
        with _ADDING:
            self._usage[place] = self._usage[place] + usage if place in self._usage else usage
            self._cells = None

    def settle(self) -> None:
        """Turn all noted records into usages."""
        for records in self.places.values():
            records.settle()
        self.places.clear()
        self._settle_absorbed()

    def _settle_absorbed(self) -> None:
        with _ADDING:
            for (use, line), kept in self._absorbed.items():
                self.note_usage(use, usage_of(use, kept), line)
                self.keep_records(use, kept)
            self._absorbed.clear()

    def keep_records(self, use: Use, records: Mapping[tuple[int, ...], int]) -> None:
        """Keep the records of calls beside their usage, if each call is to be told from the others."""
        if self.each_call:
            with _ADDING:
                self._records[use].update(records)

    def absorb_counts(self, other: Counts) -> None:
        """Add what others counted, whose records stay records: to add those takes less time."""
        for (use, line), usage in other._usage.items():
            self.note_usage(use, usage, line)
        for use, kept in other._records.items():
            self.keep_records(use, kept)
        for records in other.places.values():
            self._absorb_records(records.use, records.line, records)
        for (use, line), kept in other._absorbed.items():
            self._absorb_records(use, line, kept)

    def _absorb_records(self, use: Use, line: Line, records: Mapping[tuple[int, ...], int]) -> None:
        with _ADDING:
            kept = self._absorbed.setdefault((use, line), Counter())
            kept.update(records)
            if len(kept) > RECORDS_LIMIT:
                self._settle_absorbed()

    def usages(self) -> dict[tuple[Use, Line], Usage]:
        """What each program did from each line."""
        self.settle()
        return dict(self._usage)

    def records(self) -> dict[Use, Counter[tuple[int, ...]]]:
        """The records that calls left, each with how often it was left; empty unless `each_call`."""
        self.settle()
        return dict(self._records)

    def format_names(self) -> dict[NumberSystem, str]:
        """What the formats of the programs are called here: two of one name are told apart."""
        return told_apart(use.format for use, _ in self.usages())

    def cells(self) -> Sequence[tuple[Origin, Entry, int]]:
        """Every count of steps with where it comes from."""
        cells = None if self.places or self._absorbed else self._cells
        if cells is None:
            names = self.format_names()
            cells = self._cells = [
                (origin, entry, count)
                for (use, line), usage in self.usages().items()
                for origin in [Origin.of(use, line, names)]
                for entry, count in bill_of(use.program).total(usage).items()
                if count
            ]
        return cells
