"""What a program costs on a CPU: cycles of a run through each stretch, and of each feature that a site meets.

Every counted step has its price here, by the native steps it becomes; so has what stands around it (see
`context`). Constants are loaded once as long as registers are left to keep them in, before a loop if they are
used inside it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from functools import cache

from softfloat_py.integer_form.counting import Entry, Usage, bill_of
from softfloat_py.integer_form.grammar import (
    Block,
    Constant,
    If,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Step,
    Variable,
)
from softfloat_py.lowering.expansions import constant_words
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.context import context_of
from softfloat_py.pricing.cost_model import CostModel, SurroundingCode
from softfloat_py.pricing.native_steps import load_of, native_steps, shape_of
from softfloat_py.pricing.registers import WIDEST_TYPE, Registers
from softfloat_py.routines.phases import CALL
from softfloat_py.routines.steps import Feature

AROUND_CALLS = "calls and saved registers"
CALIBRATION = "as compiled code was measured"
BESIDE_STEPS = "moves and spills"

# Cycles by phase and by what takes them: a counted kind, or one of the three above.
Cycles = Mapping[tuple[str, str], float]


class ProgramPrice:
    """The prices of one program on one CPU, in cycles."""

    def __init__(self, model: CostModel, program: Program) -> None:
        pricing = _Pricing(model, program)
        pricing.block(program.body, frozenset(), None)
        self.stretches: tuple[Cycles, ...] = tuple(pricing.stretches)
        self._sites = [pricing.sites[id(site.step)] for site in bill_of(program).sites]
        self._by_feature: dict[tuple[int, int], Cycles] = {}
        self.around_a_call = model.cycles_around_a_call(pricing.context.words)
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
    return Registers(int(code.registers.value), parking, count_words(WIDEST_TYPE, word))


class _Pricing:
    """A walk over a program that charges each statement to the stretch it runs in."""

    def __init__(self, model: CostModel, program: Program) -> None:
        self.model = model
        self.program = program
        self.machine = model.compiled_machine
        self.in_memory = model.cycles_of_word_in_memory
        code = model.surrounding_code
        self.context = context_of(
            program, self.machine, registers_of(code, self.machine.word), code.overwrites
        )
        self.stretches = [defaultdict[tuple[str, str], float](float) for _ in range(program.stretches)]
        self.sites: dict[int, Callable[[int], Cycles]] = {}
        self.other_side: dict[int, int] = {}  # of moves that may as well stand on the other side of an `if`
        self.is_site = {id(site.step) for site in bill_of(program).sites}
        self.compared = {s.target for s in program.body.all_steps() if s.kind.counted_as == "compare"}

    def charge(self, stretch: int, phase: str, what: str, cycles: float) -> None:
        if cycles:
            self.stretches[stretch][phase, what] += cycles

    # -- statements --------------------------------------------------------------------------------

    def block(self, block: Block, known: frozenset[int], before_loop: int | None) -> None:
        """Charge a block; `known` are constants that are in registers already, `before_loop` the stretch in
        front of the outermost loop around it.
        """
        stretch = block.number
        for statement in block.statements:
            match statement:
                case Step() if statement.kind.counted_as is not None:
                    known = self.step(statement, stretch, known, before_loop)
                case Return(results=results, phase=phase):
                    for result in results:
                        self.load(stretch, phase, result)
                case If():
                    self.branch(statement, known, before_loop)
                    stretch = stretch if statement.after is None else statement.after
                case Loop():
                    self.loop(statement, stretch, known, before_loop)
                case Step() | Note():
                    pass

    def step(
        self, step: Step, stretch: int, known: frozenset[int], before_loop: int | None
    ) -> frozenset[int]:
        """Charge a step; gives the constants in registers after it."""
        loaded = {o.value for o in step.operands if isinstance(o, Constant)}
        free = loaded <= known
        room = self.context.held[id(step)] + len(known | loaded) <= self.context.registers.working
        if id(step) in self.is_site:
            self.sites[id(step)] = lambda feature: self.cycles_of(step, feature, with_loads=not free)
        else:
            cycles = dict(self.cycles_of(step, _feature(step), with_loads=not free))
            load = step.phase, "load_constant"
            if before_loop is not None and room:
                self.stretches[before_loop][load] += cycles.pop(load, 0.0)
            self.charge_step(step, stretch, cycles)
        return known | loaded if room else known

    def charge_step(self, step: Step, stretch: int, cycles: Cycles) -> None:
        """Charge the cycles of a step; of a move for an `if`, half to either side."""
        if id(step) not in self.other_side:
            _add(self.stretches[stretch], cycles, 1)
            return
        for side in (stretch, self.other_side[id(step)]):
            _add(self.stretches[side], cycles, 1 / 2)

    def branch(self, statement: If, known: frozenset[int], before_loop: int | None) -> None:
        """Charge what an `if` costs on either side, as the counting rules have it
        (`integer_form.counting`).
        """
        phase, then, otherwise = statement.phase, statement.then, statement.otherwise
        held, missed = "branch_not_taken", "branch_taken"
        if then.returns:
            held, missed = missed, held
        for side, kind in ((then, held), (otherwise, missed)):
            self.charge(side.number, phase, kind, self.native(kind))
            if statement.condition not in self.compared and not self.model.surrounding_code.branches_compare:
                self.charge(side.number, phase, "compare", self.native("compare"))
        for join in statement.joins:
            self.load(_last_stretch(then), phase, join.if_true)
            self.load(_last_stretch(otherwise), phase, join.if_false)
            self.note_moves(then, join.if_true, otherwise)
            self.note_moves(otherwise, join.if_false, then)
        if otherwise.statements and not then.returns:
            self.charge(_last_stretch(then), phase, "branch_taken", self.native("branch_taken"))
        self.block(then, known, before_loop)
        self.block(otherwise, known, before_loop)

    def note_moves(self, side: Block, arriving: Operand | None, other: Block) -> None:
        """Note what a side moves for nothing but to go on after an `if`: compilers choose the side."""
        for step in side.statements:
            if isinstance(step, Step) and step.kind.name == "move" and step.target == arriving:
                self.other_side[id(step)] = other.number

    def loop(self, loop: Loop, stretch: int, known: frozenset[int], before_loop: int | None) -> None:
        """Charge a loop: what counts its rounds, and its body."""
        phase, body = loop.phase, loop.body.number
        for item in loop.carried:
            self.load(stretch, phase, item.initial)
        taken, not_taken = self.native("branch_taken"), self.native("branch_not_taken")
        self.charge(body, phase, "subtract", self.native("subtract"))
        self.charge(body, phase, "branch_taken", taken)
        if isinstance(loop.count, int):
            self.charge(stretch, phase, "load_constant", self.native("move"))
            self.charge(stretch, phase, "branch_not_taken", not_taken)
            self.charge(stretch, phase, "branch_taken", -taken)
        else:
            self.charge(body, phase, "branch_not_taken", not_taken)
            self.charge(stretch, phase, "branch_taken", taken)
        self.block(loop.body, known, stretch if before_loop is None else before_loop)

    # -- prices ------------------------------------------------------------------------------------

    def native(self, kind: str) -> float:
        """Cycles of a native step of one word."""
        return self.model.cycles(kind, self.machine.word, None)

    def load(self, stretch: int, phase: str, operand: Operand | None) -> None:
        """Charge the bringing of a constant to a place of its own, word by word."""
        if isinstance(operand, Constant):
            for word in constant_words(operand, self.machine.word):
                load = load_of(word.value, self.machine)
                cycles = self.native("move") if load is None else self.entry(load)
                self.charge(stretch, phase, "load_constant", cycles)

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
        cycles[step.phase, BESIDE_STEPS] += self.beside(step, feature)
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

    def beside(self, step: Step, feature: int | None) -> float:
        """Cycles of copies, and of what lies in memory for want of registers."""
        beside = self.context.beside(step, feature)
        return (beside.copied + beside.parked) * self.native("move") + beside.spilled * self.in_memory


def _last_stretch(block: Block) -> int:
    return max(
        (s.after for s in block.statements if isinstance(s, If) and s.after is not None), default=block.number
    )


def _feature(step: Step) -> int | None:
    """The feature of a step that is no site: it is known before anything runs."""
    match step.kind.feature:
        case Feature.NONE:
            return None
        case Feature.IMMEDIATE:
            return step.immediate
        case Feature.SET_BITS:
            return _constant(step.operands[1]).value.bit_count()
        case _:
            return _constant(step.operands[1]).value


def _constant(operand: Operand) -> Constant:
    assert not isinstance(operand, Variable)
    return operand
