"""A C header and source with one function a program.

Operands and results are the unsigned integer types that hold them, or, where the target has none that wide,
structures of words passed by their address.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from softfloat_py.engines.c.callees import definition, named_callees
from softfloat_py.engines.c.lowering import in_c_steps
from softfloat_py.engines.c.spellings import Spelling, Term, bare, cast
from softfloat_py.engines.c.tables import definitions, named_tables
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.c.writer import INDENT, Lines, Names, Writer
from softfloat_py.environment import Flags, Rounding
from softfloat_py.integer_form.grammar import Constant, Operand, Program, Variable
from softfloat_py.lowering.words import count_words
from softfloat_py.whole_files import whole_file

# So that C++ finds what a compiler of C made.
FOR_CPP_BEFORE = ("#ifdef __cplusplus", 'extern "C" {', "#endif")
FOR_CPP_AFTER = ("#ifdef __cplusplus", "}", "#endif")
RESULTS = ("result", "error")  # names of what is delivered through pointers


class Meaning(Enum):
    """What an operand or a result is."""

    ENCODING = "an encoding, or an unsigned integer"
    SIGNED = "a two's complement integer"
    TRUTH = "true or false"


@dataclass(frozen=True, slots=True)
class Value:
    """An operand or a result; `name` is that of its structure, where it needs one."""

    width: int
    meaning: Meaning
    name: str

    def bits(self, target: Target) -> int | None:
        """The bits of the integer type that holds it; None where it is a structure."""
        widest = max(target.word, 32) if target.word < 32 else 64
        fitting = [bits for bits in (8, 16, 32, 64) if self.width <= bits <= widest]
        return fitting[0] if fitting else None

    def type(self, target: Target) -> str:
        """Its C type."""
        bits = self.bits(target)
        if self.meaning is Meaning.TRUTH:
            return "bool"
        if bits is None:
            return self.name
        return f"int{bits}_t" if self.meaning is Meaning.SIGNED else f"uint{bits}_t"


@dataclass(frozen=True, slots=True)
class Function:
    """One function: its name in C, what it does in a sentence, the program and what goes in and out of it."""

    name: str
    about: str
    program: Program
    operands: tuple[tuple[str, Value], ...]
    results: tuple[Value, ...]

    @property
    def takes_direction(self) -> bool:
        """Whether the rounding direction is chosen at run time."""
        return bool(self.program.uniform)

    @property
    def values(self) -> Iterator[Value]:
        """All operands and results."""
        yield from (value for _, value in self.operands)
        yield from self.results

    def by_address(self, target: Target) -> bool:
        """Whether results are delivered through pointers."""
        return len(self.results) > 1 or self.results[0].bits(target) is None

    def declaration(self, target: Target) -> str:
        """The function's type, name and parameters."""
        parameters = [
            f"{value.type(target)} const *{name}"
            if value.bits(target) is None
            else f"{value.type(target)} {name}"
            for name, value in self.operands
        ]
        if not self.by_address(target):
            return f"{self.results[0].type(target)} {self.name}({', '.join(parameters)})"
        parameters += [f"{r.type(target)} *{n}" for n, r in zip(RESULTS, self.results, strict=False)]
        return f"void {self.name}({', '.join(parameters)})"


@dataclass(frozen=True, slots=True)
class Unit:
    """A header and a source: the functions of one format. `made` says how it was made."""

    prefix: str
    about: str
    made: str
    target: Target
    functions: tuple[Function, ...]

    @property
    def flags(self) -> str:
        """The variable in which flags gather."""
        return f"{self.prefix}_status_flags"

    @property
    def direction(self) -> str:
        """The variable that holds the rounding direction."""
        return f"{self.prefix}_rounding_direction"

    @property
    def keeps_flags(self) -> bool:
        """Whether any function records exceptions."""
        return any(function.program.keeps_flags for function in self.functions)

    @property
    def takes_direction(self) -> bool:
        """Whether any function rounds in a direction chosen at run time."""
        return any(function.takes_direction for function in self.functions)

    @property
    def small(self) -> str:
        """The type of both variables."""
        return f"uint{min(self.target.word, 32)}_t"

    def save(self, folder: Path) -> tuple[Path, Path]:
        """Write the header and the source into a folder, made if it is not there; gives their paths."""
        folder.mkdir(parents=True, exist_ok=True)
        header, source = folder / f"{self.prefix}.h", folder / f"{self.prefix}.c"
        texts = self.header().encode("ascii"), self.source().encode("ascii")
        with whole_file(header) as header_file, whole_file(source) as source_file:
            header_file.write(texts[0])
            source_file.write(texts[1])
        return header, source

    def header(self) -> str:
        """The text of the header."""
        guard = f"{self.prefix.upper()}_H"
        lines = [
            *comment(self.about, "", *self.usage(), *self.said_made()),
            f"#ifndef {guard}", f"#define {guard}", "",
            "#include <stdbool.h>", "#include <stdint.h>", "",
            *FOR_CPP_BEFORE, "", *self.structures(), *self.environment(),
        ]  # fmt: skip
        for function in self.functions:
            lines += [*comment(function.about), f"{function.declaration(self.target)};", ""]
        return "\n".join([*lines, *FOR_CPP_AFTER, "", f"#endif /* {guard} */"]) + "\n"

    def said_made(self) -> list[str]:
        """How the text was made, if that is known."""
        return ["", self.made] if self.made else []

    def usage(self) -> Iterator[str]:
        """How to use the functions, for the head of the header."""
        yield "Operands and results are encodings: the bits of a number, in an unsigned integer."
        if any(value.bits(self.target) is None for f in self.functions for value in f.values):
            yield (
                "What no integer type here holds is a structure of words, the lowest first, passed by its "
                "address; a result may take the place of an operand."
            )
        if self.takes_direction:
            yield f"Set {self.direction} to choose how results are rounded."
        else:
            yield "Results are rounded to the nearest number, ties to even."
        if self.keeps_flags:
            yield f"Exceptions gather in {self.flags} until it is set to 0; that is not for several threads."
        yield "Nothing but integers of C99 is used, and no library."

    def structures(self) -> Iterator[str]:
        """The types of values that no integer type holds."""
        bits = self.target.widest
        for value in dict.fromkeys(value for function in self.functions for value in function.values):
            if value.bits(self.target) is None:
                guard = f"{value.name.upper()}_DEFINED"
                count = count_words(value.width, bits)
                yield from (f"#ifndef {guard}", f"#define {guard}")
                yield f"typedef struct {{ uint{bits}_t word[{count}]; }} {value.name};"
                yield from ("#endif", "")

    def environment(self) -> Iterator[str]:
        """The variables that stand for the rounding direction and the flags, with the values they take."""
        if self.takes_direction:
            yield from comment("Rounding directions (IEEE 754-2019, clause 4.3).")
            yield from self.constants({direction.name: int(direction) for direction in Rounding})
            yield from (f"extern {self.small} {self.direction};", "")
        if self.keeps_flags:
            yield from comment("Status flags (IEEE 754-2019, clause 7), as a set of bits.")
            yield from self.constants({flag.name: int(flag) for flag in Flags if flag and flag.name})
            yield from (f"extern {self.small} {self.flags};", "")

    def constants(self, values: dict[str, int]) -> Iterator[str]:
        """Names for numbers."""
        yield "enum {"
        rows = [f"{INDENT}{self.prefix.upper()}_{name} = {value}" for name, value in values.items()]
        yield from (f"{row}," for row in rows[:-1])
        yield from (rows[-1], "};")

    def source(self) -> str:
        """The text of the source."""
        lines = [*comment(f"{self.about} How to use it stands in the header.", *self.said_made())]
        lines += [f'#include "{self.prefix}.h"', ""]
        if self.takes_direction:
            lines += [
                f"{self.small} {self.direction} = {self.prefix.upper()}_{Rounding.TIES_TO_EVEN.name};",
                "",
            ]
        if self.keeps_flags:
            lines += [f"{self.small} {self.flags} = 0;", ""]
        programs = [in_c_steps(function.program, self.target) for function in self.functions]
        public = [function.name for function in self.functions]
        callees = named_callees(programs, self.prefix, public)
        tables = named_tables((*callees, *programs), self.prefix, (*public, *callees.values()))
        names = Names(tables, callees)
        lines += definitions(tables, self.target)
        for callee in callees:
            lines += [*definition(callee, self.target, names), ""]
        for function, program in zip(self.functions, programs, strict=True):
            lines += [*_Definition(self, function, program).lines(names), ""]
        return "\n".join(lines)


class _Definition:
    """Writes one function."""

    def __init__(self, unit: Unit, function: Function, program: Program) -> None:
        self.unit, self.function, self.target = unit, function, unit.target
        self.program = program

    def lines(self, names: Names) -> Lines:
        """The function; `names` are those of what else is in the file."""
        writer = Writer(self.program, self.target, self.give, names)
        body = writer.body(self.open)
        return [self.function.declaration(self.target), "{", *(INDENT + line for line in body), "}"]

    def words(self, values: Iterable[Value], available: Sequence[Operand]) -> Iterator[Sequence[Operand]]:
        """What is available, value by value."""
        start = 0
        for value in values:
            count = count_words(value.width, self.target.widest)
            yield available[start : start + count]
            start += count

    def open(self, writer: Writer) -> None:
        """Bring operands and rounding direction into variables of the program."""
        writer.names.update(RESULTS, (name for name, _ in self.function.operands))
        operands = [
            parameter for parameter in self.program.parameters if parameter not in self.program.uniform
        ]
        values = [value for _, value in self.function.operands]
        for (name, value), words in zip(self.function.operands, self.words(values, operands), strict=True):
            self.open_operand(writer, name, value, words)
        for direction in self.program.uniform:
            if writer.plan.uses[direction]:
                writer.declare(direction, self.unit.direction)

    def open_operand(self, writer: Writer, name: str, value: Value, words: Sequence[Operand]) -> None:
        bits = value.bits(self.target)
        if not any(writer.plan.uses[word] for word in words):
            writer.scope.lines.append(f"(void){name};")
        for index, word in enumerate(words):
            assert isinstance(word, Variable)
            own = writer.bits_of(word)
            if value.meaning is not Meaning.SIGNED and bits == own:
                writer.terms[word] = Term(name, own)
            elif writer.plan.uses[word]:
                writer.declare(word, word_text(name, value, index, own, self.target))

    def give(self, spelling: Spelling, results: Sequence[Operand]) -> Lines:
        """The lines that end the function."""
        lines: Lines = []
        flags = results[-1] if self.program.keeps_flags else Constant(0, 1)
        if not (isinstance(flags, Constant) and flags.value == 0):
            lines.append(self.raising(spelling, flags))
        values = self.function.results
        for name, value, words in zip(RESULTS, values, self.words(values, results), strict=False):
            if not self.function.by_address(self.target):
                return [*lines, f"return {self.whole(spelling, value, words)};"]
            lines += self.stored(spelling, name, value, words)
        return [*lines, "return;"]

    def raising(self, spelling: Spelling, flags: Operand) -> str:
        name, bits = self.unit.flags, min(self.target.word, 32)
        raised = spelling.value(flags, bits)
        if bits == 32:
            return f"{name} |= {spelling.fitted(raised, bits)};"
        return f"{name} = (uint{bits}_t)({name} | {raised.text});"

    def whole(self, spelling: Spelling, value: Value, words: Sequence[Operand]) -> str:
        """A result as an integer of its type."""
        bits = value.bits(self.target)
        assert bits is not None
        if value.meaning is Meaning.TRUTH:
            if isinstance(words[0], Constant):
                return "true" if words[0].value else "false"
            return spelling.condition(words[0])
        if len(words) > 1:
            lower, upper = (cast(spelling.value(word, bits), bits) for word in words)
            text = f"({upper.text} << {self.target.widest}) | {lower.text}"
        else:
            text = spelling.assigned(words[0], bits)
        return f"(int{bits}_t)({text})" if value.meaning is Meaning.SIGNED else text

    def stored(self, spelling: Spelling, name: str, value: Value, words: Sequence[Operand]) -> Iterator[str]:
        if value.bits(self.target) is None:
            for index, word in enumerate(words):
                yield f"{name}->word[{index}] = {spelling.assigned(word, self.target.widest)};"
        else:
            yield f"*{name} = {self.whole(spelling, value, words)};"


def word_text(name: str, value: Value, index: int, own: int, target: Target) -> str:
    """A word of a parameter, in a type of its `own` bits."""
    bits = value.bits(target)
    if bits is None:
        text = f"{name}->word[{index}]"
        return text if own == target.widest else f"(uint{own}_t){text}"
    whole = f"(uint{bits}_t){name}" if value.meaning is Meaning.SIGNED else name
    if bits <= own:
        return whole
    return f"(uint{own}_t)({whole} >> {index * own})" if index else f"(uint{own}_t){bare(whole)}"


def comment(*paragraphs: str) -> Lines:
    """A comment, a line a sentence or paragraph, wrapped."""
    lines: Lines = []
    for paragraph in paragraphs:
        lines += re.findall(r"\S.{0,105}(?=\s|$)|\S{1,106}|^$", _harmless(paragraph))
    if len(lines) == 1:
        return [f"/* {lines[0]} */"]
    return [f"/* {lines[0]}", *(f" * {line}".rstrip() for line in lines[1:]), " */"]


def _harmless(text: str) -> str:
    """A text that says the same in a comment, whatever names are in it: ASCII, and no end of the comment."""
    return text.encode("unicode_escape").decode().replace("*/", "* /").replace("/*", "/ *")
