"""Nodes of the integer form check themselves when they are built."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from softfloat_py.integer_form.grammar import (
    Block,
    Carried,
    Constant,
    If,
    Join,
    Position,
    Return,
    Step,
    Variable,
)
from softfloat_py.routines.steps import STEPS

HERE = Position("wave.py", 1, 0)
WIDE, NARROW, BIT = Variable("height", 1, 8), Variable("period", 2, 5), Variable("is_high", 3, 1)
EMPTY = Block(0, ())
LEAVES = Block(0, (Return((WIDE,), "whole", HERE),))


def branch(then: Block, otherwise: Block) -> Block:
    """A block of one `if`."""
    return Block(0, (If(BIT, then, otherwise, (), "whole", HERE),))


# What is built, and all that is said about it.
REFUSED: dict[str, tuple[Callable[[], Any], str]] = {
    "constant too wide": (lambda: Constant(9, 3), "constant 9 does not fit 3 bits"),
    "constant below zero": (lambda: Constant(-1, 3), "constant -1 does not fit 3 bits"),
    "constant of no bits": (lambda: Constant(0, 0), "constant 0 does not fit 0 bits"),
    "too few operands": (
        lambda: Step(WIDE, STEPS["add"], (WIDE,), 0, "whole", HERE),
        "add takes 2 operands, not 1",
    ),
    "wrong result width": (
        lambda: Step(WIDE, STEPS["add"], (WIDE, NARROW), 0, "whole", HERE),
        "add delivers 9 bits here, not 8",
    ),
    "condition of several bits": (
        lambda: If(WIDE, EMPTY, EMPTY, (), "whole", HERE),
        "a condition must be one bit wide, not 8",
    ),
    "join of another width": (
        lambda: Join(WIDE, WIDE, NARROW),
        "join height.1 is 8 bits wide, period.2 5",
    ),
    "carried value of another width": (
        lambda: Carried(WIDE, Constant(0, 5), WIDE),
        "height.1 is 8 bits wide, 0 5",
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_inconsistent_node_is_refused(what: str) -> None:
    """A node whose widths or operands contradict its kind cannot be built."""
    build, message = REFUSED[what]

    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        build()


def test_block_knows_whether_control_leaves_it() -> None:
    """A block returns if it ends so on every path, and may return if any path does."""
    assert LEAVES.returns
    assert branch(LEAVES, LEAVES).returns
    assert not branch(LEAVES, EMPTY).returns
    assert branch(LEAVES, EMPTY).may_return
    assert not branch(EMPTY, EMPTY).may_return
    assert not EMPTY.returns


def test_blocks_are_walked_in_the_order_of_the_text() -> None:
    """A block comes before the blocks inside it, the `then` side before the other."""
    inner, other = Block(2, ()), Block(3, ())
    outer = Block(0, (If(BIT, inner, other, (), "whole", HERE),))

    assert [0, 2, 3] == [block.number for block in outer.walk()]


@pytest.mark.parametrize(
    ("text", "operand"), [("9", Constant(9, 4)), ("0x1f", Constant(31, 5)), ("height.1", WIDE)]
)
def test_operands_print_briefly(text: str, operand: Constant | Variable) -> None:
    """Small constants print in decimal, larger ones in hexadecimal, variables with their number."""
    assert text == str(operand)
