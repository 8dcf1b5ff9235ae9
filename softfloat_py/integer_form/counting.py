"""What a program's steps cost in counts: a bill a stretch, so that a run need only count its stretches.

A stretch's steps all run or none do. So a run is fully described by how often each stretch ran and, for the
steps whose cost depends on an operand, by a histogram of that operand (the step's *feature*). Shifts by a
constant have their distance as feature too, which is known here already.

Rules for what is not a step of its own: an operand that is a constant is loaded, except for the constant
distance of a shift; where control meets again, so is a constant that one side brings along; an `if` whose
condition holds falls through (branch not taken), otherwise jumps (taken), and a side that ends above the
other jumps over it. A side that returns lies out of line, as compilers lay it: coming there is a jump,
passing by is none. A loop of fixed length counts down: a subtraction and a branch a round, the last one not
taken; one of variable length tests before each round.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from softfloat_py.integer_form.grammar import Block, Constant, If, Loop, Operand, Program, Return, Step
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.steps import Feature, constant_width


class Entry(NamedTuple):
    """What is counted: a kind of step of a width, in a phase, with the value of its feature if it has one.

    `width` is in bits; 0 for kinds that have none (branches, call, return).
    """

    phase: str
    kind: str
    width: int
    feature: int | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """A step whose feature only a run knows."""

    step: Step
    stretch: int
    entry: Entry

    @property
    def largest_feature(self) -> int:
        """What the feature cannot exceed: so many bits are set, are shifted over, or are zero."""
        step = self.step
        match step.kind.feature:
            case Feature.SET_BITS:
                return step.operands[1].width
            case Feature.DISTANCE:
                return step.target.width - 1
            case _:
                return step.operands[0].width


@dataclass(frozen=True, slots=True)
class Usage:
    """What some calls of a program did: how often each stretch ran, and for each site which features it met
    (value: times).
    """

    calls: int
    runs: Sequence[int]
    features: Sequence[Mapping[int, int]]

    def __add__(self, other: Usage) -> Usage:
        """Both together."""
        return Usage(
            self.calls + other.calls,
            [a + b for a, b in zip(self.runs, other.runs, strict=True)],
            [_together(a, b) for a, b in zip(self.features, other.features, strict=True)],
        )


def _together(first: Mapping[int, int], second: Mapping[int, int]) -> dict[int, int]:
    """Two histograms as one."""
    total = dict(first)
    for value, times in second.items():
        total[value] = total.get(value, 0) + times
    return total


@dataclass(frozen=True, slots=True)
class Bill:
    """What one run through each stretch costs, and the sites where a run must note a feature."""

    stretches: tuple[Mapping[Entry, int], ...]
    sites: tuple[Site, ...]

    def total(self, usage: Usage) -> Counter[Entry]:
        """The steps of all calls of a usage."""
        total: Counter[Entry] = Counter()
        for times, stretch in zip(usage.runs, self.stretches, strict=True):
            if times:
                for entry, count in stretch.items():
                    total[entry] = total.get(entry, 0) + times * count
        for site, histogram in zip(self.sites, usage.features, strict=True):
            phase, kind, width, _ = site.entry
            for feature, times in histogram.items():
                total[Entry(phase, kind, width, feature)] += times
        return total


@cache
def bill_of(program: Program) -> Bill:
    """The bill of a program."""
    stretches: list[Counter[Entry]] = [Counter() for _ in range(program.stretches)]
    sites: list[Site] = []
    stretches[0][Entry(CALL, "call", 0)] += 1
    stretches[0][Entry(CALL, "return", 0)] += 1
    for block in program.body.walk():
        _bill_block(block, stretches, sites)
    return Bill(tuple(dict(stretch) for stretch in stretches), tuple(sites))


def _loads(phase: str, operands: Iterable[Operand | None]) -> Counter[Entry]:
    return Counter(
        Entry(phase, "load_constant", constant_width(operand.value))
        for operand in operands
        if isinstance(operand, Constant)
    )


def _bill_block(block: Block, stretches: list[Counter[Entry]], sites: list[Site]) -> None:
    number = block.number
    for statement in block.statements:
        bill = stretches[number]
        match statement:
            case Step():
                _bill_step(statement, number, bill, sites)
            case Return():
                bill.update(_loads(statement.phase, statement.results))
            case If():
                _bill_if(statement, stretches)
                number = number if statement.after is None else statement.after
            case Loop():
                bill.update(_loads(statement.phase, (item.initial for item in statement.carried)))
                _bill_loop(statement, bill, stretches[statement.body.number])


def _bill_step(step: Step, stretch: int, bill: Counter[Entry], sites: list[Site]) -> None:
    bill.update(_loads(step.phase, step.operands))
    kind = step.kind
    if kind.counted_as is None:
        return
    width = kind.counted_width([operand.width for operand in step.operands], step.target.width)
    entry = Entry(step.phase, kind.counted_as, width)
    match kind.feature:
        case Feature.NONE:
            bill[entry] += 1
        case Feature.IMMEDIATE:
            bill[entry._replace(feature=step.immediate)] += 1
        case Feature.SET_BITS if isinstance(step.operands[1], Constant):
            bill[entry._replace(feature=step.operands[1].value.bit_count())] += 1
        case Feature.DISTANCE if isinstance(step.operands[1], Constant):
            bill[entry._replace(feature=step.operands[1].value)] += 1
        case _:
            sites.append(Site(step, stretch, entry))


def _bill_if(statement: If, stretches: list[Counter[Entry]]) -> None:
    """What an `if` costs on either side: in the stretch a side begins with, and where it comes out at its
    end.
    """
    phase = statement.phase
    then, otherwise = stretches[statement.then.number], stretches[statement.otherwise.number]
    aside = statement.then.returns
    then[Entry(phase, "branch_taken" if aside else "branch_not_taken", 0)] += 1
    otherwise[Entry(phase, "branch_not_taken" if aside else "branch_taken", 0)] += 1
    then_end = stretches[_last_stretch(statement.then)]
    otherwise_end = stretches[_last_stretch(statement.otherwise)]
    then_end.update(_loads(phase, (join.if_true for join in statement.joins)))
    otherwise_end.update(_loads(phase, (join.if_false for join in statement.joins)))
    if statement.otherwise.statements and not statement.then.returns:
        then_end[Entry(phase, "branch_taken", 0)] += 1


def _last_stretch(block: Block) -> int:
    return max(
        (s.after for s in block.statements if isinstance(s, If) and s.after is not None), default=block.number
    )


def _bill_loop(statement: Loop, outside: Counter[Entry], body: Counter[Entry]) -> None:
    phase = statement.phase
    taken, not_taken = Entry(phase, "branch_taken", 0), Entry(phase, "branch_not_taken", 0)
    if isinstance(statement.count, int):
        width = constant_width(statement.count)
        outside[Entry(phase, "load_constant", width)] += 1
        body[Entry(phase, "subtract", width)] += 1
        body[taken] += 1
        outside[taken] -= 1
        outside[not_taken] += 1
    else:
        body[Entry(phase, "subtract", statement.count.width)] += 1
        body[not_taken] += 1
        body[taken] += 1
        outside[taken] += 1
