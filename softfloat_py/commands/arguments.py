"""Arguments that several commands take, in the same words."""

from __future__ import annotations

from softfloat_py.commands.parser import Parser
from softfloat_py.options import NAMED_OPTIONS

A_MODEL = "a cost model, core, chip or board, such as RP2040, or a file of one's own ending in .toml"


def add_format(parser: Parser, of: str = "the operands") -> None:
    """`--format`, of what the sentence names."""
    parser.add_argument(
        "--format", default="binary32", metavar="NAME", help=f"format of {of} (default: binary32)"
    )


def add_options(parser: Parser, default: str = "lean") -> None:
    """`--options`, a named set of them."""
    known = ", ".join(NAMED_OPTIONS)
    parser.add_argument(
        "--options", default=default, metavar="NAME", help=f"one of {known} (default: {default})"
    )


def add_operations(parser: Parser, default: str) -> None:
    """`--operations`, and which are meant without it."""
    parser.add_argument("--operations", metavar="NAMES", help=f"names joined by commas (default: {default})")


def add_compiler(parser: Parser) -> None:
    """`--compiler`, whose code is priced."""
    parser.add_argument(
        "--compiler",
        metavar="NAME",
        help="whose code is meant, such as gcc-O2 or hand-scheduled; a model lists those that it describes "
        "(default: its first)",
    )


def add_json(parser: Parser) -> None:
    """`--json`."""
    parser.add_argument("--json", action="store_true", help="print everything as JSON")
