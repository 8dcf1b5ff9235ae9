"""A whole program rewritten in words of a machine, for engines whose own numbers are no wider.

Steps that fit a word stay as they are. What is counted stays what the original counts: its stretches keep
their numbers, those of expansions come after them, and a note stands for each step whose feature a run must
know.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import count

from softfloat_py.integer_form.counting import bill_of
from softfloat_py.integer_form.finishing import useful_part
from softfloat_py.integer_form.grammar import (
    Block,
    Constant,
    If,
    Join,
    Note,
    Operand,
    Program,
    Statement,
    Step,
    Variable,
)
from softfloat_py.integer_form.needed_bits import needed_bits
from softfloat_py.integer_form.rewriting import Rewriting
from softfloat_py.integer_form.walking import with_blocks
from softfloat_py.lowering.expansions import Words, constant_words, expand, parameter_words
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import count_words, word_widths
from softfloat_py.routines.steps import STEPS, Feature


def in_words(program: Program, machine: Machine, callees: Mapping[Program, Program] | None = None) -> Program:
    """The program in a machine's words; a parameter or result wider than one becomes several, lowest first.

    `stretches` includes those of expansions, which are no part of the original's bill. `callees` are what
    stands for the programs that are called, those in words too unless others are given.
    """
    if callees is None:
        callees = {callee: in_words(callee, machine) for callee in program.callees}
    rewriting = _Rewriting(program, machine, callees)
    parameters = tuple(word for parameter in program.parameters for word in rewriting.fresh(parameter))
    body = useful_part(rewriting.block(program.body))
    widths = tuple(width for whole in program.result_widths for width in word_widths(whole, machine.word))
    return replace(
        program, parameters=parameters, result_widths=widths, body=body, stretches=next(rewriting.numbers)
    )


class _Rewriting(Rewriting):
    def __init__(self, program: Program, machine: Machine, callees: Mapping[Program, Program]) -> None:
        super().__init__(program)
        self.machine = machine
        self.callees = callees
        self.numbers = count(program.stretches)
        self.needed = needed_bits(program)
        self.sites = {id(site.step): index for index, site in enumerate(bill_of(program).sites)}

    def parts(self, operand: Operand) -> Words:
        """An operand in words; a variable that fits one is itself."""
        if isinstance(operand, Constant):
            return constant_words(operand, self.machine.word)
        return super().parts(operand)

    def fresh(self, variable: Variable) -> tuple[Variable, ...]:
        """The words of a variable that control flow assigns."""
        word = self.machine.word
        if variable.width <= word:
            return (variable,)
        parts = parameter_words(self.builder, f"{variable.name}_", variable.width, word)
        self.replaced[variable] = parts
        return parts

    def join(self, join: Join) -> list[Join]:
        """A join for each word that the sides do not have in common."""
        joins = super().join(join)
        if len(joins) > 1:
            self.replaced[join.target] = tuple(
                word.if_true if word.if_true == word.if_false and word.if_true is not None else word.target
                for word in joins
            )
        return joins

    def branch(self, statement: If) -> None:
        """An `if` that words decide stays one: the stretches of its sides are counted as they run."""
        (condition,) = self.parts(statement.condition)
        if isinstance(condition, Constant):
            decided = self.builder.variable("decided", 1)
            self.add(Step(decided, STEPS["move"], (condition,), 0, statement.phase, statement.position))
            self.replaced[statement.condition] = (decided,)
        super().branch(statement)

    def callee(self, program: Program) -> Program:
        """A program that is called, in words too."""
        return self.callees[program]

    def step(self, step: Step) -> None:
        operands = [self.parts(operand) for operand in step.operands]
        self.note_feature(step, operands[1:2], (Feature.DISTANCE, Feature.SET_BITS))
        narrow = tuple(words[0] for words in operands)
        widest = max(step.target.width, *(operand.width for operand in step.operands))
        if widest <= self.machine.word and _is_as_wide(step, narrow):
            self.add(step if narrow == step.operands else replace(step, operands=narrow))
        else:
            self.expand(step, operands)
        self.note_feature(step, [self.parts(step.target)], (Feature.RESULT,))

    def note_feature(self, step: Step, measured: Sequence[Words], features: tuple[Feature, ...]) -> None:
        if id(step) in self.sites and step.kind.feature in features:
            self.add(Note(self.sites[id(step)], step.kind.feature, measured[0]))

    def expand(self, step: Step, operands: list[Words]) -> None:
        self.builder.phase, self.builder.position = step.phase, step.position
        before = len(self.builder.statements)
        width = step.target.width
        if step.kind.name == "shift_right" and step.target in self.needed:
            operands, width = self.without_upper_words(step, operands)
        result = expand(self.builder, step.kind.name, operands, step.immediate, width, self.machine)
        added = self.builder.statements[before:]
        self.builder.statements[before:] = [self.numbered(statement) for statement in added]
        self.replaced[step.target] = result

    def without_upper_words(self, step: Step, operands: list[Words]) -> tuple[list[Words], int]:
        """What a shift to the right needs for the bits that anyone looks at, and how many bits that gives."""
        (words,), word = operands, self.machine.word
        reached = count_words(step.immediate + self.needed[step.target], word)
        return [words[:reached]], min(step.operands[0].width, reached * word) - step.immediate

    def numbered(self, statement: Statement) -> Statement:
        """A statement of an expansion, its blocks numbered after the program's own."""
        return with_blocks(statement, self.numbered_block)

    def numbered_block(self, block: Block) -> Block:
        return Block(next(self.numbers), tuple(self.numbered(statement) for statement in block.statements))


def _is_as_wide(step: Step, operands: Sequence[Operand]) -> bool:
    """Whether a step delivers the same width from these operands: one may have lost what a mask hides."""
    return step.kind.width([operand.width for operand in operands], step.immediate) == step.target.width
