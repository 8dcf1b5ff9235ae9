"""The command `cpus`: the list of cost models, or every figure of one."""

from __future__ import annotations

import argparse

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import A_MODEL, add_compiler
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import model_named, models_named
from softfloat_py.views import compared_table, cpu_table

ABOUT = """\
List the cost models, or show every figure of one with its source, whose code it describes, and the cores,
chips and boards it is for:

    python -m softfloat_py cpus cortex-m0plus

With --compared, how far compiled code was from estimates, for each CPU and compiler where that was measured.
"""


def add_arguments(parser: Parser) -> None:
    """What `cpus` takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help=A_MODEL)
    add_compiler(parser)
    parser.add_argument("--compared", action="store_true", help="the comparisons with compiled code")


def run(parsed: argparse.Namespace) -> Answer:
    """The list, the comparisons, or one of them."""
    if parsed.compared:
        names = None if parsed.name is None else [parsed.name]
        return Answer(compared_table.compared(models_named(names, parsed.compiler), parsed.compiler))
    if parsed.name is None:
        return Answer(cpu_table.listing(models_named(None, parsed.compiler)))
    return Answer(cpu_table.figures(model_named(parsed.name, parsed.compiler)))


CPUS = Command("cpus", ABOUT, add_arguments, run)
