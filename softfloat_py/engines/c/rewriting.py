"""A program in words rewritten step by step: what C has not is expanded by the routines that price it, what
does nothing is left out.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from softfloat_py.engines.c.ranges import Ranges
from softfloat_py.engines.c.routines import (
    BY_BRANCH,
    cut_into_digits,
    product_of_digits,
    shift_left_by_words,
    shift_right_by_words,
)
from softfloat_py.engines.c.target import Target
from softfloat_py.integer_form.grammar import (
    Block,
    Constant,
    If,
    Join,
    Note,
    Operand,
    Program,
    Step,
    Variable,
)
from softfloat_py.integer_form.reader import write_out
from softfloat_py.integer_form.rewriting import Rewriting
from softfloat_py.lowering.expansions import expand
from softfloat_py.routines.language import Routine
from softfloat_py.routines.steps import Feature


class InC(Rewriting):
    """Expands the steps of a program in words that C has not, and leaves out those that do nothing."""

    def __init__(self, program: Program, target: Target) -> None:
        super().__init__(program)
        self.target = target
        self.ranges = Ranges(target.widest)
        self.orders: set[Operand] = set()  # outcomes of comparisons for order

    def statements(self, block: Block) -> None:
        """Rewrite a block's statements into the open one, up to one that control does not leave."""
        for statement in block.statements:
            self.statement(statement)
            if Block(0, tuple(self.builder.statements[-1:])).returns:
                return  # what follows was for a side that is never taken

    def note(self, note: Note) -> None:
        """Nothing is counted in C."""

    # -- control flow ------------------------------------------------------------------------------

    def branch(self, statement: If) -> None:
        """Rewrite an `if`; of one that is decided by now, only the side that is taken."""
        condition = self.of(statement.condition)
        if isinstance(condition, Constant):
            self.decided_branch(statement, bool(condition.value))
        else:
            super().branch(statement)

    def decided_branch(self, statement: If, holds: bool) -> None:
        """Only the side that is taken."""
        self.statements(statement.then if holds else statement.otherwise)
        for join in statement.joins:
            taken = join.if_true if holds else join.if_false
            if taken is not None:
                self.rename(join.target, self.of(taken))

    def join(self, join: Join) -> list[Join]:
        """A join of what its sides bring by now."""
        joins = super().join(join)
        for one in joins:
            self.ranges.note(one.target, self.ranges.joined((one.if_true, one.if_false)))
        return joins

    # -- steps -------------------------------------------------------------------------------------

    def rename(self, variable: Variable, operand: Operand) -> None:
        """Let an operand stand for a variable."""
        self.replaced[variable] = (operand,)

    def step(self, step: Step) -> None:
        """Add a step, or what stands for it."""
        self.builder.phase, self.builder.position = step.phase, step.position
        self.renamed_step(replace(step, operands=tuple(map(self.of, step.operands))))

    def renamed_step(self, step: Step) -> None:
        """The same for a step whose operands are what stands for them by now."""
        kind = step.kind.name
        if self.target.narrow and kind in BY_BRANCH and self.takes_carry(step):
            self.keep(step.target, self.by_branch(step))
        elif kind == "count_leading_zeros":
            self.keep(step.target, self.expanded(step))
        elif kind == "multiply" and self.is_too_wide(step):
            self.keep(step.target, self.product(step))
        elif step.kind.feature is Feature.DISTANCE and self.is_far(step):
            self.keep(step.target, self.shifted_by_words(step))
        elif (equivalent := self.ranges.equivalent(step)) is not None:
            self.keep(step.target, equivalent)
        else:
            self.emit(step)

    def emit(self, step: Step) -> None:
        """Add a step, folded if what it needs has become constant."""
        result = self.builder.emit(step.kind.name, step.operands, step.immediate, target=step.target.name)
        self.ranges.note(result, self.ranges.result(step))
        if step.kind.renames and isinstance(result, Variable):
            self.ranges.origins[result] = step.operands[0]
        self.rename(step.target, result)
        if step.kind.name in ("less", "less_or_equal"):
            self.orders.add(result)

    def keep(self, target: Variable, result: Operand) -> None:
        """Let a result stand for a variable, in the variable's width."""
        if result.width != target.width:
            fitted = self.builder.emit("resize", [result], target.width)
            self.ranges.note(fitted, self.ranges.bound(result))
            if isinstance(fitted, Variable):
                self.ranges.origins[fitted] = result
            result = fitted
        self.rename(target, result)

    def takes_carry(self, step: Step) -> bool:
        """Whether a step on a whole word takes in what another word has left over."""
        return step.target.width >= self.target.widest and step.operands[1] in self.orders

    def by_branch(self, step: Step) -> Operand:
        """A step that takes in a carry, where a branch that asks for it is cheaper."""
        x, carry = step.operands
        arguments = {"x": x, "carry": carry, "word": self.target.widest}
        return self.written_out(BY_BRANCH[step.kind.name], arguments)

    def is_too_wide(self, step: Step) -> bool:
        """Whether a step's factors are wider than the target multiplies."""
        return max(operand.width for operand in step.operands) > self.target.multiplier

    def expanded(self, step: Step) -> Operand:
        """A step by the routine that prices it."""
        words = [(operand,) for operand in step.operands]
        width, machine = step.target.width, self.target.machine
        return expand(self.builder, step.kind.name, words, step.immediate, width, machine)[0]

    def is_far(self, step: Step) -> bool:
        """Whether a shift may be by more than a byte, on a CPU that shifts by one place at a time."""
        distance = step.operands[1]
        words = self.target.word == 8 and step.target.width > self.target.word
        return (
            words and isinstance(distance, Variable) and distance.width > (self.target.word - 1).bit_length()
        )

    def shifted_by_words(self, step: Step) -> Operand:
        """A shift by a variable distance, whole words of the CPU first."""
        x, distance = step.operands
        arguments = {"x": x, "distance": distance, "word": self.target.word}
        if step.kind.name == "shift_right_variable":
            return self.written_out(shift_right_by_words, arguments)
        return self.written_out(shift_left_by_words, {**arguments, "width": step.target.width})

    def written_out(self, routine: Routine, arguments: dict[str, Any]) -> Operand:
        """The steps of a routine, added here, and its value."""
        result = write_out(self.builder, routine, arguments)
        assert isinstance(result, (Variable, Constant))
        return result

    def product(self, step: Step) -> Operand:
        """A product of factors that are too wide, no wider than the widest type itself."""
        if self.target.multiplier == 0:
            return self.expanded(step)
        first, second = (self.digits_of(operand) for operand in step.operands)
        digit, width, word = self.target.multiplier, step.target.width, self.target.widest
        arguments = {"first": first, "second": second, "digit": digit, "width": width, "word": word}
        return self.written_out(product_of_digits, arguments)

    def digits_of(self, operand: Operand) -> tuple[Operand, ...]:
        """An operand in digits that the target multiplies, lowest first."""
        digits = write_out(self.builder, cut_into_digits, {"x": operand, "digit": self.target.multiplier})
        assert isinstance(digits, tuple)
        return digits
