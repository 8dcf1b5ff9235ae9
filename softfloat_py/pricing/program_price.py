"""What a program costs on a CPU: cycles of a run through each stretch, and of each feature that a site meets.

`step_prices` says what a step costs. Here is where in compiled code it is paid for: as a compiler orders it
(`compiled_order`), constants before loops, short sides on a condition; and
what control flow costs.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from softfloat_py.integer_form.charges import Charge, Role
from softfloat_py.integer_form.counting import Usage, bill_of, known_feature
from softfloat_py.integer_form.grammar import Call, Constant, If, Loop, Program, Step
from softfloat_py.lowering.expansions import constant_words
from softfloat_py.pricing.calls import put_away, words_held
from softfloat_py.pricing.compiled_order import as_compiled
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.decisions import short_sides
from softfloat_py.pricing.native_steps import load_of
from softfloat_py.pricing.step_prices import BESIDE_STEPS, Cycles, StepPrices
from softfloat_py.routines.phases import CALL

AROUND_CALLS = "calls and saved registers"

MOST_PROGRAMS = 256  # whose prices a model keeps


class ProgramPrice:
    """The prices of one program on one CPU, in cycles; a stretch has its price when it is first asked for."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self._pricing = _Pricing(model, as_compiled(program))
        self._by_stretch: dict[int, Cycles] = {}
        self._by_feature: dict[tuple[int, int], Cycles] = {}
        self._sums: dict[int, float] = {}
        self._stretches = program.stretches
        words = (
            words_held(self._pricing.steps.context, self._pricing.steps.loads, model)
            if model.saves_registers
            else 0
        )
        self.around_a_call = model.cycles_around_a_call(words)
        self.callees = {callee: program_price(model, callee) for callee in program.callees}

    @property
    def stretches(self) -> tuple[Cycles, ...]:
        """Cycles of a run through each stretch."""
        return tuple(map(self.stretch, range(self._stretches)))

    def stretch(self, number: int) -> Cycles:
        """Cycles of one run through a stretch, sites left out."""
        if number not in self._by_stretch:
            self._by_stretch[number] = self._pricing.stretch(number)
        return self._by_stretch[number]

    def site(self, site: int, feature: int) -> Cycles:
        """Cycles of one run of a site's step, with the feature it meets."""
        key = site, self._pricing.telling_feature(site, feature)
        if key not in self._by_feature:
            self._by_feature[key] = self._pricing.site(*key)
        return self._by_feature[key]

    def total(self, usage: Usage) -> float:
        """All cycles of a usage, those of what was called included."""
        total = usage.calls * self.around_a_call
        total += sum(runs * self._sum(number) for number, runs in enumerate(usage.runs) if runs)
        for site, histogram in enumerate(usage.features):
            total += sum(n * sum(self.site(site, feature).values()) for feature, n in histogram.items())
        called = zip(self.callees.values(), usage.callees, strict=True)
        return total + sum(price.total(calls) for price, calls in called)

    def _sum(self, number: int) -> float:
        """Cycles of one run through a stretch, of all that takes them."""
        if number not in self._sums:
            self._sums[number] = sum(self.stretch(number).values())
        return self._sums[number]

    def divided(self, usage: Usage) -> dict[tuple[str, str], float]:
        """The same, by phase and by what takes them."""
        total: defaultdict[tuple[str, str], float] = defaultdict(float)
        total[CALL, AROUND_CALLS] = usage.calls * self.around_a_call
        for number, runs in enumerate(usage.runs):
            if runs:
                _add(total, self.stretch(number), runs)
        for site, histogram in enumerate(usage.features):
            for feature, n in histogram.items():
                _add(total, self.site(site, feature), n)
        for price, calls in zip(self.callees.values(), usage.callees, strict=True):
            _add(total, price.divided(calls), 1)
        return total


def _add(total: defaultdict[tuple[str, str], float], cycles: Cycles, times: float) -> None:
    for key, amount in cycles.items():
        total[key] += times * amount


def program_price(model: CostModel, program: Program) -> ProgramPrice:
    """The prices of a program on a CPU; the model keeps those of the programs that came last."""
    price: ProgramPrice | None = model.prices.get(program)
    if price is None:
        price = ProgramPrice(model, program)
        if len(model.prices) >= MOST_PROGRAMS:
            model.prices.pop(next(iter(model.prices)), None)
        model.prices[program] = price
    return price


class _Pricing:
    """Puts a price on each charge of a program, in the stretch that it is made to."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self.model = model
        self.program = program
        self.steps = StepPrices(model, program)
        self.native = self.steps.prices.of
        self.sites = [site.step for site in bill_of(program).sites]
        self.tells: dict[int, bool] = {}
        self.without_branch, self.on_both_sides = self._done_on_condition()
        self.written_out = frozenset(loop for loop in program.body.all_loops() if self._is_written_out(loop))
        self.charges = self._charges()

    def _done_on_condition(self) -> tuple[set[If], dict[Step, int]]:
        """The `if`s whose steps are done on a condition, without a branch; and for each of these steps the
        stretch of the other side, which passes through them as well.
        """
        if not self.model.machine.conditional_execution:
            return set(), {}
        most = int(self.native("branch_taken") // self.native("move"))
        short = short_sides(self.program, self.steps.context.native, most)
        steps = {step: other.number for side, other in short.values() for step in side.all_steps()}
        return set(short), steps

    def _is_written_out(self, loop: Loop) -> bool:
        """Whether a compiler writes out the rounds of a loop."""
        return isinstance(loop.count, int) and self.steps.native_steps_in(loop.body) <= (
            self.model.compiler.unrolled_steps.value
        )

    def _charges(self) -> Mapping[int, Sequence[Charge]]:
        """The charges that each stretch has to do with: its own, and those of steps elsewhere whose constants
        are loaded here, or that are done here on a condition.
        """
        charges: defaultdict[int, list[Charge]] = defaultdict(list)
        sites = set(self.sites)
        elsewhere = (self.steps.loads.before_loop, self.on_both_sides)
        for charge in bill_of(self.program).charges:
            step = charge.statement
            if charge.role is Role.STEP and isinstance(step, Step):
                if step in sites:
                    continue
                for stretch in {places[step] for places in elsewhere if step in places}:
                    charges[stretch].append(charge)
            charges[charge.stretch].append(charge)
        return charges

    def telling_feature(self, site: int, feature: int) -> int:
        """The feature that a site's step is priced by: 0 where its price is the same for all."""
        if site not in self.tells:
            self.tells[site] = self.steps.depends_on_feature(self.sites[site])
        return feature if self.tells[site] else 0

    def site(self, site: int, feature: int) -> Cycles:
        """Cycles of a site's step with a feature."""
        return self.steps.of(self.sites[site], feature)

    def stretch(self, stretch: int) -> Cycles:
        """Cycles of a run through a stretch."""
        cycles: defaultdict[tuple[str, str], float] = defaultdict(float)
        for charge in self.charges[stretch]:
            for phase, what, amount in self.price(charge, stretch):
                cycles[phase, what] += amount
        return cycles

    def price(self, charge: Charge, stretch: int) -> Iterator[tuple[str, str, float]]:
        """What a stretch has of a charge: phases, what takes the cycles, and these."""
        phase, kind, statement = charge.phase, charge.kind, charge.statement
        match charge.role:
            case Role.STEP:
                assert isinstance(statement, Step)
                yield from self.step(statement, charge.stretch, stretch)
            case Role.AROUND | Role.OPERAND:
                pass  # in `around_a_call`, and among what a step takes
            case Role.PLACED:
                assert charge.constant is not None
                words = constant_words(charge.constant, self.steps.machine.word)
                yield phase, kind, sum(map(self.placed, words))
            case Role.BESIDE_CALL:
                assert isinstance(statement, Call)
                away = put_away(statement, self.steps.context, self.model)
                yield phase, BESIDE_STEPS, away * (self.native("store") + self.native("load"))
            case Role.ROUNDS | Role.BRANCH | Role.COUNTDOWN if statement in self.written_out:
                pass
            case Role.ROUNDS:
                yield phase, kind, self.set_in_place(charge.width)
            case Role.DECISION:
                assert isinstance(statement, If)
                yield phase, "compare", self.steps.asked_for(statement)
                yield phase, kind, self.decision(statement, kind)
            case Role.BRANCH | Role.COUNTDOWN:
                yield phase, kind, charge.times * self.native(kind, bits=charge.width)

    def placed(self, word: Constant) -> float:
        """Cycles of bringing a word of a constant to its place."""
        load = load_of(word.value, self.steps.machine)
        return self.set_in_place(word.width) if load is None else self.steps.prices.entry(load)

    def set_in_place(self, bits: int) -> float:
        """Cycles of bringing a constant that is part of an instruction to its place: of a move, unless steps
        are of whole types.
        """
        return self.native("load_constant" if self.model.compiler.has_whole_types else "move", bits=bits)

    def decision(self, statement: If, branch: str) -> float:
        """Cycles of an `if` on one side: a branch, or what has instructions done on a condition."""
        if statement in self.without_branch:
            return self.native("select") - self.native("move")
        return self.native(branch)

    def step(self, step: Step, own: int, stretch: int) -> Iterator[tuple[str, str, float]]:
        """What a stretch has of a step, which stands in its own: constants may be loaded before a loop, and a
        short side be done on a condition, so that the other passes through it too.
        """
        before_loop = self.steps.loads.before_loop.get(step)
        for (phase, what), cycles in self.steps.of(step, known_feature(step)).items():
            if what == "load_constant" and before_loop is not None:
                yield phase, what, cycles if stretch == before_loop else 0.0
            elif stretch == own or step in self.on_both_sides:
                yield phase, what, cycles
