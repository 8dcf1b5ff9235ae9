"""What a program costs on a CPU: cycles of a run through each stretch, and of each feature that a site meets.

Every counted step has its price here, by the native steps it becomes; so has what stands around it (see
`context`). Constants are loaded once as long as registers are left to keep them in, before a loop if they are
used inside it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from softfloat_py.integer_form.charges import Charge, Role
from softfloat_py.integer_form.counting import Entry, Usage, bill_of, known_feature
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
    If,
    Loop,
    Program,
    Statement,
    Step,
    Variable,
)
from softfloat_py.keeping import kept
from softfloat_py.lowering.expansions import constant_words
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.calls import put_away, words_held
from softfloat_py.pricing.compiler import Compiler
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.cost_model import CostModel, SurroundingCode
from softfloat_py.pricing.native_steps import kinds_that_meet, load_of, native_steps, shape_of
from softfloat_py.pricing.registers import Registers
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.tables import Table

AROUND_CALLS = "calls and saved registers"
CALIBRATION = "as compiled code was measured"
BESIDE_STEPS = "moves and spills"

MOST_PROGRAMS = 256  # whose prices a model keeps

# Constants that are in registers: numbers, and for a table its place.
Known = frozenset[int | Table]
# Cycles by phase and by what takes them: a counted kind, or one of the three above.
Cycles = Mapping[tuple[str, str], float]


class ProgramPrice:
    """The prices of one program on one CPU, in cycles; a stretch has its price when it is first asked for."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self._pricing = _Pricing(model, program)
        self._by_stretch: dict[int, Cycles] = {}
        self._by_feature: dict[tuple[int, int], Cycles] = {}
        self._sums: dict[int, float] = {}
        self._stretches = program.stretches
        words = words_held(self._pricing.context, model) if model.saves_registers else 0
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


def registers_of(code: SurroundingCode, compiler: Compiler, word: int) -> Registers:
    """The registers of a CPU, as a compiler uses them."""
    parking = 0 if code.parking_registers is None else int(code.parking_registers.value)
    value = count_words(int(compiler.put_away_bits.value), word)
    return Registers(int(code.registers.value), parking, value)


class _Pricing:
    """Puts a price on each charge of a program, in the stretch that it is made to."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self.model = model
        self.program = program
        self.machine = model.compiled_machine
        self.in_memory = model.cycles_of_word_in_memory
        code = model.surrounding_code
        registers = registers_of(code, model.compiler, self.machine.word)
        self.context = Context(program, self.machine, registers, code.overwrites, model.compiler)
        self.looked_up: dict[tuple[str, int, int | None], float] = {}
        self.sites = [site.step for site in bill_of(program).sites]
        self.tells: dict[int, bool] = {}
        self.loads = _Loads(program, self.context)
        self.other_sides = _other_sides(program)
        self.charges = self._charges()

    def _charges(self) -> Mapping[int, Sequence[Charge]]:
        """The charges that each stretch has to do with: its own, and those of steps elsewhere whose constants
        are loaded here, or that compilers may move to here.
        """
        charges: defaultdict[int, list[Charge]] = defaultdict(list)
        sites = set(self.sites)
        for charge in bill_of(self.program).charges:
            step = charge.statement
            if charge.role is Role.STEP and isinstance(step, Step):
                if step in sites:
                    continue
                for elsewhere in (self.loads.before_loop, self.other_sides):
                    if step in elsewhere:
                        charges[elsewhere[step]].append(charge)
            charges[charge.stretch].append(charge)
        return charges

    def telling_feature(self, site: int, feature: int) -> int:
        """The feature that a site's step is priced by: 0 where its price is the same for all."""
        if site not in self.tells:
            shape = shape_of(self.sites[site], self.program, self.machine.word)
            met = kinds_that_meet(shape, self.machine)
            self.tells[site] = met is None or any(map(self.model.is_priced_by_n, met))
        return feature if self.tells[site] else 0

    def site(self, site: int, feature: int) -> Cycles:
        """Cycles of a site's step with a feature."""
        return self.cycles_of(self.sites[site], feature)

    def stretch(self, stretch: int) -> Cycles:
        """Cycles of a run through a stretch."""
        cycles: defaultdict[tuple[str, str], float] = defaultdict(float)
        for charge in self.charges[stretch]:
            for phase, what, amount in self.price(charge, stretch):
                cycles[phase, what] += amount
        return cycles

    # -- charges -----------------------------------------------------------------------------------

    def price(self, charge: Charge, stretch: int) -> Iterator[tuple[str, str, float]]:
        """What a stretch has of a charge: phases, what takes the cycles, and these."""
        phase, kind = charge.phase, charge.kind
        match charge.role:
            case Role.STEP:
                assert isinstance(charge.statement, Step)
                yield from self.step(charge.statement, charge.stretch, stretch)
            case Role.AROUND | Role.OPERAND:
                pass  # in `around_a_call`, and among what a step takes
            case Role.PLACED:
                assert charge.constant is not None
                for word in constant_words(charge.constant, self.machine.word):
                    load = load_of(word.value, self.machine)
                    yield phase, kind, self.native("move") if load is None else self.entry(load)
            case Role.BESIDE_CALL:
                assert isinstance(charge.statement, Call)
                words = put_away(charge.statement, self.context, self.model)
                yield phase, BESIDE_STEPS, words * (self.native("store") + self.native("load"))
            case Role.ROUNDS:
                yield phase, kind, self.native("move")
            case Role.DECISION | Role.BRANCH | Role.COUNTDOWN:
                yield phase, kind, charge.times * self.native(kind)
                if charge.role is Role.DECISION and self.is_uncompared(charge.statement):
                    yield phase, "compare", self.native("compare")

    def is_uncompared(self, statement: Statement | None) -> bool:
        """Whether an `if` looks at a bit that no comparison made, which a comparison then has to ask for."""
        assert isinstance(statement, If)
        code = self.model.surrounding_code
        return not code.branches_compare and statement.condition not in _compared(self.program)

    def step(self, step: Step, own: int, stretch: int) -> Iterator[tuple[str, str, float]]:
        """What a stretch has of a step, which stands in its own: constants may be loaded before a loop, and a
        share of what is moved for an `if` be moved on the other side.
        """
        before_loop = self.loads.before_loop.get(step)
        other_side = self.other_sides.get(step)
        moved = 0.0 if other_side is None else self.model.compiler.share_moved_on_the_other_side.value
        for (phase, what), cycles in self.cycles_of(step, known_feature(step)).items():
            if what == "load_constant" and before_loop is not None:
                yield phase, what, cycles if stretch == before_loop else 0.0
            elif stretch == own:
                yield phase, what, (1 - moved) * cycles
            elif stretch == other_side:
                yield phase, what, moved * cycles

    # -- prices ------------------------------------------------------------------------------------

    def native(self, kind: str) -> float:
        """Cycles of a native step of one word."""
        return self.cycles(kind, self.machine.word, None)

    def cycles(self, kind: str, width: int, feature: int | None) -> float:
        """Cycles of a native step, looked up in the model's table once."""
        key = kind, width, feature
        if key not in self.looked_up:
            self.looked_up[key] = self.model.cycles(*key)
        return self.looked_up[key]

    def cycles_of(self, step: Step, feature: int | None) -> Cycles:
        """Cycles of a step, of its constants if they are not in registers already, and of what is moved."""
        shape = shape_of(step, self.program, self.machine.word)
        kind = step.kind.counted_as
        assert kind is not None
        cycles: defaultdict[tuple[str, str], float] = defaultdict(float)
        native = native_steps(shape, feature, self.machine)
        cycles[step.phase, kind] = self.together(native.steps)
        if native.loads and step not in self.loads.free:
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
        return self.cycles(entry.kind, entry.width or self.machine.word, entry.feature)

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
    the outermost loop around them. None outlasts a call.
    """

    def __init__(self, program: Program, context: Context) -> None:
        self.context = context
        self.free: set[Step] = set()
        self.before_loop: dict[Step, int] = {}
        self._block(program.body, frozenset(), None)

    def _block(self, block: Block, known: Known, before_loop: int | None) -> None:
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
                    if any(any(side.all_calls()) and not side.returns for side in (then, otherwise)):
                        known = frozenset()
                case Call():
                    known = frozenset()
                case Loop(body=body) if any(body.all_calls()):
                    self._block(body, frozenset(), None)
                    known = frozenset()
                case Loop(body=body):
                    self._block(body, known, stretch if before_loop is None else before_loop)

    def _step(self, step: Step, known: Known, before_loop: int | None) -> Known:
        """Look at a step; gives the constants in registers after it."""
        loaded = constants_of(step)
        if loaded <= known:
            self.free.add(step)
        if self.context.live.at[step] + len(known | loaded) > self.context.registers.working:
            return known
        if before_loop is not None:
            self.before_loop[step] = before_loop
        return known | loaded


@kept
def _compared(program: Program) -> frozenset[Variable]:
    """The outcomes of comparisons."""
    return frozenset(s.target for s in program.body.all_steps() if s.kind.counted_as == "compare")


def constants_of(step: Step) -> Known:
    """The constants that a step needs, which a register may hold already."""
    numbers = frozenset(operand.value for operand in step.operands if isinstance(operand, Constant))
    return numbers | {step.immediate} if isinstance(step.immediate, Table) else numbers


@kept
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
