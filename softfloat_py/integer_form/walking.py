"""Walks over the form: every statement with where it stands, and a statement with other blocks inside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import NamedTuple

from softfloat_py.integer_form.grammar import Block, If, Loop, Statement


class Visit(NamedTuple):
    """A statement, the stretch it runs in, and the loops around it, outermost first."""

    statement: Statement
    stretch: int
    loops: tuple[Loop, ...]


def visits(block: Block, loops: tuple[Loop, ...] = ()) -> Iterator[Visit]:
    """The statements of a block and of all blocks inside it, in the order in which they are done.

    So a statement comes after those inside it, and whatever a step uses has been made by a statement before
    it, but for what a loop carries.
    """
    stretch = block.number
    for statement in block.statements:
        match statement:
            case If(then=then, otherwise=otherwise):
                yield from visits(then, loops)
                yield from visits(otherwise, loops)
            case Loop(body=body):
                yield from visits(body, (*loops, statement))
        yield Visit(statement, stretch, loops)
        if isinstance(statement, If) and statement.after is not None:
            stretch = statement.after


def last_stretch(block: Block) -> int:
    """The stretch in which control leaves a block at its end."""
    stretch = block.number
    for statement in block.statements:
        if isinstance(statement, If) and statement.after is not None:
            stretch = statement.after
    return stretch


def with_blocks(statement: Statement, change: Callable[[Block], Block]) -> Statement:
    """A statement whose own blocks, if it has any, are changed, in the order of the text."""
    match statement:
        case If():
            then, otherwise = change(statement.then), change(statement.otherwise)
            return replace(statement, then=then, otherwise=otherwise)
        case Loop():
            return replace(statement, body=change(statement.body))
        case _:
            return statement
