"""The command `guide`: the reference, by topics."""

from __future__ import annotations

import argparse

from softfloat_py import guide
from softfloat_py.commands.answer import Answer
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.views.layout import columns

ABOUT = """\
List the topics of the reference, or print the page on one:

    python -m softfloat_py guide kernels
"""


def add_arguments(parser: Parser) -> None:
    """What `guide` takes."""
    parser.add_argument("topic", nargs="?", metavar="TOPIC", help="a topic of the list")


def run(parsed: argparse.Namespace) -> Answer:
    """The list of topics, or one page."""
    if parsed.topic is None:
        lines = columns(guide.topics().items(), "<<")
        return Answer("\n".join([*lines, "", "python -m softfloat_py guide TOPIC prints one of them"]))
    return Answer(guide.page(parsed.topic).rstrip("\n"))


GUIDE = Command("guide", ABOUT, add_arguments, run)
