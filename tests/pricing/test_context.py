"""What stands around steps, worked out by hand on small programs: live words, copies, spills, conditions."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from softfloat_py.integer_form.grammar import Program, Step
from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.context import Context
from softfloat_py.pricing.native_steps import shape_of
from softfloat_py.pricing.registers import Registers
from softfloat_py.pricing.wide_steps import most_words_inside
from softfloat_py.routines.language import Bits, field
from tests.integer_form import small_routines
from tests.integer_form.small_routines import program
from tests.pricing import invented_cpu
from tests.pricing.invented_cpu import C

LOGIC = ("and", "or", "xor")


def context(
    routine: Program, word: int = 8, registers: int = 16, overwrites: tuple[str, ...] = (), parking: int = 0
) -> Context:
    """The surroundings of a program on a CPU with a carry flag, all shifts and products of words."""
    machine = Machine(word, True, True, word, False, 4)
    return Context(routine, machine, Registers(registers, parking), overwrites, C)


def steps(routine: Program) -> list[Step]:
    """The steps of a program, those of a block before those of the blocks inside it."""
    return [s for block in routine.body.walk() for s in block.statements if isinstance(s, Step)]


@pytest.mark.parametrize(
    ("live", "most", "word"),
    [
        ([2, 2, 2], 2, 8),
        ([4, 4, 4], 5, 4),  # every value of 8 bits is two words; of a result, one is beside the operands
        ([2, 2, 2], 2, 16),
    ],
)
def test_live_words_are_those_of_operands_and_of_what_follows(live: list[int], most: int, word: int) -> None:
    """At each step its operands take words, and what later steps need; its result takes the place of an
    operand that nothing needs later.
    """
    heights = program(small_routines.heights, crest=8, trough=8)
    # rise = crest & trough replaces trough, fall = crest ^ rise replaces crest, and the last either.
    around = context(heights, word)

    assert live == [around.live.at[step] for step in steps(heights)]
    assert most == around.most_words


def digit_beside_all(crest: Bits) -> Bits:
    """Three bits of a value that is needed itself."""
    return field(crest, 1, 3) | crest


def test_bits_that_nobody_looks_at_take_no_words() -> None:
    """Of a wide value shifted down, a mask leaves three bits: its word and no other waits for the mask."""
    digit = program(digit_beside_all, crest=32)
    around = context(digit)

    # Four words of crest, which the last step needs, and one of what is shifted down, or masked.
    assert [5, 5, 5] == [around.live.at[step] for step in steps(digit)]


def product_of_two(crest: Bits, trough: Bits) -> Bits:
    """A product of several words."""
    return crest * trough


def test_what_an_expansion_needs_counts_for_the_whole_program() -> None:
    """Words that are needed only while a wide step is done are among those that the program holds."""
    product = program(product_of_two, crest=16, trough=16)
    machine = Machine(8, False, True, 0, False, 8)
    around = Context(product, machine, Registers(64, 0), (), C)
    inside = most_words_inside(shape_of(steps(product)[0], product, machine.word), machine, (False, False))

    # Operands of 2 words each, then a result of 4. Inside they are needed together.
    assert 4 == around.live.at[steps(product)[0]]
    assert 8 < inside == around.most_words


def test_most_live_words_count_for_the_whole_program() -> None:
    """The words of a program are those of its fullest step, or of its operands where no step is fuller."""
    # fall = crest | trough, while rise waits: three.
    assert 3 == context(program(invented_cpu.both_kept, crest=8, trough=8)).most_words
    # rise = crest | trough, while swell waits: three.
    assert 3 == context(program(invented_cpu.joined, crest=8, trough=8, swell=8)).most_words
    # Four operands, of which the one step takes two.
    assert 4 == context(program(first_two, crest=8, trough=8, swell=8, limit=8)).most_words


def first_two(crest: Bits, trough: Bits, swell: Bits, limit: Bits) -> Bits:
    """A step on two operands of four."""
    return crest & trough


@pytest.mark.parametrize(
    ("copied", "routine", "overwrites", "word"),
    [
        # rise = crest & trough may overwrite trough; fall = crest ^ rise overwrites crest; the last either.
        ([0, 0, 0], small_routines.heights, LOGIC, 8),
        # Both operands are needed after the first step, so one is copied; the next may overwrite crest.
        ([1, 0, 0], invented_cpu.both_kept, LOGIC, 8),
        ([2, 0, 0], invented_cpu.both_kept, LOGIC, 4),
        ([0, 0, 0], invented_cpu.both_kept, ("or", "xor"), 8),
        ([0, 0, 0], invented_cpu.both_kept, (), 8),
        # A product may overwrite its second operand instead.
        ([0, 0], invented_cpu.first_kept, ("multiply", "or"), 8),
    ],
)
def test_operand_is_copied_before_it_is_overwritten(
    copied: list[int], routine: Callable[..., Bits], overwrites: tuple[str, ...], word: int
) -> None:
    """Only an operand that is needed later, and whose place no other can give, is copied, word by word."""
    read = program(routine, crest=8, trough=8)
    around = context(read, word, overwrites=overwrites)

    assert copied == [around.extra_moves(step, 0, around.machine).copied for step in steps(read)]


def shifted_and_kept(crest: Bits, distance: Bits) -> Bits:
    """A shift after which the distance is needed no more, but what was shifted is."""
    return crest ^ (crest >> distance)


def test_operands_of_a_shift_cannot_change_places() -> None:
    """Where the order of operands matters, the first is copied though the second is free."""
    read = program(shifted_and_kept, crest=8, distance=3)
    around = context(read, overwrites=("shift_right_variable", "xor"))

    assert [1, 0] == [around.extra_moves(step, 0, around.machine).copied for step in steps(read)]


@pytest.mark.parametrize(
    ("spilled", "registers"),
    [
        ([0, 0, 0], 3),
        ([1 / 3 * 3, 1 / 3 * 3, 0], 2),  # three words held at steps that read two and write one; then two
        ([2 / 3 * 3, 2 / 3 * 3, 1 / 2 * 3], 1),
    ],
)
def test_share_beyond_the_registers_lies_in_memory(spilled: list[float], registers: int) -> None:
    """Of the words that a step reads and writes, that share is in memory which finds no register."""
    read = program(invented_cpu.both_kept, crest=8, trough=8)
    around = context(read, registers=registers)

    assert spilled == pytest.approx(
        [around.extra_moves(step, None, around.machine).spilled for step in steps(read)]
    )


def test_words_are_parked_before_they_are_spilled() -> None:
    """Registers out of reach take what the others have no room for, and memory what is left."""
    read = program(invented_cpu.both_kept, crest=8, trough=8)
    fullest = steps(read)[1]  # three words held; it reads two and writes one
    around = context(read, registers=1, parking=1)
    moved = around.extra_moves(fullest, None, around.machine)

    assert (1 / 3 * 3, 1 / 3 * 3) == pytest.approx((moved.parked, moved.spilled))


def swell_in_rounds(crest: Bits, swell: Bits) -> Bits:
    """A loop that works on one of two values."""
    for _ in range(4):
        crest = ~crest
    return crest ^ swell


def test_what_a_loop_does_not_touch_takes_no_register_in_it() -> None:
    """In a loop, its counter and what it works on are held; before and after, all that is needed."""
    read = program(swell_in_rounds, crest=8, swell=8)
    after, in_loop = steps(read)

    # crest, which becomes another in the same place, and the counter; then both operands.
    assert 1 + 1 == context(read).live.at[in_loop]
    assert 2 == context(read).live.at[after]


def foam_in_rounds(crest: Bits, foam: Bits) -> Bits:
    """A loop whose first step holds three values, and its second only two."""
    for _ in range(4):
        both = crest & foam
        foam = foam ^ both
        crest = ~crest
    return crest ^ foam


def test_a_value_has_one_place_all_through_a_loop() -> None:
    """What a loop holds at the most counts for each of its steps, and for none outside of it."""
    read = program(foam_in_rounds, crest=8, foam=8)
    after, *in_loop = steps(read)
    around = context(read, registers=3)

    # crest, foam, both and the counter; then both is gone.
    assert [4, 4, 3] == [around.live.at[step] for step in in_loop]
    assert [1 / 4 * 3, 1 / 4 * 3, 1 / 4 * 2] == [
        around.extra_moves(step, None, around.machine).spilled for step in in_loop
    ]
    assert 0 == around.extra_moves(after, None, around.machine).spilled


def test_step_in_words_spills_word_by_word() -> None:
    """A step of two words is two steps, and what waits beside it takes registers from both."""
    read = program(invented_cpu.joined, crest=8, trough=8, swell=8)
    rise = steps(read)[0]
    around = context(read, word=4, registers=6)
    # swell waits: two words. The low words are joined while the high ones wait: 2 + 4, and the result, 7.
    # Then the high ones, beside the low result: 2 + 3, and the result, 6.
    assert (7 - 6) / 7 * 3 == pytest.approx(around.extra_moves(rise, None, around.machine).spilled)


@pytest.mark.parametrize(
    ("kept", "routine"),
    [
        (False, invented_cpu.lesser),
        (False, invented_cpu.lesser_chosen),
        (True, invented_cpu.marked),
        (True, invented_cpu.marked_and_clamped),
    ],
)
def test_outcome_is_kept_as_a_number_where_more_than_a_decision_needs_it(
    kept: bool, routine: Callable[..., Bits]
) -> None:
    """A comparison that decides, and does nothing else, is no number; any other is."""
    read = program(routine, crest=8, limit=8)
    comparison = next(step for step in steps(read) if step.kind.counted_as == "compare")

    assert kept is context(read).is_kept_as_number(comparison)


def test_only_comparisons_are_conditions() -> None:
    """A bit that decides but was not compared is a value as any other."""
    read = program(invented_cpu.odd_turned, crest=8)

    assert [False] * len(steps(read)) == [context(read).is_kept_as_number(step) for step in steps(read)]
