"""The command `c`: operations as a C header and source."""

from __future__ import annotations

import argparse
from pathlib import Path

from softfloat_py.c_export import c_unit
from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import add_format, add_operations, add_options
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import chosen, uses_asked_for
from softfloat_py.engines.c.target import target_for
from softfloat_py.numbers.formats import format_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.views.waiting import sign_of_life

ABOUT = """\
Write operations as C: a header and a source in C99 that need integers only and no library, for CPUs without
an FPU. The functions give the same bits and flags as the emulated operations, whose steps they are made from.

    python -m softfloat_py c --operations addition,multiplication --word 32 --output buoy

Conversions name what they convert to or from: convert_format:binary64, convert_to_integer:int32,
convert_from_integer:uint16. The header explains how to call the functions.
"""

WORD_HELP = """the CPU's word: 8, 16 or 32 (no type but those of up to 32 bits is used inside) or 64
(default: 32)"""
MULTIPLIER_HELP = """widest factors whose product is left to C's * operator: 0 (none, products are shifts and
additions), 8, 16, or 32, which with words of 32 bits asks the compiler for products of 64 bits (default: 8
for words of 8 bits, 16 for 16 and 32, 32 for 64)"""
REENTRANT_HELP = """no variables: rounding direction and flags, where the options have them, are the last
parameters of each function, so that threads and interrupts may call it at any time; a macro stands before
each function, SOFTFLOAT_PY_FUNCTION, which CUDA needs as __device__"""


def add_arguments(parser: Parser) -> None:
    """What `c` takes."""
    add = parser.add_argument
    add_format(parser)
    add_operations(parser, "all but conversions")
    add_options(parser)
    add("--word", type=int, default=32, metavar="BITS", help=WORD_HELP)
    add("--multiplier", type=int, metavar="BITS", help=MULTIPLIER_HELP)
    add("--reentrant", action="store_true", help=REENTRANT_HELP)
    add("--output", default=".", metavar="DIR", help="where to write NAME.h and NAME.c (default: here)")


def run(parsed: argparse.Namespace) -> Answer:
    """Write header and source; the answer is their names."""
    fmt = format_named(parsed.format)
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    target = target_for(parsed.word, parsed.multiplier)
    asked = f"--operations {parsed.operations} " if parsed.operations else ""
    made = f"Made by: python -m softfloat_py c --format {fmt.name} {asked}--options {options.name} {target}"
    made += " --reentrant" if parsed.reentrant else ""
    uses = uses_asked_for(parsed.operations, fmt, options)
    unit = c_unit(uses, target, made, reentrant=parsed.reentrant)
    try:
        with sign_of_life(f"writing {unit.prefix}.c"):
            return Answer("\n".join(map(str, unit.save(Path(parsed.output)))))
    except OSError as error:
        place = f"output must be a directory to write to, not {parsed.output!r}"
        return Answer(complaint=f"{place}: {error.strerror}", status=2)


C = Command("c", ABOUT, add_arguments, run)
