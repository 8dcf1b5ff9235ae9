"""From a routine's source text to the integer form.

The reader walks the routine's syntax tree and keeps, for each name, what is known about it: a Python object
where it is fixed now (a format, an option, a number), an operand of the form where it is a run-time value.
An expression of fixed things is computed at once by Python's own rules, a step is emitted otherwise; an `if`
on something fixed keeps one side. A routine called inside another is written out in place, unless it asks to
be called: then it is read by a reader of its own, once for each set of fixed arguments.

All faults of a routine are collected and raised together, each with its place in the source.
"""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from contextvars import ContextVar
from functools import lru_cache, partial
from types import MappingProxyType
from typing import Any

from softfloat_py.errors import RoutineError
from softfloat_py.integer_form.builder import Builder, Fault, Noted
from softfloat_py.integer_form.calling import (
    Called,
    Incoming,
    Signature,
    argument_of,
)
from softfloat_py.integer_form.expressions import FLAGS, NO_FLAGS, Scope
from softfloat_py.integer_form.finishing import Draft, finished
from softfloat_py.integer_form.grammar import (
    Block,
    If,
    Join,
    Operand,
    Program,
    Variable,
)
from softfloat_py.integer_form.meeting import join, usable
from softfloat_py.integer_form.source import source_of
from softfloat_py.integer_form.statements import StatementReader
from softfloat_py.routines import language
from softfloat_py.routines.doors import Door

ReadCalled = Callable[[language.Routine, Signature, bool], Called]


def read(
    routine: language.Routine,
    operands: Mapping[str, int],
    fixed: Mapping[str, Any],
    *,
    uniform: tuple[str, ...] = (),
    keep_flags: bool = False,
    entering: Mapping[str, Sequence[Door]] = MappingProxyType({}),
    leaving: Sequence[Door] = (),
) -> Program:
    """The program of a routine whose parameters `operands` are run-time values of these widths.

    `fixed` gives all other parameters. With `keep_flags` the program's last result is the flags raised.
    An operand goes through its doors of `entering` first, each result through those of `leaving`. Raises
    RoutineError listing every fault.
    """
    return finished(draft(routine, operands, fixed, uniform, keep_flags, entering, leaving))


def draft(
    routine: language.Routine,
    operands: Mapping[str, int],
    fixed: Mapping[str, Any],
    uniform: tuple[str, ...] = (),
    keep_flags: bool = False,
    entering: Mapping[str, Sequence[Door]] = MappingProxyType({}),
    leaving: Sequence[Door] = (),
) -> Draft:
    """The same before its last pass, with all that was read."""
    reader = Reader(Builder(), keep_flags, leaving, program_called)
    parameters = {name: reader.builder.variable(name, width) for name, width in operands.items()}
    reader.uniform = frozenset(parameters[name] for name in uniform if name in parameters)
    scope: Scope = {**fixed, **parameters, FLAGS: NO_FLAGS}

    def fill() -> None:
        for name, doors in entering.items():
            scope[name] = reader.through(doors, scope[name])
        reader.routine_body(routine, scope)

    body = reader.builder.block(fill)
    return reader.drafted(routine, tuple(parameters.values()), body)


# Routines that are called, and are being read just now, the innermost last.
_BEING_READ: ContextVar[tuple[language.Routine, ...]] = ContextVar("being_read", default=())


@lru_cache(maxsize=256)
def program_called(routine: language.Routine, signature: Signature, keep_flags: bool) -> Called:
    """A routine that is called, read; its program keeps flags only if it can raise one.

    Raises RoutineError listing every fault.
    """
    reader = Reader(Builder(), keep_flags, (), program_called)
    parameters: list[Variable] = []
    uniform: set[Variable] = set()

    def parameter(name: str, bits: Incoming) -> Variable:
        parameters.append(reader.builder.variable(name, bits.width))
        if bits.is_uniform:
            uniform.add(parameters[-1])
        return parameters[-1]

    scope = {name: argument_of(kind, partial(parameter, name)) for name, kind in signature}
    scope[FLAGS] = NO_FLAGS
    reader.uniform = frozenset(uniform)
    outer = _BEING_READ.set((*_BEING_READ.get(), routine))
    try:
        body = reader.builder.block(lambda: reader.routine_body(routine, scope))
    finally:
        _BEING_READ.reset(outer)
    program = reader.drafted(routine, tuple(parameters), body)
    if keep_flags and not reader.raises_flags:
        return program_called(routine, signature, False)
    return Called(finished(program), reader.returned)


def write_out(builder: Builder, routine: language.Routine, arguments: Scope) -> Any:
    """Add a routine's steps to a form under construction and give its value. Raises RoutineError."""
    reader = Reader(builder, False, (), None)
    value = None
    with suppress(Fault):  # noted among the reader's faults
        value, _ = reader.inline(routine, arguments, NO_FLAGS)
    if reader.faults:
        raise RoutineError(routine.__name__, reader.faults) from reader.cause
    return value


class Reader(StatementReader):
    """One reading of one routine and of all that is written out in it. `read_called` reads what is called;
    None where nothing can be, since the steps go into the midst of another program.
    """

    def __init__(
        self, builder: Builder, keep_flags: bool, leaving: Sequence[Door], read_called: ReadCalled | None
    ) -> None:
        super().__init__(builder, keep_flags)
        self.leaving = leaving
        self.read_called = read_called

    def routine_body(self, routine: language.Routine, scope: Scope) -> None:
        """Read a routine whose `return` ends the program."""
        source = source_of(routine)
        self.sources.append(source)
        if not self.statements(source.body, scope):
            self.fault(source.node, "every path through a routine must end in a return")
        self.sources.pop()

    def drafted(self, routine: language.Routine, parameters: tuple[Variable, ...], body: Block) -> Draft:
        """What was read; RoutineError if it has faults."""
        if self.faults:
            raise RoutineError(routine.__name__, self.faults) from self.cause
        widths = tuple(result.width for result in self.results)
        return Draft(routine.__name__, parameters, self.uniform, widths, body, self.keep_flags)

    def program_called(self, routine: language.Routine, signature: Signature) -> Called:
        """A routine that is called, read; its faults are noted among those here."""
        if self.read_called is None:
            raise Fault(f"{routine.__name__} is called, and what is written out here cannot call")
        if routine in _BEING_READ.get():
            raise Fault(f"{routine.__name__} must not call itself")
        try:
            return self.read_called(routine, signature, self.keep_flags)
        except RoutineError as error:
            self.faults.extend(fault for fault in error.faults if fault not in self.faults)
            self.cause = self.cause or error
            raise Noted from None

    def delivered(self, value: Any) -> Any:
        """A result as it comes out of the last of the doors that results leave by."""
        return self.through(self.leaving, value)

    def through(self, doors: Sequence[Door], value: Any) -> Any:
        """A value as it comes out of the last of some doors."""
        for door in doors:
            value, _ = self.inline(door.routine, door.arguments(value), NO_FLAGS)
        return value

    def inline(self, routine: language.Routine, scope: Scope, flags: Operand) -> tuple[Any, Operand]:
        """Write out a routine called for its value; gives that and the flags raised so far."""
        source = source_of(routine)
        self.sources.append(source)
        phase, position, node = self.builder.phase, self.builder.position, self.node
        scope[FLAGS] = flags
        try:
            return self.value_of_body(source.body, scope)
        except Noted:
            raise
        except Fault as fault:
            self.fault(self.node, str(fault))
            raise Noted from None  # the caller's statement has no fault of its own
        finally:
            self.sources.pop()
            self.builder.phase, self.builder.position, self.node = phase, position, node

    def value_of_body(self, body: list[ast.stmt], scope: Scope) -> tuple[Any, Operand]:
        """Read statements up to the `return` that ends them, an `if` before it having its own or none."""
        for index, statement in enumerate(body):
            if isinstance(statement, ast.Return):
                return self.returned_value(statement, scope), scope[FLAGS]
            if isinstance(statement, ast.If) and _always_returns(statement.body):
                rest = statement.orelse or body[index + 1 :]
                return self.value_of_if(statement, rest, scope)
            if isinstance(statement, ast.If) and _holds_return(statement):
                condition = self.value(statement.test, scope)
                if isinstance(condition, Variable):
                    raise Fault(
                        "a return inside an `if` that also falls through needs the call to be "
                        "in a return statement itself"
                    )
                rest = (statement.body if self.truth(condition) else statement.orelse) + body[index + 1 :]
                return self.value_of_body(rest, scope)
            if _holds_return(statement):
                raise Fault("a return inside a loop needs the call to be in a return statement itself")
            self.statement(statement, scope)
        raise Fault("a routine called for its value must return one on every path")

    def returned_value(self, statement: ast.Return, scope: Scope) -> Any:
        """The value of the return that ends a body."""
        self.place(statement)
        return self.value(statement.value, scope) if statement.value is not None else None

    def value_of_if(self, statement: ast.If, rest: list[ast.stmt], scope: Scope) -> tuple[Any, Operand]:
        """The value of `if …: return a` followed by the rest of a body."""
        self.place(statement)
        condition = self.value(statement.test, scope)
        if not isinstance(condition, Variable):
            return self.value_of_body(statement.body if self.truth(condition) else rest, scope)
        sides: list[tuple[Any, Operand]] = []

        def side(body: list[ast.stmt]) -> Callable[[], None]:
            return lambda: sides.append(self.value_of_body(body, dict(scope)))

        position, phase = self.builder.position, self.builder.phase
        then = self.builder.block(side(statement.body))
        otherwise = self.builder.block(side(rest))
        joins: list[Join] = []
        value = usable(join(self.builder, "result", sides[0][0], sides[1][0], joins))
        flags = join(self.builder, FLAGS, sides[0][1], sides[1][1], joins)
        self.builder.statements.append(If(condition, then, otherwise, tuple(joins), phase, position))
        return value, flags


@lru_cache(maxsize=4096)
def _holds_return(statement: ast.stmt) -> bool:
    """Whether a return stands anywhere in a statement; asked of the same one again and again."""
    return any(isinstance(node, ast.Return) for node in ast.walk(statement))


def _always_returns(body: list[ast.stmt]) -> bool:
    if not body:
        return False
    last = body[-1]
    if isinstance(last, ast.If):
        return _always_returns(last.body) and _always_returns(last.orelse)
    return isinstance(last, ast.Return)
