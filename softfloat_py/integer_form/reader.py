"""From a routine's source text to the integer form.

The reader walks the routine's syntax tree and keeps, for each name, what is known about it: a Python object
where it is fixed now (a format, an option, a number), an operand of the form where it is a run-time value.
An expression of fixed things is computed at once by Python's own rules, a step is emitted otherwise; an `if`
on something fixed keeps one side, a routine called inside another is written out in place.

All faults of a routine are collected and raised together, each with its place in the source.
"""

from __future__ import annotations

import ast
import builtins
from collections.abc import Callable, Mapping
from contextlib import suppress
from itertools import pairwise
from typing import Any

from softfloat_py.environment import Flags
from softfloat_py.errors import RoutineError
from softfloat_py.integer_form import words
from softfloat_py.integer_form.builder import Builder, Fault, as_operand
from softfloat_py.integer_form.grammar import (
    Carried,
    Constant,
    If,
    Join,
    Loop,
    Operand,
    Position,
    Program,
    Return,
    Variable,
)
from softfloat_py.integer_form.source import RoutineSource, show_fault, source_of
from softfloat_py.routines import language

Scope = dict[str, Any]
FLAGS = "flags raised"  # not a Python name, so no routine can touch it


class Mismatch:
    """What a name is after an `if` whose sides disagree about it; an error only where it is used."""

    def __init__(self, reason: str) -> None:
        self.reason = reason


POISON = Mismatch("")  # the value of a name whose assignment had a fault: reported once, there


def read(
    routine: language.Routine,
    operands: Mapping[str, int],
    fixed: Mapping[str, Any],
    *,
    uniform: tuple[str, ...] = (),
    keep_flags: bool = False,
) -> Program:
    """The form of a routine whose parameters `operands` are run-time values of these widths.

    `fixed` gives all other parameters. With `keep_flags` the program's last result is the flags raised.
    Raises RoutineError listing every fault.
    """
    reader = Reader(keep_flags)
    parameters = {name: reader.builder.variable(name, width) for name, width in operands.items()}
    scope: Scope = {**fixed, **parameters, FLAGS: Constant(0, len(Flags))}
    body = reader.builder.block(lambda: reader.routine_body(routine, scope))
    if reader.faults:
        raise RoutineError(routine.__name__, reader.faults)
    widths = tuple(result.width for result in reader.results)
    return Program(
        routine.__name__,
        tuple(parameters.values()),
        frozenset(parameters[name] for name in uniform if name in parameters),
        widths,
        body,
    )


def write_out(builder: Builder, routine: language.Routine, arguments: Scope) -> Any:
    """Add a routine's steps to a form under construction and give its value. Raises RoutineError."""
    reader = Reader(False, builder)
    value = None
    with suppress(Fault):  # noted among the reader's faults
        value, _ = reader.inline(routine, arguments, Constant(0, len(Flags)))
    if reader.faults:
        raise RoutineError(routine.__name__, reader.faults)
    return value


class Reader:
    """One reading of one routine and of all it calls."""

    def __init__(self, keep_flags: bool, builder: Builder | None = None) -> None:
        self.builder = Builder() if builder is None else builder
        self.keep_flags = keep_flags
        self.faults: list[str] = []
        self.results: tuple[Operand, ...] = ()
        self.sources: list[RoutineSource] = []
        self.node: ast.stmt = ast.Pass()

    # -- routines ----------------------------------------------------------------------------------

    def routine_body(self, routine: language.Routine, scope: Scope) -> None:
        """Read a routine whose `return` ends the program."""
        source = source_of(routine)
        self.sources.append(source)
        if not self.statements(source.body, scope):
            self.fault(source.node, "every path through a routine must end in a return")
        self.sources.pop()

    def inline(self, routine: language.Routine, scope: Scope, flags: Operand) -> tuple[Any, Operand]:
        """Write out a routine called for its value; gives that and the flags raised so far."""
        source = source_of(routine)
        self.sources.append(source)
        phase, position, node = self.builder.phase, self.builder.position, self.node
        scope[FLAGS] = flags
        try:
            return self.value_of_body(source.body, scope)
        except Fault as fault:
            if str(fault):
                self.fault(self.node, str(fault))
            raise Fault("") from None  # noted where it is; the caller's statement has no fault of its own
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
            if isinstance(statement, ast.If) and any(isinstance(n, ast.Return) for n in ast.walk(statement)):
                condition = self.value(statement.test, scope)
                if isinstance(condition, Variable):
                    raise Fault(
                        "a return inside an `if` that also falls through needs the call to be "
                        "in a return statement itself"
                    )
                rest = (statement.body if self.truth(condition) else statement.orelse) + body[index + 1 :]
                return self.value_of_body(rest, scope)
            self.statement(statement, scope)
        raise Fault("a routine called for its value must return one on every path")

    def returned_value(self, statement: ast.Return, scope: Scope) -> Any:
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
        value = self.join("result", sides[0][0], sides[1][0], joins)
        flags = self.join(FLAGS, sides[0][1], sides[1][1], joins)
        if isinstance(value, Mismatch):
            raise Fault(value.reason)
        self.builder.statements.append(If(condition, then, otherwise, tuple(joins), phase, position))
        return value, flags

    # -- statements --------------------------------------------------------------------------------

    def statements(self, body: list[ast.stmt], scope: Scope) -> bool:
        """Read statements; True if control never gets past them."""
        return any(self.statement(statement, scope) for statement in body)

    def statement(self, node: ast.stmt, scope: Scope) -> bool:
        """Read one statement, noting a fault instead of raising it; True if control never gets past it."""
        self.place(node)
        try:
            return self._statement(node, scope)
        except (Fault, AttributeError, LookupError, TypeError, ValueError) as fault:
            # The other kinds come from an expression of fixed things that Python itself refuses.
            if str(fault):
                self.fault(node, str(fault))
            for name in assigned_names([node]):
                scope[name] = POISON
            return isinstance(node, ast.Return)

    def _statement(self, node: ast.stmt, scope: Scope) -> bool:
        match node:
            case ast.Assign(targets=[target], value=value):
                self.assign(target, self.value(value, scope), value, scope)
            case ast.AnnAssign(target=target, value=ast.expr() as value):
                self.assign(target, self.value(value, scope), value, scope)
            case ast.If():
                return self.read_if(node, scope)
            case ast.For(target=ast.Name() as target, iter=iterable, body=body, orelse=[]):
                self.read_for(target.id, iterable, body, scope)
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
        """The step just emitted takes the name it is assigned to, which makes the printed form readable."""
        if isinstance(value, Variable) and self.builder.statements:
            last = self.builder.statements[-1]
            if getattr(last, "target", None) == value and value.name == "t":
                renamed = Variable(name, value.number, value.width)
                self.builder.rename_last(renamed)
                return renamed
        return value

    def read_if(self, node: ast.If, scope: Scope) -> bool:
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
            scope[name] = self.meet(name, then_scope, else_scope, ended, joins)
        self.builder.statements.append(If(condition, then, otherwise, tuple(joins), phase, position))
        return all(ended)

    def meet(self, name: str, then: Scope, otherwise: Scope, ended: list[bool], joins: list[Join]) -> Any:
        """What a name is after an `if`."""
        if ended[0]:
            return self.join_one(name, otherwise[name], joins, True) if name in otherwise else POISON
        if ended[1]:
            return self.join_one(name, then[name], joins, False) if name in then else POISON
        if name not in then or name not in otherwise:
            return Mismatch(f"{name} is assigned on one side of an if only")
        return self.join(name, then[name], otherwise[name], joins)

    def join_one(self, name: str, value: Any, joins: list[Join], from_else: bool) -> Any:
        """A value that can only come from one side, the other having returned."""
        if isinstance(value, tuple):
            return _rebuilt(value, [self.join_one(name, part, joins, from_else) for part in value])
        if not isinstance(value, Variable):
            return value
        target = self.builder.variable(name, value.width)
        joins.append(Join(target, None, value) if from_else else Join(target, value, None))
        return target

    def join(self, name: str, first: Any, second: Any, joins: list[Join]) -> Any:
        """A value that comes from either side."""
        if isinstance(first, Mismatch) or isinstance(second, Mismatch):
            return first if isinstance(first, Mismatch) else second
        if isinstance(first, tuple) and type(first) is type(second) and len(first) == len(second):
            parts = [self.join(name, a, b, joins) for a, b in zip(first, second, strict=True)]
            return _rebuilt(first, parts)
        if not isinstance(first, Variable | Constant) and not isinstance(second, Variable | Constant):
            return first if first == second else Mismatch(f"{name} is {first!r} or {second!r} after an if")
        if first == second:
            return first
        try:
            sides = as_operand(first), as_operand(second)
        except Fault as fault:
            return Mismatch(f"{name} differs after an if: {fault}")
        if sides[0].width != sides[1].width:
            return Mismatch(
                f"{name} is {sides[0].width} bits wide on one side of an if and {sides[1].width} on the "
                "other; even them out with resize"
            )
        target = self.builder.variable(name, sides[0].width)
        joins.append(Join(target, *sides))
        return target

    def read_return(self, node: ast.expr, scope: Scope) -> None:
        """End the program. A routine called right here may itself return early."""
        if isinstance(node, ast.Call):
            callee = self.value(node.func, scope)
            if words.is_routine(callee):
                arguments = self.arguments(callee, node, scope)
                arguments[FLAGS] = scope[FLAGS]
                phase = self.builder.phase
                self.routine_body(callee, arguments)
                self.builder.phase = phase
                return
        value = self.value(node, scope)
        if isinstance(value, Mismatch):
            raise Fault(value.reason)
        results = [as_operand(part) for part in (value if isinstance(value, tuple) else (value,))]
        if self.keep_flags:
            results.append(scope[FLAGS])
        widths = [result.width for result in results]
        if self.results and widths != [result.width for result in self.results]:
            raise Fault(f"expected results of the widths of the other returns, not {widths}")
        self.results = tuple(results)
        self.builder.statements.append(Return(self.results, self.builder.phase, self.builder.position))

    def read_for(self, name: str, iterable: ast.expr, body: list[ast.stmt], scope: Scope) -> None:
        """A loop over range(n) stays a loop; any other is written out."""
        if isinstance(iterable, ast.Call) and isinstance(iterable.func, ast.Name) and iterable.func.id == "range":
            (count,) = [self.value(argument, scope) for argument in iterable.args]
            self.read_loop(name, count, body, scope)
            return
        for item in self.value(iterable, scope):
            scope[name] = item
            self.statements(body, scope)

    def read_loop(self, name: str, count: Any, body: list[ast.stmt], scope: Scope) -> None:
        if not isinstance(count, int | Variable):
            raise Fault(f"expected the number of rounds, not {count!r}")
        if isinstance(count, int) and count <= 0:
            return
        inner = dict(scope)
        inner.pop(name, None)
        # Names that have run-time values before the loop are carried; those of a tuple, part by part.
        carried_names = [assigned for assigned in assigned_names(body) if _holds_operands(scope.get(assigned))]
        for assigned in carried_names:
            inner[assigned] = self.fresh(assigned, scope[assigned])
        variables = {assigned: inner[assigned] for assigned in carried_names}
        position, phase = self.builder.position, self.builder.phase
        block = self.builder.block(lambda: self._loop_body(body, inner))
        if inner[FLAGS] is not scope[FLAGS]:
            raise Fault("a loop must not signal")
        carried: list[Carried] = []
        for assigned, variable in variables.items():
            self.carry(variable, scope[assigned], inner[assigned], carried)
        self.builder.statements.append(Loop(count, block, tuple(carried), phase, position))
        scope.update(variables)

    def fresh(self, name: str, value: Any) -> Any:
        """New variables for a value's parts."""
        if isinstance(value, tuple):
            return _rebuilt(value, [self.fresh(name, part) for part in value])
        return self.builder.variable(name, value.width)

    def _loop_body(self, body: list[ast.stmt], inner: Scope) -> None:
        if self.statements(body, inner):
            raise Fault("a loop must not return")

    def carry(self, variable: Any, initial: Any, following: Any, carried: list[Carried]) -> None:
        """Note what a carried variable, or each of a tuple, starts and goes on with."""
        if isinstance(following, Mismatch):
            raise Fault(following.reason)
        if isinstance(variable, tuple):
            if not isinstance(following, tuple) or len(following) != len(variable):
                raise Fault("a tuple must keep its length from one round to the next")
            for parts in zip(variable, initial, following, strict=True):
                self.carry(*parts, carried)
            return
        if not isinstance(following, Variable | Constant) or following.width != variable.width:
            raise Fault(f"{variable.name} must keep its {variable.width} bits from one round to the next")
        carried.append(Carried(variable, initial, following))

    # -- expressions -------------------------------------------------------------------------------

    def value(self, node: ast.expr, scope: Scope) -> Any:
        """What an expression is: an operand of the form, or a Python object fixed now."""
        match node:
            case ast.Constant(value=value):
                return value
            case ast.Name(id=name):
                return self.look_up(name, scope)
            case ast.Attribute(value=owner, attr=attribute):
                return self.attribute(self.value(owner, scope), attribute)
            case ast.Tuple(elts=parts):
                return self.tuple_of(parts, scope)
            case ast.Subscript(value=sequence, slice=index):
                return self.value(sequence, scope)[self.value(index, scope)]
            case ast.Slice():
                bounds = (node.lower, node.upper, node.step)
                return slice(*(None if bound is None else self.value(bound, scope) for bound in bounds))
            case ast.BinOp(left=left, op=operator, right=right):
                return words.binary(self.builder, operator, self.value(left, scope), self.value(right, scope))
            case ast.UnaryOp(op=operator, operand=operand):
                return words.unary(self.builder, operator, self.value(operand, scope))
            case ast.Compare(left=left, ops=operators, comparators=others):
                return self.compare([left, *others], operators, scope)
            case ast.BoolOp(op=operator, values=parts):
                return self.fixed_bool(isinstance(operator, ast.And), parts, scope)
            case ast.IfExp(test=test, body=body, orelse=orelse):
                return self.value(body if self.truth(self.value(test, scope)) else orelse, scope)
            case ast.Call():
                return self.call(node, scope)
            case _:
                raise Fault(f"expected an expression of numbers, not one of kind {type(node).__name__}")

    def compare(self, parts: list[ast.expr], operators: list[ast.cmpop], scope: Scope) -> Any:
        """A comparison; a chain of them is for fixed numbers only."""
        values = [self.value(part, scope) for part in parts]
        links = [
            words.comparison(self.builder, operator, left, right)
            for operator, (left, right) in zip(operators, pairwise(values), strict=True)
        ]
        return links[0] if len(links) == 1 else all(self.truth(link) for link in links)

    def tuple_of(self, parts: list[ast.expr], scope: Scope) -> tuple[Any, ...]:
        """A tuple; a starred part adds all of its own parts."""
        values: list[Any] = []
        for part in parts:
            if isinstance(part, ast.Starred):
                values.extend(self.value(part.value, scope))
            else:
                values.append(self.value(part, scope))
        return tuple(values)

    def look_up(self, name: str, scope: Scope) -> Any:
        if name in scope:
            value = scope[name]
        else:
            module_names = self.sources[-1].globals
            if name not in module_names and not hasattr(builtins, name):
                raise Fault(f"expected a name that is known here, not {name!r}")
            value = module_names.get(name, getattr(builtins, name, None))
        if isinstance(value, Mismatch):
            raise Fault(value.reason)
        return value

    def attribute(self, owner: Any, attribute: str) -> Any:
        if isinstance(owner, Variable | Constant):
            if attribute != "width":
                raise Fault(f"bits have a width, not an attribute {attribute!r}")
            return owner.width
        return getattr(owner, attribute)

    def fixed_bool(self, all_of: bool, parts: list[ast.expr], scope: Scope) -> bool:
        """`and`, `or` of things fixed now; run-time bits take & and |, which have no order."""
        truths = (self.truth(self.value(part, scope)) for part in parts)
        return all(truths) if all_of else any(truths)

    def truth(self, value: Any) -> bool:
        if isinstance(value, Variable):
            raise Fault("expected a condition fixed before the routine runs; join run-time bits by & | ~")
        return bool(value.value) if isinstance(value, Constant) else bool(value)

    def call(self, node: ast.Call, scope: Scope) -> Any:
        callee = self.value(node.func, scope)
        if callee in words.WORDS:
            arguments = [self.value(argument, scope) for argument in node.args]
            named = {keyword.arg: self.value(keyword.value, scope) for keyword in node.keywords}
            return words.WORDS[callee](self.builder, *arguments, **named)
        if callee is language.signal:
            return self.signal(node, scope)
        if words.is_routine(callee):
            value, scope[FLAGS] = self.inline(callee, self.arguments(callee, node, scope), scope[FLAGS])
            return value
        arguments = [self.value(argument, scope) for argument in node.args]
        named = {keyword.arg: self.value(keyword.value, scope) for keyword in node.keywords}
        if not words.may_hold_operands(callee) and any(
            isinstance(argument, Variable) for argument in [*arguments, *named.values()]
        ):
            raise Fault(f"{getattr(callee, '__name__', callee)} is not a word or a routine, and cannot take bits")
        return callee(*arguments, **named)

    def arguments(self, routine: language.Routine, node: ast.Call, scope: Scope) -> Scope:
        """A callee's scope: its parameters bound to what this call gives."""
        values = [self.value(argument, scope) for argument in node.args]
        named = {str(keyword.arg): self.value(keyword.value, scope) for keyword in node.keywords}
        return source_of(routine).bind(values, named)

    def signal(self, node: ast.Call, scope: Scope) -> None:
        """Add a flag to those raised; nothing where flags are not kept."""
        flag, *conditions = [self.value(argument, scope) for argument in node.args]
        if not self.keep_flags:
            return
        raised: Operand = Constant(int(flag), len(Flags))
        if conditions:
            place = int(flag).bit_length() - 1
            raised = self.builder.emit("shift_left", conditions, place)
            raised = self.builder.emit("resize", [raised], len(Flags))
        scope[FLAGS] = self.builder.emit("or", [scope[FLAGS], raised], target="flags")

    # -- places and faults -------------------------------------------------------------------------

    def place(self, node: ast.stmt) -> None:
        self.node = node
        source = self.sources[-1]
        self.builder.position = Position(
            source.file, source.first_line + node.lineno, node.col_offset, node.end_col_offset or node.col_offset
        )

    def fault(self, node: ast.stmt | ast.FunctionDef, message: str) -> None:
        self.faults.append(show_fault(self.sources[-1], node, message))


def assigned_names(body: list[ast.stmt]) -> list[str]:
    """The names that statements assign, in the order of the text."""
    stores = (
        node.id
        for statement in body
        for node in ast.walk(statement)
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)
    )
    return list(dict.fromkeys(stores))


def _always_returns(body: list[ast.stmt]) -> bool:
    if not body:
        return False
    last = body[-1]
    if isinstance(last, ast.If):
        return _always_returns(last.body) and _always_returns(last.orelse)
    return isinstance(last, ast.Return)


def _holds_operands(value: Any) -> bool:
    """Whether a value is bits, or a tuple of nothing else."""
    if isinstance(value, tuple):
        return bool(value) and all(_holds_operands(part) for part in value)
    return isinstance(value, Variable | Constant)


def _rebuilt(original: tuple[Any, ...], parts: list[Any]) -> tuple[Any, ...]:
    """A tuple of the same type with other parts."""
    return type(original)(*parts) if hasattr(original, "_fields") else tuple(parts)
