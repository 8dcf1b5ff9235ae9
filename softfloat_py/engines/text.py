"""What engines that write program text share: indented lines, names, and how often a value is used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator
from contextlib import contextmanager

from softfloat_py.integer_form.grammar import Block, Operand, Program, Variable, used_by


class Text:
    """Lines of program text under construction."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self._depth = 0

    def line(self, content: str) -> None:
        """Add a line at the current depth."""
        self.lines.append("    " * self._depth + content)

    @contextmanager
    def indented(self, heading: str) -> Iterator[None]:
        """A heading and what is added inside, one level deeper."""
        self.line(heading)
        self._depth += 1
        length = len(self.lines)
        yield
        if len(self.lines) == length:
            self.line("pass")
        self._depth -= 1

    def render(self) -> str:
        """All lines as one text."""
        return "\n".join(self.lines) + "\n"


def name_of(variable: Variable) -> str:
    """A variable's name in generated code."""
    return f"{variable.name}_{variable.number}".replace(" ", "_")


def free_name(base: str, taken: Container[str]) -> str:
    """A name that is not taken: the base, or the first that it makes with a number."""
    name, number = base, 2
    while name in taken:
        name, number = f"{base}_{number}", number + 1
    return name


def operands_of(block: Block) -> Iterator[Operand]:
    """Everything the statements of one block use, its inner blocks' own uses left out."""
    for statement in block.statements:
        yield from used_by(statement)


def count_uses(program: Program) -> Counter[Variable]:
    """How often each variable is used; use inside a loop counts as many, since it happens many times."""
    uses: Counter[Variable] = Counter()
    for block in program.body.walk():
        uses.update(operand for operand in operands_of(block) if isinstance(operand, Variable))
    for loop in program.body.all_loops():
        computed_inside = {step.target for step in loop.body.all_steps()}
        for inner in loop.body.walk():
            for operand in operands_of(inner):
                if isinstance(operand, Variable) and operand not in computed_inside:
                    uses[operand] += 1
    return uses
