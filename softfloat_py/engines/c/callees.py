"""Programs that others call, as static functions of their file: words go in, words come out.

A parameter or result of several words is as many. One result is returned; several, the flags among them, go
through pointers, for not every compiler of C returns structures.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from softfloat_py.engines.c.spellings import Spelling, Term
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.c.writer import INDENT, Lines, Names, Writer
from softfloat_py.integer_form.grammar import Operand, Program

RESULT = "result"


def named_callees(programs: Iterable[Program], prefix: str, taken: Iterable[str]) -> dict[Program, str]:
    """The programs that some call, with a name of its own for each, those called by others first."""
    names: dict[Program, str] = {}
    used = set(taken)
    for callee in dict.fromkeys(callee for program in programs for callee in _called_in(program)):
        base = f"{prefix}_{callee.name}"
        free = (f"{base}_{number}" if number > 1 else base for number in range(1, len(used) + 2))
        names[callee] = next(name for name in free if name not in used)
        used.add(names[callee])
    return names


def _called_in(program: Program) -> Iterator[Program]:
    for callee in program.callees:
        yield from _called_in(callee)
        yield callee


def definition(program: Program, target: Target, names: Names) -> Lines:
    """A program that is called, as a static function."""
    writer = Writer(program, target, _Results(program, target).give, names)
    parameters: list[str] = []

    def opening(writer: Writer) -> None:
        results = [f"{RESULT}_{place}" for place in range(len(program.result_widths))]
        writer.names.update(results)
        for parameter in program.parameters:
            bits, name = target.type_bits(parameter.width), writer.name(parameter)
            parameters.append(f"uint{bits}_t {name}")
            writer.terms[parameter] = Term(name, bits)
            if not writer.plan.uses[parameter]:
                writer.scope.lines.append(f"(void){name};")
        if len(results) > 1:
            types = (f"uint{target.type_bits(width)}_t" for width in program.result_widths)
            parameters.extend(f"{kind} *{name}" for kind, name in zip(types, results, strict=True))

    body = writer.body(opening)
    kind = "void" if len(program.result_widths) > 1 else f"uint{target.type_bits(program.result_widths[0])}_t"
    heading = f"static {kind} {names.callees[program]}({', '.join(parameters)})"
    return [heading, "{", *(INDENT + line for line in body), "}"]


class _Results:
    """Writes the returns of a static function."""

    def __init__(self, program: Program, target: Target) -> None:
        self.bits = [target.type_bits(width) for width in program.result_widths]

    def give(self, spelling: Spelling, results: Sequence[Operand]) -> Lines:
        """The lines that end the function."""
        texts = [spelling.assigned(result, bits) for result, bits in zip(results, self.bits, strict=True)]
        if len(texts) == 1:
            return [f"return {texts[0]};"]
        return [*(f"*{RESULT}_{place} = {text};" for place, text in enumerate(texts)), "return;"]
