"""Writes a program as the body of a C function.

Values that are used once are written where they are used; all others are variables with the routine's names.
Declarations come first in each block, as older compilers want it. Factors of 16 bits are volatile where the
CPU multiplies no more: compilers otherwise forget that they have no more bits, and call a product of 32 bits.
Where control flow meets, each side sets the variables that go on; where several are set at once, those that
others still need are set last.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from textwrap import wrap
from typing import NamedTuple

from softfloat_py.engines.c.planning import Plan
from softfloat_py.engines.c.spellings import Spelling, Term
from softfloat_py.engines.c.target import Target
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
from softfloat_py.routines.tables import Table

INDENT = "    "
WIDTH = 90  # of a line of declarations

Assignment = tuple[Operand, Operand]
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
    """Writes one program; `give` writes a return, from its results as operands; `outside` are the names of
    what it needs from its file.
    """

    def __init__(
        self,
        program: Program,
        target: Target,
        give: Callable[[Spelling, Sequence[Operand]], Lines],
        outside: Names,
    ) -> None:
        self.program = program
        self.target = target
        self.give = give
        self.callees = outside.callees
        self.plan = Plan(program, target)
        self.terms: dict[Operand, Term] = {}
        self.names: set[str] = {*RESERVED.split(), *outside.tables.values(), *outside.callees.values()}
        self.scope = _Scope()
        self.phase = ""
        self.spelling = Spelling(target, self.step_of, self.term_of, outside.tables.__getitem__)

    def body(self, opening: Callable[[Writer], None]) -> Lines:
        """The body of the function; `opening` declares the parameters' words."""
        self.scope = _Scope()
        opening(self)
        self.statements(self.program.body)
        return self.scope.rendered()

    # -- names and uses ----------------------------------------------------------------------------

    def step_of(self, variable: Variable) -> Step | None:
        """The step that is written in a variable's place, if any."""
        return self.plan.nested.get(self.plan.of(variable))

    def term_of(self, operand: Operand) -> Term:
        """How a value that has a variable is written."""
        return self.terms[self.plan.variable(operand)]

    def name(self, variable: Variable) -> str:
        """A name that no other variable of this function has."""
        base = variable.name.replace(" ", "_")
        name, number = base, 2
        while name in self.names:
            name, number = f"{base}_{number}", number + 1
        self.names.add(name)
        return name

    def declare(self, variable: Variable, text: str | None = None) -> str:
        """Declare a variable, with what it is set to if nothing has been done yet in its block."""
        bits = self.bits_of(variable)
        name = self.name(variable)
        kind = f"volatile uint{bits}_t" if variable in self.plan.factors else f"uint{bits}_t"
        self.terms[variable] = Term(name, bits)
        if text is not None and not self.scope.lines:
            self.scope.declarations.append(f"{kind} {name} = {text};")
            return name
        self.scope.uninitialised.setdefault((bits, kind), []).append(name)
        if text is not None:
            self.scope.lines.append(f"{name} = {text};")
        return name

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
                self.scope.lines += self.give(self.spelling, [self.plan.of(r) for r in statement.results])

    def step(self, step: Step) -> None:
        """Write a step, if it is one that sets a variable."""
        if step.target in self.plan.same or step.target in self.plan.nested:
            return
        if self.plan.is_wide_product(step):
            self.terms[step.target] = Term("", 2 * self.target.widest)
        term = self.spelling.term(step)
        self.set_or_declare(step.target, self.spelling.fitted(term, self.bits_of(step.target)))

    def set_or_declare(self, variable: Variable, text: str) -> None:
        """Set a variable that is not there yet, or the one whose place it takes."""
        if variable in self.plan.shared:
            self.scope.lines.append(f"{self.term_of(variable).text} = {text};")
        else:
            self.declare(variable, text)

    def call(self, call: Call) -> None:
        """Write a call: one result is assigned, several are set through pointers."""
        bits = [self.target.type_bits(parameter.width) for parameter in call.callee.parameters]
        arguments = [self.spelling.assigned(*given) for given in zip(call.operands, bits, strict=True)]
        function = self.callees[call.callee]
        if len(call.targets) == 1:
            self.set_or_declare(call.targets[0], f"{function}({', '.join(arguments)})")
            return
        copies: list[tuple[Variable, Variable]] = []
        for target in call.targets:
            place = target
            if self.plan.variable(target) in self.plan.factors:  # no pointer goes to what is volatile
                place = Variable(f"given {target.name}", -target.number, target.width)
                copies.append((target, place))
            if place not in self.plan.shared:
                self.declare(place)
            arguments.append(f"&{self.term_of(place).text}")
        self.scope.lines.append(f"{function}({', '.join(arguments)});")
        for target, place in copies:
            self.set_or_declare(target, self.spelling.assigned(place, self.bits_of(target)))

    def branch(self, statement: If) -> None:
        """Write an `if`; a side with nothing to say is left out."""
        condition = self.spelling.condition(statement.condition)
        for join in statement.joins:
            if join.target not in self.plan.shared:
                self.declare(join.target)
        sides = (
            self.block(block, [(j.target, side) for j, side in arriving if side is not None])
            for block, arriving in (
                (statement.then, [(j, j.if_true) for j in statement.joins]),
                (statement.otherwise, [(j, j.if_false) for j in statement.joins]),
            )
        )
        then, otherwise = sides
        if not then:
            condition, then, otherwise = f"!({condition})", otherwise, []
        self.braced(f"if ({condition})", then)
        if otherwise:
            self.scope.lines.pop()
            self.braced("} else", otherwise)

    def braced(self, heading: str, lines: Lines) -> None:
        """Write a heading and lines in braces."""
        self.scope.lines += [f"{heading} {{", *(INDENT + line for line in lines), "}"]

    def loop(self, loop: Loop) -> None:
        """Write a loop, counting down to zero."""
        for item in loop.carried:
            if item.variable in self.plan.shared:
                continue  # it goes on in the variable that holds what it begins with
            self.declare(item.variable, self.spelling.assigned(item.initial, self.bits_of(item.variable)))
        count = loop.count
        width = count.bit_length() if isinstance(count, int) else count.width
        rounds = Variable("rounds", -1, width)
        first = str(count) if isinstance(count, int) else self.spelling.assigned(count, self.bits_of(rounds))
        name = self.declare(rounds)
        del self.terms[rounds]
        following = [(item.variable, item.following) for item in loop.carried]
        self.braced(f"for ({name} = {first}; {name} != 0; {name}--)", self.block(loop.body, following))

    # -- assignments -------------------------------------------------------------------------------

    def set_at_once(self, assignments: Iterable[Assignment]) -> None:
        """Set variables from values that are all those of before."""
        settled = [(self.plan.variable(variable), self.plan.of(value)) for variable, value in assignments]
        waiting = [(variable, value) for variable, value in settled if self.plan.variable(value) != variable]
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
                assert isinstance(variable, Variable)
                aside = Variable(f"new {variable.name}", -variable.number, variable.width)
                self.declare(aside, self.spelling.assigned(value, self.bits_of(aside)))
                waiting[0] = (variable, aside)

    def set(self, variable: Operand, value: Operand) -> None:
        """Set one variable."""
        term = self.term_of(variable)
        self.scope.lines.append(f"{term.text} = {self.spelling.assigned(value, term.bits)};")

    def reads(self, operand: Operand, variable: Operand) -> bool:
        """Whether writing an operand reads a variable."""
        operand = self.plan.of(operand)
        if operand in self.plan.nested:
            return any(self.reads(inner, variable) for inner in self.plan.nested[operand].operands)
        return self.plan.variable(operand) == variable


def _declared(kind: str, names: list[str]) -> Lines:
    return wrap(f"{kind} {', '.join(names)};", WIDTH, subsequent_indent=INDENT)


def _without_empty_headings(lines: Lines) -> Lines:
    """Lines without the comments that nothing follows."""
    return [
        line
        for line, following in zip(lines, [*lines[1:], "/*"], strict=False)
        if not (line.startswith("/*") and following.startswith("/*"))
    ]
