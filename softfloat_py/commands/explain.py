"""The command `explain`: one operation, step by step."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from textwrap import fill, indent

from softfloat_py.commands.answer import Answer
from softfloat_py.commands.arguments import add_format, add_options
from softfloat_py.commands.command import Command
from softfloat_py.commands.parser import Parser
from softfloat_py.commands.words import NUMBER, chosen
from softfloat_py.environment import Rounding, environment
from softfloat_py.errors import OperandError
from softfloat_py.numbers.formats import Format, format_named
from softfloat_py.numbers.number import Number
from softfloat_py.operations import OPERATIONS, Operation, operation_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.teaching.explanation import explain
from softfloat_py.views.layout import LINE

ABOUT = """\
Show one operation step by step. Operands are decimal numbers, or encodings in hexadecimal; operations are
signs or names. Put < > * in quotes, the shell has other uses for them.

    python -m softfloat_py explain 6.25 + -0.1 --format binary32
    python -m softfloat_py explain sqrt 2.0
    python -m softfloat_py explain division 0x3f800000 3 --rounding toward_zero
    python -m softfloat_py explain convert_format 0.1 --target binary16
    python -m softfloat_py explain scale_b 0.75 -3
    python -m softfloat_py explain convert_to_integer 200.5 --width 8 --unsigned

The operations, by the names of IEEE 754-2019 where it has them, in snake case:

""" + indent(fill(", ".join(OPERATIONS), LINE - 4), "    ")

ROUNDINGS = {rounding.name.lower(): rounding for rounding in Rounding}
SIGNS = {row.symbol: name for name, row in OPERATIONS.items() if row.symbol}
SHORTEST_NAME = 3  # letters; what is shorter, as x, is meant for a sign


def add_arguments(parser: Parser) -> None:
    """What `explain` takes."""
    add = parser.add_argument
    add("words", nargs="+", metavar="WORD", help="OPERAND SIGN OPERAND, or OPERATION OPERAND...")
    add_format(parser)
    add("--target", metavar="NAME", help="format of a conversion's result")
    add("--width", type=int, default=32, metavar="BITS", help="bits of an integer (default: 32)")
    add("--unsigned", action="store_true", help="a conversion is from or to an unsigned integer")
    add("--rounding", default="ties_to_even", metavar="NAME", help=f"one of {', '.join(ROUNDINGS)}")
    add_options(parser, default="complete")


def run(parsed: argparse.Namespace) -> Answer:
    """One operation step by step."""
    name, texts = operation_and_operands([word.strip() for word in parsed.words])
    fmt = format_named(parsed.format)
    target = None if parsed.target is None else format_named(parsed.target)
    rounding = chosen("rounding", parsed.rounding, ROUNDINGS)
    row = OPERATIONS[name]
    if row.operands == row.integer_operands and target is None:
        target = fmt  # no operand says which format is meant
    with environment(rounding=rounding, options=chosen("options", parsed.options, NAMED_OPTIONS)):
        operands = [operand(row, place, text, fmt) for place, text in enumerate(texts)]
        told = explain(name, *operands, target=target, width=parsed.width, signed=not parsed.unsigned)
    return Answer(str(told))


def operation_and_operands(words: Sequence[str]) -> tuple[str, Sequence[str]]:
    """The operation's name, which may stand before the operands or after the first, and their texts."""
    first, second = [*words, "", ""][:2]
    between = second and (NUMBER.match(first) or (_is_operation(second) and not _is_operation(first)))
    name, *operands = [second, first, *words[2:]] if between else words
    if _is_no_word(name):
        name = chosen("sign of an operation", name, SIGNS)
    return operation_named(SIGNS.get(name, name)).name, operands


def _is_no_word(name: str) -> bool:
    return len(name) < SHORTEST_NAME or not name[0].isalpha()


def _is_operation(word: str) -> bool:
    return word in SIGNS or word in OPERATIONS


def operand(operation: Operation, place: int, text: str, fmt: Format) -> Number | int:
    """What a text stands for in its place among the operands."""
    if dict(enumerate(operation.operands)).get(place) in operation.integer_operands:
        return _integer(operation, text)
    return _number(text, fmt)


def _number(text: str, fmt: Format) -> Number:
    """A decimal or hexadecimal number, rounded once to the format, or an encoding."""
    if re.fullmatch("0x[0-9a-f]+", text, re.IGNORECASE):
        return fmt.from_bits(int(text, 16))
    return fmt.from_text(text)


def _integer(operation: Operation, text: str) -> int:
    try:
        return int(text, 0)
    except ValueError:
        raise OperandError(f"{operation.name} takes a whole number, not {text!r}") from None


EXPLAIN = Command("explain", ABOUT, add_arguments, run)
