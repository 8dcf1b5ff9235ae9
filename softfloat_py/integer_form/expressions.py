"""Reading expressions: what is fixed is computed at once by Python's own rules, the rest becomes steps."""

from __future__ import annotations

import ast
import builtins
from itertools import pairwise
from typing import Any

from softfloat_py.environment import Flags
from softfloat_py.integer_form import words
from softfloat_py.integer_form.builder import Builder, Fault
from softfloat_py.integer_form.calling import Called, Signature, add_call, leaves, signature_of
from softfloat_py.integer_form.grammar import Constant, Operand, Position, Variable
from softfloat_py.integer_form.meeting import usable
from softfloat_py.integer_form.source import RoutineSource, show_fault, source_of
from softfloat_py.routines import language

Scope = dict[str, Any]
FLAGS = "flags raised"  # not a Python name, so no routine can touch it
NO_FLAGS = Constant(0, len(Flags))


class ExpressionReader:
    """The part of a reader that knows expressions, and where in the source it is."""

    def __init__(self, builder: Builder, keep_flags: bool) -> None:
        self.builder = builder
        self.keep_flags = keep_flags
        self.faults: list[str] = []
        self.sources: list[RoutineSource] = []
        self.node: ast.stmt = ast.Pass()
        self.uniform = frozenset[Variable]()  # parameters that are the same for all elements of an array

    def inline(self, routine: language.Routine, scope: Scope, flags: Operand) -> tuple[Any, Operand]:
        """Write out a routine called for its value; gives that and the flags raised so far."""
        raise NotImplementedError("statements are read by Reader")

    def program_called(self, routine: language.Routine, signature: Signature) -> Called:
        """A routine that is called, read."""
        raise NotImplementedError("statements are read by Reader")

    def value(self, node: ast.expr, scope: Scope) -> Any:
        """What an expression is: an operand of the form, or a Python object fixed now."""
        match node:  # what routines have most of comes first
            case ast.Name(id=name):
                return self.look_up(name, scope)
            case ast.Call():
                return self.call(node, scope)
            case ast.Constant(value=value):
                return value
            case ast.Attribute(value=owner, attr=attribute):
                return self.attribute(self.value(owner, scope), attribute)
            case ast.BinOp(left=left, op=operator, right=right):
                return words.binary(self.builder, operator, self.value(left, scope), self.value(right, scope))
            case ast.Tuple(elts=parts):
                return self.tuple_of(parts, scope)
            case ast.Subscript(value=sequence, slice=index):
                return usable(self.value(sequence, scope)[self.value(index, scope)])
            case ast.Slice():
                bounds = (node.lower, node.upper, node.step)
                return slice(*(None if bound is None else self.value(bound, scope) for bound in bounds))
            case ast.UnaryOp(op=operator, operand=operand):
                return words.unary(self.builder, operator, self.value(operand, scope))
            case ast.Compare(left=left, ops=operators, comparators=others):
                return self.compare([left, *others], operators, scope)
            case ast.BoolOp(op=operator, values=parts):
                return self.fixed_bool(isinstance(operator, ast.And), parts, scope)
            case ast.IfExp(test=test, body=body, orelse=orelse):
                return self.value(body if self.truth(self.value(test, scope)) else orelse, scope)
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
        """What a name stands for: in the routine, in its module, or in Python."""
        if name in scope:
            value = scope[name]
        else:
            module_names = self.sources[-1].globals
            known = module_names if name in module_names else vars(builtins)
            if name not in known:
                raise Fault(f"expected a name that is known here, not {name!r}")
            value = known[name]
        return usable(value)

    def attribute(self, owner: Any, attribute: str) -> Any:
        """The width of bits, or an attribute of a fixed object."""
        if isinstance(owner, Variable | Constant):
            if attribute != "width":
                raise Fault(f"bits have a width, not an attribute {attribute!r}")
            return owner.width
        return usable(getattr(owner, attribute))

    def fixed_bool(self, all_of: bool, parts: list[ast.expr], scope: Scope) -> Any:
        """`and`, `or`: the first operand that decides, by what is fixed now, or the last one.

        Run-time bits take & and |, which have no order.
        """
        for part in parts[:-1]:
            value = self.value(part, scope)
            if self.truth(value) != all_of:
                return value
        return self.value(parts[-1], scope)

    def truth(self, value: Any) -> bool:
        """A condition that is fixed now."""
        if isinstance(value, Variable):
            raise Fault("expected a condition fixed before the routine runs; join run-time bits by & | ~")
        return bool(value.value) if isinstance(value, Constant) else bool(value)

    def call(self, node: ast.Call, scope: Scope) -> Any:
        """A word, a signal, a routine, or a function of fixed things."""
        callee = self.value(node.func, scope)
        if callee in words.WORDS:
            return words.WORDS[callee](
                self.builder, *self.positional(node, scope), **self.named_values(node, scope)
            )
        if callee is language.signal:
            return self.signal(node, scope)
        if words.is_routine(callee):
            return self.routine(callee, self.arguments(callee, node, scope), scope)
        arguments, named = self.positional(node, scope), self.named_values(node, scope)
        if not words.may_hold_operands(callee) and words.has_bits((*arguments, *named.values())):
            raise Fault(
                f"{getattr(callee, '__name__', callee)} is not a word or a routine, and cannot take bits"
            )
        return callee(*arguments, **named)

    def routine(self, routine: language.Routine, arguments: Scope, scope: Scope) -> Any:
        """The value of a routine: written out, or called if it asks for that and something is left to run."""
        operands = (part for value in arguments.values() for part in leaves(value))
        if not words.is_called(routine) or not any(isinstance(operand, Variable) for operand in operands):
            value, scope[FLAGS] = self.inline(routine, arguments, scope[FLAGS])
            return value
        called = self.program_called(routine, signature_of(arguments, self.uniform))
        value, flags = add_call(self.builder, called, arguments)
        if flags is not None:
            scope[FLAGS] = self.builder.emit("or", [scope[FLAGS], flags], target="flags")
        return value

    def arguments(self, routine: language.Routine, node: ast.Call, scope: Scope) -> Scope:
        """A callee's scope: its parameters bound to what this call gives."""
        return source_of(routine).bind(self.positional(node, scope), self.named_values(node, scope))

    def positional(self, node: ast.Call, scope: Scope) -> list[Any]:
        """The values of positional arguments."""
        return [self.value(argument, scope) for argument in node.args]

    def named_values(self, node: ast.Call, scope: Scope) -> dict[str, Any]:
        """The values of named arguments."""
        return {str(keyword.arg): self.value(keyword.value, scope) for keyword in node.keywords}

    def signal(self, node: ast.Call, scope: Scope) -> None:
        """Add a flag to those raised; nothing where flags are not kept."""
        flag, *conditions = self.positional(node, scope)
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
        """Remember where in the source the following steps come from."""
        self.node = node
        source = self.sources[-1]
        line = source.first_line + node.lineno
        self.builder.position = Position(source.file, line, node.col_offset)

    def fault(self, node: ast.stmt | ast.FunctionDef, message: str) -> None:
        """Note a fault of a statement."""
        self.faults.append(show_fault(self.sources[-1], node, message))
