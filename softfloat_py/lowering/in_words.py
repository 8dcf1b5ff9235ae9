"""A whole program rewritten in words of a machine, for engines whose own numbers are no wider.

Steps that fit a word stay as they are. What is counted stays what the original counts: its stretches keep
their numbers, those of expansions come after them, and a note stands for each step whose feature a run must
know.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import count

from softfloat_py.integer_form.builder import Builder
from softfloat_py.integer_form.counting import bill_of
from softfloat_py.integer_form.grammar import (
    Block,
    Carried,
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
from softfloat_py.integer_form.specialising import useful_part
from softfloat_py.lowering.expansions import Words, constant_words, expand, parameter_words
from softfloat_py.lowering.machine import Machine
from softfloat_py.lowering.words import word_widths
from softfloat_py.routines.steps import Feature


def in_words(program: Program, machine: Machine) -> Program:
    """The program in a machine's words; a parameter or result wider than one becomes several, lowest first.

    `stretches` includes those of expansions, which are no part of the original's bill.
    """
    rewriting = _Rewriting(program, machine)
    parameters = tuple(word for parameter in program.parameters for word in rewriting.new(parameter))
    body = useful_part(rewriting.block(program.body))
    widths = tuple(width for whole in program.result_widths for width in word_widths(whole, machine.word))
    return replace(
        program, parameters=parameters, result_widths=widths, body=body, stretches=next(rewriting.numbers)
    )


class _Rewriting:
    def __init__(self, program: Program, machine: Machine) -> None:
        self.machine = machine
        self.builder = Builder(first_variable=program.highest_number + 1)
        self.numbers = count(program.stretches)
        self.sites = {id(site.step): index for index, site in enumerate(bill_of(program).sites)}
        self.words: dict[Variable, Words] = {}

    def of(self, operand: Operand) -> Words:
        """An operand in words; a variable that fits one is itself."""
        if isinstance(operand, Variable):
            return self.words.get(operand, (operand,))
        return constant_words(operand, self.machine.word)

    def new(self, variable: Variable) -> tuple[Variable, ...]:
        """The words of a variable that control flow assigns."""
        word = self.machine.word
        if variable.width <= word:
            return (variable,)
        parts = parameter_words(self.builder, f"{variable.name}_", variable.width, word)
        self.words[variable] = parts
        return parts

    def block(self, block: Block) -> Block:
        def fill() -> None:
            for statement in block.statements:
                self.statement(statement)

        return replace(self.builder.block(fill), number=block.number)

    def statement(self, statement: Statement) -> None:
        statements = self.builder.statements
        match statement:
            case Step():
                self.step(statement)
            case Return():
                results = tuple(word for result in statement.results for word in self.of(result))
                statements.append(replace(statement, results=results))
            case If():
                then, otherwise = self.block(statement.then), self.block(statement.otherwise)
                joins = tuple(part for join in statement.joins for part in self.join(join))
                (condition,) = self.of(statement.condition)
                assert isinstance(condition, Variable)
                statements.append(
                    replace(statement, condition=condition, then=then, otherwise=otherwise, joins=joins)
                )
            case Loop():
                variables = [self.new(item.variable) for item in statement.carried]
                body = self.block(statement.body)
                carried = tuple(
                    Carried(*parts)
                    for words, item in zip(variables, statement.carried, strict=True)
                    for parts in zip(words, self.of(item.initial), self.of(item.following), strict=True)
                )
                statements.append(replace(statement, body=body, carried=carried))

    def join(self, join: Join) -> list[Join]:
        """A join for each word that the sides do not have in common."""
        targets = self.new(join.target)
        sides = [
            [None] * len(targets) if side is None else self.of(side) for side in (join.if_true, join.if_false)
        ]
        joins = [Join(*parts) for parts in zip(targets, *sides, strict=True)]
        if len(joins) > 1:
            self.words[join.target] = tuple(
                word.if_true if word.if_true == word.if_false and word.if_true is not None else word.target
                for word in joins
            )
        return joins

    def step(self, step: Step) -> None:
        operands = [self.of(operand) for operand in step.operands]
        self.note(step, operands[1:2], (Feature.DISTANCE, Feature.SET_BITS))
        if max(step.target.width, *(operand.width for operand in step.operands)) <= self.machine.word:
            narrow = tuple(words[0] for words in operands)
            self.builder.statements.append(
                step if narrow == step.operands else replace(step, operands=narrow)
            )
        else:
            self.expand(step, operands)
        self.note(step, [self.of(step.target)], (Feature.RESULT,))

    def note(self, step: Step, measured: Sequence[Words], features: tuple[Feature, ...]) -> None:
        if id(step) in self.sites and step.kind.feature in features:
            self.builder.statements.append(Note(self.sites[id(step)], step.kind.feature, measured[0]))

    def expand(self, step: Step, operands: list[Words]) -> None:
        self.builder.phase, self.builder.position = step.phase, step.position
        before = len(self.builder.statements)
        result = expand(
            self.builder, step.kind.name, operands, step.immediate, step.target.width, self.machine
        )
        added = self.builder.statements[before:]
        self.builder.statements[before:] = [self.numbered(statement) for statement in added]
        self.words[step.target] = result

    def numbered(self, statement: Statement) -> Statement:
        """A statement of an expansion, its blocks numbered after the program's own."""
        if not isinstance(statement, If):
            return statement
        return replace(
            statement,
            then=self.numbered_block(statement.then),
            otherwise=self.numbered_block(statement.otherwise),
        )

    def numbered_block(self, block: Block) -> Block:
        return Block(next(self.numbers), tuple(self.numbered(statement) for statement in block.statements))
