"""A CPU invented for tests, whose prices tell apart what was charged, and small routines to be priced."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.compiler import CompiledBy, Compiler, IntegerTypes, Limits
from softfloat_py.pricing.cost_model import CostModel, SurroundingCode
from softfloat_py.pricing.figures import Clock, Document, Origin, Price, Quantity, Standing
from softfloat_py.routines.language import Bits, constant, field, look_up, phase, select
from softfloat_py.routines.steps import COUNTED_KINDS
from softfloat_py.routines.tables import Table

INVENTED = Origin(Document("invented for tests"), Standing.MEMORY)

# A compiler of C as the rules are worked out by hand for in the tests.
C = Compiler(
    types=IntegerTypes((8, 16, 32), INVENTED),
    put_away_bits=Quantity(32, INVENTED),
    moves_around_a_product=Quantity(2, INVENTED),
    unrolled_steps=Quantity(0, INVENTED),
    word_of_c=Quantity(0, INVENTED),
    moves_saved_in_expressions=Quantity(0, INVENTED),
    moves_a_step=Limits(-0.5, 10, INVENTED),
    carries_between_words=True,
    products_left_to_the_compiler=True,
)

BUOY_COMPILER = CompiledBy("buoy-c", "the buoy's compiler", "invented for tests")

# Each step takes 1 cycle but these.
PRICES = {
    "move": 10, "load": 200, "store": 400, "load_constant": 1000,
    "branch_taken": 3, "branch_not_taken": 2, "call": 11, "return": 13, "multiply": 7,
}  # fmt: skip


def surroundings(**changes: Any) -> SurroundingCode:
    """Registers enough for everything, half of them scratch, three operands; nothing else costs anything."""
    free = SurroundingCode(
        registers=Quantity(16, INVENTED),
        parking_registers=None,
        scratch_registers=Quantity(8, INVENTED),
        overwrites=(),
        branches_compare=False,
        condition_as_value=Price(0, INVENTED),
        save_and_restore=Price(0, INVENTED),
        argument_passing=Price(0, INVENTED),
        moves_a_step=Quantity(0, INVENTED),
    )
    return replace(free, **changes)


def invented_cpu(
    word: int = 8, prices: dict[str, float] | None = None, compiler: Compiler = C, **changes: Any
) -> CostModel:
    """A CPU with all abilities but a leading-zero count, and no price for tables unless `prices` have one;
    `changes` are of its surroundings.
    """
    machine = Machine(word, True, True, word, False, immediate_bits=4, dividend_bits=word, divisor_bits=word)
    cycles = PRICES if prices is None else prices
    return CostModel(
        name="invented",
        title="An invented CPU",
        about="for tests",
        clock=Clock(1, 2, 1, INVENTED),
        machine=machine,
        machine_origin=INVENTED,
        steps={
            kind: (Price(cycles.get(kind, 1), INVENTED),)
            for kind in COUNTED_KINDS
            if kind != "count_leading_zeros" and (kind != "load_from_table" or kind in cycles)
        },
        surrounding_code=surroundings(**changes),
        compiler=compiler,
        compiled_by=BUOY_COMPILER,
    )


def registers(number: int, scratch: int = 0) -> dict[str, Any]:
    """Changes of the surroundings: so many registers, so many of them scratch."""
    return {"registers": Quantity(number, INVENTED), "scratch_registers": Quantity(scratch, INVENTED)}


# -- routines ------------------------------------------------------------------------------------------


def both_kept(crest: Bits, trough: Bits) -> Bits:
    """A first step after which both operands are needed."""
    rise = crest & trough
    fall = crest | trough
    return rise ^ fall


SWELLS = Table(tuple(range(400, 416)), name="swells")


def two_entries(crest: Bits, trough: Bits) -> Bits:
    """Two entries of one table."""
    return look_up(SWELLS, crest) ^ look_up(SWELLS, trough)


def first_kept(crest: Bits, trough: Bits) -> Bits:
    """A product after which its first operand is needed."""
    rise = crest * trough
    return rise | crest


def joined(crest: Bits, trough: Bits, swell: Bits) -> Bits:
    """A step whose operands are needed no more, while another value waits."""
    rise = crest | trough
    return rise ^ swell


def lesser(crest: Bits, limit: Bits) -> Bits:
    """A comparison that an `if` alone looks at."""
    phase("compare")
    if crest > limit:
        crest = limit
    return crest


def lesser_chosen(crest: Bits, limit: Bits) -> Bits:
    """A comparison that a choice alone looks at."""
    return select(crest > limit, limit, crest)


def marked(crest: Bits, limit: Bits) -> Bits:
    """A comparison whose outcome becomes a bit of the result."""
    high = crest > limit
    return crest | high


def marked_and_clamped(crest: Bits, limit: Bits) -> Bits:
    """A comparison that an `if` looks at, and a sum too."""
    high = crest > limit
    if high:
        crest = limit
    return crest ^ high


def odd_turned(crest: Bits) -> Bits:
    """An `if` on a bit that no comparison made."""
    phase("order")
    if field(crest, 0, 1):
        crest = ~crest
    return crest


def masked_thrice(crest: Bits) -> Bits:
    """One wide constant in three steps."""
    return ((crest ^ 0x5A) & 0x5A) + 0x5A


def masked_in_rounds(crest: Bits) -> Bits:
    """A wide constant in every round of a loop."""
    phase("order")
    for _ in range(4):
        crest = crest ^ 0x5A
    return crest


def calm_aside(crest: Bits) -> Bits:
    """An early return for no waves at all."""
    phase("special operands")
    if crest == 0:
        return constant(0x5A, 8)
    return crest


def gathered_in_rounds(crest: Bits) -> Bits:
    """A loop whose variable begins with a wide constant."""
    phase("add")
    foam = constant(0x5A, 8)
    for _ in range(4):
        foam = foam ^ crest
    return foam


def turned_on_one_side(crest: Bits, limit: Bits) -> Bits:
    """Two sides that meet again, one with a constant to bring along."""
    phase("sign")
    if crest > limit:
        crest = constant(0x5A, 8)
    else:
        crest = ~crest
    return crest


def turned_on_the_other_side(crest: Bits, limit: Bits) -> Bits:
    """A side that holds, and another that does nothing but bring a constant along."""
    phase("sign")
    if crest > limit:
        crest = ~crest
    else:
        crest = constant(0x5A, 8)
    return crest


def product(crest: Bits, trough: Bits) -> Bits:
    """A step whose cost may depend on an operand."""
    phase("multiply")
    return crest * trough
