"""The command `compare-with-host`: the emulated operations beside this machine's own floating point."""

from __future__ import annotations

import argparse

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import add_operations
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import whole
from softfloat_py.numbers.formats import format_named
from softfloat_py.studies.comparing import HOST_FLOATS, compare_with_host

ABOUT = """\
Run operations on random and corner operands here and on this machine's own floating point. The exit
status is 1 if any result differs. Elementary functions, which hosts round as they like, are compared
where they are named.

    python -m softfloat_py compare-with-host --format binary32 --operations addition,division
"""


def add_arguments(parser: Parser) -> None:
    """What `compare-with-host` takes."""
    add = parser.add_argument
    names = ", ".join(fmt.name for fmt in HOST_FLOATS)
    add("--format", default="binary32", metavar="NAME", help=f"one of {names} (default: binary32)")
    add_operations(parser, "all that the host has and IEEE 754 requires")
    samples = "random samples an operation, 0 for the corner operands alone (default: 100000)"
    add("--samples", type=whole, default=100_000, metavar="N", help=samples)
    add("--seed", type=whole, default=1, metavar="N", help="of the random samples (default: 1)")


def run(parsed: argparse.Namespace) -> Answer:
    """The comparison, with status 1 if anything differs."""
    fmt = format_named(parsed.format)
    operations = None if parsed.operations is None else parsed.operations.split(",")
    comparison = compare_with_host(fmt, operations=operations, samples=parsed.samples, seed=parsed.seed)
    return Answer(str(comparison), status=0 if comparison.ok else 1)


COMPARE_WITH_HOST = Command("compare-with-host", ABOUT, add_arguments, run)
