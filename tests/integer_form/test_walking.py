"""Walks over the form: in which order, in which stretch, in which loops."""

from __future__ import annotations

from softfloat_py.integer_form.grammar import Block, Program, Statement, Step
from softfloat_py.integer_form.walking import last_stretch, visits, with_blocks
from softfloat_py.routines.language import Bits
from tests.integer_form import small_routines
from tests.integer_form.small_routines import program


def swells(height: Bits, limit: Bits) -> Bits:
    """An early return, and a loop in an `if`."""
    if height == 0:
        return limit
    if limit < height:
        for _ in range(3):
            height = height ^ limit
    return ~height


def kinds_and_places(program: Program) -> list[tuple[str, int, int]]:
    """What is visited: its kind, its stretch, how many loops are around it."""
    return [(_kind(one.statement), one.stretch, len(one.loops)) for one in visits(program.body)]


def _kind(statement: Statement) -> str:
    return statement.kind.name if isinstance(statement, Step) else type(statement).__name__


def test_statement_comes_after_those_inside_it() -> None:
    """Stretch 3 begins behind the early return; the loop's body is stretch 5, the empty sides are 2 and 6."""
    expected = [
        ("equal", 0, 0), ("Return", 1, 0), ("If", 0, 0),
        ("less", 3, 0), ("xor", 5, 1), ("Loop", 4, 0), ("If", 3, 0), ("not", 3, 0), ("Return", 3, 0),
    ]  # fmt: skip

    assert expected == kinds_and_places(program(swells, height=8, limit=8))


def test_block_is_left_in_its_last_stretch() -> None:
    """A block is left where it began, unless something inside may return."""
    assert 3 == last_stretch(program(swells, height=8, limit=8).body)
    assert 0 == last_stretch(program(small_routines.clamped, height=8, limit=8).body)


def test_blocks_of_a_statement_are_changed_in_order() -> None:
    """The sides of the first `if`, the body of the loop in the second, and its sides; nothing of a step."""
    numbers: list[int] = []

    def noted(block: Block) -> Block:
        numbers.append(block.number)
        return block

    for one in visits(program(swells, height=8, limit=8).body):
        with_blocks(one.statement, noted)

    assert [1, 2, 5, 4, 6] == numbers
