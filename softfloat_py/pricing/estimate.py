"""A tally priced on a CPU.

Three things add up: the steps by the CPU's table, the call, return, saved registers and arguments of each
operation, and the register moves and spills that compiled code has beside its steps. The last two follow
from the program and the registers of the CPU (`pricing.context`), and are shown as such.

An estimate is for planning and has to be measured on the target. It is no bound on the time of a program.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf
from numbers import Real
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from softfloat_py.errors import OperandError, QuantityError
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.program_price import AROUND_CALLS, ProgramPrice, program_price
from softfloat_py.pricing.step_prices import BESIDE_STEPS, CALIBRATION
from softfloat_py.pricing.table_layers import BY_HAND
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally.counts import usage_of
from softfloat_py.tally.origins import Line, Origin

if TYPE_CHECKING:
    from softfloat_py.integer_form.counting import Usage
    from softfloat_py.tally.tally import Tally
    from softfloat_py.uses import Use

K = TypeVar("K")


def estimate(
    tally: Tally,
    cpu: str | CostModel,
    *,
    compiler: str | None = None,
    clock_hz: float | None = None,
    deadline: float | None = None,
) -> Estimate:
    """What a tally takes on a CPU; see `Tally.estimate`."""
    model = model_of(cpu, "an estimate", compiler)
    for name, value in (("clock_hz", clock_hz), ("deadline", deadline)):
        if value is not None and not (isinstance(value, Real) and 0 < value < inf):
            raise QuantityError(name, "a finite number above 0", value)
    return Estimate(tally, model, model.clock.default_mhz * 1e6 if clock_hz is None else clock_hz, deadline)


def model_of(cpu: str | CostModel, asking: str, compiler: str | None = None) -> CostModel:
    """The cost model that is given, or named, with code as a compiler makes it if one is named; OperandError,
    which says who is asking, for what is no cost model.
    """
    model = cost_model(cpu) if isinstance(cpu, str) else cpu
    if not isinstance(model, CostModel):
        raise OperandError(
            f"{asking} needs a cost model or the name of one, not {cpu!r}; "
            "load_cost_model(path) reads a file of one's own"
        )
    return model if compiler is None else model.made_by(compiler)


class Spread(NamedTuple):
    """Cycles of the quickest call, of all calls on average, and of the slowest."""

    lowest: float
    mean: float
    highest: float


@dataclass(frozen=True, eq=False)
class Estimate:
    """Cycles and time of a tally on a CPU at a clock in Hz; `deadline` in seconds, if there is one.

    Breakdowns are in cycles; those by operation, phase and line include what surrounds the steps.
    """

    tally: Tally
    cpu: CostModel
    clock_hz: float
    deadline: float | None = None

    @cached_property
    def cycles(self) -> float:
        """All cycles."""
        return sum(priced.price.total(priced.usage) for priced in self._priced)

    @property
    def seconds(self) -> float:
        """Time at the clock."""
        return self.cycles / self.clock_hz

    @property
    def deadline_share(self) -> float | None:
        """Time as a share of the deadline: 1.0 takes all of it."""
        return None if self.deadline is None else self.seconds / self.deadline

    @property
    def holds_deadline(self) -> bool | None:
        """Whether the time is within the deadline; None where there is none."""
        return None if self.deadline is None else self.seconds <= self.deadline

    @property
    def slowest_clock_hz(self) -> float | None:
        """The clock in Hz at which the cycles just hold the deadline; None where there is none."""
        return None if self.deadline is None else self.cycles / self.deadline

    @property
    def is_clock_of_parts_sold(self) -> bool:
        """Whether the clock, to the hertz, is in the range that the model gives for parts sold."""
        clock = self.cpu.clock
        return clock.lowest_mhz <= round(self.clock_hz / 1e6, 6) <= clock.highest_mhz

    @property
    def needs_faster_part(self) -> bool:
        """Whether the deadline takes a clock beyond the highest one of the model."""
        slowest = self.slowest_clock_hz
        return slowest is not None and slowest > self.cpu.clock.highest_mhz * 1e6

    @cached_property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return self.tally.calls

    @property
    def options(self) -> tuple[str, ...]:
        """The names of the options the operations were run with."""
        return tuple(sorted({origin.options for origin in self.tally.calls_by_origin}))

    @property
    def in_memory(self) -> bool | None:
        """Whether operands and results were in memory; None where they were for some operations only."""
        settings = {use.options.in_memory for use, _ in self.tally.usages()}
        return None if len(settings) > 1 else settings == {True}

    @cached_property
    def by_operation(self) -> dict[tuple[str, str], float]:
        """Cycles by (operation, format), most first."""
        return _summed(((part.origin.operation, part.origin.format), part.cycles) for part in self._parts)

    @cached_property
    def by_phase(self) -> dict[tuple[str, str], float]:
        """Cycles by (operation, phase), most first; what surrounds a call is the phase 'call'."""
        return _summed(((part.origin.operation, part.phase), part.cycles) for part in self._parts)

    @cached_property
    def by_line(self) -> dict[Line, float]:
        """Cycles by line of the user's source, most first."""
        return _summed((part.origin.line, part.cycles) for part in self._parts)

    @cached_property
    def by_step(self) -> dict[str, float]:
        """Cycles by kind of step, most first, with the two parts that surround the steps."""
        return _summed((part.what, part.cycles) for part in self._parts)

    @cached_property
    def around(self) -> dict[str, float]:
        """Cycles of what surrounds the steps: calls with saved registers, moves and spills, and what compiled
        code was measured to have beyond these (below 0 if it had less), where it was.
        """
        return {what: self.by_step.get(what, 0.0) for what in (AROUND_CALLS, BESIDE_STEPS, CALIBRATION)}

    @cached_property
    def each_call(self) -> dict[tuple[str, str], Spread]:
        """Cycles of a call by (operation, format), where the tally keeps each call; else empty."""
        calls: defaultdict[tuple[str, str], Counter[float]] = defaultdict(Counter)
        names = self.tally.format_names()
        for use, records in self.tally.records().items():
            price = program_price(self.cpu, use.program)
            operation = use.operation.name, names[use.format]
            for record, times in records.items():
                calls[operation][price.total(usage_of(use, {record: 1}))] += times
        return {operation: _spread(cycles) for operation, cycles in calls.items()}

    @cached_property
    def by_calls(self) -> dict[tuple[str, str], float]:
        """Cycles by (operation, format), if each call took what the model's arithmetic library states.

        Without the operations that it has no figure for; empty where the model knows of no library.
        """
        library = self.cpu.arithmetic_library
        if library is None:
            return {}
        figures = ((call, n, library.cycles(*call)) for call, n in self.calls.items())
        return {call: n * cycles for call, n, cycles in figures if cycles is not None}

    @cached_property
    def calls_without_figure(self) -> dict[tuple[str, str], int]:
        """Calls, by (operation, format), that the model's arithmetic library has no figure for."""
        if self.cpu.arithmetic_library is None:
            return {}
        return {call: n for call, n in self.calls.items() if call not in self.by_calls}

    @cached_property
    def fpu_cycles(self) -> float | None:
        """Cycles of all the same calls on the sibling part with an FPU; None where it does none of them.

        Operands in registers, as in the estimate itself. Calls that its FPU does not do (`fpu_missing`) stay
        in software there, and are in it at the price of their emulation here (`fpu_software_cycles`).
        """
        part = self.cpu.with_fpu
        if part is None or len(self.fpu_missing) == len(self.calls):
            return None
        done = ((calls, part.cycles(*call)) for call, calls in self.calls.items())
        return sum(n * cycles for n, cycles in done if cycles is not None) + self.fpu_software_cycles

    @cached_property
    def fpu_missing(self) -> dict[tuple[str, str], int]:
        """Calls, by (operation, format), that the sibling part's FPU does not do."""
        part = self.cpu.with_fpu
        if part is None:
            return {}
        return {call: n for call, n in self.calls.items() if part.cycles(*call) is None}

    @cached_property
    def fpu_software_cycles(self) -> float:
        """The cycles in `fpu_cycles` that calls in software take: those that they take here."""
        return self._cycles_of(self.fpu_missing) if self.fpu_missing else 0.0

    @cached_property
    def cycles_by_hand(self) -> float | None:
        """All cycles of code that is scheduled by hand; None where this is such, or where the table of the
        CPU describes none.
        """
        model = self.cpu.described.get(BY_HAND)
        if model is None or self.cpu.compiled_by.id == BY_HAND:
            return None
        return replace(self, cpu=model).cycles

    def __str__(self) -> str:
        """What decides, on one screen; `details` is all of it."""
        from softfloat_py.views.estimate_table import overview

        return overview(self)

    def details(self) -> str:
        """All of the estimate as a text, with every phase, step and line of source."""
        from softfloat_py.views.estimate_table import details

        return details([self])

    def _repr_html_(self) -> str:
        from softfloat_py.views.estimate_table import html

        return html(self)

    def __repr__(self) -> str:
        return f"<Estimate on {self.cpu.name}: {self.cycles:.0f} cycles, {self.seconds:.6g} s>"

    def _cycles_of(self, calls: Collection[tuple[str, str]]) -> float:
        """Cycles of all calls of some, by (operation, format)."""
        names = self.tally.format_names()
        return sum(
            priced.price.total(priced.usage)
            for priced in self._priced
            if (priced.use.operation.name, names[priced.use.format]) in calls
        )

    @cached_property
    def _priced(self) -> list[_Priced]:
        """All usages of the tally, each with the price of its program."""
        return [
            _Priced(use, line, usage, program_price(self.cpu, use.program))
            for (use, line), usage in self.tally.usages().items()
        ]

    @cached_property
    def _parts(self) -> list[_Part]:
        """All cycles, divided by everything there is to divide them by."""
        names = self.tally.format_names()
        return [
            _Part(origin, phase, what, cycles)
            for use, line, usage, price in self._priced
            for origin in [Origin.of(use, line, names)]
            for (phase, what), cycles in price.divided(usage).items()
        ]


class _Priced(NamedTuple):
    """What a line of the user's source did with one program, and the prices of that program."""

    use: Use
    line: Line
    usage: Usage
    price: ProgramPrice


class _Part(NamedTuple):
    """Cycles of one kind of step, or of what surrounds steps, in one phase of one operation from one line."""

    origin: Origin
    phase: str
    what: str
    cycles: float


def _spread(cycles: Counter[float]) -> Spread:
    """Lowest, mean and highest of cycles that were taken so many times."""
    mean = sum(amount * times for amount, times in cycles.items()) / cycles.total()
    return Spread(min(cycles), mean, max(cycles))


def _summed(amounts: Iterable[tuple[K, float]]) -> dict[K, float]:
    """Amounts by key, most first, without those that are nothing."""
    totals: dict[K, float] = {}
    for key, amount in amounts:
        totals[key] = totals.get(key, 0.0) + amount
    return _most_first({key: amount for key, amount in totals.items() if amount})


def _most_first(totals: dict[K, float]) -> dict[K, float]:
    return dict(sorted(totals.items(), key=lambda item: -item[1]))
