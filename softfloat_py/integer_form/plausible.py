"""Whether a usage can have come from runs of its program, as one read from a file must.

What enters an `if` leaves by its sides, a loop's body runs as often as its rounds say, each run of a stretch
notes one feature at each of its sites, and a program is called as often as its calls run. A usage that keeps
these rules may still be an invention, but it has a meaning, and a price.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from softfloat_py.integer_form.counting import Site, Usage, bill_of
from softfloat_py.integer_form.grammar import Block, Call, If, Loop, Program, Return, Variable
from softfloat_py.integer_form.walking import visits

MOST = (1 << 63) - 1  # what a counter of the array engine holds; no run takes that long


def fault_of(usage: Usage, program: Program) -> str | None:
    """What a usage says that no runs of the program leave behind; None for a usage that may be."""
    return next(_faults(usage, program), None)


def _faults(usage: Usage, program: Program) -> Iterator[str]:
    """The faults, in an order in which each may rely on those before it."""
    sites = bill_of(program).sites
    numbers = [usage.calls, *usage.runs, *(n for met in usage.features for n in met.values())]
    if any(type(number) is not int or not 0 <= number <= MOST for number in numbers):
        yield f"a count that is no whole number from 0 to {MOST}"
    if len(usage.runs) != program.stretches:
        yield f"counts of {len(usage.runs)} stretches, not {program.stretches}"
    if len(usage.features) != len(sites):
        yield f"features of {len(usage.features)} steps, not {len(sites)}"
    if usage.calls != usage.runs[0]:
        yield f"{usage.runs[0]} runs of the first stretch in {usage.calls} calls"
    yield from _Flow(usage.runs).faults(program.body)
    for site, met in zip(sites, usage.features, strict=True):
        yield from _faults_of_features(site, met, usage.runs[site.stretch])
    yield from _faults_of_callees(usage, program)


def _faults_of_callees(usage: Usage, program: Program) -> Iterator[str]:
    """What does not add up in the programs that are called, and in how often they are."""
    callees = program.callees
    if len(usage.callees) != len(callees):
        yield f"usages of {len(usage.callees)} called programs, not {len(callees)}"
    calls = Counter[Program]()
    for statement, stretch, _ in visits(program.body):
        if isinstance(statement, Call):
            calls[statement.callee] += usage.runs[stretch]
    for callee, called in zip(callees, usage.callees, strict=True):
        if called.calls != calls[callee]:
            yield f"{called.calls} calls of {callee.name} in {calls[callee]} runs of their stretches"
        yield from _faults(called, callee)


def _faults_of_features(site: Site, met: Mapping[int, int], runs: int) -> Iterator[str]:
    kind, largest = site.step.kind.name, site.largest_feature
    if not all(isinstance(feature, int) and 0 <= feature <= largest for feature in met):
        yield f"a feature of {kind} that is no whole number from 0 to {largest}"
    if sum(met.values()) != runs:
        yield f"{sum(met.values())} features of {kind} in {runs} runs of its stretch"


class _Flow:
    """Follows control through a program, of whose stretches it is known how often each ran."""

    def __init__(self, runs: Sequence[int]) -> None:
        self.runs = runs
        self.through = 0  # how often control came to the end of the block looked at last

    def faults(self, block: Block) -> Iterator[str]:
        """What does not add up in a block and those inside it."""
        under_way = self.runs[block.number]
        for statement in block.statements:
            match statement:
                case If():
                    yield from self._faults_of_if(statement, under_way)
                    under_way = self.through
                case Loop(count=count, body=body):
                    yield from self._faults_of_rounds(count, self.runs[body.number], under_way)
                    yield from self.faults(body)
                case Return():
                    under_way = 0
        self.through = under_way

    def _faults_of_if(self, statement: If, under_way: int) -> Iterator[str]:
        then, otherwise = statement.then, statement.otherwise
        taken = self.runs[then.number] + self.runs[otherwise.number]
        if taken != under_way:
            yield f"{taken} runs of the sides of an if that {under_way} come to"
        yield from self.faults(then)
        through = self.through
        yield from self.faults(otherwise)
        self.through += through
        if statement.after is not None and self.runs[statement.after] != self.through:
            yield f"{self.runs[statement.after]} runs of what {self.through} come to after an if"

    def _faults_of_rounds(self, count: int | Variable, rounds: int, under_way: int) -> Iterator[str]:
        if isinstance(count, int):
            fewest = most = under_way * count
        else:
            fewest, most = 0, under_way * ((1 << count.width) - 1)
        if not fewest <= rounds <= most:
            yield f"{rounds} rounds of a loop that has {fewest} to {most}"
