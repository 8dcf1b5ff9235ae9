"""What ran, and how many steps of which kind it took. A tally knows no CPU: pricing it comes later, for as
many CPUs as one likes, without running anything again.
"""

from __future__ import annotations

import linecache
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from softfloat_py.format_names import told_apart
from softfloat_py.formats import Format
from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.operations import Operation, operation_named, program_of
from softfloat_py.options import Options

if TYPE_CHECKING:
    from softfloat_py.pricing.cost_model import CostModel
    from softfloat_py.pricing.estimate import Estimate

RECORDS_LIMIT = 1 << 12  # different records of a place that are kept before they are turned into counts


class Line(NamedTuple):
    """A line of the user's source."""

    file: str
    number: int

    @classmethod
    def of(cls, frame: FrameType) -> Line:
        """The line that a frame is at."""
        return cls(frame.f_code.co_filename, frame.f_lineno)

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
    """What the runs of one program are filed under: an operation in a format with options.

    `parameter` is a target format or an integer format. There is one of each (`work_of`), so that it is found
    by its identity: to compare options field by field takes long.
    """

    operation: Operation
    format: Format
    options: Options
    parameter: Any = None

    @property
    def program(self) -> Program:
        """The program that ran."""
        return program_of(self.operation, self.format, self.options, self.parameter)

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy, or what another process reads, is again the one of its kind."""
        return _work_named, (self.operation.name, self.format, self.options, self.parameter)

    def origin(self, line: Line, names: Mapping[Format, str]) -> Origin:
        """Its runs from a line, as reports name them, with the names that formats have there."""
        return Origin(self.operation.name, names[self.format], self.options.name, line)


@cache
def work_of(operation: Operation, fmt: Format, options: Options, parameter: Any = None) -> Work:
    """The one `Work` of an operation in a format with options."""
    return Work(operation, fmt, options, parameter)


def _work_named(name: str, fmt: Format, options: Options, parameter: Any) -> Work:
    return work_of(operation_named(name), fmt, options, parameter)


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
    too many different ones. `code` is kept lest its id, which stands for it in `Tally.places`, go to another.
    """

    def __init__(self, tally: Tally, runner: Runner, frame: FrameType) -> None:
        super().__init__()
        self.tally, self.runner = tally, runner
        self.line, self.code = Line.of(frame), frame.f_code

    def __missing__(self, record: tuple[int, ...]) -> int:
        if len(self) >= RECORDS_LIMIT:
            self.settle()
        return 0

    def settle(self) -> None:
        """Turn the records into a usage of the tally."""
        if self:
            self.tally.note_usage(self.runner.work, self.runner.usage(self), self.line)
            self.tally.keep_records(self.runner, self)
            self.clear()


class Tally:
    """Calls and steps, by operation, phase, step and line. Tallies can be added, saved and loaded.

    What is kept is the *usage* of each program from each line: how often its stretches ran, and which
    features its sites met. Steps follow from that by the program's bill. Where the tally is to tell each call
    from the others, the records of the calls are kept beside it.
    """

    def __init__(self, *, each_call: bool = False) -> None:
        self.each_call = each_call
        self._records: defaultdict[Runner, Counter[tuple[int, ...]]] = defaultdict(Counter)
        self._usage: dict[tuple[Work, Line], Usage] = {}
        self._cells: list[tuple[Origin, Entry, int]] | None = None
        # By what ran, the id of the user's code and the place in it. A frame knows its place at once, but
        # counts its lines from the top of a function, which may take longer than an operation.
        self.places: dict[tuple[Runner, int, int], Records] = {}

    # -- noting ------------------------------------------------------------------------------------

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
        self._usage[place] = self._usage[place] + usage if place in self._usage else usage
        self._cells = None

    def settle(self) -> None:
        """Turn all noted records into usages."""
        for records in self.places.values():
            records.settle()
        self.places.clear()

    def keep_records(self, runner: Runner, records: Mapping[tuple[int, ...], int]) -> None:
        """Keep the records of calls beside their usage, if each call is to be told from the others."""
        if self.each_call:
            self._records[runner].update(records)

    def absorb(self, other: Tally) -> None:
        """Add another tally's calls and steps to this one."""
        for (work, line), usage in other.usages().items():
            self.note_usage(work, usage, line)
        for runner, records in other.records().items():
            self.keep_records(runner, records)

    # -- reading -----------------------------------------------------------------------------------

    def usages(self) -> dict[tuple[Work, Line], Usage]:
        """What each program did from each line."""
        self.settle()
        return dict(self._usage)

    def format_names(self) -> dict[Format, str]:
        """What the formats of the programs are called here: two of one name are told apart."""
        return told_apart(work.format for work, _ in self.usages())

    def records(self) -> dict[Runner, Counter[tuple[int, ...]]]:
        """The records that calls left, each with how often it was left; empty unless `each_call`."""
        self.settle()
        return dict(self._records)

    def cells(self) -> Sequence[tuple[Origin, Entry, int]]:
        """Every count of steps with where it comes from."""
        self.settle()
        if self._cells is None:
            names = self.format_names()
            self._cells = [
                (origin, entry, count)
                for (work, line), usage in self._usage.items()
                for origin in [work.origin(line, names)]
                for entry, count in bill_of(work.program).total(usage).items()
                if count
            ]
        return self._cells

    @property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return _summed((((o.operation, o.format), n) for o, n in self.calls_by_origin.items()))

    @property
    def calls_by_origin(self) -> dict[Origin, int]:
        """Calls by operation, format, options and line."""
        names = self.format_names()
        return _summed(
            (work.origin(line, names), usage.calls) for (work, line), usage in self.usages().items()
        )

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
        return same_calls and _by_cell(self) == _by_cell(other)

    __hash__ = None  # type: ignore[assignment]

    def __add__(self, other: Tally) -> Tally:
        """Both tallies' calls and steps together; each call is kept apart if both keep it."""
        if not isinstance(other, Tally):
            return NotImplemented
        total = Tally(each_call=self.each_call and other.each_call)
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
        """Write the tally to a JSON file, to be read by `load`; the records of each call are not in it."""
        from softfloat_py.tally_files import save

        save(self, path)

    @classmethod
    def load(cls, path: str | Path) -> Tally:
        """Read a tally that `save` wrote.

        Raises TallyFileError where the file is not one, or was counted with other routines than this
        version of the library has.
        """
        from softfloat_py.tally_files import load

        return load(path)


def _by_cell(tally: Tally) -> Counter[tuple[Origin, Entry]]:
    total: Counter[tuple[Origin, Entry]] = Counter()
    for origin, entry, count in tally.cells():
        total[origin, entry] += count
    return total


def _summed(pairs: Any) -> dict[Any, int]:
    total: dict[Any, int] = {}
    for key, count in pairs:
        total[key] = total.get(key, 0) + count
    return total


# The tally that is counting here and now.
counting_now: ContextVar[Tally | None] = ContextVar("counting_now", default=None)


@contextmanager
def counting(*, each_call: bool = False) -> Iterator[Tally]:
    """Count everything computed inside the block.

    Blocks may be nested; when the inner one ends, the outer one gets all that it counted.

    With `each_call`, calls are also kept apart, so that an estimate can show the lowest and the highest
    cycles of a call (`Estimate.each_call`). That is slower: arrays run element by element, through the engine
    that numbers run on. An inner block keeps calls apart where the outer one does.

    >>> with counting() as tally:
    ...     pass
    >>> tally
    <Tally: 0 calls, 0 steps>
    """
    outer = counting_now.get()
    tally = Tally(each_call=each_call or (outer is not None and outer.each_call))
    token = counting_now.set(tally)
    try:
        yield tally
    finally:
        counting_now.reset(token)
        if outer is not None:
            outer.absorb(tally)
