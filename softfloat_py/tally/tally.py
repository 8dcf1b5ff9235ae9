"""What ran, and how many steps of which kind it took. A tally knows no CPU: pricing it comes later, for as
many CPUs as one likes, without running anything again.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from softfloat_py.blocks import Block, InForce
from softfloat_py.integer_form.counting import Entry
from softfloat_py.tally.counts import Counts
from softfloat_py.tally.notes import Birth, Departure, Notes
from softfloat_py.tally.origins import Line, Origin

if TYPE_CHECKING:
    from softfloat_py.pricing.cost_model import CostModel
    from softfloat_py.pricing.estimate import Estimate

__all__ = [
    "COUNTING", "Birth", "Departure", "Line", "Origin", "Tally",
    "begin_counting", "counting", "counting_now", "end_counting",
]  # fmt: skip

# Tallies that are counting, in any thread, by their ids: who finds none of its own says so to them.
COUNTING: dict[int, Tally] = {}


class Tally(Counts):
    """Calls and steps, by operation, phase, step and line, and notes of what is not in them. Tallies can be
    added, copied, saved and loaded.
    """

    def __init__(self, *, each_call: bool = False) -> None:
        super().__init__(each_call=each_call)
        self.notes = Notes()
        # Whether the block that it counts for has ended, where that began, and who gets what it counted.
        self.ended = False
        self.token: Any = None
        self.outer: Tally | None = None

    # -- noting ------------------------------------------------------------------------------------

    def note_departure(self, line: Line, how: str, values: int = 1) -> None:
        """Note that values left the emulation at a line; see `Departure` for how they may."""
        self.notes.departure(Departure(line, how), values)

    def absorb(self, other: Tally) -> None:
        """Add another tally's calls, steps and notes to this one."""
        self.absorb_counts(other)
        self.notes.absorb(other.notes)

    def absorb_inner(self, inner: Tally) -> None:
        """As `absorb`, from the tally of a block or a thread whose work belongs to this one's."""
        self.absorb_counts(inner)
        self.notes.absorb_inner(inner.notes)

    # -- reading -----------------------------------------------------------------------------------

    @property
    def left(self) -> dict[Departure, int]:
        """How many values left the emulation at which line and how, most first. None of it is counted."""
        return self.notes.left

    @property
    def born(self) -> dict[Birth, int]:
        """How often NaNs and infinities came of operands that are none, and where, most first."""
        return self.notes.born

    @property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return _summed((((o.operation, o.format), n) for o, n in self.calls_by_origin.items()))

    @property
    def calls_by_origin(self) -> dict[Origin, int]:
        """Calls by operation, format, options and line."""
        return _summed((origin, usage.calls) for origin, _, usage in self.origins())

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
        return f"<Tally: {self.total_calls} calls, {self.total_steps} steps{self.notes.summary()}>"

    def __str__(self) -> str:
        lines = [*self.notes.sentences(), f"{self.total_calls} calls, {self.total_steps} steps"]
        lines += [f"  {name} {fmt}: {n}" for (name, fmt), n in sorted(self.calls.items())]
        return "\n".join(lines)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Tally):
            return NotImplemented
        same_notes = (self.left, self.born) == (other.left, other.born)
        same_calls = self.calls_by_origin == other.calls_by_origin
        return same_notes and same_calls and _by_cell(self) == _by_cell(other)

    __hash__ = None  # type: ignore[assignment]

    def __copy__(self) -> Tally:
        """A tally of its own with the same in it, which counts for no block."""
        duplicate = Tally(each_call=self.each_call)
        duplicate.absorb(self)
        return duplicate

    def __deepcopy__(self, memo: object) -> Tally:
        return self.__copy__()

    def __reduce__(self) -> tuple[Any, ...]:
        return _restored, (self.each_call, self.usages(), self.records(), self.left, self.born)

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
        self,
        cpu: str | CostModel,
        *,
        compiler: str | None = None,
        clock_hz: float | None = None,
        deadline: float | None = None,
    ) -> Estimate:
        """What this would take on a CPU, given by name or as a cost model.

        `compiler` names one of those that the model describes, and defaults to its first; `clock_hz` defaults
        to the model's usual clock; `deadline` is in seconds. Raises UnknownNameError for a CPU that has no
        cost model and for a compiler that its model does not describe, OperandError for what is neither a
        name nor a cost model, QuantityError for a clock or deadline that is no finite number above 0.
        """
        from softfloat_py.pricing.estimate import estimate

        return estimate(self, cpu, compiler=compiler, clock_hz=clock_hz, deadline=deadline)

    # -- keeping -----------------------------------------------------------------------------------

    def save(self, path: str | Path) -> None:
        """Write the tally to a JSON file, to be read by `load`; the records of each call are not in it."""
        from softfloat_py.tally.files import save

        save(self, path)

    @classmethod
    def load(cls, path: str | Path) -> Tally:
        """Read a tally that `save` wrote.

        Raises TallyFileError where the file is not one, or was counted with other routines than this
        version of the library has.
        """
        from softfloat_py.tally.files import load

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


def _restored(each_call: bool, usages: Any, records: Any, left: Any, born: Any) -> Tally:
    """A tally that was pickled."""
    tally = Tally(each_call=each_call)
    for (use, line), usage in usages.items():
        tally.note_usage(use, usage, line)
    for use, kept in records.items():
        tally.keep_records(use, kept)
    tally.notes.add(left, born)
    return tally


# The tally that is counting here and now.
counting_now: InForce[Tally] = InForce("counting_now")


class CountingBlock(Block[Tally]):
    """What `counting` returns, for one `with` statement or as a decorator."""

    name = "counting"

    def __init__(self, each_call: bool) -> None:
        super().__init__()
        self._each_call = each_call

    def begin(self) -> Tally:
        """Start counting."""
        outer = counting_now.get()
        tally = Tally(each_call=self._each_call or (outer is not None and outer.each_call))
        begin_counting(tally, outer)
        return tally

    def end(self, value: Tally) -> None:
        """Stop counting."""
        end_counting(value)

    def anew(self) -> CountingBlock:
        """Another block that counts like this one."""
        return CountingBlock(self._each_call)


def begin_counting(tally: Tally, outer: Tally | None) -> None:
    """Let a tally count what is computed here; when it ends, `outer` gets all of it."""
    tally.outer = outer
    COUNTING[id(tally)] = tally
    counting_now.begin(tally)


def end_counting(tally: Tally) -> None:
    """Stop a tally from counting, and pass on what it counted.

    Blocks in generators may end out of order. What counts for an inner one that goes on has worked for this
    one too until now; from here on it counts for the outer one alone.
    """
    inner = _inside(tally)
    del COUNTING[id(tally)]
    counting_now.end(tally)
    if tally.outer is not None:
        tally.outer.absorb_inner(tally)
    for one in inner:
        tally.absorb_inner(one)
    if inner:
        inner[-1].outer = tally.outer


def _inside(tally: Tally) -> list[Tally]:
    """The tallies that count for this one in this context, the innermost first."""
    inner, one = [], counting_now.get()
    while one is not None and one is not tally:
        inner.append(one)
        one = one.outer
    return inner if one is tally else []


def counting(*, each_call: bool = False) -> CountingBlock:
    """Count everything computed inside the block.

    Blocks may be nested; when the inner one ends, the outer one gets all that it counted. Each `with` needs a
    call of its own: entering what this returned a second time raises ConventionError. It can also decorate a
    function, which is then counted in a block of its own each time, for the blocks around it.

    With `each_call`, calls are also kept apart, so that an estimate can show the lowest and the highest
    cycles of a call (`Estimate.each_call`). That is slower: arrays run element by element, through the engine
    that numbers run on. An inner block keeps calls apart where the outer one does.

    What is computed in other threads is not counted, unless `carrying` takes the tally there; the tally then
    says so (`Tally.left`).

    >>> with counting() as tally:
    ...     pass
    >>> tally
    <Tally: 0 calls, 0 steps>
    """
    return CountingBlock(each_call)
