"""Values needed after each statement: worked out by hand, and by a run that forgets all others."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from softfloat_py.engines import stepwise
from softfloat_py.engines.stepwise import Record
from softfloat_py.integer_form.grammar import Program, Statement, Step
from softfloat_py.integer_form.liveness import liveness_of
from softfloat_py.lowering.expansions import Value, expanded_step
from softfloat_py.lowering.machine import Habits, Machine
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.routines.language import Bits, resize
from softfloat_py.routines.tables import Table
from softfloat_py.uses import use_of
from tests.integer_form.small_routines import heights, program


def needed(program: Program) -> list[tuple[str, set[str]]]:
    """Each statement, a block after the one around it, by its target or kind, with what is needed after."""
    after = liveness_of(program).after
    return [
        (_name(statement), {value.name for value in after[id(statement)]})
        for block in program.body.walk()
        for statement in block.statements
    ]


def _name(statement: Statement) -> str:
    return statement.target.name if isinstance(statement, Step) else type(statement).__name__


def renamed(crest: Bits) -> Bits:
    """A value under another name, which costs nothing."""
    wide = resize(crest, 16)
    low = ~crest
    return wide ^ low


def chosen(crest: Bits, trough: Bits, limit: Bits) -> Bits:
    """A value that only one side needs, and one that both bring along."""
    high = crest > limit
    if high:
        crest = trough
    else:
        crest = ~crest
    return crest ^ limit


def turned(crest: Bits, mask: Bits) -> Bits:
    """A loop whose every round needs a value from before it."""
    for _ in range(3):
        crest = crest ^ mask
    return ~crest


def test_value_is_needed_until_it_was_last_read() -> None:
    """An operand is needed after a statement as long as another reads it, a result from where it is made."""
    assert [
        ("rise", {"crest", "rise"}),  # trough was read for the last time
        ("fall", {"rise", "fall"}),  # crest too
        ("t", {"t"}),
        ("Return", set()),
    ] == needed(program(heights, crest=8, trough=8))


def test_value_under_another_name_is_one_value() -> None:
    """A step that only says where bits are makes no value: the one it names stays needed."""
    assert [
        ("wide", {"crest"}),
        ("low", {"crest", "low"}),  # crest is read once more, as `wide`
        ("t", {"t"}),
        ("Return", set()),
    ] == needed(program(renamed, crest=8))


def test_sides_need_what_they_read_and_what_they_bring_along() -> None:
    """Before an `if` all that either side reads is needed; a side's end needs what it hands to the join."""
    assert [
        ("high", {"crest", "trough", "limit", "high"}),
        ("If", {"crest", "limit"}),  # the joined crest
        ("t", {"t"}),
        ("Return", set()),
        ("crest", {"crest", "limit"}),  # the move on the side that holds
        ("crest", {"crest", "limit"}),  # the complement on the other
    ] == needed(program(chosen, crest=8, trough=8, limit=8))


def test_loop_needs_in_each_round_what_the_next_will_read() -> None:
    """A value from before a loop is needed to the end of each round, and not after the last."""
    assert [
        ("Loop", {"crest"}),
        ("t", {"t"}),
        ("Return", set()),
        ("crest", {"crest", "mask"}),  # mask for the round to come
    ] == needed(program(turned, crest=8, mask=8))


class Forgetful(stepwise._Walk):
    """The stepwise engine on a machine that forgets, after each statement, what is not called needed."""

    def __init__(self, record: Record, program: Program) -> None:
        super().__init__(record, program)
        self.liveness = liveness_of(program)

    def statement(self, statement: Statement) -> bool:
        """Do a statement, and forget."""
        returned = super().statement(statement)
        needed = self.liveness.after[id(statement)]
        for value in list(self.record.values):
            if not self.liveness.values_of([value]) <= needed:
                del self.record.values[value]
        return returned


def results_of_the_forgetful(program: Program, arguments: tuple[int, ...]) -> tuple[int, ...]:
    """What a run delivers that keeps nothing but what is called needed."""
    record = Record()
    record.values.update(zip(program.parameters, arguments, strict=True))
    Forgetful(record, program).block(program.body)
    return record.results


# Ordinary numbers of either sign, a subnormal one, zeros, infinity, NaN, and the largest: in binary32.
OPERANDS = (0x3FC00000, 0xBEE00000, 0x00000003, 0x80000000, 0x7F800000, 0x7FC00001, 0x7F7FFFFF)


@pytest.mark.parametrize("options", [LEAN, COMPLETE], ids=lambda options: str(options.name))
@pytest.mark.parametrize("name", ["addition", "multiplication", "division", "square_root", "minimum"])
def test_no_operation_reads_what_is_not_called_needed(name: str, options: Options) -> None:
    """Whatever the operands, a run that forgets all else delivers the same results."""
    routine = use_of(OPERATIONS[name], binary32, options).program
    numbers = len(routine.operands)

    for arguments in _arguments(routine, numbers):
        assert stepwise.run(routine, arguments).results == results_of_the_forgetful(routine, arguments)


def _arguments(program: Program, numbers: int) -> Iterator[tuple[int, ...]]:
    uniform = (0,) * (len(program.parameters) - numbers)
    for x in OPERANDS:
        for y in OPERANDS if numbers == 2 else (0,):
            yield ((x, y)[:numbers] + uniform)


@pytest.mark.parametrize(
    ("kind", "widths", "width", "arguments"),
    [
        ("shift_right_variable", (24, 5), 24, (0x12, 0x34, 0x56, 19)),
        ("multiply", (16, 16), 32, (0x12, 0x34, 0x56, 0x78)),
        ("count_leading_zeros", (24,), 5, (0x00, 0x10, 0x00)),
        ("subtract", (32, 32), 32, (1, 2, 3, 4, 4, 3, 2, 1)),
        ("look_up", (8,), 20, (1,)),
    ],
)
def test_no_expansion_reads_what_is_not_called_needed(
    kind: str, widths: tuple[int, ...], width: int, arguments: tuple[int, ...]
) -> None:
    """So it is with steps in words, whose loops may have a length that only a run knows."""
    bytewise = Machine(8, True, False, 0, False, 8, habits=Habits(address_bits=16))
    immediate = Table((1, 0x12345), 20) if kind == "look_up" else 0
    operands = tuple(Value(width) for width in widths)
    expansion = expanded_step(kind, operands, immediate, width, bytewise).program

    assert stepwise.run(expansion, arguments).results == results_of_the_forgetful(expansion, arguments)
