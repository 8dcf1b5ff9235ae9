"""What a program costs on a CPU: cycles of a run through each stretch, and of each feature that a site meets.

Every counted step has its price here, by the native steps it becomes; so has what stands around it (see
`context`). Constants are loaded once as long as registers are left to keep them in, before a loop if they are
used inside it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from functools import cache

from softfloat_py.integer_form.charges import Charge, Role
from softfloat_py.integer_form.counting import Entry, Usage, bill_of, known_feature
from softfloat_py.integer_form.grammar import Block, Constant, If, Loop, Program, Statement, Step
from softfloat_py.lowering.expansions import constant_words
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.compiler import C
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.cost_model import CostModel, SurroundingCode
from softfloat_py.pricing.native_steps import load_of, native_steps, shape_of
from softfloat_py.pricing.registers import Registers
from softfloat_py.routines.phases import CALL

AROUND_CALLS = "calls and saved registers"
CALIBRATION = "as compiled code was measured"
BESIDE_STEPS = "moves and spills"

# Cycles by phase and by what takes them: a counted kind, or one of the three above.
Cycles = Mapping[tuple[str, str], float]


class ProgramPrice:
    """The prices of one program on one CPU, in cycles."""

    def __init__(self, model: CostModel, program: Program) -> None:
        pricing = _Pricing(model, program)
        self.stretches: tuple[Cycles, ...] = tuple(pricing.stretches)
        self._sites = [pricing.sites[id(site.step)] for site in bill_of(program).sites]
        self._by_feature: dict[tuple[int, int], Cycles] = {}
        self.around_a_call = model.cycles_around_a_call(pricing.context.most_words)
        self._sums = [sum(cycles.values()) for cycles in self.stretches]

    def site(self, site: int, feature: int) -> Cycles:
        """Cycles of one run of a site's step, with the feature it meets."""
        key = site, feature
        if key not in self._by_feature:
            self._by_feature[key] = self._sites[site](feature)
        return self._by_feature[key]

    def total(self, usage: Usage) -> float:
        """All cycles of a usage."""
        total = usage.calls * self.around_a_call
        total += sum(runs * cycles for runs, cycles in zip(usage.runs, self._sums, strict=True))
        for site, histogram in enumerate(usage.features):
            total += sum(n * sum(self.site(site, feature).values()) for feature, n in histogram.items())
        return total

    def divided(self, usage: Usage) -> dict[tuple[str, str], float]:
        """All cycles of a usage, by phase and by what takes them."""
        total: defaultdict[tuple[str, str], float] = defaultdict(float)
        total[CALL, AROUND_CALLS] = usage.calls * self.around_a_call
        for runs, cycles in zip(usage.runs, self.stretches, strict=True):
            if runs:
                _add(total, cycles, runs)
        for site, histogram in enumerate(usage.features):
            for feature, n in histogram.items():
                _add(total, self.site(site, feature), n)
        return total


def _add(total: defaultdict[tuple[str, str], float], cycles: Cycles, times: float) -> None:
    for key, amount in cycles.items():
        total[key] += times * amount


@cache
def program_price(model: CostModel, program: Program) -> ProgramPrice:
    """The prices of a program on a CPU."""
    return ProgramPrice(model, program)


def registers_of(code: SurroundingCode, word: int) -> Registers:
    """The registers of a CPU."""
    parking = 0 if code.parking_registers is None else int(code.parking_registers.value)
    return Registers(int(code.registers.value), parking, count_words(C.put_away_bits, word))


class _Pricing:
    """Puts a price on each charge of a program, in the stretch that it is made to."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self.model = model
        self.program = program
        self.machine = model.compiled_machine
        self.in_memory = model.cycles_of_word_in_memory
        code = model.surrounding_code
        registers = registers_of(code, self.machine.word)
        self.context = Context(program, self.machine, registers, code.overwrites, C)
        self.stretches = [defaultdict[tuple[str, str], float](float) for _ in range(program.stretches)]
        self.sites: dict[int, Callable[[int], Cycles]] = {}
        self.is_site = {id(site.step) for site in bill_of(program).sites}
        self.compared = {s.target for s in program.body.all_steps() if s.kind.counted_as == "compare"}
        self.loads = _Loads(program, self.context)
        self.other_sides = _other_sides(program)
        for charge in bill_of(program).charges:
            self.price(charge)

    def charge(self, stretch: int, phase: str, what: str, cycles: float) -> None:
        if cycles:
            self.stretches[stretch][phase, what] += cycles

    # -- charges -----------------------------------------------------------------------------------

    def price(self, charge: Charge) -> None:
        """Add the cycles of a charge to its stretch."""
        match charge.role:
            case Role.STEP:
                assert isinstance(charge.statement, Step)
                self.step(charge.statement, charge.stretch)
            case Role.AROUND | Role.OPERAND:
                pass  # in `around_a_call`, and among what a step takes
            case Role.PLACED:
                self.place(charge)
            case Role.ROUNDS:
                self.charge(charge.stretch, charge.phase, charge.kind, self.native("move"))
            case Role.DECISION | Role.BRANCH | Role.COUNTDOWN:
                cycles = charge.times * self.native(charge.kind)
                self.charge(charge.stretch, charge.phase, charge.kind, cycles)
                if charge.role is Role.DECISION and self.is_uncompared(charge.statement):
                    self.charge(charge.stretch, charge.phase, "compare", self.native("compare"))

    def is_uncompared(self, statement: Statement | None) -> bool:
        """Whether an `if` looks at a bit that no comparison made, which a comparison then has to ask for."""
        assert isinstance(statement, If)
        return statement.condition not in self.compared and not self.model.surrounding_code.branches_compare

    def place(self, charge: Charge) -> None:
        """Charge the bringing of a constant to a place of its own, word by word."""
        assert charge.constant is not None
        for word in constant_words(charge.constant, self.machine.word):
            load = load_of(word.value, self.machine)
            cycles = self.native("move") if load is None else self.entry(load)
            self.charge(charge.stretch, charge.phase, charge.kind, cycles)

    def step(self, step: Step, stretch: int) -> None:
        """Charge a step, and the constants that it needs if they are not in registers already."""
        with_loads = step not in self.loads.free
        if id(step) in self.is_site:
            self.sites[id(step)] = lambda feature: self.cycles_of(step, feature, with_loads=with_loads)
            return
        cycles = dict(self.cycles_of(step, known_feature(step), with_loads=with_loads))
        if step in self.loads.before_loop:
            load = step.phase, "load_constant"
            self.stretches[self.loads.before_loop[step]][load] += cycles.pop(load, 0.0)
        if step in self.other_sides:
            moved = C.share_moved_on_the_other_side
            _add(self.stretches[stretch], cycles, 1 - moved)
            _add(self.stretches[self.other_sides[step]], cycles, moved)
        else:
            _add(self.stretches[stretch], cycles, 1)

    # -- prices ------------------------------------------------------------------------------------

    def native(self, kind: str) -> float:
        """Cycles of a native step of one word."""
        return self.model.cycles(kind, self.machine.word, None)

    def cycles_of(self, step: Step, feature: int | None, *, with_loads: bool) -> Cycles:
        """Cycles of a step and of what stands beside it."""
        shape = shape_of(step, self.program)
        kind = step.kind.counted_as
        assert kind is not None
        cycles: defaultdict[tuple[str, str], float] = defaultdict(float)
        native = native_steps(shape, feature, self.machine)
        cycles[step.phase, kind] = self.together(native.steps)
        if with_loads and native.loads:
            cycles[step.phase, "load_constant"] = self.together(native.loads)
        if kind == "compare":
            cycles[step.phase, kind] = self.comparison(step, cycles[step.phase, kind])
        cycles[step.phase, BESIDE_STEPS] += self.extra_moves(step, feature)
        measured = sum(native.steps.values()) * self.model.surrounding_code.moves_a_step.value
        if measured:
            cycles[step.phase, CALIBRATION] += measured * self.native("move")
        return cycles

    def together(self, entries: Mapping[Entry, int]) -> float:
        """Cycles of native steps."""
        return sum(times * self.entry(entry) for entry, times in entries.items())

    def entry(self, entry: Entry) -> float:
        """Cycles of one native step."""
        return self.model.cycles(entry.kind, entry.width or self.machine.word, entry.feature)

    def comparison(self, step: Step, cycles: float) -> float:
        """A comparison's cycles: those of keeping its outcome as a number as well; or, if it only decides, no
        more than comparing word by word, with a branch not taken after each but the last. Where branches
        compare by themselves, these are all.
        """
        code = self.model.surrounding_code
        if self.context.is_kept_as_number(step):
            return cycles + code.condition_as_value.cycles
        words = max(count_words(operand.width, self.machine.word) for operand in step.operands)
        compared = 0.0 if code.branches_compare else words * self.native("compare")
        return min(cycles, compared + (words - 1) * self.native("branch_not_taken"))

    def extra_moves(self, step: Step, feature: int | None) -> float:
        """Cycles of copies, and of what lies in memory for want of registers."""
        moved = self.context.extra_moves(step, feature)
        return (moved.copied + moved.parked) * self.native("move") + moved.spilled * self.in_memory


class _Loads:
    """Which steps find their constants in registers already, and which have them loaded in the stretch before
    the outermost loop around them.
    """

    def __init__(self, program: Program, context: Context) -> None:
        self.context = context
        self.free: set[Step] = set()
        self.before_loop: dict[Step, int] = {}
        self._block(program.body, frozenset(), None)

    def _block(self, block: Block, known: frozenset[int], before_loop: int | None) -> None:
        """Look at a block; `known` are the constants that are in registers before it."""
        stretch = block.number
        for statement in block.statements:
            match statement:
                case Step() if statement.kind.counted_as is not None:
                    known = self._step(statement, known, before_loop)
                case If(then=then, otherwise=otherwise, after=after):
                    self._block(then, known, before_loop)
                    self._block(otherwise, known, before_loop)
                    stretch = stretch if after is None else after
                case Loop(body=body):
                    self._block(body, known, stretch if before_loop is None else before_loop)

    def _step(self, step: Step, known: frozenset[int], before_loop: int | None) -> frozenset[int]:
        """Look at a step; gives the constants in registers after it."""
        loaded = {o.value for o in step.operands if isinstance(o, Constant)}
        if loaded <= known:
            self.free.add(step)
        if self.context.live.at[step] + len(known | loaded) > self.context.registers.working:
            return known
        if before_loop is not None:
            self.before_loop[step] = before_loop
        return known | loaded


def _other_sides(program: Program) -> dict[Step, int]:
    """For what one side of an `if` moves for nothing but to go on after it, the stretch that the other side
    begins with: compilers choose the side.
    """
    others: dict[Step, int] = {}
    for statement in program.body.all_statements():
        if isinstance(statement, If):
            then, otherwise = statement.then, statement.otherwise
            arriving = {join.if_true for join in statement.joins}, {join.if_false for join in statement.joins}
            for side, values, other in ((then, arriving[0], otherwise), (otherwise, arriving[1], then)):
                for step in side.statements:
                    if isinstance(step, Step) and step.kind.name == "move" and step.target in values:
                        others[step] = other.number
    return others
