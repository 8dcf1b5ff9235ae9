"""A form made from another, statement by statement: what all such passes have in common.

A pass says what becomes of a step. Control flow is rebuilt here, with what stands by now for the values that
go into it and come out of it.
"""

from __future__ import annotations

from dataclasses import replace

from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Carried,
    Constant,
    If,
    Join,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)

Operands = tuple[Operand, ...]


class Rewriting:
    """A pass over a program. `parts` says what stands for a value: one operand or, cut up, several."""

    def __init__(self, program: Program) -> None:
        self.builder = Builder(first_variable=program.highest_number + 1)
        self.replaced: dict[Variable, Operands] = {}

    # -- values ------------------------------------------------------------------------------------

    def parts(self, operand: Operand) -> Operands:
        """What stands for an operand by now."""
        return self.replaced.get(operand, (operand,)) if isinstance(operand, Variable) else (operand,)

    def of(self, operand: Operand) -> Operand:
        """What stands for an operand that is one value still."""
        (one,) = self.parts(operand)
        return one

    def fresh(self, variable: Variable) -> tuple[Variable, ...]:
        """The variables for what control flow assigns; the variable itself, unless it is cut up."""
        return (variable,)

    # -- statements --------------------------------------------------------------------------------

    def block(self, block: Block) -> Block:
        """A block rewritten, with its number."""
        return replace(self.builder.block(lambda: self.statements(block)), number=block.number)

    def statements(self, block: Block) -> None:
        """Rewrite a block's statements into the open one."""
        for statement in block.statements:
            self.statement(statement)

    def statement(self, statement: Statement) -> None:
        """Rewrite one statement."""
        match statement:
            case Step():
                self.step(statement)
            case Return():
                results = tuple(part for result in statement.results for part in self.parts(result))
                self.add(replace(statement, results=results))
            case If():
                self.branch(statement)
            case Loop():
                self.loop(statement)
            case Call():
                self.call(statement)
            case Note():
                self.note(statement)

    def add(self, statement: Statement) -> None:
        """Add a statement to the open block."""
        self.builder.statements.append(statement)

    def step(self, step: Step) -> None:
        """Rewrite a step."""
        self.add(replace(step, operands=tuple(map(self.of, step.operands))))

    def call(self, call: Call) -> None:
        """Rewrite a call, and what is called."""
        operands = tuple(part for operand in call.operands for part in self.parts(operand))
        targets = tuple(part for target in call.targets for part in self.fresh(target))
        self.add(replace(call, targets=targets, callee=self.callee(call.callee), operands=operands))

    def callee(self, program: Program) -> Program:
        """What stands for a program that is called: itself, unless a pass rewrites that too."""
        return program

    def note(self, note: Note) -> None:
        """Rewrite a note."""
        self.add(replace(note, operands=tuple(part for one in note.operands for part in self.parts(one))))

    # -- control flow ------------------------------------------------------------------------------

    def branch(self, statement: If) -> None:
        """Rewrite an `if`."""
        condition = self.of(statement.condition)
        assert isinstance(condition, Variable)
        then, otherwise, joins = self.sides(statement)
        self.add(replace(statement, condition=condition, then=then, otherwise=otherwise, joins=tuple(joins)))

    def sides(self, statement: If) -> tuple[Block, Block, list[Join]]:
        """Both sides of an `if`, and what comes out of them."""
        then, otherwise = self.block(statement.then), self.block(statement.otherwise)
        return then, otherwise, [part for join in statement.joins for part in self.join(join)]

    def join(self, join: Join) -> list[Join]:
        """A join for each part of what comes out of an `if`."""
        targets = self.fresh(join.target)
        sides = [
            [None] * len(targets) if side is None else self.parts(side)
            for side in (join.if_true, join.if_false)
        ]
        return [Join(*parts) for parts in zip(targets, *sides, strict=True)]

    def loop(self, statement: Loop) -> None:
        """Rewrite a loop."""
        targets = [self.fresh(item.variable) for item in statement.carried]
        body = self.block(statement.body)
        carried = tuple(
            Carried(*parts)
            for variables, item in zip(targets, statement.carried, strict=True)
            for parts in zip(variables, self.parts(item.initial), self.parts(item.following), strict=True)
        )
        self.add(replace(statement, count=self.rounds(statement.count), body=body, carried=carried))

    def rounds(self, count: int | Variable) -> int | Variable:
        """How many rounds a loop has, which may be fixed by now."""
        rounds = count if isinstance(count, int) else self.of(count)
        return rounds.value if isinstance(rounds, Constant) else rounds
