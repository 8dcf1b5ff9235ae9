"""A tally priced on a CPU.

Three things add up: the steps by the CPU's table, the call, return, saved registers and arguments of each
operation, and the register moves and spills that compiled code has beside its steps. The last two are a
stated part of the cost model and shown as such.

An estimate is for planning and has to be measured on the target. It is no bound on the time of a program.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import inf
from numbers import Real
from typing import TYPE_CHECKING, Any, TypeVar

from softfloat_py.errors import OperandError, QuantityError
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.step_prices import StepPrice, step_price
from softfloat_py.pricing.table_reader import cost_model

if TYPE_CHECKING:
    from softfloat_py.tally import Line, Origin, Tally

AROUND_CALLS = "calls and saved registers"
BESIDE_STEPS = "moves and spills"
K = TypeVar("K")
# Counted once a call and priced with all that surrounds a call.
_PRICED_WITH_CALLS = ("call", "return")


def estimate(
    tally: Tally, cpu: str | CostModel, *, clock_hz: float | None = None, deadline: float | None = None
) -> Estimate:
    """What a tally takes on a CPU; see `Tally.estimate`."""
    model = cost_model(cpu) if isinstance(cpu, str) else cpu
    if not isinstance(model, CostModel):
        raise OperandError(
            f"an estimate needs a cost model or the name of one, not {cpu!r}; "
            "load_cost_model(path) reads a file of one's own"
        )
    for name, value in (("clock_hz", clock_hz), ("deadline", deadline)):
        if value is not None and not (isinstance(value, Real) and 0 < value < inf):
            raise QuantityError(name, "a finite number above 0", value)
    return Estimate(tally, model, model.clock.default_mhz * 1e6 if clock_hz is None else clock_hz, deadline)


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
        prices = self._prices
        steps = sum(n * self._full(prices[step]) for step, n in self.tally.steps_by_feature.items())
        return steps + self.tally.total_calls * self.cpu.cycles_around_a_call

    @property
    def seconds(self) -> float:
        """Time at the clock."""
        return self.cycles / self.clock_hz

    @property
    def deadline_share(self) -> float | None:
        """Time as a share of the deadline: 1.0 takes all of it."""
        return None if self.deadline is None else self.seconds / self.deadline

    @property
    def calls(self) -> dict[tuple[str, str], int]:
        """Calls by (operation, format)."""
        return self.tally.calls

    @property
    def options(self) -> tuple[str, ...]:
        """The names of the options the operations were run with."""
        return tuple(sorted({origin.options for origin in self.tally.calls_by_origin}))

    @cached_property
    def by_operation(self) -> dict[tuple[str, str], float]:
        """Cycles by (operation, format), most first."""
        return _summed(((origin.operation, origin.format), n) for origin, n in self._by_origin.items())

    @cached_property
    def by_phase(self) -> dict[tuple[str, str], float]:
        """Cycles by (operation, phase), most first; what surrounds a call is the phase 'call'."""
        prices = {step: self._full(price) for step, price in self._prices.items()}
        steps = [
            ((origin.operation, entry.phase), n * prices[entry[1:]])
            for origin, entry, n in self.tally.cells()
        ]
        around = self.cpu.cycles_around_a_call
        calls = [((o.operation, "call"), n * around) for o, n in self.tally.calls_by_origin.items()]
        return _summed(steps + calls)

    @cached_property
    def by_line(self) -> dict[Line, float]:
        """Cycles by line of the user's source, most first."""
        return _summed((origin.line, n) for origin, n in self._by_origin.items())

    @cached_property
    def by_step(self) -> dict[str, float]:
        """Cycles by kind of step, most first, with the two parts that surround the steps."""
        totals = {BESIDE_STEPS: self.around[BESIDE_STEPS], AROUND_CALLS: self.around[AROUND_CALLS]}
        for step, n in self.tally.steps_by_feature.items():
            totals[step[0]] = totals.get(step[0], 0.0) + n * self._prices[step].cycles
        return _most_first(totals)

    @cached_property
    def around(self) -> dict[str, float]:
        """Cycles of what surrounds the steps: calls with saved registers, and moves and spills."""
        native = sum(n * self._prices[step].native_steps for step, n in self.tally.steps_by_feature.items())
        return {
            AROUND_CALLS: self.tally.total_calls * self.cpu.cycles_around_a_call,
            BESIDE_STEPS: native * self.cpu.cycles_beside_a_step,
        }

    @cached_property
    def fpu_cycles(self) -> float | None:
        """Cycles of the same operations on the sibling part with an FPU, as far as it does them in hardware.

        Operands in registers, as in the estimate itself. None where no such part is known.
        """
        if self.cpu.with_fpu is None:
            return None
        cycles = [self.cpu.with_fpu.cycles(*call) for call in self.calls]
        return sum(n * c for n, c in zip(self.calls.values(), cycles, strict=True) if c is not None)

    @cached_property
    def fpu_missing(self) -> dict[tuple[str, str], int]:
        """Calls, by (operation, format), that the sibling part's FPU does not do."""
        part = self.cpu.with_fpu
        if part is None:
            return {}
        return {call: n for call, n in self.calls.items() if part.cycles(*call) is None}

    def __str__(self) -> str:
        from softfloat_py.views.estimate_table import text

        return text(self)

    def _repr_html_(self) -> str:
        from softfloat_py.views.estimate_table import html

        return html(self)

    def __repr__(self) -> str:
        return f"<Estimate on {self.cpu.name}: {self.cycles:.0f} cycles, {self.seconds:.6g} s>"

    # -- how the figures come about ----------------------------------------------------------------

    @cached_property
    def _prices(self) -> dict[tuple[Any, ...], StepPrice]:
        """The price of each (kind, width, feature) that occurs."""
        return {
            key: StepPrice(0.0, 0) if key[0] in _PRICED_WITH_CALLS else step_price(self.cpu, *key)
            for key in self.tally.steps_by_feature
        }

    def _full(self, price: StepPrice) -> float:
        """A step with the moves and spills beside it."""
        return price.cycles + price.native_steps * self.cpu.cycles_beside_a_step

    @cached_property
    def _by_origin(self) -> dict[Origin, float]:
        """Cycles by where they come from, what surrounds the steps included."""
        prices = {step: self._full(price) for step, price in self._prices.items()}
        around = self.cpu.cycles_around_a_call
        totals = {origin: n * around for origin, n in self.tally.calls_by_origin.items()}
        for origin, entry, n in self.tally.cells():
            totals[origin] = totals.get(origin, 0.0) + n * prices[entry[1:]]
        return totals


def _summed(amounts: Iterable[tuple[K, float]]) -> dict[K, float]:
    """Amounts by key, most first, without those that are nothing."""
    totals: dict[K, float] = {}
    for key, amount in amounts:
        totals[key] = totals.get(key, 0.0) + amount
    return _most_first({key: amount for key, amount in totals.items() if amount})


def _most_first(totals: dict[K, float]) -> dict[K, float]:
    return dict(sorted(totals.items(), key=lambda item: -item[1]))
