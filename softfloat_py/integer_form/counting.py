"""What a program's steps cost in counts: a bill a stretch, so that a run need only count its stretches.

A stretch's steps all run or none do. So a run is fully described by how often each stretch ran and, for the
steps whose cost depends on an operand, by a histogram of that operand (the step's *feature*). Shifts by a
constant have their distance as feature too, which is known here already.
What is charged to a stretch, the cost of control flow included, says `charges`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from softfloat_py.integer_form.charges import Charge, Role, charges_of
from softfloat_py.integer_form.grammar import Constant, Program, Step
from softfloat_py.keeping import kept
from softfloat_py.routines.steps import Feature


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
    """What some calls of a program did: how often each stretch ran, for each site which features it met
    (value: times), and what the programs did that it called, in the order of `Program.callees`.
    """

    calls: int
    runs: Sequence[int]
    features: Sequence[Mapping[int, int]]
    callees: Sequence[Usage] = ()

    def __add__(self, other: Usage) -> Usage:
        """Both together."""
        return Usage(
            self.calls + other.calls,
            [a + b for a, b in zip(self.runs, other.runs, strict=True)],
            [_together(a, b) for a, b in zip(self.features, other.features, strict=True)],
            tuple(a + b for a, b in zip(self.callees, other.callees, strict=True)),
        )


def _together(first: Mapping[int, int], second: Mapping[int, int]) -> dict[int, int]:
    """Two histograms as one."""
    total = dict(first)
    for value, times in second.items():
        total[value] = total.get(value, 0) + times
    return total


@dataclass(frozen=True, slots=True)
class Bill:
    """What one run through each stretch costs: the charges, what they come to in counts, the sites where a
    run must note a feature, and the programs that are called, which have bills of their own.
    """

    charges: tuple[Charge, ...]
    stretches: tuple[Mapping[Entry, int], ...]
    sites: tuple[Site, ...]
    callees: tuple[Program, ...] = ()

    def total(self, usage: Usage) -> Counter[Entry]:
        """The steps of all calls of a usage, those of what was called included."""
        total: Counter[Entry] = Counter()
        for times, stretch in zip(usage.runs, self.stretches, strict=True):
            if times:
                for entry, count in stretch.items():
                    total[entry] = total.get(entry, 0) + times * count
        for site, histogram in zip(self.sites, usage.features, strict=True):
            phase, kind, width, _ = site.entry
            for feature, times in histogram.items():
                total[Entry(phase, kind, width, feature)] += times
        for callee, called in zip(self.callees, usage.callees, strict=True):
            total.update(bill_of(callee).total(called))
        return total


@kept
def bill_of(program: Program) -> Bill:
    """The bill of a program."""
    stretches: list[Counter[Entry]] = [Counter() for _ in range(program.stretches)]
    sites: list[Site] = []
    charges = tuple(charges_of(program))
    for charge in charges:
        if charge.role is Role.BESIDE_CALL:
            continue
        entry = Entry(charge.phase, charge.kind, charge.width)
        step = charge.statement
        if charge.role is Role.STEP and isinstance(step, Step) and step.kind.feature is not Feature.NONE:
            feature = known_feature(step)
            if feature is None:
                sites.append(Site(step, charge.stretch, entry))
                continue
            entry = entry._replace(feature=feature)
        stretches[charge.stretch][entry] += charge.times
    return Bill(charges, tuple(dict(stretch) for stretch in stretches), tuple(sites), program.callees)


def known_feature(step: Step) -> int | None:
    """The feature of a step where it is known before anything runs; None for a kind that has none."""
    match step.kind.feature:
        case Feature.IMMEDIATE:
            return int(step.immediate)
        case Feature.SET_BITS if isinstance(step.operands[1], Constant):
            return step.operands[1].value.bit_count()
        case Feature.DISTANCE if isinstance(step.operands[1], Constant):
            return step.operands[1].value
        case _:
            return None
