"""The command `bounds`: best, typical and worst cycles of one call of each operation."""

from __future__ import annotations

import argparse
import json

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import (
    A_MODEL,
    add_compiler,
    add_format,
    add_json,
    add_operations,
    add_options,
)
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import chosen, model_named, uses_asked_for
from softfloat_py.numbers.formats import format_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.pricing.bounds import Bounds
from softfloat_py.views import bounds_table
from softfloat_py.views.waiting import sign_of_life

ABOUT = """\
Say what one call of each operation takes on a CPU at best, typically and at worst, in cycles:

    python -m softfloat_py bounds --cpu cortex-m0plus --format binary32 --operations addition,division

Best and worst are extremes of estimates over all ways through the integer form. They are no certified bounds.
Conversions name what they convert to or from: convert_format:binary64, convert_to_integer:int32,
convert_from_integer:uint16.
"""


def add_arguments(parser: Parser) -> None:
    """What `bounds` takes."""
    parser.add_argument(
        "--cpu", action="append", required=True, metavar="NAME", help=f"{A_MODEL}; may be repeated"
    )
    add_compiler(parser)
    add_format(parser)
    add_operations(parser, "all that are no conversions")
    add_options(parser)
    add_json(parser)


def run(parsed: argparse.Namespace) -> Answer:
    """The bounds, a table for each CPU."""
    fmt = format_named(parsed.format)
    options = chosen("options", parsed.options, NAMED_OPTIONS)
    uses = uses_asked_for(parsed.operations, fmt, options)
    models = [model_named(name, parsed.compiler) for name in parsed.cpu]
    found = [[Bounds(use, model) for use in uses] for model in models]
    with sign_of_life("following all ways through the operations"):
        if parsed.json:
            data = bounds_table.as_data([each for on_cpu in found for each in on_cpu])
            return Answer(json.dumps(data, indent=2))
        return Answer("\n\n".join([*map(bounds_table.table, found), bounds_table.CAUTION]))


BOUNDS = Command("bounds", ABOUT, add_arguments, run)
