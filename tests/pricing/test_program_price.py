"""Prices of programs, worked out by hand on an invented CPU, and held against counts and against estimates.

The invented CPU takes 1 cycle a step but for those of `invented_cpu.PRICES`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

import softfloat_py as sf
from softfloat_py.engines import plain, stepwise
from softfloat_py.integer_form.counting import Usage, bill_of
from softfloat_py.integer_form.grammar import Constant, If, Program
from softfloat_py.lowering.expansions import Value
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN
from softfloat_py.pricing.compiled_order import as_compiled
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.decisions import decisions_of
from softfloat_py.pricing.figures import Price, Quantity
from softfloat_py.pricing.native_steps import Shape, native_steps, shape_of
from softfloat_py.pricing.program_price import AROUND_CALLS, program_price
from softfloat_py.pricing.step_prices import BESIDE_STEPS, CALIBRATION, Cycles
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.pricing.wraps import wraps_of
from softfloat_py.routines.language import Bits, add_modulo, count_leading_zeros, phase
from softfloat_py.uses import use_of
from tests.engines.running import run_generated
from tests.integer_form import small_routines
from tests.integer_form.small_routines import program
from tests.pricing import invented_cpu
from tests.pricing.invented_cpu import INVENTED, C, registers

MOVE, LOAD, STORE, LOAD_CONSTANT = 10, 200, 400, 1000
TAKEN, NOT_TAKEN, CALL, RETURN = 3, 2, 11, 13
ACCESS = (LOAD + STORE) / 2  # a word from memory or to it


def stretches(model: CostModel, routine: Program) -> list[dict[str, float]]:
    """The cycles of each stretch by what takes them, of all phases together, nothings left out."""
    return [_by_what(cycles) for cycles in program_price(model, routine).stretches]


def _by_what(cycles: Cycles) -> dict[str, float]:
    total: defaultdict[str, float] = defaultdict(float)
    for (_, what), amount in cycles.items():
        if amount:
            total[what] += amount
    return total


def only_stretch(model: CostModel, routine: Program) -> dict[str, float]:
    """The cycles of a program of one stretch."""
    (cycles,) = stretches(model, routine)
    return cycles


# -- steps ---------------------------------------------------------------------------------------------


def test_steps_cost_what_their_native_steps_do() -> None:
    """A step of one word is one native step; of two words, two."""
    heights = program(small_routines.heights, crest=8, trough=8)

    assert {"and": 1, "xor": 1, "or": 1} == only_stretch(invented_cpu.invented_cpu(), heights)
    assert {"and": 2, "xor": 2, "or": 2} == only_stretch(invented_cpu.invented_cpu(word=4), heights)


def test_copy_is_priced_as_a_move() -> None:
    """Where the first operand is overwritten and needed later, each of its words is moved before."""
    both_kept = program(invented_cpu.both_kept, crest=8, trough=8)
    logic = ("and", "or", "xor")

    assert MOVE == only_stretch(invented_cpu.invented_cpu(overwrites=logic), both_kept)[BESIDE_STEPS]
    assert 2 * MOVE == only_stretch(invented_cpu.invented_cpu(4, overwrites=logic), both_kept)[BESIDE_STEPS]
    assert 0 == only_stretch(invented_cpu.invented_cpu(), both_kept)[BESIDE_STEPS]


def test_word_in_memory_is_priced_between_load_and_store() -> None:
    """With two registers for three words, a third of the three words of two steps lies in memory."""
    both_kept = program(invented_cpu.both_kept, crest=32, trough=32)
    model = invented_cpu.invented_cpu(32, **registers(2))

    assert 2 * ACCESS == pytest.approx(only_stretch(model, both_kept)[BESIDE_STEPS])


def test_word_in_memory_has_a_price_of_its_own() -> None:
    """Where an instruction takes an operand in memory, that price stands for a load or a store."""
    both_kept = program(invented_cpu.both_kept, crest=32, trough=32)
    model = invented_cpu.invented_cpu(32, **registers(2), word_in_memory=Price(1.5, INVENTED))

    assert 2 * 1.5 == pytest.approx(only_stretch(model, both_kept)[BESIDE_STEPS])


def raised(crest: Bits, trough: Bits) -> Bits:
    """A sum."""
    return crest + trough


def test_carry_is_found_by_comparing_where_compiled_code_has_none() -> None:
    """Of a sum of two words, each is an addition with the flag. Without it the first is one and a comparison,
    the second takes two additions and two comparisons, and what carries out of either is joined.
    """
    read = program(raised, crest=64, trough=64)
    with_flag = only_stretch(invented_cpu.invented_cpu(32), read)
    without = only_stretch(
        invented_cpu.invented_cpu(32, compiler=replace(C, carries_between_words=False)), read
    )

    assert 1 + 1 == with_flag["add"]
    assert (1 + 1) + (2 + 2 + 1) == without["add"]


def raised_wrapping(crest: Bits, trough: Bits) -> Bits:
    """A sum of 64 bits."""
    return add_modulo(crest, trough, 64)


def test_carry_goes_no_further_than_the_widest_type() -> None:
    """On words of 16 bits, a sum of 64 has two parts of two additions. Two differences tell whether the lower
    part wrapped around, and a branch passes by, as it did not.
    """
    cycles = only_stretch(invented_cpu.invented_cpu(16), program(raised_wrapping, crest=64, trough=64))

    assert 2 + 2 + 2 + TAKEN == cycles["add"]


def test_measured_moves_come_with_native_steps() -> None:
    """A share of a move for each native step is added, or taken off: six of them where each step is two
    words.
    """
    for share in (0.25, -0.25):
        model = invented_cpu.invented_cpu(4, moves_a_step=Quantity(share, INVENTED))
        beside = only_stretch(model, program(small_routines.heights, crest=8, trough=8))[CALIBRATION]

        assert 6 * share * MOVE == beside


def test_step_that_depends_on_an_operand_is_priced_by_feature() -> None:
    """A product on an MC68000 takes 38 + 2n, n the set bits of the multiplier (M68000UM, section 8)."""
    price = program_price(cost_model("mc68000"), program(invented_cpu.product, crest=16, trough=16))

    assert [38 + 2 * n for n in (0, 3, 16)] == [price.site(0, n)["multiply", "multiply"] for n in (0, 3, 16)]


def wide(crest: Bits, trough: Bits) -> Bits:
    """A wide product, shifted over a distance that a count gives."""
    phase("multiply")
    total = crest * trough | 1
    return total >> count_leading_zeros(total)


@pytest.mark.parametrize("name", ["cortex-m0plus", "atmega", "mc68000", "z80"])
def test_feature_that_decides_nothing_has_one_price(name: str) -> None:
    """Prices are those of the native steps with the very feature; where these are the same, one is kept."""
    model, read = cost_model(name), program(wide, crest=24, trough=24)
    price = program_price(model, read)
    found = [[price.site(site, feature) for feature in (0, 3, 17, 24)] for site in range(3)]

    for site, prices in zip(bill_of(read).sites, found, strict=True):
        shape = shape_of(site.step, read, model.compiled_machine.word)
        for feature, cycles in zip((0, 3, 17, 24), prices, strict=True):
            steps = native_steps(shape, feature, model.compiled_machine).steps
            native = sum(n * model.cycles(e.kind, e.width or 1, e.feature) for e, n in steps.items())
            assert native == sum(amount for (_, what), amount in cycles.items() if what == site.entry.kind)
    products = {id(cycles) for cycles in found[0]}
    assert (1 if name in ("cortex-m0plus", "atmega") else 4) == len(products)


# -- constants -----------------------------------------------------------------------------------------


def test_constant_is_loaded_once_while_registers_last() -> None:
    """A constant of 7 bits, wider than an immediate, stays in a register for three steps if there is one."""
    masked = program(invented_cpu.masked_thrice, crest=8)
    roomy = invented_cpu.invented_cpu(**registers(2))  # operand or result, and the constant
    cramped = invented_cpu.invented_cpu(**registers(1))

    assert LOAD_CONSTANT == only_stretch(roomy, masked)["load_constant"]
    assert 3 * LOAD_CONSTANT == only_stretch(cramped, masked)["load_constant"]


def test_entry_of_a_table_costs_its_address_and_its_words() -> None:
    """Entries of two bytes: the index is doubled, each byte of the address is added and each byte of the
    entry loaded; the place of the table, two constants, stays in registers for the second time.
    """
    read = program(invented_cpu.two_entries, crest=4, trough=4)
    address = 1 + 1 + 1  # shift, add, add with carry

    assert {"load": 2 * (address + 2 * LOAD), "load_constant": 2 * LOAD_CONSTANT, "xor": 2} == only_stretch(
        invented_cpu.invented_cpu(), read
    )


def test_entry_of_a_table_costs_what_the_memory_of_constants_does() -> None:
    """A CPU that has a price for reading tables takes it for each byte of an entry, in place of a load's."""
    read = program(invented_cpu.two_entries, crest=4, trough=4)
    flash = invented_cpu.invented_cpu(prices={**invented_cpu.PRICES, "load_from_table": 5000})
    words = 2 * 2

    assert (
        words * (5000 - LOAD)
        == only_stretch(flash, read)["load"] - only_stretch(invented_cpu.invented_cpu(), read)["load"]
    )


def test_an_avr_reads_tables_from_flash() -> None:
    """A byte of a table takes 3 cycles, one of data 2 (AVR Instruction Set Manual: LPM, LD)."""
    atmega = cost_model("atmega")

    assert (3, 2) == (atmega.cycles("load_from_table", 8, None), atmega.cycles("load", 8, None))


def test_constant_is_loaded_before_a_loop() -> None:
    """A loop finds its constant in a register, loaded in the stretch before it, if there is one left."""
    masked = program(invented_cpu.masked_in_rounds, crest=8)
    # Held are crest, and the counter; a third register has room for the constant.
    roomy = invented_cpu.invented_cpu(**registers(3))
    cramped = invented_cpu.invented_cpu(**registers(2))
    # The loop's own counter, 4, is brought to a register by a move; the last branch of four falls through.
    counter = {"branch_not_taken": NOT_TAKEN, "branch_taken": -TAKEN}
    round_ = {"xor": 1, "subtract": 1, "branch_taken": TAKEN}

    assert [{**counter, "load_constant": MOVE + LOAD_CONSTANT}, round_] == stretches(roomy, masked)
    assert [{**counter, "load_constant": MOVE}, {**round_, "load_constant": LOAD_CONSTANT}] == stretches(
        cramped, masked
    )


def test_loop_begins_with_its_constants() -> None:
    """A constant that a loop's variable begins with is loaded before the loop, beside the loop's counter."""
    before, _ = stretches(invented_cpu.invented_cpu(), program(invented_cpu.gathered_in_rounds, crest=8))

    assert LOAD_CONSTANT + MOVE == before["load_constant"]


def test_constants_are_loaded_word_by_word() -> None:
    """Of a constant of three words, the one that fits an immediate is part of its step."""
    machine = invented_cpu.invented_cpu(16).machine
    wide = Shape("or", (Value(36), Constant(0xF_8001_9001, 36)), 0, 36)
    loads = native_steps(wide, None, machine).loads

    assert {("load_constant", 16): 2} == {(load.kind, load.width): n for load, n in loads.items()}


# -- branches ------------------------------------------------------------------------------------------


def sides(routine: Program) -> tuple[int, int]:
    """The stretches of the sides of a program's first `if`."""
    branch = next(s for s in routine.body.statements if isinstance(s, If))
    return branch.then.number, branch.otherwise.number


def test_side_that_returns_lies_out_of_line() -> None:
    """An early return costs the jump to it, and passing by costs a branch not taken."""
    calm = program(invented_cpu.calm_aside, crest=8)
    then, otherwise = sides(calm)
    cycles = stretches(invented_cpu.invented_cpu(), calm)

    assert {"compare": 1} == cycles[0]
    assert {"branch_taken": TAKEN, "load_constant": LOAD_CONSTANT} == cycles[then]
    assert {"branch_not_taken": NOT_TAKEN} == cycles[otherwise]


def test_sides_that_meet_jump_over_each_other() -> None:
    """The side that holds falls through, brings its constant and jumps over the other, which is jumped to."""
    met = program(invented_cpu.turned_on_one_side, crest=8, limit=8)
    then, otherwise = sides(met)
    cycles = stretches(invented_cpu.invented_cpu(), met)

    assert {
        "branch_not_taken": NOT_TAKEN, "load_constant": LOAD_CONSTANT, "branch_taken": TAKEN,
    } == cycles[then]  # fmt: skip
    assert {"branch_taken": TAKEN, "not": 1} == cycles[otherwise]


def test_side_of_a_constant_alone_is_not_jumped_over() -> None:
    """Where a side has no statement, its constant is loaded on the way, as the counting rules have it."""
    met = program(invented_cpu.turned_on_the_other_side, crest=8, limit=8)
    then, otherwise = sides(met)
    cycles = stretches(invented_cpu.invented_cpu(), met)

    assert {"branch_not_taken": NOT_TAKEN, "not": 1} == cycles[then]
    assert {"branch_taken": TAKEN, "load_constant": LOAD_CONSTANT} == cycles[otherwise]


def test_bit_is_compared_before_a_branch_on_it() -> None:
    """A branch on a bit that no comparison made tests it first, unless branches compare by themselves."""
    odd = program(invented_cpu.odd_turned, crest=8)
    then, otherwise = sides(odd)
    testing = stretches(invented_cpu.invented_cpu(), odd)
    comparing = stretches(invented_cpu.invented_cpu(branches_compare=True), odd)

    assert {"branch_not_taken": NOT_TAKEN, "compare": 1, "not": 1} == testing[then]
    assert {"branch_taken": TAKEN, "compare": 1} == testing[otherwise]
    assert {"branch_not_taken": NOT_TAKEN, "not": 1} == comparing[then]
    assert {"branch_taken": TAKEN} == comparing[otherwise]


@pytest.mark.parametrize(
    ("cycles", "routine", "branches_compare"),
    [
        (1, invented_cpu.lesser, False),
        (0, invented_cpu.lesser, True),
        (1 + 5, invented_cpu.marked, False),
        (1 + 5, invented_cpu.marked, True),
        (1 + 5, invented_cpu.marked_and_clamped, True),
    ],
)
def test_comparison_costs_what_becomes_of_it(
    cycles: float, routine: Callable[..., Bits], branches_compare: bool
) -> None:
    """Kept as a number it costs that as well; where branches compare, one that decides is free."""
    model = invented_cpu.invented_cpu(
        branches_compare=branches_compare, condition_as_value=Price(5, INVENTED)
    )

    assert cycles == stretches(model, program(routine, crest=8, limit=8))[0]["compare"]


# -- calls ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("saved", "number", "scratch"),
    [
        (0, 16, 8),  # scratch registers are enough
        (0, 16, 4),
        (2, 16, 1),  # of three words, two lie in registers to be saved
        (1, 2, 1),  # no more are saved than there are
    ],
)
def test_registers_beyond_the_scratch_ones_are_saved(saved: int, number: int, scratch: int) -> None:
    """A program that holds three words saves as many registers as it needs beyond those free to use."""
    model = invented_cpu.invented_cpu(
        **registers(number, scratch),
        save_and_restore=Price(100, INVENTED, cycles_per_n=20),
        argument_passing=Price(17, INVENTED),
    )
    price = program_price(model, program(invented_cpu.both_kept, crest=8, trough=8))

    assert CALL + RETURN + 17 + (100 + 20 * saved if saved else 0) == price.around_a_call


# -- as a whole ----------------------------------------------------------------------------------------

# On these, what a program costs is the number of its steps and branches: constants, copies and comparisons,
# which pricing and counting see differently, cost nothing.
UNCOUNTED = ("move", "load_constant", "compare", "call", "return")
WHOLE_WORDS = invented_cpu.invented_cpu(
    64, prices=dict.fromkeys(UNCOUNTED, 0.0), **registers(1000, 1000)
)  # words that hold every value of binary32's operations


@pytest.mark.parametrize("options", [LEAN, COMPLETE], ids=lambda options: str(options.name))
@pytest.mark.parametrize("name", ["multiplication", "division", "square_root", "compare_quiet_less"])
@pytest.mark.parametrize(
    "operands", [(0x40490FDB, 0x3FC00000), (0x7FC00000, 0x3FC00000), (0x80000000, 0x3FC00000)]
)
def test_price_at_one_cycle_a_step_is_the_number_of_steps(
    name: str, options: sf.Options, operands: tuple[int, int]
) -> None:
    """The price of a run agrees with what the stepwise engine counts, which shares nothing with it, in the
    order of compiled code. What a branch turns round takes nothing there, and what wraps around a mask.
    """
    routine = use_of(OPERATIONS[name], binary32, options).program
    numbers = operands[: len(routine.operands)] + (0,) * len(routine.uniform)
    ordered = as_compiled(routine)
    done = stepwise.run(ordered, numbers)

    turned = {step for step in decisions_of(ordered).joining if step.kind.name == "not"}
    masked = wraps_of(ordered, 64, C.types)
    expected = sum(n for entry, n in done.counts.items() if entry.kind not in UNCOUNTED)
    for event in done.events:
        expected += (event.statement in masked) - (event.statement in turned)

    assert expected == program_price(WHOLE_WORDS, routine).total(usage_of_a_run(routine, numbers))


def usage_of_a_run(routine: Program, arguments: tuple[int, ...]) -> Usage:
    """How often each stretch ran in one run, and which features were met."""
    compiled = plain.compiled(routine)
    _, record = run_generated(compiled, arguments)
    return compiled.usage({record: 1})


@pytest.mark.parametrize("name", cost_models())
def test_divided_price_adds_up_to_the_whole(name: str) -> None:
    """By phase and step, the same cycles are divided, on every CPU; what surrounds a call stands apart."""
    routine = use_of(OPERATIONS["addition"], binary32, COMPLETE).program
    price = program_price(cost_model(name), routine)
    usage = usage_of_a_run(routine, (0x3FC00000, 0xBEE00000, 0))
    divided: Cycles = price.divided(usage)

    assert price.total(usage) == pytest.approx(sum(divided.values()))
    assert price.around_a_call == divided["call", AROUND_CALLS]


def shapes(width: int) -> Iterator[tuple[Shape, int | None]]:
    """A step of each kind a program may have, on operands of a width, with a feature of its kind."""
    one, both = (Value(width),), (Value(width), Value(width))
    shifted = (Value(width), Value((width - 1).bit_length()))
    yield Shape("add", both, 0, width + 1), None
    yield from ((Shape(kind, both, 0, width), None) for kind in ("subtract", "and", "or", "xor"))
    yield Shape("not", one, 0, width), None
    yield Shape("multiply", both, 0, 2 * width), 1
    yield Shape("divide", both, 0, width), None
    yield Shape("shift_left", one, 1, width + 1), 1
    yield Shape("shift_right", one, 1, width - 1), 1
    yield Shape("shift_left_variable", shifted, 0, width), 1
    yield Shape("shift_right_variable", shifted, 0, width), 1
    yield from ((Shape(kind, both, 0, 1), None) for kind in ("equal", "not_equal", "less", "less_or_equal"))
    yield Shape("select", (Value(1), *both), 0, width), None
    yield Shape("count_leading_zeros", one, 0, width.bit_length()), 1


@pytest.mark.parametrize("name", cost_models())
def test_no_step_is_free(name: str) -> None:
    """Every kind of step has a price of more than nothing on every CPU, at every width."""
    model = cost_model(name)

    for width in (2, 5, 8, 27, 32, 56, 106):
        for shape, feature in shapes(width):
            steps = native_steps(shape, feature, model.machine).steps
            cycles = sum(n * model.cycles(e.kind, e.width or 1, e.feature) for e, n in steps.items())
            assert cycles > 0, shape


@pytest.mark.parametrize("name", ["6502", "cortex-m0plus", "rv32imc-ibex"])
def test_estimate_is_the_sum_of_the_prices(name: str) -> None:
    """What a tally takes is what each program takes by its own price, whichever way it is divided."""
    with sf.counting() as tally:
        x, y = sf.binary32.array([1.9375, -0.3125]), sf.binary32(0.25)
        sf.division(sf.square_root(x * x + y), y)
        sf.compare_quiet_less(sf.convert_format(x, sf.binary16), sf.binary16(1.5))
    model = cost_model(name)
    prices = [program_price(model, work.program).total(usage) for (work, _), usage in tally.usages().items()]
    estimate = tally.estimate(name)

    assert 6 == len(prices)
    assert sum(prices) == pytest.approx(estimate.cycles)
    for breakdown in (estimate.by_operation, estimate.by_phase, estimate.by_step, estimate.by_line):
        assert sum(prices) == pytest.approx(sum(breakdown.values()))
