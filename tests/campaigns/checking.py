"""One block of a campaign: run in the program, and what is doubtful decided in multiple precision."""

from __future__ import annotations

import ctypes
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format
from tests.campaigns import exact
from tests.campaigns.catalogue import Campaign

FIRST_DIFFERENCES, MOST_DOUBTS, DIRECTIONS = 16, 1 << 16, len(Rounding)  # as check.h has them
KINDS = ("value", "order", "symmetry")
Outcomes = tuple[exact.Outcome, ...]  # in each direction


@dataclass(frozen=True, slots=True)
class Doubt:
    """Operands on which doubles do not know the result, and what the function delivered in each direction."""

    x: int
    y: int
    got: Outcomes


@dataclass(frozen=True, slots=True)
class Found:
    """What was found in a block: by direction, how many differences there are, the first of them in words;
    and how many operands were doubtful.
    """

    wrong: tuple[int, ...]
    first: tuple[tuple[int, str], ...]
    doubtful: int


class _Difference(ctypes.Structure):
    _fields_ = (
        *((name, ctypes.c_uint64) for name in ("x", "y", "got", "wanted")),
        *((name, ctypes.c_uint32) for name in ("got_flags", "wanted_flags", "direction", "kind")),
    )


class _Doubt(ctypes.Structure):
    _fields_ = (
        ("x", ctypes.c_uint64),
        ("y", ctypes.c_uint64),
        ("got", ctypes.c_uint64 * DIRECTIONS),
        ("got_flags", ctypes.c_uint32 * DIRECTIONS),
        ("unused", ctypes.c_uint32),
    )


class _Report(ctypes.Structure):
    _fields_ = (
        ("wrong", ctypes.c_ulonglong * DIRECTIONS * len(KINDS)),
        ("differences", ctypes.c_ulonglong),
        ("doubts", ctypes.c_ulonglong),
        ("first", _Difference * FIRST_DIFFERENCES),
        ("doubt", _Doubt * MOST_DOUBTS),
    )


@cache
def _library(program: Path) -> ctypes.CDLL:
    """A program, loaded once a process."""
    library = ctypes.CDLL(str(program))
    library.check.restype = library.machine.restype = ctypes.c_char_p
    library.check.argtypes = [*[ctypes.c_uint64] * 3, ctypes.c_uint32, ctypes.c_void_p]
    return library


@cache
def _report() -> _Report:
    """Room for the report of any program, once a process."""
    return _Report()


def device_name(program: Path) -> str:
    """The CUDA device that a program runs on; empty for the host."""
    return str(_library(program).machine().decode())


def run_block(
    program: Path, campaign: Campaign, number: int, directions: Sequence[Rounding]
) -> tuple[Found, list[Doubt]]:
    """Check a block of a campaign, as far as doubles know; and what they do not know.

    Raises RuntimeError if the device fails, or if there are more doubtful operands than there is room for.
    """
    report = _report()
    first, stride = campaign.block(number)
    mask = sum(1 << direction for direction in directions)
    failure = _library(program).check(first, stride, campaign.size, mask, ctypes.byref(report))
    if failure:
        raise RuntimeError(f"{campaign.name} fails on the device: {failure.decode()}")
    if report.doubts > MOST_DOUBTS:
        raise RuntimeError(
            f"{campaign.name} must have at most {MOST_DOUBTS} doubtful operands a block, "
            f"not {report.doubts}; doubles must tell more of it (approximations.h)"
        )
    wrong = tuple(sum(report.wrong[kind][each] for kind in range(len(KINDS))) for each in Rounding)
    kept = report.first[: min(report.differences, FIRST_DIFFERENCES)]
    differences = tuple((each.direction, _in_words(campaign.format, each)) for each in kept)
    return Found(wrong, differences, report.doubts), list(_doubts(report))


def _doubts(report: _Report) -> Iterator[Doubt]:
    for each in report.doubt[: report.doubts]:
        yield Doubt(each.x, each.y, tuple(zip(each.got, each.got_flags, strict=True)))


def _in_words(fmt: Format, found: _Difference) -> str:
    words = described(fmt, found.x, found.y, (found.got, found.got_flags), (found.wanted, found.wanted_flags))
    return words if found.kind == 0 else f"{KINDS[found.kind]}: {words}"


def described(fmt: Format, x: int, y: int, got: exact.Outcome, wanted: exact.Outcome) -> str:
    """A difference in words."""
    digits = -(-fmt.width // 4)
    said = [f"{bits:#0{digits + 2}x} ({Flags(flags)})" for bits, flags in (got, wanted)]
    return f"x {x:#0{digits + 2}x}, y {y:#x}: got {said[0]}, wanted {said[1]}"


def decide(
    campaign: Campaign,
    doubts: Sequence[Doubt],
    directions: Sequence[Rounding],
    outcomes: Callable[..., Outcomes] = exact.outcomes,
) -> Found:
    """Decide what is doubtful in multiple precision."""
    wrong, first = [0] * DIRECTIONS, []
    for doubt in doubts:
        wanted = outcomes(campaign.function.name, campaign.format, doubt.x, doubt.y)
        for direction in directions:
            if doubt.got[direction] != wanted[direction]:
                wrong[direction] += 1
                words = described(campaign.format, doubt.x, doubt.y, doubt.got[direction], wanted[direction])
                first.append((int(direction), words))
    return Found(tuple(wrong), tuple(first[:FIRST_DIFFERENCES]), 0)
