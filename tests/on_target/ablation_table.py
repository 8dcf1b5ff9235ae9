"""What each rule of pricing is worth: measured / predicted without it, beside the same with all rules.

A rule that moves the mean of all operations alone could as well be part of `moves_a_step`. One without which
single operations lie further apart is worth its place.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product
from pathlib import Path
from textwrap import fill
from typing import Self

import numpy as np
import pytest
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.integer_form.grammar import Program
from softfloat_py.numbers.formats import Format
from softfloat_py.options import LEAN
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.tally.tally import Tally
from tests.on_target.ablation import RULES, Rule, without
from tests.on_target.cpus import Cpu
from tests.on_target.division_of_cases import is_held_out
from tests.on_target.measuring import callers_part, expected, measured, simulator_of
from tests.on_target.operands import operands_of

LITTLE = 0.02  # of the mean and of the spread
ROUNDING = 1e-12  # what sums of floats may differ by
ROOM, OF_NAMES, OF_NUMBERS = 110, 41, 13
ALL_RULES, ALL_CPUS = "all rules", "mean"
EXPLANATION = """\
Each pair: measured / predicted, the geometric mean of all cases; and their spread, the standard deviation of
the ratio's logarithm, in per cent. Below the first line: the ratio without a rule, and by how much the spread
is larger without it; a dash where nothing depends on the rule."""


@dataclass(frozen=True, eq=False)
class Case:
    """An operation in a format: the operands of its calls, and their tally."""

    operation: str
    format: Format
    operands: NDArray[np.uint64]

    @classmethod
    def of(cls, operation: str, fmt: Format, calls: int) -> Self:
        """So many calls with exponents near to one another."""
        return cls(operation, fmt, operands_of(operation, fmt, "near", calls))

    @cached_property
    def tally(self) -> Tally:
        """What the calls count."""
        function = getattr(sf, self.operation)
        with sf.environment(options=LEAN), sf.counting() as tally:
            for row in self.operands.tolist():
                function(*map(self.format.from_bits, row))
        return tally

    @cached_property
    def programs(self) -> frozenset[Program]:
        """The programs that are priced."""
        return frozenset(use.program for use, _ in self.tally.usages())

    def predicted(self, model: CostModel) -> float:
        """Cycles of a call on average, from entry to return."""
        return self.tally.estimate(model).cycles / len(self.operands) - callers_part(model)


@dataclass(frozen=True, eq=False)
class Column:
    """A CPU, by whatever name, and the cycles that each case took on it, on average; NaN where it is not
    handed such values.
    """

    name: str
    model: CostModel
    cycles: NDArray[np.float64]

    def ratios(self, cases: Sequence[Case]) -> NDArray[np.float64]:
        """Logarithms of measured / predicted, by a model that has priced nothing yet."""
        model = replace(self.model)
        predicted = np.array([case.predicted(model) for case in cases])
        return np.asarray(np.log(self.cycles / predicted))


@dataclass(frozen=True, eq=False)
class Row:
    """A rule, or all of them, and the logarithms of measured / predicted by CPU and case."""

    name: str
    ratios: NDArray[np.float64]

    @property
    def means(self) -> NDArray[np.float64]:
        """The means of all cases, by CPU."""
        return np.asarray(np.nanmean(self.ratios, axis=1))

    @property
    def spreads(self) -> NDArray[np.float64]:
        """How far single cases lie from them."""
        return np.asarray(np.nanstd(self.ratios, axis=1))

    def changes(self, whole: Row) -> NDArray[np.bool_]:
        """On which CPUs the rule is asked at all."""
        return np.asarray(np.any(abs(self.ratios - whole.ratios) > ROUNDING, axis=1))

    def is_worth_little(self, whole: Row) -> bool:
        """Whether mean and spread are about the same on all CPUs."""
        shifts = abs(self.means - whole.means), abs(self.spreads - whole.spreads)
        return bool(max(map(np.max, shifts)) < LITTLE)


def report(cpus: Iterable[Cpu], formats: Sequence[Format], operations: Sequence[str], calls: int) -> int:
    """Measure, price and print; gives the number of wrong results."""
    pairs = [(name, fmt) for fmt, name in product(formats, operations) if not is_held_out(name, fmt.name)]
    cases = [Case.of(name, fmt, calls) for name, fmt in pairs]
    columns, wrong = [], 0
    for cpu in cpus:
        try:
            column, faults = column_of(cpu, cases)
        except pytest.skip.Exception as reason:
            print(f"skipped: {reason}")
            continue
        wrong += faults
        if np.isfinite(column.cycles).any():
            columns.append(column)
    if columns and cases:
        print(f"\n{len(cases)} cases that are looked at, {calls} calls each.\n{EXPLANATION}")
        print("\n".join(table(columns, *rows_of(columns, cases))))
    else:
        print("nothing to compare: name a CPU whose tools are installed, and cases that are not held out")
    if wrong:
        print(f"{wrong} WRONG RESULTS")
    return wrong


def column_of(cpu: Cpu, cases: Iterable[Case]) -> tuple[Column, int]:
    """A CPU with its cycles of all cases, and how many results were wrong."""
    cycles, wrong = [], 0
    with tempfile.TemporaryDirectory() as folder:
        for case in cases:
            if case.format.width > cpu.widest:
                cycles.append(np.nan)
                continue
            simulator = simulator_of(cpu, case.operation, case.format, Path(folder))
            run = measured(simulator, case.operation, case.operands)
            wrong += int(np.sum(run.results != expected(case.operation, case.format, case.operands)))
            cycles.append(run.cycles.mean())
    return Column(cpu.name, cpu.cost_model, np.array(cycles)), wrong


def rows_of(
    columns: Sequence[Column], cases: Sequence[Case], rules: Iterable[Rule] = RULES
) -> tuple[Row, list[Row]]:
    """The row of all rules, and one without each of them."""
    programs = frozenset[Program]().union(*(case.programs for case in cases))

    def row(name: str) -> Row:
        return Row(name, np.array([column.ratios(cases) for column in columns]))

    whole, rows = row(ALL_RULES), []
    for rule in rules:
        with without(rule, programs):
            rows.append(row(rule.name))
    return whole, rows


# -- the table -----------------------------------------------------------------------------------------


def table(columns: Sequence[Column], whole: Row, rows: Sequence[Row]) -> Iterator[str]:
    """The lines: as many CPUs beside one another as there is room for, then what is worth little."""
    names = [*(column.name for column in columns), ALL_CPUS]
    for some in beside_one_another(names):
        yield ""
        yield f"{'':{OF_NAMES}}" + "".join(f"{names[index]:>{OF_NUMBERS}}" for index in some)
        yield f"{ALL_RULES:{OF_NAMES}}" + "".join(cells(whole, None)[index] for index in some)
        for row in rows:
            yield f"{row.name:{OF_NAMES}}" + "".join(cells(row, whole)[index] for index in some)
    yield ""
    yield from closing(names[:-1], whole, rows)


def beside_one_another(names: Sequence[str]) -> Iterator[range]:
    """The places of names in a line, line by line."""
    most = (ROOM - OF_NAMES) // OF_NUMBERS
    for first in range(0, len(names), most):
        yield range(first, min(first + most, len(names)))


def cells(row: Row, whole: Row | None) -> list[str]:
    """A row's pairs, by CPU and of all of them on average."""
    spreads = row.spreads if whole is None else row.spreads - whole.spreads
    sign = "" if whole is None else "+"
    asked = [True] * len(row.means) if whole is None else list(row.changes(whole))
    pairs = [*zip(row.means, spreads, asked, strict=True), (row.means.mean(), spreads.mean(), any(asked))]
    return [
        f"{np.exp(mean):{OF_NUMBERS - 6}.2f}{100 * spread:{sign}6.1f}" if is_asked else f"{'-':>{OF_NUMBERS}}"
        for mean, spread, is_asked in pairs
    ]


def closing(names: Sequence[str], whole: Row, rows: Sequence[Row]) -> Iterator[str]:
    """Which rules nothing depends on here; which bring cases apart, and on which CPUs; and which are worth
    little, with what becomes of the single case that they change most.
    """
    asked = [row for row in rows if row.changes(whole).any()]
    little = [
        f"{row.name} ({np.nanmax(abs(np.expm1(row.ratios - whole.ratios))):.1%} of one case)"
        for row in asked
        if row.is_worth_little(whole)
    ]
    unasked = [row.name for row in rows if row not in asked]
    apart = []
    for row in asked:
        nearer = whole.spreads - row.spreads >= LITTLE
        if nearer.any():
            cpus = [name for name, is_nearer in zip(names, nearer, strict=True) if is_nearer]
            apart.append(f"{row.name} ({', '.join(cpus)})")
    yield fill(f"Nothing here depends on: {'; '.join(unasked) or 'none'}.", ROOM)
    yield fill(f"The spread is smaller by {LITTLE:.0%} or more without: {'; '.join(apart) or 'none'}.", ROOM)
    yield fill(
        f"Worth less than {LITTLE:.0%} everywhere, in mean and spread: {'; '.join(little) or 'none'}.", ROOM
    )
