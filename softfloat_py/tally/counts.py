"""How runs are noted: by their records at first, as usages of programs when somebody asks."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from threading import RLock
from types import FrameType
from typing import Any, Protocol

from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.tally.format_names import told_apart
from softfloat_py.tally.work import Line, Origin, Work

RECORDS_LIMIT = 1 << 12  # different records of a place that are kept before they are turned into counts
# Held while usages are added up, which functions that `carrying` made do from their threads.
_ADDING = RLock()


class Runner(Protocol):
    """What runs an operation: what its runs are filed under, and what their records mean."""

    @property
    def work(self) -> Work:
        """What the runs are filed under."""

    def usage(self, records: Mapping[tuple[int, ...], int]) -> Usage:
        """What runs did, from the records they left and how often each was left."""


class Records(dict[tuple[int, ...], int]):
    """How often each record was left by runs of a program that a place in the user's code started.

    `records[record] += 1` notes a run. What they took is worked out when somebody asks, or where there are
    too many different ones. `code` is kept lest its id, which stands for it in `Counts.places`, go to
    another. `host` is the host's value that stood beside an emulated one there last; a constant is always the
    same object.
    """

    def __init__(self, counts: Counts, runner: Runner, frame: FrameType) -> None:
        super().__init__()
        self.counts, self.runner = counts, runner
        self.line, self.code = Line.of(frame), frame.f_code
        self.host: Any = None

    def __missing__(self, record: tuple[int, ...]) -> int:
        if len(self) >= RECORDS_LIMIT:
            self.settle()
        return 0

    def settle(self) -> None:
        """Turn the records into a usage."""
        if self:
            self.counts.note_usage(self.runner.work, self.runner.usage(self), self.line)
            self.counts.keep_records(self.runner, self)
            self.clear()


class Counts:
    """What each program did from each line: its *usage*, how often its stretches ran and which features its
    sites met. Steps follow from that by the program's bill.

    Where each call is to be told from the others, the records of the calls are kept beside it.
    """

    def __init__(self, *, each_call: bool = False) -> None:
        self.each_call = each_call
        self._records: defaultdict[Runner, Counter[tuple[int, ...]]] = defaultdict(Counter)
        self._usage: dict[tuple[Work, Line], Usage] = {}
        self._cells: list[tuple[Origin, Entry, int]] | None = None
        # By what ran, the id of the user's code and the place in it. A frame knows its place at once, but
        # counts its lines from the top of a function, which may take longer than an operation.
        self.places: dict[tuple[Runner, int, int], Records] = {}
        # Records from others, which may come from any thread at any time, so they are not added to `places`.
        self._absorbed: dict[tuple[Runner, Line], Counter[tuple[int, ...]]] = {}

    def records_at(self, runner: Runner, frame: FrameType) -> Records:
        """Where the records of runs that a frame starts are noted.

        An operator on numbers, where every nanosecond is felt, looks into `places` by itself first.
        """
        place = runner, id(frame.f_code), frame.f_lasti
        if place not in self.places:
            self.places[place] = Records(self, runner, frame)
        return self.places[place]

    def note_runs(self, runner: Runner, records: Iterable[tuple[int, ...]], frame: FrameType) -> None:
        """Note runs that a frame started by their records."""
        times = self.records_at(runner, frame)
        for record in records:
            times[record] += 1

    def note_usage(self, work: Work, usage: Usage, line: Line) -> None:
        """Note runs whose usage is known."""
        place = work, line
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
            for (runner, line), kept in self._absorbed.items():
                self.note_usage(runner.work, runner.usage(kept), line)
                self.keep_records(runner, kept)
            self._absorbed.clear()

    def keep_records(self, runner: Runner, records: Mapping[tuple[int, ...], int]) -> None:
        """Keep the records of calls beside their usage, if each call is to be told from the others."""
        if self.each_call:
            with _ADDING:
                self._records[runner].update(records)

    def absorb_counts(self, other: Counts) -> None:
        """Add what others counted, whose records stay records: to add those takes less time."""
        for (work, line), usage in other._usage.items():
            self.note_usage(work, usage, line)
        for runner, kept in other._records.items():
            self.keep_records(runner, kept)
        for records in other.places.values():
            self._absorb_records(records.runner, records.line, records)
        for (runner, line), kept in other._absorbed.items():
            self._absorb_records(runner, line, kept)

    def _absorb_records(self, runner: Runner, line: Line, records: Mapping[tuple[int, ...], int]) -> None:
        with _ADDING:
            kept = self._absorbed.setdefault((runner, line), Counter())
            kept.update(records)
            if len(kept) > RECORDS_LIMIT:
                self._settle_absorbed()

    def usages(self) -> dict[tuple[Work, Line], Usage]:
        """What each program did from each line."""
        self.settle()
        return dict(self._usage)

    def records(self) -> dict[Runner, Counter[tuple[int, ...]]]:
        """The records that calls left, each with how often it was left; empty unless `each_call`."""
        self.settle()
        return dict(self._records)

    def format_names(self) -> dict[BinaryFormat, str]:
        """What the formats of the programs are called here: two of one name are told apart."""
        return told_apart(work.format for work, _ in self.usages())

    def cells(self) -> Sequence[tuple[Origin, Entry, int]]:
        """Every count of steps with where it comes from."""
        cells = None if self.places or self._absorbed else self._cells
        if cells is None:
            names = self.format_names()
            cells = self._cells = [
                (origin, entry, count)
                for (work, line), usage in self.usages().items()
                for origin in [work.origin(line, names)]
                for entry, count in bill_of(work.program).total(usage).items()
                if count
            ]
        return cells
