"""The command `measure`: a program in C that measures operations on a board."""

from __future__ import annotations

import argparse
from pathlib import Path

from softfloat_py.board.program import Program
from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import add_format, add_operations, add_options
from softfloat_py.commands.c import MULTIPLIER_HELP, WORD_HELP
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import chosen, uses_asked_for, whole
from softfloat_py.engines.c.target import target_for
from softfloat_py.errors import QuantityError
from softfloat_py.numbers.formats import format_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.pricing.measured_calls import MOST_CALLS
from softfloat_py.views.waiting import sign_of_life

OPERATIONS = "addition,subtraction,multiplication,division,square_root"
CALLS = 50

ABOUT = """\
Write a program in C that measures operations on your board: the operations as `c` writes them, measure.c,
which calls them on typical operands, and measure.h, which has the timers. What the program prints is a file
of measurements; complete its first lines, and sf.calibrate fits a cost model to it.

    python -m softfloat_py measure --operations addition,multiplication --word 32 --output bench

How to go about it: python -m softfloat_py guide measure.
"""


def add_arguments(parser: Parser) -> None:
    """What `measure` takes."""
    add = parser.add_argument
    add_format(parser)
    add_operations(parser, OPERATIONS)
    add_options(parser)
    add("--word", type=int, default=32, metavar="BITS", help=WORD_HELP)
    add("--multiplier", type=int, metavar="BITS", help=MULTIPLIER_HELP)
    many = f"calls of each operation, at most {MOST_CALLS} (default: {CALLS})"
    add("--calls", type=whole, default=CALLS, metavar="N", help=many)
    add("--output", default=".", metavar="DIR", help="where to write the four files (default: here)")


def run(parsed: argparse.Namespace) -> Answer:
    """Write the files; the answer is their names."""
    if not 1 <= parsed.calls <= MOST_CALLS:
        raise QuantityError("calls", f"from 1 to {MOST_CALLS}", parsed.calls)
    fmt, names = format_named(parsed.format), parsed.operations or OPERATIONS
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    target = target_for(parsed.word, parsed.multiplier)
    uses = uses_asked_for(names, fmt, options)
    if conversions := [use.operation.name for use in uses if use.parameter is not None]:
        needing_no_more = "operations that need no more than their name"
        return Answer(complaint=f"what is measured must be {needing_no_more}, not {conversions[0]}", status=2)
    made = f"Made by: python -m softfloat_py measure --format {fmt.name} --operations {names} "
    made += f"--options {options.name} {target} --calls {parsed.calls}"
    try:
        with sign_of_life("writing measure.c"):
            paths = Program(uses, target, parsed.calls, made).save(Path(parsed.output))
    except OSError as error:
        place = f"output must be a directory to write to, not {parsed.output!r}"
        return Answer(complaint=f"{place}: {error.strerror}", status=2)
    return Answer("\n".join(map(str, paths)))


MEASURE = Command("measure", ABOUT, add_arguments, run)
