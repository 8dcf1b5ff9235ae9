"""Steps that go together in one instruction, and those that take none.

*Folded.* Where instructions take a shifted operand, a shift by a constant that one step alone uses goes with
that step. Where they extract bit fields, a shift to the right goes with the mask that is all that uses it.

*Flags.* Where results set the flags, a comparison with zero of what has just been computed takes nothing.

*On a condition.* Where instructions are done on a condition, the outcome of a comparison that is but added to
something, or joined with it, is no number: what is done with it is done on that condition.

All of these are common practice, no source, and are seen in any listing of a compiler. `masks` has what masks
cost that are no part of another instruction, `wraps` has those that C needs beside the routine's own.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from softfloat_py.integer_form.grammar import (
    Block,
    Constant,
    Operand,
    Program,
    Statement,
    Step,
    Variable,
    used_by,
)
from softfloat_py.keeping import kept
from softfloat_py.lowering.machine import Machine
from softfloat_py.routines.steps import Feature

# What takes a shifted operand where any instruction does.
TAKES_SHIFTED = ("add", "subtract", "and", "or", "xor", "not", "compare")

# What sets the flags by its result, where instructions do.
SETS_FLAGS = ("add", "subtract", "and", "or", "xor", "shift_left", "shift_right")

# What adds a truth to something, in an instruction that may be done on a condition.
ADDS = ("add", "subtract", "or", "xor")


class Together:
    """What goes together among the steps of a program that are a machine's own. `folded` are those that are
    part of the one that uses them, `masks` those that leave the lowest bits, each with the shift to the right
    before it, if it has one.
    """

    def __init__(self, program: Program, machine: Machine, native: frozenset[Step] | None) -> None:
        self.machine = machine
        self.native = native
        self.uses = _uses(program)
        self.users = {o: step for step in program.body.all_steps() for o in step.operands}
        self.folded: set[object] = set()
        self.in_flags: dict[Statement, tuple[Operand, ...]] = {}
        self.masks: dict[Step, Step | None] = {}
        for block in program.body.walk():
            self.look_at(block)

    def look_at(self, block: Block) -> None:
        """Look at the steps of a block, which may go with others of it."""
        made = {s.target: s for s in block.statements if isinstance(s, Step) and self.is_native(s)}
        if self.machine.results_set_flags:
            self.note_flags(block)
        for step in made.values():
            shift = self.shift_before(step, made)
            if lowest_bits(step) is not None:
                self.masks[step] = shift if shift is not None and shift.kind.name == "shift_right" else None
                if self.masks[step] is not None and self.extracts(step):
                    self.folded.add(self.masks[step])
            elif shift is not None and self.machine.shifted_operands:
                self.folded.add(shift)

    def note_flags(self, block: Block) -> None:
        """Note for each statement of a block which value, by all its names, the step before it left in the
        flags.
        """
        names: tuple[Operand, ...] = ()
        for statement in block.statements:
            self.in_flags[statement] = names
            if isinstance(statement, Step) and statement.kind.counted_as is None:
                names = (*names, statement.target) if statement.operands[0] in names else names
            elif isinstance(statement, Step) and statement.kind.counted_as in SETS_FLAGS:
                names = (statement.target,) if self.is_native(statement) else ()
            else:
                names = ()

    def is_told(self, value: Operand, statement: Statement) -> bool:
        """Whether the flags tell at a statement whether a value is zero."""
        return value in self.in_flags.get(statement, ())

    def asks_for_zero(self, comparison: Step) -> bool:
        """Whether a comparison asks for what the flags tell already."""
        x, y = comparison.operands
        is_with_zero = comparison.kind.commutative and isinstance(y, Constant) and y.value == 0
        return is_with_zero and self.is_told(x, comparison)

    def is_added(self, comparison: Step) -> bool:
        """Whether the outcome of a comparison is but added to something, or joined with it."""
        user = self.users.get(comparison.target)
        return self.uses[comparison.target] == 1 and user is not None and user.kind.counted_as in ADDS

    def is_native(self, step: Step) -> bool:
        """Whether a step is the machine's own, or needs no more than the lowest words of its operands."""
        if self.native is None or step in self.native:
            return True
        bits = lowest_bits(step)
        return bits is not None and bits <= self.machine.word

    def extracts(self, mask: Step) -> bool:
        """Whether one instruction extracts what a mask leaves."""
        bits = lowest_bits(mask)
        return bits is not None and bits <= self.machine.bit_field_bits

    def shift_before(self, step: Step, made: Mapping[Variable, Step]) -> Step | None:
        """A shift by a constant that a step alone uses, as an operand that may be shifted."""
        if step.kind.counted_as not in TAKES_SHIFTED:
            return None
        for operand in reversed(step.operands):
            shift = made.get(operand) if isinstance(operand, Variable) else None
            if shift is not None and shift.kind.feature is Feature.IMMEDIATE and self.uses[shift.target] == 1:
                return shift
        return None


def lowest_bits(step: Step) -> int | None:
    """How many of the lowest bits a step masks, if it is such a mask."""
    if step.kind.name != "and":
        return None
    for operand in step.operands:
        if isinstance(operand, Constant) and operand.value & (operand.value + 1) == 0:
            return operand.value.bit_length()
    return None


def _uses(program: Program) -> Mapping[Operand, int]:
    uses: defaultdict[Operand, int] = defaultdict(int)
    for statement in program.body.all_statements():
        for operand in used_by(statement):
            uses[operand] += 1
    return uses


@kept
def together_in(program: Program, machine: Machine, native: frozenset[Step] | None) -> Together:
    """What of a program goes together on a machine; all steps are `native` where that is None."""
    return Together(program, machine, native)
