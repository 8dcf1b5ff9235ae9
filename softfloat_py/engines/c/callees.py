"""Programs that others call, as functions of their file alone: words go in, words come out.

A parameter or result of several words is as many. One result is returned; several, the flags among them, go
through pointers, for not every compiler of C returns structures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from softfloat_py.engines.c.spellings import Term
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.c.writer import INDENT, Lines, Names, Writer
from softfloat_py.engines.text import free_name
from softfloat_py.integer_form.grammar import Operand, Program

RESULT = "result"


def named_callees(programs: Iterable[Program], prefix: str, taken: Iterable[str]) -> dict[Program, str]:
    """The programs that some call, with a name of its own for each, those called by others first."""
    names: dict[Program, str] = {}
    used = set(taken)
    for callee in dict.fromkeys(callee for program in programs for callee in _called_in(program)):
        names[callee] = free_name(f"{prefix}_{callee.name}", used)
        used.add(names[callee])
    return names


def _called_in(program: Program) -> Iterator[Program]:
    for callee in program.callees:
        yield from _called_in(callee)
        yield callee


class CalleeDefinition(Writer):
    """A program that is called, as a function."""

    def __init__(self, program: Program, target: Target, outside: Names) -> None:
        super().__init__(program, target, outside)
        self.declared_parameters: list[str] = []
        self.bits = [target.type_bits(width) for width in program.result_widths]

    def lines(self, before: str) -> Lines:
        """The whole function, with what stands before its type."""
        body = self.body()
        kind = "void" if len(self.bits) > 1 else f"uint{self.bits[0]}_t"
        heading = f"{before}{kind} {self.callees[self.program]}({', '.join(self.declared_parameters)})"
        return [heading, "{", *(INDENT + line for line in body), "}"]

    def parameters(self) -> None:
        """Words come in, each as a parameter; behind them, pointers to several results."""
        results = [f"{RESULT}_{place}" for place in range(len(self.bits))]
        self.names.update(results)
        for parameter in self.program.parameters:
            bits, name = self.target.type_bits(parameter.width), self.name(parameter.name.replace(" ", "_"))
            self.declared_parameters.append(f"uint{bits}_t {name}")
            self.terms[parameter] = Term(name, bits)
            if parameter not in self.plan.used:
                self.scope.lines.append(f"(void){name};")
        if len(results) > 1:
            pointers = zip(self.bits, results, strict=True)
            self.declared_parameters.extend(f"uint{bits}_t *{name}" for bits, name in pointers)

    def returned(self, results: Sequence[Operand]) -> Lines:
        """The lines that end the function."""
        texts = [
            self.spelling.assigned(result, bits) for result, bits in zip(results, self.bits, strict=True)
        ]
        if len(texts) == 1:
            return [f"return {texts[0]};"]
        return [*(f"*{RESULT}_{place} = {text};" for place, text in enumerate(texts)), "return;"]
