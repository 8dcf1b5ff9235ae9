"""Where constants are brought to registers: once, as long as registers are left to keep them in."""

from __future__ import annotations

from collections.abc import Container

from softfloat_py.integer_form.grammar import Block, Call, Constant, If, Loop, Program, Step
from softfloat_py.lowering.expansions import constant_words
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.native_steps import load_of
from softfloat_py.routines.tables import Table

# Constants that are in registers: numbers, and for a table its place.
Known = frozenset[int | Table]


class Loads:
    """Which steps find their constants in registers already, and which have them loaded in the stretch before
    the outermost loop around them. None outlasts a call. Steps `without` a constant are done in another way,
    which needs none in a register. `most_words` is what a step needs at once, its constants included.
    """

    def __init__(self, program: Program, context: Context, without: Container[Step]) -> None:
        self.context = context
        self.without = without
        self.free: set[Step] = set()
        self.most_words = 0
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
                    self._block(body, known, outermost(before_loop, stretch))

    def _step(self, step: Step, known: Known, before_loop: int | None) -> Known:
        """Look at a step; gives the constants in registers after it."""
        loaded = frozenset() if step in self.without else constants_of(step, self.context.machine)
        if loaded <= known:
            self.free.add(step)
        self.most_words = max(self.most_words, self.context.live.at[step] + len(loaded))
        if not self.has_room(step, known | loaded):
            return known
        if before_loop is not None:
            self.before_loop[step] = before_loop
        return known | loaded

    def has_room(self, step: Step, known: Known) -> bool:
        """Whether registers are left at a step to keep so many constants in."""
        return self.context.live.at[step] + len(known) <= self.context.registers.working


def outermost(before_loop: int | None, stretch: int | None) -> int | None:
    """The stretch before the outermost of the loops around a step, of which one begins after a stretch."""
    return stretch if before_loop is None else before_loop


def constants_of(step: Step, machine: Machine) -> Known:
    """The constants that a step needs in registers, which may hold them already."""
    numbers = frozenset(
        operand.value
        for operand in step.operands
        if isinstance(operand, Constant)
        and any(
            load_of(word.value, machine, step.kind.counted_as)
            for word in constant_words(operand, machine.word)
        )
    )
    return numbers | {step.immediate} if isinstance(step.immediate, Table) else numbers
