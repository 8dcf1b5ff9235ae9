"""A C header and source with one function a program."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from softfloat_py.engines.c.callees import CalleeDefinition, named_callees
from softfloat_py.engines.c.definitions import Definition
from softfloat_py.engines.c.lowering import in_c_steps
from softfloat_py.engines.c.passing import Passed, Passing, passing_of
from softfloat_py.engines.c.placement import FUNCTION, FUNCTION_MACROS, before_function
from softfloat_py.engines.c.surroundings import Surroundings
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
    """A header and a source: the functions of one format. `made` says how it was made.

    Functions that are `reentrant` take the rounding direction and the place of the flags as parameters, and a
    macro stands before each; the others have a variable for each.
    """

    prefix: str
    about: str
    made: str
    target: Target
    functions: tuple[Function, ...]
    reentrant: bool = False

    @property
    def surroundings(self) -> Surroundings:
        """How functions know the rounding direction, and where flags gather."""
        return Surroundings(self.prefix, self.target, self.reentrant)

    def passing(self, function: Function) -> Passing:
        """How a function takes its operands and gives its results."""
        return passing_of(function.signature, self.surroundings)

    @property
    def keeps_flags(self) -> bool:
        """Whether any function records exceptions."""
        return any(function.signature.keeps_flags for function in self.functions)

    @property
    def takes_direction(self) -> bool:
        """Whether any function rounds in a direction chosen at run time."""
        return any(function.signature.takes_direction for function in self.functions)

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
            *FOR_CPP_BEFORE, "", *self.structures(), *self.environment(), *self.macros(),
        ]  # fmt: skip
        for function in self.functions:
            declaration = self.passing(function).declaration(function.name)
            lines += [*comment(function.about), f"{before_function(self.reentrant)}{declaration};", ""]
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
        surroundings = self.surroundings
        if self.takes_direction and self.reentrant:
            yield f"The parameter {surroundings.direction} chooses how a result is rounded."
        elif self.takes_direction:
            yield f"Set {surroundings.direction} to choose how results are rounded."
        else:
            yield "Results are rounded to the nearest number, ties to even."
        if self.keeps_flags and self.reentrant:
            yield f"Exceptions are added to {surroundings.flags}, which the caller has set to 0 at first."
        elif self.keeps_flags:
            yield (
                f"Exceptions gather in {surroundings.flags} until it is set to 0; that is not for several "
                "threads."
            )
        if self.reentrant:
            yield "Nothing is kept between calls: threads and interrupts may call the functions at any time."
        yield "Nothing but integers of C99 is used, and no library."

    def wide_values(self) -> dict[str, Passed]:
        """The values that no integer type holds, by the name of their structure."""
        passings = [self.passing(function) for function in self.functions]
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
        """The values that rounding direction and flags take, and the variables that stand for them."""
        surroundings = self.surroundings
        if self.takes_direction:
            yield from comment("Rounding directions (IEEE 754-2019, clause 4.3).")
            yield from self.constants({direction.name: int(direction) for direction in Rounding})
            yield from [f"extern {surroundings.type} {surroundings.direction};"] * (not self.reentrant)
            yield ""
        if self.keeps_flags:
            yield from comment("Status flags (IEEE 754-2019, clause 7), as a set of bits.")
            yield from self.constants({flag.name: int(flag) for flag in Flags if flag and flag.name})
            yield from [f"extern {surroundings.type} {surroundings.flags};"] * (not self.reentrant)
            yield ""

    def macros(self) -> Iterator[str]:
        """The macros before functions, where there are some."""
        if self.reentrant:
            yield from comment(
                f"A file that includes this text and the source may define {FUNCTION} before, which "
                "stands before every function: as static, or as __device__ for CUDA."
            )
            yield from (*FUNCTION_MACROS, "")

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
        lines += [] if self.reentrant else self.variables()
        lines += self.definitions()
        return "\n".join(lines)

    def variables(self) -> Iterator[str]:
        """The variables that stand for the rounding direction and the flags, as they are at first."""
        kind, surroundings = self.surroundings.type, self.surroundings
        if self.takes_direction:
            first = f"{self.prefix.upper()}_{Rounding.TIES_TO_EVEN.name}"
            yield from (f"{kind} {surroundings.direction} = {first};", "")
        if self.keeps_flags:
            yield from (f"{kind} {surroundings.flags} = 0;", "")

    def definitions(self) -> Lines:
        """The arrays and static functions that programs need, and the functions themselves."""
        programs = [in_c_steps(function.program, self.target) for function in self.functions]
        public = [*self.surroundings.variables, *(function.name for function in self.functions)]
        callees = named_callees(programs, self.prefix, public)
        tables = named_tables((*callees, *programs), self.prefix, (*public, *callees.values()))
        names = Names(tables, callees)
        lines = list(definitions(tables, self.target))
        before = before_function(self.reentrant, inner=True)
        for callee in callees:
            lines += [*CalleeDefinition(callee, self.target, names).lines(before), ""]
        before = before_function(self.reentrant)
        for function, program in zip(self.functions, programs, strict=True):
            writer = Definition(program, self.passing(function), self.surroundings, names)
            lines += [*writer.lines(function.name, before), ""]
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
