"""What ran, and how many steps of which kind it took. A tally knows no CPU: pricing it comes later, for as
many CPUs as one likes, without running anything again.
"""

from __future__ import annotations

import json
import linecache
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from softfloat_py.errors import TallyFileError
from softfloat_py.integer_form.counting import Entry

if TYPE_CHECKING:
    from softfloat_py.engines.plain import Plain
    from softfloat_py.pricing.cost_model import CostModel
    from softfloat_py.pricing.estimate import Estimate

LAYOUT = "softfloat_py tally 1"
_LOG_LIMIT = 1 << 16


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


class Tally:
    """Calls and steps, by operation, phase, step and line. Tallies can be added, saved and loaded.

    Within the tally, a cell is a count of one `Entry` (phase, kind, width, feature) from one `Origin`.
    """

    def __init__(self) -> None:
        self._calls: Counter[Origin] = Counter()
        self._cells: defaultdict[Origin, Counter[Entry]] = defaultdict(Counter)
        self._log: list[tuple[Work, Plain, tuple[int, ...], str, int]] = []
        self._by_entry: Counter[Entry] | None = None

    # -- noting ------------------------------------------------------------------------------------

    def note_run(self, work: Work, plain: Plain, record: tuple[int, ...], file: str, line: int) -> None:
        """Note one run of the plain engine; what it took is worked out when somebody asks."""
        self._log.append((work, plain, record, file, line))
        if len(self._log) >= _LOG_LIMIT:
            self._settle()

    def note_counts(self, work: Work, calls: int, counts: Mapping[Entry, int], line: Line) -> None:
        """Note runs whose steps are known."""
        origin = Origin(work.operation, work.format, work.options, line)
        self._calls[origin] += calls
        self._cells[origin].update(counts)
        self._by_entry = None

    def _settle(self) -> None:
        """Turn what is logged into counts, all equal records of a line at once."""
        records: defaultdict[tuple[Work, Plain, str, int], Counter[tuple[int, ...]]] = defaultdict(Counter)
        for (work, plain, record, file, line), times in Counter(self._log).items():
            records[work, plain, file, line][record] += times
        self._log.clear()
        for (work, plain, file, line), record_times in records.items():
            self.note_counts(work, record_times.total(), plain.count(record_times), Line(file, line))

    # -- reading -----------------------------------------------------------------------------------

    def cells(self) -> Iterator[tuple[Origin, Entry, int]]:
        """Every count with where it comes from."""
        self._settle()
        for origin, entries in self._cells.items():
            for entry, count in entries.items():
                if count:
                    yield origin, entry, count

    @property
    def steps_by_entry(self) -> Counter[Entry]:
        """Steps by phase, kind, width and feature, all origins together."""
        self._settle()
        if self._by_entry is None:
            self._by_entry = Counter()
            for entries in self._cells.values():
                self._by_entry.update(entries)
        return self._by_entry

    @property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return _summed((((o.operation, o.format), n) for o, n in self.calls_by_origin.items()))

    @property
    def calls_by_origin(self) -> dict[Origin, int]:
        """Calls by operation, format, options and line."""
        self._settle()
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
        for part in (self, other):
            part._settle()
            total._calls.update(part._calls)
            for origin, entries in part._cells.items():
                total._cells[origin].update(entries)
        return total

    # -- pricing -----------------------------------------------------------------------------------

    def estimate(
        self, cpu: str | CostModel, *, clock_hz: float | None = None, deadline: float | None = None
    ) -> Estimate:
        """What this would take on a CPU, given by name or as a cost model.

        `clock_hz` defaults to the model's usual clock; `deadline` is in seconds. Raises UnknownNameError for
        a CPU that has no cost model.
        """
        from softfloat_py.pricing.estimate import estimate

        return estimate(self, cpu, clock_hz=clock_hz, deadline=deadline)

    # -- keeping -----------------------------------------------------------------------------------

    def save(self, path: str | Path) -> None:
        """Write the tally to a JSON file: a list of origins, each with its calls and its steps."""
        self._settle()
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
            steps[Entry(str(phase), str(kind), int(width), None if feature is None else int(feature))] += int(
                count
            )
        self.note_counts(work, int(saved["calls"]), steps, Line(str(saved["file"]), int(saved["line"])))


def _keyed(tally: Tally) -> Iterator[tuple[tuple[Origin, Entry], int]]:
    return (((origin, entry), count) for origin, entry, count in tally.cells())


def _summed(pairs: Any) -> dict[Any, int]:
    total: dict[Any, int] = {}
    for key, count in pairs:
        total[key] = total.get(key, 0) + count
    return total


# The tallies that are counting here and now, the innermost last.
counting_now: ContextVar[tuple[Tally, ...]] = ContextVar("counting_now", default=())


@contextmanager
def counting() -> Iterator[Tally]:
    """Count everything computed inside the block; blocks may be nested, each counts all that is inside it.

    >>> with counting() as tally:
    ...     pass
    >>> tally
    <Tally: 0 calls, 0 steps>
    """
    tally = Tally()
    token = counting_now.set((*counting_now.get(), tally))
    try:
        yield tally
    finally:
        counting_now.reset(token)
