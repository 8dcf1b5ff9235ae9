"""What a tally noted beside its counts, in words: values that left, NaNs and infinities born."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from softfloat_py.tally.tally import Tally
from softfloat_py.views.layout import counted, grouped

MOST_LINES = 5  # that one kind of remark takes; what is beyond is only counted

_BORN = {"NaN": "a NaN", "infinity": "an infinity"}


def remarks(tally: Tally) -> list[str]:
    """A line a place: what is missing in the counts, then what came out of range."""
    return [*_cut([*_left_lines(tally)], "more places"), *_cut([*_born_lines(tally)], "more births")]


def left_records(tally: Tally) -> list[dict[str, Any]]:
    """Each place where values left the emulation, as JSON takes it."""
    return [departure.record(values) for departure, values in tally.left.items()]


def born_records(tally: Tally) -> list[dict[str, Any]]:
    """Each place where a NaN or an infinity came of operands that were none, as JSON takes it."""
    return [birth.record(times) for birth, times in tally.born.items()]


def what_left(tally: Tally) -> str | None:
    """How many values left the emulation and where most did; None where none did."""
    left = tally.left
    if not left:
        return None
    departure, _ = max(left.items(), key=lambda item: item[1])
    most = "most of them " if len(left) > 1 else ""
    return f"{counted(sum(left.values()), 'value')} did, {most}at {departure.line.place} ({departure.how})"


def _left_lines(tally: Tally) -> Iterator[str]:
    for departure, values in sorted(tally.left.items(), key=lambda item: -item[1]):
        how = f"{departure.line.place} ({departure.how})"
        yield f"not counted: {counted(values, 'value')} left the emulation at {how}"


def _born_lines(tally: Tally) -> Iterator[str]:
    for birth, times in tally.born.items():
        *others, last = birth.operands
        operands = f"{', '.join(others)} and {last}" if others else last
        often = "once" if times == 1 else f"{grouped(times)} times"
        born = f"{_BORN[birth.kind]} was first born at {birth.line.place}"
        yield f"{born}, {birth.operation} of {operands} ({often})"


def _cut(lines: list[str], what: str) -> list[str]:
    rest = len(lines) - MOST_LINES
    return [*lines[:MOST_LINES], f"and {grouped(rest)} {what}"] if rest > 0 else lines
