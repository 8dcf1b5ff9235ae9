"""The table of commands, in the order of the help, and the parser of all of them."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence

from softfloat_py.commands.bounds import BOUNDS
from softfloat_py.commands.c import C
from softfloat_py.commands.compare_with_host import COMPARE_WITH_HOST
from softfloat_py.commands.cpus import CPUS
from softfloat_py.commands.estimate import ESTIMATE
from softfloat_py.commands.explain import EXPLAIN
from softfloat_py.commands.guide import GUIDE
from softfloat_py.commands.measure import MEASURE
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import chosen, shielded

COMMANDS = (ESTIMATE, BOUNDS, CPUS, EXPLAIN, COMPARE_WITH_HOST, C, MEASURE, GUIDE)

ABOUT = """\
IEEE 754 arithmetic done with integers only, counted step by step, and priced for CPUs without an FPU.
"""


def understood(arguments: Sequence[str]) -> argparse.Namespace:
    """What a command line asks for, with the `run` of its command.

    UnknownNameError for a command that there is not; SystemExit after a help, or what cannot be read.
    """
    if arguments and not arguments[0].startswith("-"):
        chosen("command", arguments[0], {command.name: command for command in COMMANDS})
    return parser().parse_args(list(map(shielded, arguments)))


def parser() -> Parser:
    """The parser of all commands; what it gives has the chosen one's `run`."""
    top = Parser(prog="python -m softfloat_py", description=ABOUT)
    subparsers = top.add_subparsers(required=True, metavar="command")
    for command in COMMANDS:
        added = subparsers.add_parser(
            command.name,
            help=_first_sentence(command.about),
            description=command.about,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        command.add_arguments(added)
        added.set_defaults(run=command.run)
    return top


def _first_sentence(about: str) -> str:
    return re.split(r"[.:](?:\s|$)", about.replace("\n", " "), maxsplit=1)[0]
