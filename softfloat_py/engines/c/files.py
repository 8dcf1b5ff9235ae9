"""A C header and source with one function a program."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from softfloat_py.engines.c.callees import CalleeDefinition, named_callees
from softfloat_py.engines.c.definitions import Definition
from softfloat_py.engines.c.lowering import in_c_steps
from softfloat_py.engines.c.passing import Passed, passing_of
from softfloat_py.engines.c.tables import definitions, named_tables
from softfloat_py.engines.c.target import Target
from softfloat_py.engines.c.writer import INDENT, Lines, Names
from softfloat_py.engines.signature import Signature
from softfloat_py.environment import Flags, Rounding
from softfloat_py.integer_form.grammar import Program
from softfloat_py.lowering.words import count_words
from softfloat_py.whole_files import whole_file

# So that C++ finds what a compiler of C made.
FOR_CPP_BEFORE = ("#ifdef __cplusplus", 'extern "C" {', "#endif")
FOR_CPP_AFTER = ("#ifdef __cplusplus", "}", "#endif")


@dataclass(frozen=True, slots=True)
class Function:
    """A function: its name in C, what it does in a sentence, the program, and what goes in and out of it."""

    name: str
    about: str
    program: Program
    signature: Signature


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
        return any(function.signature.keeps_flags for function in self.functions)

    @property
    def takes_direction(self) -> bool:
        """Whether any function rounds in a direction chosen at run time."""
        return any(function.signature.takes_direction for function in self.functions)

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
            declaration = passing_of(function.signature, self.target).declaration(function.name)
            lines += [*comment(function.about), f"{declaration};", ""]
        return "\n".join([*lines, *FOR_CPP_AFTER, "", f"#endif /* {guard} */"]) + "\n"

    def said_made(self) -> list[str]:
        """How the text was made, if that is known."""
        return ["", self.made] if self.made else []

    def usage(self) -> Iterator[str]:
        """How to use the functions, for the head of the header."""
        yield "Operands and results are encodings: the bits of a number, in an unsigned integer."
        if self.wide_values():
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

    def wide_values(self) -> dict[str, Passed]:
        """The values that no integer type holds, by the name of their structure."""
        passings = [passing_of(function.signature, self.target) for function in self.functions]
        values = [value for passing in passings for value in (*passing.operands, *passing.results)]
        return {value.structure: value for value in values if value.bits is None}

    def structures(self) -> Iterator[str]:
        """The types of values that no integer type holds."""
        bits = self.target.widest
        for name, passed in self.wide_values().items():
            guard = f"{name.upper()}_DEFINED"
            count = count_words(passed.value.width, bits)
            yield from (f"#ifndef {guard}", f"#define {guard}")
            yield f"typedef struct {{ uint{bits}_t word[{count}]; }} {name};"
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
        lines += self.definitions()
        return "\n".join(lines)

    def definitions(self) -> Lines:
        """The arrays and static functions that programs need, and the functions themselves."""
        programs = [in_c_steps(function.program, self.target) for function in self.functions]
        public = [self.flags, self.direction, *(function.name for function in self.functions)]
        callees = named_callees(programs, self.prefix, public)
        tables = named_tables((*callees, *programs), self.prefix, (*public, *callees.values()))
        names = Names(tables, callees)
        lines = list(definitions(tables, self.target))
        for callee in callees:
            lines += [*CalleeDefinition(callee, self.target, names).lines(), ""]
        for function, program in zip(self.functions, programs, strict=True):
            passing = passing_of(function.signature, self.target)
            writer = Definition(program, passing, self.target, names, self.direction, self.flags)
            lines += [*writer.lines(function.name), ""]
        return lines


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
