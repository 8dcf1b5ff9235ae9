"""The rules between what a machine can do and which of its steps have a price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from softfloat_py.lowering.machine import Machine
from softfloat_py.pricing.figures import Price
from softfloat_py.routines.steps import COUNTED_KINDS, STEPS, Feature

# Kinds of step whose price may grow with the n they are counted with.
KINDS_WITH_N = frozenset(row.counted_as for row in STEPS.values() if row.feature is not Feature.NONE)

_SHIFTS_THROUGH_CARRY = ("shift_left_through_carry", "shift_right_through_carry")
_VARIABLE_SHIFTS = ("shift_left_variable", "shift_right_variable")

# Kinds that are priced as another one where a CPU has no price of their own for them.
ORDER_WITH_CONSTANT = "order_with_constant"  # a comparison, counted as such
PRICED_AS = {"load_from_table": "load", ORDER_WITH_CONSTANT: "compare"}

# All that may have a price of its own.
PRICED_KINDS = (*COUNTED_KINDS, ORDER_WITH_CONSTANT)

# The ability of a Machine without which a kind of step cannot be native.
_ABILITY_BEHIND = {
    "add_with_carry": "carry_flag",
    "subtract_with_borrow": "carry_flag",
    "shift_left_through_carry": "carry_flag",
    "shift_right_through_carry": "carry_flag",
    "multiply": "multiplier_bits",
    "divide": "divisor_bits",
    "count_leading_zeros": "leading_zero_count",
}


def contradictions(machine: Machine, steps: Mapping[str, tuple[Price, ...]]) -> Iterator[str]:
    """Faults between a machine's abilities and the steps that are priced, each beginning with its key.

    A kind with no prices counts as priced: whoever reads a file in parts has refused its prices already.
    """
    yield from _unpriced_kinds(machine, steps)
    for kind, prices in steps.items():
        yield from _not_native(machine, kind)
        yield from _growing_without_n(kind, prices)
        yield from _gaps(kind, prices, widest_native(machine, kind))


def widest_native(machine: Machine, kind: str) -> int:
    """Bits of the widest native step of a kind."""
    match kind:
        case "multiply":
            return machine.multiplier_bits
        case "divide":
            return machine.dividend_bits
    return machine.word


def _possible(machine: Machine, kind: str) -> bool:
    ability = _ABILITY_BEHIND.get(kind)
    return ability is None or bool(getattr(machine, ability))


def _required(machine: Machine, kind: str) -> bool:
    """Whether the lowering may ask for a kind of step on this machine, and nothing else says its price."""
    if kind in PRICED_AS:
        return False
    if kind in _VARIABLE_SHIFTS:
        return machine.barrel_shifter
    if kind in _SHIFTS_THROUGH_CARRY:
        return machine.carry_flag and not machine.barrel_shifter
    return _possible(machine, kind)


def _unpriced_kinds(machine: Machine, steps: Mapping[str, tuple[Price, ...]]) -> Iterator[str]:
    for kind in COUNTED_KINDS:
        if kind not in steps and _required(machine, kind):
            yield f"steps.{kind} must be priced for a CPU with these abilities, and is missing"


def _not_native(machine: Machine, kind: str) -> Iterator[str]:
    if not _possible(machine, kind):
        ability = _ABILITY_BEHIND[kind]
        stated = str(getattr(machine, ability)).lower()
        yield (
            f"steps.{kind} must not be priced while abilities.{ability} is {stated}; "
            f"correct the ability, or leave the price out"
        )


def _growing_without_n(kind: str, prices: tuple[Price, ...]) -> Iterator[str]:
    for key in ("cycles_per_n", "beyond_n"):
        if kind not in KINDS_WITH_N and any(getattr(price, key) for price in prices):
            yield f"steps.{kind} must not have {key}: a step of this kind is counted without an n"


def _gaps(kind: str, prices: tuple[Price, ...], widest: int) -> Iterator[str]:
    """Faults of brackets: widths rise, and the last one reaches the widest native step; of one width, the n
    that prices begin beyond rise from 0.
    """
    limits = [price.up_to_width or widest for price in prices]
    brackets = [(limit, price.beyond_n) for limit, price in zip(limits, prices, strict=True)]
    if any(later <= earlier for earlier, later in pairwise(brackets)):
        order = "up_to_width, and of beyond_n within one" if any(n for _, n in brackets) else "up_to_width"
        said = brackets if any(n for _, n in brackets) else limits
        yield f"steps.{kind} must have its prices in rising order of {order}, not {said}"
    elif limits and limits[-1] < widest:
        yield f"steps.{kind} must be priced up to {widest} bits, not {limits[-1]}"
    for limit in sorted(set(limits) - {limit for limit, start in brackets if start == 0}):
        yield f"steps.{kind} must be priced up to {limit} bits for every n: one price without beyond_n"
