"""What a tally knows beside its counts: values that left the emulation, NaNs and infinities born in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from numbers import Integral, Real
from threading import RLock
from types import CodeType, FrameType
from typing import Any, NamedTuple

from softfloat_py.tally.origins import Line

# Threads that no tally counts are noted in the tallies of others, so any thread may write.
_WRITING = RLock()
THREAD = "thread"


class Departure(NamedTuple):
    """A place where values left the emulation, so that what became of them is not counted, and how.

    `how` is "float" (a number became a host float), "host operand" (an int or a float that is no constant
    stood beside an emulated value) or "thread" (results of work that no tally counted).
    """

    line: Line
    how: str

    def record(self, values: int) -> dict[str, Any]:
        """The place, how, and how many, as JSON takes it."""
        return {"file": self.line.file, "line": self.line.number, "how": self.how, "values": values}


class Birth(NamedTuple):
    """A NaN or an infinity (`kind`) that an operation made of operands that are none.

    `operands` are the first that it was seen with at the line.
    """

    line: Line
    kind: str
    operation: str
    operands: tuple[str, ...]

    def record(self, times: int) -> dict[str, Any]:
        """What it is, and how often, as JSON takes it."""
        place = {"file": self.line.file, "line": self.line.number}
        return place | {
            "kind": self.kind, "operation": self.operation, "operands": list(self.operands), "times": times
        }  # fmt: skip


@dataclass(slots=True)
class _Operand:
    """The host's values that stood beside emulated ones at a place in the code: the first and the last.

    `code` is kept lest its id, which is in the key, go to another.
    """

    first: Any
    last: Any
    line: Line
    code: CodeType
    changed: bool = False


class Notes:
    """The notes of a tally. All are added up when tallies are."""

    def __init__(self) -> None:
        self._left: dict[Departure, int] = {}
        self._born: dict[tuple[Line, str, str], tuple[Birth, int]] = {}
        self._operands: dict[tuple[int, int], _Operand] = {}

    # -- noting ------------------------------------------------------------------------------------

    def departure(self, departure: Departure, values: int) -> None:
        """Note that so many values left."""
        if not values:
            return
        with _WRITING:
            self._left[departure] = self._left.get(departure, 0) + values

    def first_birth(self, line: Line, kind: str, operation: str) -> Birth | None:
        """The birth that is noted for a line, kind and operation, if there was one."""
        known = self._born.get((line, kind, operation))
        return known[0] if known else None

    def birth(self, birth: Birth, times: int) -> None:
        """Note that NaNs or infinities were born; the operands stay those of the first at the place."""
        place = birth.line, birth.kind, birth.operation
        with _WRITING:
            first, before = self._born.get(place, (birth, 0))
            self._born[place] = first, before + times

    def operand(self, value: Any, frame: FrameType) -> None:
        """Note what of the host's stood beside an emulated value in a frame.

        From the second value at a place on all are departures, and the first with them: that is no constant.
        """
        # numpy's integers are data, and converted where they stand.
        if not isinstance(value, Real) or (isinstance(value, Integral) and not isinstance(value, int)):
            return
        place = id(frame.f_code), frame.f_lasti
        with _WRITING:
            known = self._operands.get(place)
            if known is None:
                self._operands[place] = _Operand(value, value, Line.of(frame), frame.f_code)
            else:
                self._follow(known, value)

    def _follow(self, known: _Operand, value: Any) -> None:
        if not _are_same(known.last, value):
            self.departure(Departure(known.line, "host operand"), 1 if known.changed else 2)
            known.last, known.changed = value, True

    # -- adding up ---------------------------------------------------------------------------------

    def absorb(self, other: Notes) -> None:
        """Add what other notes say."""
        self.add(other.left, other.born)

    def add(self, left: Mapping[Departure, int], born: Mapping[Birth, int]) -> None:
        """Add departures and births with how often there were any."""
        for departure, values in left.items():
            self.departure(departure, values)
        for birth, times in born.items():
            self.birth(birth, times)

    def absorb_inner(self, inner: Notes) -> None:
        """As `absorb`, from notes of a part of the same run.

        What left in threads that nobody counts is noted here already. A constant of each part that is not the
        same in all of them is none.
        """
        left = {departure: n for departure, n in inner.left.items() if departure.how != THREAD}
        self.add(left, inner.born)
        with _WRITING:
            for place, operand in inner._operands.items():
                self._continue(place, operand)

    def _continue(self, place: tuple[int, int], later: _Operand) -> None:
        """Go on from a place's operand to that of another part, whose own changes are added up already."""
        known = self._operands.get(place)
        if known is None:
            self._operands[place] = replace(later)
            return
        differ = not _are_same(known.last, later.first)
        changed = known.changed or later.changed or differ
        # The change between them, and the first of all values unless one of them noted its own.
        unnoted = differ + changed - known.changed - later.changed
        self.departure(Departure(known.line, "host operand"), max(unnoted, 0))
        known.last, known.changed = later.last, changed

    # -- reading -----------------------------------------------------------------------------------

    @property
    def left(self) -> dict[Departure, int]:
        """How many values left at each place, most first."""
        with _WRITING:
            found = list(self._left.items())
        return dict(sorted(found, key=lambda item: -item[1]))

    @property
    def born(self) -> dict[Birth, int]:
        """How often NaNs and infinities were born at each place, most first."""
        with _WRITING:
            found = list(self._born.values())
        return dict(sorted(found, key=lambda item: -item[1]))

    def sentences(self) -> list[str]:
        """What left and what was born, a line each."""
        return [
            *(
                f"not counted: {_number(n, 'value')} left the emulation at {line.place} ({how})"
                for (line, how), n in self.left.items()
            ),
            *(
                f"born at {line.place}: {kind}, {_number(n, 'time')}, "
                f"first by {operation} of {' and '.join(operands)}"
                for (line, kind, operation, operands), n in self.born.items()
            ),
        ]

    def summary(self) -> str:
        """The same in a few words; empty where there is nothing to say."""
        left, born = sum(self.left.values()), sum(self.born.values())
        said = f"; not counted: {_number(left, 'value')} left" if left else ""
        kinds = "NaN or infinity" if born == 1 else "NaNs or infinities"
        return said + (f"; {born} {kinds} born" if born else "")


def _are_same(value: Any, other: Any) -> bool:
    """Whether the host has the same value again, which two NaNs are."""
    return type(value) is type(other) and (value == other or (value != value and other != other))


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
