"""The command `cpus`: the list of cost models, or every figure of one."""

from __future__ import annotations

import argparse

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import A_MODEL, add_compiler
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import model_named, models_named
from softfloat_py.views import cpu_table

ABOUT = """\
List the cost models, or show every figure of one with its source, whose code it describes, and the cores,
chips and boards it is for:

    python -m softfloat_py cpus cortex-m0plus
"""


def add_arguments(parser: Parser) -> None:
    """What `cpus` takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help=A_MODEL)
    add_compiler(parser)


def run(parsed: argparse.Namespace) -> Answer:
    """The list, or one of them."""
    if parsed.name is None:
        return Answer(cpu_table.listing(models_named(None, parsed.compiler)))
    return Answer(cpu_table.figures(model_named(parsed.name, parsed.compiler)))


CPUS = Command("cpus", ABOUT, add_arguments, run)
