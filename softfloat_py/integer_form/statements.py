"""Reading statements: assignments, `if`, loops and `return`, with what each does to the names it meets.

A name stands for a Python object where that is fixed now, for an operand of the form where it is a run-time
value. A fault is noted, and reading goes on behind it.
"""

from __future__ import annotations

import ast
from dataclasses import replace
from typing import Any

from softfloat_py.integer_form import words
from softfloat_py.integer_form.builder import Builder, Fault, Noted, as_operand
from softfloat_py.integer_form.calling import leaves, shape_of
from softfloat_py.integer_form.expressions import FLAGS, NO_FLAGS, ExpressionReader, Scope
from softfloat_py.integer_form.grammar import (
    Carried,
    Constant,
    If,
    Join,
    Loop,
    Operand,
    Return,
    Variable,
)
from softfloat_py.integer_form.meeting import POISON, Mismatch, carry, fresh, holds_operands, meet, usable
from softfloat_py.routines import language


class StatementReader(ExpressionReader):
    """The part of a reader that knows statements, and what the returns of a program deliver."""

    def __init__(self, builder: Builder, keep_flags: bool) -> None:
        super().__init__(builder, keep_flags)
        self.emitted_before = 0
        self.cause: Exception | None = None  # what Python raised first, of those faults that it found
        self.results: tuple[Operand, ...] = ()
        self.returned: Any = None  # the value of the last return
        self.raises_flags = False

    def routine_body(self, routine: language.Routine, scope: Scope) -> None:
        """Read a routine whose `return` ends the program."""
        raise NotImplementedError("routines are read by Reader")

    def delivered(self, value: Any) -> Any:
        """A result as it leaves the program."""
        raise NotImplementedError("routines are read by Reader")

    def statements(self, body: list[ast.stmt], scope: Scope) -> bool:
        """Read statements; True if control never gets past them."""
        return any(self.statement(statement, scope) for statement in body)

    def statement(self, node: ast.stmt, scope: Scope) -> bool:
        """Read one statement, noting a fault instead of raising it; True if control never gets past it."""
        self.place(node)
        try:
            return self._statement(node, scope)
        except Noted:
            pass
        except Fault as fault:
            self.fault(node, str(fault))
        except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as error:
            # From an expression of fixed things that Python itself refuses, or a function that it calls.
            self.fault(node, str(error) or type(error).__name__)
            self.cause = self.cause or error
        for name in assigned_names([node]):
            scope[name] = POISON
        return isinstance(node, ast.Return)

    def _statement(self, node: ast.stmt, scope: Scope) -> bool:
        match node:
            case (
                ast.Assign(targets=[target], value=value)
                | ast.AnnAssign(target=target, value=ast.expr() as value)
            ):
                emitted_before = len(self.builder.statements)
                given = self.value(value, scope)
                self.emitted_before = emitted_before
                self.assign(target, given, value, scope)
            case ast.If():
                return self.read_if(node, scope)
            case ast.For(target=ast.Name() as target, iter=iterable, body=body, orelse=[]):
                return self.read_for(target.id, iterable, body, scope)
            case ast.Return(value=ast.expr() as value):
                self.read_return(value, scope)
                return True
            case ast.Expr(value=ast.Constant()) | ast.Pass():
                pass
            case ast.Expr(value=ast.Call() as call):
                self.value(call, scope)
            case ast.Assert(test=test):
                if not self.truth(self.value(test, scope)):
                    raise Fault("this assertion about widths does not hold")
            case _:
                raise Fault(
                    "expected an assignment, if, for, return or the call of a word, "
                    f"not a statement of kind {type(node).__name__}"
                )
        return False

    def assign(self, target: ast.expr, value: Any, source: ast.expr, scope: Scope) -> None:
        """Bind one name, or several to the parts of a tuple. A name copied to another name is a move."""
        if isinstance(target, ast.Tuple):
            parts = source.elts if isinstance(source, ast.Tuple) else [None] * len(target.elts)
            if not isinstance(value, tuple) or len(value) != len(target.elts):
                raise Fault(f"expected {len(target.elts)} values to assign")
            for name, part, part_source in zip(target.elts, value, parts, strict=True):
                self.assign(name, part, part_source or source, scope)
        elif isinstance(target, ast.Name):
            if isinstance(value, Variable) and isinstance(source, ast.Name):
                value = self.builder.emit("move", [value], target=target.id)
            scope[target.id] = self.named(value, target.id)
        else:
            raise Fault("only names and tuples of names can be assigned")

    def named(self, value: Any, name: str) -> Any:
        """A step emitted for this assignment takes its name, which makes the printed form readable."""
        if isinstance(value, Variable) and len(self.builder.statements) > self.emitted_before:
            last = self.builder.statements[-1]
            if getattr(last, "target", None) == value and value.name == "t":
                renamed = replace(value, name=name)
                self.builder.rename_last(renamed)
                return renamed
        return value

    def read_if(self, node: ast.If, scope: Scope) -> bool:
        """An if: one side kept where the condition is fixed, otherwise both, and joins."""
        condition = self.value(node.test, scope)
        if not isinstance(condition, Variable):
            return self.statements(node.body if self.truth(condition) else node.orelse, scope)
        position, phase = self.builder.position, self.builder.phase
        then_scope, else_scope = dict(scope), dict(scope)
        ended: list[bool] = []
        then = self.builder.block(lambda: ended.append(self.statements(node.body, then_scope)))
        otherwise = self.builder.block(lambda: ended.append(self.statements(node.orelse, else_scope)))
        joins: list[Join] = []
        for name in {**then_scope, **else_scope}:
            if name in scope and then_scope[name] is scope[name] and else_scope[name] is scope[name]:
                continue
            scope[name] = meet(self.builder, name, then_scope, else_scope, ended, joins)
        self.builder.statements.append(If(condition, then, otherwise, tuple(joins), phase, position))
        return all(ended)

    def read_return(self, node: ast.expr, scope: Scope) -> None:
        """End the program. A routine called right here may itself return early."""
        if isinstance(node, ast.Call):
            callee = self.value(node.func, scope)
            if words.is_routine(callee) and not words.is_called(callee):
                arguments = self.arguments(callee, node, scope)
                arguments[FLAGS] = scope[FLAGS]
                phase = self.builder.phase
                self.routine_body(callee, arguments)
                self.builder.phase = phase
                return
        value = self.value(node, scope)
        results = [as_operand(self.delivered(usable(part))) for part in leaves(value)]
        if self.keep_flags:
            results.append(scope[FLAGS])
            self.raises_flags = self.raises_flags or scope[FLAGS] != NO_FLAGS
        widths = [result.width for result in results]
        if self.results and widths != [result.width for result in self.results]:
            raise Fault(f"expected results of the widths of the other returns, not {widths}")
        if self.results and shape_of(value) != shape_of(self.returned):
            raise Fault("expected results in the same tuples as those of the other returns")
        self.results, self.returned = tuple(results), value
        self.builder.statements.append(Return(self.results, self.builder.phase, self.builder.position))

    def read_for(self, name: str, iterable: ast.expr, body: list[ast.stmt], scope: Scope) -> bool:
        """A loop over range(n) stays a loop; any other is written out, up to a round that returns."""
        if isinstance(iterable, ast.Call) and self.value(iterable.func, scope) is range:
            self.read_loop(name, _rounds(self.positional(iterable, scope)), body, scope)
            return False
        for item in self.value(iterable, scope):
            scope[name] = item
            if self.statements(body, scope):
                return True
        return False

    def read_loop(self, name: str, count: Any, body: list[ast.stmt], scope: Scope) -> None:
        """A loop that stays one, of a fixed or a run-time number of rounds."""
        if not isinstance(count, int | Variable):
            raise Fault(f"expected the number of rounds, not {count!r}")
        if isinstance(count, int) and count <= 0:
            return
        scope.pop(name, None)
        # Names that have run-time values before the loop are carried; those of a tuple, part by part. What is
        # fixed before it cannot be another from round to round.
        variables: Scope = {}
        for assigned in assigned_names(body):
            if holds_operands(scope.get(assigned)):
                variables[assigned] = fresh(self.builder, assigned, scope[assigned])
            elif not isinstance(scope.get(assigned, POISON), Mismatch):
                scope[assigned] = Mismatch(f"{assigned} is not bits before a loop that assigns it")
        inner = {**scope, **variables}
        position, phase = self.builder.position, self.builder.phase
        block = self.builder.block(lambda: self._loop_body(body, inner))
        if inner[FLAGS] is not scope[FLAGS]:
            raise Fault("a loop must not signal")
        carried: list[Carried] = []
        for assigned, variable in variables.items():
            carry(variable, scope[assigned], inner[assigned], carried)
        self.builder.statements.append(Loop(count, block, tuple(carried), phase, position))
        scope.update(variables)

    def _loop_body(self, body: list[ast.stmt], inner: Scope) -> None:
        if self.statements(body, inner):
            raise Fault("a loop must not return")


def _rounds(arguments: list[Any]) -> Any:
    """How many rounds a loop over range() of these arguments has."""
    if len(arguments) != 1 and any(isinstance(argument, Variable) for argument in arguments):
        raise Fault("a number of rounds that is not fixed must be the only argument of range")
    whole = [argument.value if isinstance(argument, Constant) else argument for argument in arguments]
    return whole[0] if len(whole) == 1 else len(range(*whole))


def assigned_names(body: list[ast.stmt]) -> list[str]:
    """The names that statements assign, in the order of the text."""
    stores = (
        node.id
        for statement in body
        for node in ast.walk(statement)
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
    )
    return list(dict.fromkeys(stores))
