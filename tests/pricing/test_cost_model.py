"""Prices of the committed models against the manuals, and the rules that a model keeps when built."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from importlib.resources import files
from typing import Any

import pytest

from softfloat_py.errors import CostModelError, UnknownNameError
from softfloat_py.lowering.machine import Habits, Machine
from softfloat_py.pricing.cost_model import CompiledCode, CostModel, FloatingPointPart
from softfloat_py.pricing.figures import Clock, Document, Origin, Price, Quantity, Standing
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.routines.steps import COUNTED_KINDS

MANUAL = Document("a manual", revision="1", tables="Table 1")
PUBLISHED = Origin(MANUAL, Standing.PUBLISHED)
MEASURED = Origin(Document("a bench"), Standing.MEASURED)

# Arm DDI0484C, Cortex-M0+ Technical Reference Manual, Table 3.1.
CORTEX_M0PLUS = [
    (1, "add", 33, None),
    (1, "add_with_carry", 33, None),
    (1, "xor", 32, None),
    (1, "compare", 32, None),
    (1, "shift_right", 32, 31),
    (1, "shift_left_variable", 32, 17),
    (1, "multiply", 16, 16),
    (1, "move", 32, None),
    (2, "branch_taken", 1, None),
    (1, "branch_not_taken", 1, None),
    (1, "load_constant", 8, None),
    (2, "load_constant", 9, None),
    (3, "call", 32, None),
    (2, "return", 32, None),
]

# Motorola M68000UM, section 8, tables 8-1 to 8-14: .W to 16 bits, .L above; shifts 6 + 2n and 8 + 2n;
# MULU 38 + 2n, from 38 to 70.
MC68000 = [
    (4, "add", 8, None),
    (4, "add", 16, None),
    (8, "add", 17, None),
    (8, "subtract", 33, None),
    (8, "subtract_with_borrow", 33, None),
    (4, "and", 16, None),
    (4, "compare", 16, None),
    (6, "compare", 32, None),
    (6 + 2 * 3, "shift_left", 16, 3),
    (8 + 2 * 23, "shift_right_variable", 32, 23),
    (8 + 2, "shift_right_through_carry", 33, None),
    (38, "multiply", 16, 0),
    (70, "multiply", 16, 16),
    (4, "move", 32, None),
    (4, "load_constant", 7, None),
    (10, "branch_taken", 1, None),
    (8, "branch_not_taken", 1, None),
    (16, "return", 32, None),
]

# Microchip DS40002198C, AVR Instruction Set Manual, column AVRe+, 16-bit program counter.
ATMEGA = [
    (2 + 1 + 1 + 2, "multiply", 8, 3),  # MUL, MOVW, EOR, and two upper bytes
    (2, "branch_taken", 1, None),
    (1, "branch_not_taken", 1, None),
    (4, "call", 8, None),
    (4, "return", 8, None),
]


def _machine(**changes: Any) -> Machine:
    small = Machine(
        word=16,
        carry_flag=True,
        barrel_shifter=False,
        multiplier_bits=0,
        leading_zero_count=False,
        immediate_bits=8,
    )
    return replace(small, **changes)


def _figures(entry: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every table of a file that holds a figure, with its key path."""
    if isinstance(entry, list):
        for index, item in enumerate(entry):
            yield from _figures(item, f"{path}[{index}]")
    elif isinstance(entry, dict):
        if {"cycles", "value", "lowest_mhz", "lowest_ratio", "word"} & set(entry):
            yield path, entry
        for key, item in entry.items():
            yield from _figures(item, f"{path}.{key}" if path else key)


@pytest.mark.parametrize(("cycles", "kind", "width", "feature"), CORTEX_M0PLUS)
def test_cortex_m0plus_prices_are_the_manuals(
    cycles: int, kind: str, width: int, feature: int | None
) -> None:
    """Steps of the Cortex-M0+ cost what Arm DDI0484C, Table 3.1, prints."""
    assert cycles == cost_model("cortex-m0plus").cycles(kind, width, feature)


@pytest.mark.parametrize(("cycles", "kind", "width", "feature"), MC68000)
def test_mc68000_prices_are_the_manuals(cycles: int, kind: str, width: int, feature: int | None) -> None:
    """Steps of the MC68000 cost what M68000UM, section 8, prints for words and long words."""
    assert cycles == cost_model("mc68000").cycles(kind, width, feature)


@pytest.mark.parametrize(("cycles", "kind", "width", "feature"), ATMEGA)
def test_atmega_prices_are_the_manuals(cycles: int, kind: str, width: int, feature: int | None) -> None:
    """Steps of the ATmega cost what DS40002198C prints for the AVRe+ core."""
    assert cycles == cost_model("atmega").cycles(kind, width, feature)


def test_small_multiplier_differs_in_the_product_alone() -> None:
    """The two Cortex-M0+ models share every price but a product's, 1 or 32 cycles (DDI0484C, Table 3.1)."""
    fast, small = cost_model("cortex-m0plus"), cost_model("cortex-m0plus-small-multiplier")

    assert {"multiply"} == {kind for kind in fast.steps if fast.steps[kind] != small.steps[kind]}
    assert (1, 32) == (fast.cycles("multiply", 16, 5), small.cycles("multiply", 16, 5))


def test_wide_product_of_ibex_takes_two_instructions() -> None:
    """A product of words on Ibex is MUL 3 and MULHU 4, of halves MUL 3 (Ibex manual, Pipeline Details)."""
    ibex = cost_model("rv32imc-ibex")

    assert 3 == ibex.cycles("multiply", 16, 9)
    assert 3 + 4 == ibex.cycles("multiply", 17, 9)


@pytest.mark.parametrize(
    ("cycles", "words"),
    [
        (3 + 2 + 2, 4),  # BL, BX, two moves: r0 to r3 are enough
        (3 + (1 + 3) + (3 + 3) + 2, 6),  # BL, PUSH and POP of r4, r5 and the return address, two moves
        (3 + (1 + 5) + (3 + 5) + 2, 8),
        (3 + (1 + 5) + (3 + 5) + 2, 11),  # no more than r4 to r7 can be saved
    ],
)
def test_call_of_an_operation_adds_up_for_push_and_pop(cycles: int, words: int) -> None:
    """A call on the Cortex-M0+ saves what is held beyond r0 to r3 (DDI0484C, Table 3.1)."""
    assert cycles == cost_model("cortex-m0plus").cycles_around_a_call(words)


def test_fpu_answers_for_what_it_does() -> None:
    """A Cortex-M4F divides in 14 cycles, and 1 more where the quotient is used at once, and compares in 1 + 1
    (TI SWCU192, Table 3-27); no binary64.
    """
    part = cost_model("cortex-m4").with_fpu

    assert part is not None
    assert 14 + 1 == part.cycles("division", "binary32")
    assert 1 + 1 == part.cycles("compare_quiet_less", "binary32")
    assert part.cycles("division", "binary64") is None
    assert part.cycles("convert_to_integer", "bfloat16") is None


def test_models_that_name_one_fpu_agree_on_it() -> None:
    """Parts with an FPU of the same title have the same figures in every file."""
    cycles_by_title: dict[str, dict[tuple[str, str], float]] = {}
    parts = [part for part in (cost_model(name).with_fpu for name in cost_models()) if part is not None]
    assert len({part.title for part in parts}) < len(parts)  # some title stands in several files
    for part in parts:
        cycles = {
            (format_name, operation): price.cycles
            for format_name, prices in part.operations.items()
            for operation, price in prices.items()
        }

        assert cycles == cycles_by_title.setdefault(part.title, cycles)


@pytest.mark.parametrize("name", cost_models())
def test_every_native_step_has_a_price(name: str) -> None:
    """Each kind that a model prices has one for every width up to its widest step, and every n."""
    model = cost_model(name)

    for kind in model.steps:
        widest = model.machine.multiplier_bits if kind == "multiply" else model.machine.word
        assert all(model.cycles(kind, width, n) >= 0 for width in range(1, widest + 1) for n in (0, widest))


@pytest.mark.parametrize("name", cost_models())
def test_every_figure_states_source_and_standing(name: str) -> None:
    """Each figure in a file names a document and how it is known."""
    table = tomllib.loads(
        files("softfloat_py.costmodels").joinpath(f"{name}.toml").read_text(encoding="utf-8")
    )
    figures = list(_figures(table))

    assert figures
    assert [] == [path for path, entry in figures if not {"source", "standing"} <= set(entry)]


def test_steps_without_the_ability_are_not_native() -> None:
    """A kind that a CPU does not have raises, naming the ones it has."""
    with pytest.raises(
        UnknownNameError, match=r"a native step of rv32imc-ibex must be one of .*'add_with_carry'"
    ):
        cost_model("rv32imc-ibex").cycles("add_with_carry", 33, None)


def test_product_wider_than_the_native_one_is_refused() -> None:
    """A product that has not been taken apart raises instead of being priced as a narrow one."""
    with pytest.raises(CostModelError, match="takes operands of up to 16 bits, not 17"):
        cost_model("cortex-m0plus").cycles("multiply", 17, 4)


def test_price_by_n_needs_the_n() -> None:
    """A step whose price grows with n cannot be priced without it."""
    with pytest.raises(CostModelError, match="give the step's n, not None"):
        cost_model("mc68000").cycles("multiply", 16, None)


def test_what_is_priced_by_n_is_told() -> None:
    """A product of an MC68000 takes longer the more bits its multiplier has set, a Cortex-M0+'s does not."""
    assert cost_model("mc68000").is_priced_by_n("multiply")
    assert not cost_model("cortex-m0plus").is_priced_by_n("multiply")
    with pytest.raises(UnknownNameError, match="'square_root'"):
        cost_model("cortex-m0plus").is_priced_by_n("square_root")


def test_models_print_short() -> None:
    """The printed form of a model is its name."""
    assert "CostModel('mc68000')" == repr(cost_model("mc68000"))


@pytest.mark.parametrize(
    ("fault", "machine", "kind"),
    [
        (
            "steps.add_with_carry must not be priced while abilities.carry_flag is false",
            {"carry_flag": False},
            None,
        ),
        ("steps.multiply must be priced for a CPU with these abilities", {"multiplier_bits": 16}, None),
        ("steps.count_leading_zeros must not be priced", {}, "count_leading_zeros"),
        ("steps.multiply must not be priced while abilities.multiplier_bits is 0", {}, "multiply"),
        ("steps.divide must be priced", {"dividend_bits": 32, "divisor_bits": 16}, None),
        ("steps.divide must not be priced while abilities.divisor_bits is 0", {}, "divide"),
        ("steps.shift_left_variable must be priced", {"barrel_shifter": True}, None),
    ],
)
def test_prices_must_fit_the_abilities(fault: str, machine: dict[str, Any], kind: str | None) -> None:
    """A model whose prices contradict its abilities cannot be built."""
    with pytest.raises(CostModelError) as caught:
        _model(_machine(**machine), extra=kind)

    assert any(line.startswith(fault) for line in caught.value.faults)


@pytest.mark.parametrize(
    ("fault", "prices"),
    [
        ("steps.add must be priced up to 16 bits, not 8", (8,)),
        ("steps.add must have its prices in rising order of up_to_width, not [16, 8]", (16, 8)),
        ("steps.add must have its prices in rising order of up_to_width, not [16, 16]", (None, 16)),
        ("steps.add must have at least one price", ()),
    ],
)
def test_width_brackets_must_rise_to_the_word(fault: str, prices: tuple[int | None, ...]) -> None:
    """Prices by width leave no gap up to the word, and no bracket that is never reached."""
    model = _model(_machine())
    add = tuple(Price(1, PUBLISHED, up_to_width=width) for width in prices)

    with pytest.raises(CostModelError) as caught:
        replace(model, steps={**model.steps, "add": add})

    assert (fault,) == caught.value.faults


def test_only_steps_counted_with_an_n_may_grow_with_it() -> None:
    """A price by n is refused for a kind that is counted without one."""
    model = _model(_machine())
    growing = (Price(1, PUBLISHED, cycles_per_n=1),)

    with pytest.raises(CostModelError) as caught:
        replace(model, steps={**model.steps, "add": growing, "shift_left": growing})

    assert ("steps.add must not have cycles_per_n: a step of this kind is counted without an n",) == (
        caught.value.faults
    )


def test_prices_may_have_brackets_of_n() -> None:
    """Within a width the price is that of the highest bracket below n, which counts n from its start."""
    model = _model(_machine())
    shifts = (
        Price(1, PUBLISHED, cycles_per_n=2, up_to_width=8),
        Price(5, PUBLISHED, up_to_width=8, beyond_n=4),
        Price(3, PUBLISHED, cycles_per_n=1, up_to_width=16),
        Price(6, PUBLISHED, cycles_per_n=3, up_to_width=16, beyond_n=7),
    )
    cpu = replace(model, steps={**model.steps, "shift_left": shifts})

    assert [1, 3, 9, 5, 5] == [cpu.cycles("shift_left", 8, n) for n in (0, 1, 4, 5, 7)]
    assert [4, 10, 9, 12] == [cpu.cycles("shift_left", 16, n) for n in (1, 7, 8, 9)]


@pytest.mark.parametrize(
    ("fault", "brackets"),
    [
        (
            "steps.shift_left must have its prices in rising order of up_to_width, and of beyond_n within "
            "one, not [(16, 0), (16, 9), (16, 4)]",
            (0, 9, 4),
        ),
        ("steps.shift_left must be priced up to 16 bits for every n: one price without beyond_n", (4, 9)),
    ],
)
def test_brackets_of_n_must_rise_from_nothing(fault: str, brackets: tuple[int, ...]) -> None:
    """Prices by n leave no gap, and no bracket that is never reached."""
    model = _model(_machine())
    shifts = tuple(Price(1, PUBLISHED, beyond_n=n) for n in brackets)

    with pytest.raises(CostModelError) as caught:
        replace(model, steps={**model.steps, "shift_left": shifts})

    assert (fault,) == caught.value.faults


def test_shifts_of_mc68000_take_the_shortest_way() -> None:
    """Beyond 8 places the distance comes from a register; from 16 on halves are exchanged before."""
    cycles = cost_model("mc68000").cycles

    assert 8 + 2 * 8 == cycles("shift_left", 32, 8)
    assert 4 + 8 + 2 * 9 == cycles("shift_left", 32, 9)  # MOVEQ, LSL.L
    assert 4 + 4 == cycles("shift_left", 32, 16)  # SWAP, CLR.W
    assert 4 + 4 + 6 + 2 * 8 == cycles("shift_right", 32, 24)  # CLR.W, SWAP, LSR.W
    assert 4 + 4 + 4 + 6 + 2 * 9 == cycles("shift_right", 32, 25)  # and MOVEQ
    assert 8 + 8 + 6 == cycles("shift_right", 32, 31)  # ADD.L, SUBX.L, NEG.L


@pytest.mark.parametrize(
    ("keys", "build"),
    [
        (
            ["cycles", "cycles_per_n", "up_to_width"],
            lambda: Price(-1, PUBLISHED, cycles_per_n=-2, up_to_width=0),
        ),
        (["lowest_mhz"], lambda: Clock(0, 10, 5, PUBLISHED)),
        (["highest_mhz"], lambda: Clock(20, 10, 15, PUBLISHED)),
        (["default_mhz"], lambda: Clock(10, 20, 5, PUBLISHED)),
        (["default_mhz"], lambda: Clock(10, 20, 25, PUBLISHED)),
        (["lowest_ratio", "standing"], lambda: CompiledCode("a compiler", "addition", 0, 1, PUBLISHED)),
        (["highest_ratio", "standing"], lambda: CompiledCode("a compiler", "addition", 2, 1, PUBLISHED)),
        (["in_memory"], lambda: CompiledCode("a compiler", "addition", 1, 2, MEASURED, in_memory=True)),
        (
            ["lowest_call_ratio"],
            lambda: CompiledCode("a compiler", "waves", 1, 2, MEASURED, lowest_call_ratio=0.5, kernels=True),
        ),
        (["standing"], lambda: Origin(Document("a talk"), Standing.PUBLISHED)),
        (["carry_flag", "word"], lambda: _machine(carry_flag=1, word=12)),
        (["multiplier_bits", "immediate_bits"], lambda: _machine(multiplier_bits=17, immediate_bits=-1)),
        (["divisor_bits"], lambda: _machine(dividend_bits=17, divisor_bits=17)),
        (["dividend_bits"], lambda: _machine(dividend_bits=24, divisor_bits=8)),
        (["divisor_bits", "dividend_bits"], lambda: _machine(dividend_bits=8, divisor_bits="8")),
        (
            ["upper_immediate_bits", "carry_reach"],
            lambda: _machine(upper_immediate_bits=17, habits=Habits(carry_reach=24)),
        ),
    ],
)
def test_parts_check_themselves(keys: list[str], build: Callable[[], object]) -> None:
    """Each part refuses figures that contradict each other, and lists all of its faults by key."""
    with pytest.raises(CostModelError) as caught:
        build()

    assert keys == [fault.split()[0] for fault in caught.value.faults]


def _model(machine: Machine, extra: str | None = None) -> CostModel:
    """A model of a small CPU with a carry flag, all steps at one cycle; `extra` is one kind more."""
    left_out = {
        "multiply", "divide", "count_leading_zeros", "shift_left_variable", "shift_right_variable",
    } - {extra}  # fmt: skip
    one = Price(1, PUBLISHED)
    source = cost_model("atmega")
    return CostModel(
        name="small",
        title="A small CPU",
        about="for tests",
        clock=Clock(1, 2, 1, PUBLISHED),
        machine=machine,
        machine_origin=PUBLISHED,
        steps={kind: (one,) for kind in COUNTED_KINDS if kind not in left_out},
        surrounding_code=source.surrounding_code,
        compiler=source.compiler,
        compiled_by=source.compiled_by,
        with_fpu=FloatingPointPart("a part", "any clock", one, one, {"binary32": {"addition": one}}),
    )


@pytest.mark.parametrize(
    ("faults", "changes"),
    [
        (
            ["registers.value must be a whole number, 0 or more, not 12.5"],
            {"registers": Quantity(12.5, PUBLISHED)},
        ),
        (
            ["scratch_registers.value must be a whole number, 0 or more, not 2.5"],
            {"scratch_registers": Quantity(2.5, PUBLISHED)},
        ),
        (
            [
                "registers.value must be at least 1, not 0",
                "scratch_registers.value must be at most registers.value (0), not 10",
            ],
            {"registers": Quantity(0, PUBLISHED)},
        ),
        (
            [
                "overwrites must name kinds of step, not 'ad'",
                "overwrites must name kinds of step, not 'equal'",
            ],
            {"overwrites": ("ad", "and", "equal")},
        ),
    ],
)
def test_surrounding_code_checks_itself(faults: list[str], changes: dict[str, Any]) -> None:
    """Registers are whole, at least one, not all of them more than there are; steps have their names."""
    with pytest.raises(CostModelError) as caught:
        replace(cost_model("atmega").surrounding_code, **changes)

    assert tuple(faults) == caught.value.faults
