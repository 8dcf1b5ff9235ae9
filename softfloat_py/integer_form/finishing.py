"""The last pass over a form that has been read: steps nobody uses go, and stretches get their numbers.

An option that leaves out the flags also makes useless what was computed for them alone; a compiler would
not keep it, so it must not be counted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import count

from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    If,
    Loop,
    Note,
    Operand,
    Program,
    Return,
    Statement,
    Step,
    Variable,
)
from softfloat_py.integer_form.walking import with_blocks


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A routine as it was read: what a `Program` has, but for the stretches, whose blocks are all 0."""

    name: str
    parameters: tuple[Variable, ...]
    uniform: frozenset[Variable]
    result_widths: tuple[int, ...]
    body: Block
    keeps_flags: bool = False


def finished(draft: Draft) -> Program:
    """The program of a draft: only the steps its results and conditions need, its stretches numbered."""
    numbers = count()
    body = _numbered(useful_part(draft.body, with_all_calls=False), numbers)
    return Program(
        draft.name,
        draft.parameters,
        draft.uniform,
        draft.result_widths,
        body,
        next(numbers),
        draft.keeps_flags,
    )


def useful_part(body: Block, *, with_all_calls: bool = True) -> Block:
    """A program's block with only the steps its results and conditions need.

    Calls that nobody needs stay, `with_all_calls`: they have been counted.
    """
    used = {target for call in body.all_calls() for target in call.targets} if with_all_calls else set()
    while True:
        # A loop's carried values are used by the round before; a second pass settles what the first could
        # not.
        before = len(used)
        useful = _useful(body, used)
        if len(used) == before:
            return useful


def _use(used: set[Variable], operands: Iterable[Operand | int | None]) -> None:
    used.update(operand for operand in operands if isinstance(operand, Variable))


def _useful(block: Block, used: set[Variable]) -> Block:
    kept: list[Statement] = []
    for statement in reversed(block.statements):
        useful = _useful_statement(statement, used)
        if useful is not None:
            kept.append(useful)
    return Block(block.number, tuple(reversed(kept)))


def _useful_statement(statement: Statement, used: set[Variable]) -> Statement | None:
    match statement:
        case Step():
            if statement.target not in used:
                return None
            _use(used, statement.operands)
            return statement
        case Call():
            if used.isdisjoint(statement.targets):
                return None
            _use(used, statement.operands)
            return statement
        case Return():
            _use(used, statement.results)
            return statement
        case Note():
            _use(used, statement.operands)
            return statement
        case If():
            return _useful_if(statement, used)
        case Loop():
            return _useful_loop(statement, used)


def _useful_if(statement: If, used: set[Variable]) -> If | None:
    joins = tuple(join for join in statement.joins if join.target in used)
    for join in joins:
        _use(used, (join.if_true, join.if_false))
    then, otherwise = _useful(statement.then, used), _useful(statement.otherwise, used)
    if not joins and not then.statements and not otherwise.statements:
        return None
    _use(used, (statement.condition,))
    return replace(statement, then=then, otherwise=otherwise, joins=joins)


def _useful_loop(statement: Loop, used: set[Variable]) -> Loop | None:
    carried = tuple(item for item in statement.carried if item.variable in used)
    if not carried:
        return None
    for item in carried:
        _use(used, (item.initial, item.following))
    body = _useful(statement.body, used)
    _use(used, (statement.count,))
    return replace(statement, body=body, carried=carried)


def _numbered(block: Block, numbers: count[int]) -> Block:
    number = next(numbers)
    statements: list[Statement] = []
    for statement in block.statements:
        numbered = with_blocks(statement, lambda inner: _numbered(inner, numbers))
        if isinstance(numbered, If) and (numbered.then.may_return or numbered.otherwise.may_return):
            numbered = replace(numbered, after=next(numbers))
        statements.append(numbered)
    return Block(number, tuple(statements))
