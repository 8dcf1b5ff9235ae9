"""How runs are noted: by their operands at first, as usages of programs when somebody asks."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from threading import RLock
from types import FrameType

from softfloat_py.engines import plain
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.number_systems import NumberSystem
from softfloat_py.tally.format_names import told_apart
from softfloat_py.tally.logs import Log, counter_of
from softfloat_py.tally.origins import Line, Origin
from softfloat_py.uses import Use

# Runs whose operands are kept before they are turned into counts: of one place, and roughly of all places,
# each of which keeps a few at least.
RUNS_LIMIT = 1 << 13
RUNS_OF_ALL = 1 << 17
FEW_RUNS = 1 << 8
# Held while logs become usages and usages are added up, which threads do that `carrying` or a copied context
# made work for a tally. Only an operator's own note needs no lock: a log that there was once stays one.
_ADDING = RLock()


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
        # By what ran, its direction, the id of the user's code and the place in it. A frame knows its place
        # at once, but counts its lines from the top of a function, which may take longer than an operation.
        self.logs: dict[tuple[Use, int, int, int], Log] = {}
        # The log that was last written to from a place. One number, the sum of both, is found soonest; who
        # looks must make sure that the log has the code, the use and the direction in question.
        self.latest: dict[int, Log] = {}
        # Runs from others, which may come from any thread at any time, so they are not added to `logs`.
        self._absorbed: dict[tuple[Use, int, Line], Log] = {}

    def log_at(self, use: Use, direction: int, frame: FrameType) -> Log:
        """Where runs that a frame starts are noted.

        An operator on numbers, where every nanosecond is felt, looks into `latest` by itself first.
        """
        code, at = frame.f_code, frame.f_lasti
        place = use, direction, id(code), at
        log = self.logs.get(place)
        if log is None:  # another thread may be quicker: both are to have the same
            log = self.logs.setdefault(place, Log(use, direction, Line.of(frame), code, self._room()))
        log.host = None  # where logs take turns, the value that stood here last may be in another
        self.latest[id(code) + at] = log
        return log

    def _room(self) -> int:
        """How many runs a new log may keep: fewer where there are many logs, so that memory stays bounded."""
        return min(RUNS_LIMIT, max(FEW_RUNS, RUNS_OF_ALL // (len(self.logs) + 1)))

    def note_runs(self, log: Log, operands: Iterable[int]) -> None:
        """Note runs by their operands, one after the other."""
        log.extend(operands)
        if len(log) >= log.full:
            self.settle_log(log)

    def settle_log(self, log: Log) -> None:
        """Turn what a log has into a usage, and the records of each call if these are kept."""
        with _ADDING:
            operands, counter = log.taken_out(), counter_of(log.use)
            if not operands:
                return
            if self.each_call:
                records = counter.records(operands, log.direction)
                self.note_usage(log.use, usage_of(log.use, records), log.line)
                self.keep_records(log.use, records)
            else:
                self.note_usage(log.use, counter.usage(operands, log.direction), log.line)

    def note_usage(self, use: Use, usage: Usage, line: Line) -> None:
        """Note runs whose usage is known."""
        place = use, line
        with _ADDING:
            self._usage[place] = self._usage[place] + usage if place in self._usage else usage
            self._cells = None

    def settle(self) -> None:
        """Turn all noted runs into usages. The logs stay: another thread may be about to write to one."""
        with _ADDING:
            for log in list(self.logs.values()):
                self.settle_log(log)
            for log in self._absorbed.values():
                self.settle_log(log)
            self._absorbed.clear()

    def keep_records(self, use: Use, records: Mapping[tuple[int, ...], int]) -> None:
        """Keep the records of calls beside their usage, if each call is to be told from the others."""
        if self.each_call:
            with _ADDING:
                self._records[use].update(records)

    def absorb_counts(self, other: Counts) -> None:
        """Add what others counted; their logs stay logs, which takes less time."""
        with _ADDING:
            for (use, line), usage in other._usage.items():
                self.note_usage(use, usage, line)
            for use, kept in other._records.items():
                self.keep_records(use, kept)
            for log in [*other.logs.values(), *other._absorbed.values()]:
                if log:
                    self._absorb_log(log)

    def _absorb_log(self, log: Log) -> None:
        place = log.use, log.direction, log.line
        if place not in self._absorbed:
            self._absorbed[place] = Log(*place, None, RUNS_LIMIT)
        self.note_runs(self._absorbed[place], log)

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

    def origins(self) -> list[tuple[Origin, Use, Usage]]:
        """What each program did, with where it comes from."""
        usages = self.usages()  # asked once: another thread may bring a format meanwhile
        names = told_apart(use.format for use, _ in usages)
        return [(Origin.of(use, line, names), use, usage) for (use, line), usage in usages.items()]

    def cells(self) -> Sequence[tuple[Origin, Entry, int]]:
        """Every count of steps with where it comes from."""
        with _ADDING:
            if self._cells is None or self._absorbed or any(self.logs.values()):
                self._cells = [
                    (origin, entry, count)
                    for origin, use, usage in self.origins()
                    for entry, count in bill_of(use.program).total(usage).items()
                    if count
                ]
            return self._cells
