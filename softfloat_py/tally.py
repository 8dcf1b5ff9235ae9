"""What ran, and how many steps of which kind it took. A tally knows no CPU: pricing it comes later, for as
many CPUs as one likes, without running anything again.
"""

from __future__ import annotations

import json
import linecache
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from softfloat_py.errors import TallyFileError
from softfloat_py.integer_form.counting import Entry
from softfloat_py.routines.steps import COUNTED_KINDS

if TYPE_CHECKING:
    from softfloat_py.pricing.cost_model import CostModel
    from softfloat_py.pricing.estimate import Estimate

LAYOUT = "softfloat_py tally 1"
LOG_LIMIT = 1 << 15  # runs kept as they are before they are turned into counts: a few megabytes


class Line(NamedTuple):
    """A line of the user's source."""

    file: str
    number: int

    @property
    def text(self) -> str:
        """The line itself, without indentation; empty where the file cannot be read."""
        return linecache.getline(self.file, self.number).strip()


class Origin(NamedTuple):
    """Where steps come from: an operation in a format, the options it was built with, the user's line."""

    operation: str
    format: str
    options: str
    line: Line


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """An operation in a format with options: what the runs of one program are filed under."""

    operation: str
    format: str
    options: str


class Runner(Protocol):
    """What runs an operation: what its runs are filed under, and what their records mean in steps."""

    @property
    def work(self) -> Work:
        """What the runs are filed under."""

    def count(self, records: Mapping[tuple[int, ...], int]) -> Mapping[Entry, int]:
        """The steps of runs, from the records they left and how often each was left."""


# One run: what ran, the record it left, and the user's file and line.
Run = tuple[Runner, tuple[int, ...], str, int]


class Tally:
    """Calls and steps, by operation, phase, step and line. Tallies can be added, saved and loaded.

    Within the tally, a cell is a count of one `Entry` (phase, kind, width, feature) from one `Origin`.
    """

    def __init__(self) -> None:
        self._calls: Counter[Origin] = Counter()
        self._cells: defaultdict[Origin, Counter[Entry]] = defaultdict(Counter)
        self._by_feature: Counter[tuple[str, int, int | None]] | None = None
        self.log: list[Run] = []

    # -- noting ------------------------------------------------------------------------------------

    def note_runs(self, runs: Iterable[Run]) -> None:
        """Note runs by their records; what they took is worked out when somebody asks.

        An operator on numbers, where every nanosecond is felt, appends to `log` by itself.
        """
        self.log.extend(runs)
        if len(self.log) >= LOG_LIMIT:
            self.settle()

    def note_counts(self, work: Work, calls: int, counts: Mapping[Entry, int], line: Line) -> None:
        """Note runs whose steps are known."""
        origin = Origin(work.operation, work.format, work.options, line)
        self._calls[origin] += calls
        self._cells[origin].update(counts)
        self._by_feature = None

    def settle(self) -> None:
        """Turn what is logged into counts, all equal records of a line at once."""
        records: defaultdict[tuple[Runner, str, int], dict[tuple[int, ...], int]] = defaultdict(dict)
        for (runner, record, file, line), times in Counter(self.log).items():
            records[runner, file, line][record] = times
        self.log.clear()
        for (runner, file, line), times_by_record in records.items():
            calls = sum(times_by_record.values())
            self.note_counts(runner.work, calls, runner.count(times_by_record), Line(file, line))

    def absorb(self, other: Tally) -> None:
        """Add another tally's calls and steps to this one."""
        other.settle()
        self._calls.update(other._calls)
        for origin, entries in other._cells.items():
            self._cells[origin].update(entries)
        self._by_feature = None

    # -- reading -----------------------------------------------------------------------------------

    def cells(self) -> Iterator[tuple[Origin, Entry, int]]:
        """Every count with where it comes from."""
        self.settle()
        for origin, entries in self._cells.items():
            for entry, count in entries.items():
                if count:
                    yield origin, entry, count

    @property
    def steps_by_feature(self) -> Counter[tuple[str, int, int | None]]:
        """Steps by (kind, width, feature), of all origins and phases together: what pricing needs."""
        self.settle()
        if self._by_feature is None:
            self._by_feature = Counter()
            for entries in self._cells.values():
                for entry, count in entries.items():
                    self._by_feature[entry[1:]] += count
        return self._by_feature

    @property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return _summed((((o.operation, o.format), n) for o, n in self.calls_by_origin.items()))

    @property
    def calls_by_origin(self) -> dict[Origin, int]:
        """Calls by operation, format, options and line."""
        self.settle()
        return dict(self._calls)

    @property
    def steps(self) -> dict[tuple[str, int], int]:
        """Steps by (kind, width in bits)."""
        return _summed(((entry.kind, entry.width), n) for _, entry, n in self.cells())

    @property
    def features(self) -> dict[tuple[str, int], dict[int, int]]:
        """For kinds whose cost may depend on an operand, by (kind, width): how often each value occurred.

        The value is the distance of a shift, the set bits of a multiplier, the result of counting zeros.
        """
        histograms: dict[tuple[str, int], dict[int, int]] = {}
        for _, entry, n in self.cells():
            if entry.feature is not None:
                histogram = histograms.setdefault((entry.kind, entry.width), {})
                histogram[entry.feature] = histogram.get(entry.feature, 0) + n
        return histograms

    @property
    def steps_by_phase(self) -> dict[tuple[str, str], int]:
        """Steps by (operation, phase)."""
        return _summed(((origin.operation, entry.phase), n) for origin, entry, n in self.cells())

    @property
    def steps_by_line(self) -> dict[Line, int]:
        """Steps by line of the user's source."""
        return _summed((origin.line, n) for origin, _, n in self.cells())

    @property
    def total_calls(self) -> int:
        """All calls together."""
        return sum(self.calls.values())

    @property
    def total_steps(self) -> int:
        """All steps together."""
        return sum(n for _, _, n in self.cells())

    def __repr__(self) -> str:
        return f"<Tally: {self.total_calls} calls, {self.total_steps} steps>"

    def __str__(self) -> str:
        lines = [f"{self.total_calls} calls, {self.total_steps} steps"]
        lines += [f"  {name} {fmt}: {n}" for (name, fmt), n in sorted(self.calls.items())]
        return "\n".join(lines)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Tally):
            return NotImplemented
        same_calls = self.calls_by_origin == other.calls_by_origin
        return same_calls and Counter(dict(_keyed(self))) == Counter(dict(_keyed(other)))

    __hash__ = None  # type: ignore[assignment]

    def __add__(self, other: Tally) -> Tally:
        """Both tallies' calls and steps together."""
        if not isinstance(other, Tally):
            return NotImplemented
        total = Tally()
        total.absorb(self)
        total.absorb(other)
        return total

    # -- pricing -----------------------------------------------------------------------------------

    def estimate(
        self, cpu: str | CostModel, *, clock_hz: float | None = None, deadline: float | None = None
    ) -> Estimate:
        """What this would take on a CPU, given by name or as a cost model.

        `clock_hz` defaults to the model's usual clock; `deadline` is in seconds. Raises UnknownNameError for
        a CPU that has no cost model, OperandError for what is neither a name nor a cost model, QuantityError
        for a clock or deadline that is no finite number above 0.
        """
        from softfloat_py.pricing.estimate import estimate

        return estimate(self, cpu, clock_hz=clock_hz, deadline=deadline)

    # -- keeping -----------------------------------------------------------------------------------

    def save(self, path: str | Path) -> None:
        """Write the tally to a JSON file: a list of origins, each with its calls and its steps."""
        self.settle()
        origins = [
            {
                "operation": origin.operation,
                "format": origin.format,
                "options": origin.options,
                "file": origin.line.file,
                "line": origin.line.number,
                "calls": calls,
                "steps": [[*entry, count] for entry, count in self._cells[origin].items() if count],
            }
            for origin, calls in self._calls.items()
        ]
        Path(path).write_text(json.dumps({"layout": LAYOUT, "origins": origins}), encoding="utf-8")

    @classmethod
    def load(cls, path: str | Path) -> Tally:
        """Read a tally that `save` wrote; TallyFileError where the file is not one."""
        try:
            content = json.loads(Path(path).read_text(encoding="utf-8"))
            layout = content["layout"]
        except (ValueError, KeyError, TypeError) as error:
            raise TallyFileError(
                f"{path} must be a tally saved by Tally.save, but is not: {error!r}"
            ) from None
        if layout != LAYOUT:
            raise TallyFileError(f"{path} must have the layout {LAYOUT!r}, not {layout!r}")
        tally = cls()
        try:
            for saved in content["origins"]:
                tally._load_origin(saved)
        except (ValueError, KeyError, TypeError) as error:
            raise TallyFileError(f"{path} must list origins as Tally.save does, but has {error!r}") from None
        return tally

    def _load_origin(self, saved: Mapping[str, Any]) -> None:
        work = Work(str(saved["operation"]), str(saved["format"]), str(saved["options"]))
        steps: Counter[Entry] = Counter()
        for phase, kind, width, feature, count in saved["steps"]:
            if kind not in COUNTED_KINDS or type(count) is not int or count < 0:
                raise ValueError(f"{count!r} steps of kind {kind!r}")
            steps[Entry(str(phase), kind, int(width), None if feature is None else int(feature))] += count
        self.note_counts(work, int(saved["calls"]), steps, Line(str(saved["file"]), int(saved["line"])))


def _keyed(tally: Tally) -> Iterator[tuple[tuple[Origin, Entry], int]]:
    return (((origin, entry), count) for origin, entry, count in tally.cells())


def _summed(pairs: Any) -> dict[Any, int]:
    total: dict[Any, int] = {}
    for key, count in pairs:
        total[key] = total.get(key, 0) + count
    return total


# The tally that is counting here and now.
counting_now: ContextVar[Tally | None] = ContextVar("counting_now", default=None)


@contextmanager
def counting() -> Iterator[Tally]:
    """Count everything computed inside the block.

    Blocks may be nested; when the inner one ends, the outer one gets all that it counted.

    >>> with counting() as tally:
    ...     pass
    >>> tally
    <Tally: 0 calls, 0 steps>
    """
    tally, outer = Tally(), counting_now.get()
    token = counting_now.set(tally)
    try:
        yield tally
    finally:
        counting_now.reset(token)
        if outer is not None:
            outer.absorb(tally)
