"""Writes a program as the body of a C function.

Values that are used once are written where they are used; all others are variables with the routine's names.
Declarations come first in each block, as older compilers want it. Factors of 16 bits are volatile where the
CPU multiplies no more: compilers otherwise forget that they have no more bits, and call a product of 32 bits.
Where control flow meets, each side sets the variables that go on; where several are set at once, those that
others still need are set last.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from textwrap import wrap
from typing import NamedTuple

from softfloat_py.engines.c.planning import is_wide_product, plan_of
from softfloat_py.engines.c.spellings import Spelling, Term
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.text import free_name
from softfloat_py.integer_form.grammar import (
    Block,
    Call,
    Constant,
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
from softfloat_py.routines.tables import Table

INDENT = "    "
WIDTH = 90  # of a line of declarations

Assignment = tuple[Variable, Operand | None]  # None where the side that brings it never arrives
Lines = list[str]
RESERVED = """
auto bool break case char const continue default do double else enum extern false float for goto if inline int
long register restrict return short signed sizeof static struct switch true typedef union unsigned void
volatile while
"""


@dataclass(slots=True)
class _Scope:
    """A C block under construction: what is declared, and what it does."""

    declarations: Lines = field(default_factory=list)
    uninitialised: dict[tuple[int, str], list[str]] = field(default_factory=dict)
    lines: Lines = field(default_factory=list)

    def rendered(self) -> Lines:
        """The block's lines, declarations first."""
        plain = [
            line for (_, kind), names in sorted(self.uninitialised.items()) for line in _declared(kind, names)
        ]
        return [*plain, *_without_empty_headings([*self.declarations, *self.lines])]


class Names(NamedTuple):
    """What stands in a file for all its functions: constant arrays, and functions that others call."""

    tables: Mapping[Table, str]
    callees: Mapping[Program, str]


class Writer:
    """Writes one program; a subclass says how parameters come in, and what a return is. `outside` are the
    names of what it needs from its file.
    """

    def __init__(self, program: Program, target: Target, outside: Names) -> None:
        self.program = program
        self.target = target
        self.callees = outside.callees
        self.plan = plan_of(program, target)
        self.terms: dict[Variable, Term] = {}
        self.names: set[str] = {*RESERVED.split(), *outside.tables.values(), *outside.callees.values()}
        self.scope = _Scope()
        self.phase = ""
        self.spelling = Spelling(target, self.stands_for, outside.tables.__getitem__)

    def body(self) -> Lines:
        """The body of the function."""
        self.parameters()
        self.statements(self.program.body)
        return self.scope.rendered()

    def parameters(self) -> None:
        """Declare the parameters' words."""
        raise NotImplementedError

    def returned(self, results: Sequence[Operand]) -> Lines:
        """The lines of a return."""
        raise NotImplementedError

    # -- names and uses ----------------------------------------------------------------------------

    def stands_for(self, operand: Operand) -> Constant | Step | Term:
        """What is written in an operand's place."""
        written = self.plan.of(operand)
        return self.terms[written] if isinstance(written, Variable) else written

    def known(self, operand: Operand) -> Operand:
        """An operand, or the constant that stands in its place."""
        written = self.plan.of(operand)
        return written if isinstance(written, Constant) else operand

    def name(self, base: str) -> str:
        """A name that no other variable of this function has."""
        name = free_name(base, self.names)
        self.names.add(name)
        return name

    def declare(self, variable: Variable, text: str | None = None) -> None:
        """Declare a variable, with what it is set to if nothing has been done yet in its block."""
        qualifier = "volatile " if variable in self.plan.factors else ""
        self.terms[variable] = self.declared(variable.name, self.bits_of(variable), text, qualifier)

    def declared(self, base: str, bits: int, text: str | None = None, qualifier: str = "") -> Term:
        """A new variable of so many bits, named after something."""
        name, kind = self.name(base.replace(" ", "_")), f"{qualifier}uint{bits}_t"
        if text is not None and not self.scope.lines:
            self.scope.declarations.append(f"{kind} {name} = {text};")
            return Term(name, bits)
        self.scope.uninitialised.setdefault((bits, kind), []).append(name)
        if text is not None:
            self.scope.lines.append(f"{name} = {text};")
        return Term(name, bits)

    def bits_of(self, variable: Variable) -> int:
        """The bits of a variable's type."""
        return self.terms[variable].bits if variable in self.terms else self.target.type_bits(variable.width)

    # -- statements --------------------------------------------------------------------------------

    def block(self, block: Block, arriving: Sequence[Assignment]) -> Lines:
        """A block inside braces, and what it sets for what follows it."""
        outer, self.scope = self.scope, _Scope()
        self.statements(block)
        if not block.returns:
            self.set_at_once(arriving)
        inner, self.scope = self.scope, outer
        return inner.rendered()

    def statements(self, block: Block) -> None:
        """Write the statements of a block into the open one."""
        outer = self.phase
        for statement in block.statements:
            if not isinstance(statement, Note) and statement.phase != self.phase:
                self.phase = statement.phase
                self.comment(self.phase)
            self.statement(statement)
        self.phase = outer

    def comment(self, phase: str) -> None:
        """Name what follows."""
        place = self.scope.lines or self.scope.declarations
        place.append(f"/* {phase} */")

    def statement(self, statement: Statement) -> None:
        """Write one statement."""
        match statement:
            case Step():
                self.step(statement)
            case If():
                self.branch(statement)
            case Loop():
                self.loop(statement)
            case Call():
                self.call(statement)
            case Return():
                self.scope.lines += self.returned([self.known(result) for result in statement.results])

    def step(self, step: Step) -> None:
        """Write a step, if it is one that sets a variable."""
        if step.target not in self.plan.computed:
            return
        if is_wide_product(step, self.target):
            self.terms[step.target] = Term("", 2 * self.target.widest)
        term = self.spelling.term(step)
        self.set_or_declare(step.target, self.spelling.fitted(term, self.bits_of(step.target)))

    def set_or_declare(self, variable: Variable, text: str) -> None:
        """Set a variable that is not there yet, or the one whose place it takes."""
        if self.plan.has_its_own(variable):
            self.declare(variable, text)
        else:
            self.scope.lines.append(f"{self.terms[self.plan.holder(variable)].text} = {text};")

    def call(self, call: Call) -> None:
        """Write a call: one result is assigned, several are set through pointers."""
        bits = [self.target.type_bits(parameter.width) for parameter in call.callee.parameters]
        arguments = [self.spelling.assigned(*given) for given in zip(call.operands, bits, strict=True)]
        function = self.callees[call.callee]
        if len(call.targets) == 1:
            self.set_or_declare(call.targets[0], f"{function}({', '.join(arguments)})")
            return
        copies: list[tuple[Variable, Term]] = []
        for target in call.targets:
            holder = self.plan.holder(target)
            if holder in self.plan.factors:  # no pointer goes to what is volatile
                place = self.declared(f"given {target.name}", self.target.type_bits(target.width))
                copies.append((target, place))
            else:
                if holder == target:
                    self.declare(target)
                place = self.terms[holder]
            arguments.append(f"&{place.text}")
        self.scope.lines.append(f"{function}({', '.join(arguments)});")
        for target, place in copies:
            self.set_or_declare(target, self.spelling.fitted(place, self.bits_of(target)))

    def branch(self, statement: If) -> None:
        """Write an `if`; a side with nothing to say is left out."""
        condition = self.spelling.condition(statement.condition)
        for join in statement.joins:
            if self.plan.has_its_own(join.target):
                self.declare(join.target)
        then = self.block(statement.then, [(j.target, j.if_true) for j in statement.joins])
        otherwise = self.block(statement.otherwise, [(j.target, j.if_false) for j in statement.joins])
        if not then:
            condition, then, otherwise = f"!({condition})", otherwise, []
        self.scope.lines += [f"if ({condition}) {{", *_indented(then)]
        self.scope.lines += ["} else {", *_indented(otherwise), "}"] if otherwise else ["}"]

    def loop(self, loop: Loop) -> None:
        """Write a loop, counting down to zero."""
        for item in loop.carried:
            if self.plan.has_its_own(item.variable):  # or it goes on in the one of what it begins with
                self.declare(item.variable, self.spelling.assigned(item.initial, self.bits_of(item.variable)))
        count = loop.count
        bits = self.target.type_bits(count.bit_length() if isinstance(count, int) else count.width)
        first = str(count) if isinstance(count, int) else self.spelling.assigned(count, bits)
        rounds = self.declared("rounds", bits).text
        body = self.block(loop.body, [(item.variable, item.following) for item in loop.carried])
        self.scope.lines.append(f"for ({rounds} = {first}; {rounds} != 0; {rounds}--) {{")
        self.scope.lines += [*_indented(body), "}"]

    # -- assignments -------------------------------------------------------------------------------

    def set_at_once(self, assignments: Iterable[Assignment]) -> None:
        """Set variables from values that are all those of before."""
        waiting: list[tuple[Variable, Operand | Term]] = [
            (place, value)
            for place, value in ((self.plan.holder(variable), value) for variable, value in assignments)
            if value is not None and self.plan.of(value) != place
        ]
        while waiting:
            free = [
                one
                for one in waiting
                if not any(self.reads(other[1], one[0]) for other in waiting if other is not one)
            ]
            if free:
                waiting.remove(free[0])
                self.set(*free[0])
            else:  # each is needed by another one: keep one aside
                variable, value = waiting[0]
                bits = self.target.type_bits(variable.width)
                aside = self.declared(
                    f"new {variable.name}", bits, self.spelling.fitted(self.term(value, bits), bits)
                )
                waiting[0] = (variable, aside)

    def set(self, variable: Variable, value: Operand | Term) -> None:
        """Set a variable in C."""
        place = self.terms[variable]
        self.scope.lines.append(
            f"{place.text} = {self.spelling.fitted(self.term(value, place.bits), place.bits)};"
        )

    def term(self, value: Operand | Term, bits: int) -> Term:
        """A value as a term."""
        return value if isinstance(value, Term) else self.spelling.value(value, bits)

    def reads(self, value: Operand | Term, variable: Variable) -> bool:
        """Whether writing a value reads a variable in C."""
        if isinstance(value, Term):
            return False
        written = self.plan.of(value)
        if isinstance(written, Step):
            return any(self.reads(inner, variable) for inner in written.operands)
        return written == variable


def _indented(lines: Lines) -> Lines:
    return [INDENT + line for line in lines]


def _declared(kind: str, names: list[str]) -> Lines:
    return wrap(f"{kind} {', '.join(names)};", WIDTH, subsequent_indent=INDENT)


def _without_empty_headings(lines: Lines) -> Lines:
    """Lines without the comments that nothing follows."""
    return [
        line
        for line, following in zip(lines, [*lines[1:], "/*"], strict=False)
        if not (line.startswith("/*") and following.startswith("/*"))
    ]
