"""Bits that are zero in every run: worked out by hand, and never set when programs run."""

from __future__ import annotations

import pytest

from softfloat_py.engines import stepwise
from softfloat_py.integer_form.known_zeros import known_zeros
from softfloat_py.numbers.formats import binary16, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import LEAN
from softfloat_py.routines.language import Bits, look_up, resize, select
from softfloat_py.uses import use_of
from tests.integer_form.small_routines import program


def shifted(crest: Bits, trough: Bits, high: Bits) -> Bits:
    """Shifts, and what is made of them."""
    raised = crest << 5
    lowered = raised >> 2
    deep = raised * (trough << 1)
    masked = trough & 0x30
    both = lowered + masked
    chosen = select(high, raised, lowered)
    joined = resize(raised, 16)
    if high:
        joined = resize(lowered, 16)
    entry = look_up((48, 8, 200), trough & 1)
    turned = ~raised ^ entry
    return (deep + both) ^ ((chosen + joined) + turned)


def test_zeros_below_values() -> None:
    """5 places up and 2 down leave 3; a sum has the fewer of its operands, a mask those of its constant, a
    product those of both, what meets the fewer of the sides, a table the fewest of its entries. Bits flipped
    are known no more.
    """
    read = program(shifted, crest=8, trough=8, high=1)
    zeros = {variable.name: n for variable, n in known_zeros(read).items() if variable.name != "t"}

    assert {
        "raised": 5, "lowered": 3, "deep": 6, "masked": 4, "both": 3, "chosen": 3, "joined": 3, "entry": 3,
    } == zeros  # fmt: skip


@pytest.mark.parametrize("fmt", [binary16, binary32], ids=str)
@pytest.mark.parametrize("operation", ["addition", "multiplication", "division", "fused_multiply_add"])
def test_bits_known_to_be_zero_are_zero(operation: str, fmt) -> None:  # type: ignore[no-untyped-def]
    """In runs of whole operations no such bit is set."""
    read = use_of(OPERATIONS[operation], fmt, LEAN).program
    zeros = known_zeros(read)
    numbers = [fmt.leading_one * 9 + 5, fmt.leading_one * 11 + 3, fmt.leading_one * 10 + 1]
    for turn in range(3):
        arguments = (numbers[turn:] + numbers[:turn])[: len(OPERATIONS[operation].operands)]
        values = stepwise.run(read, arguments).values
        assert not any(values[v] & ((1 << n) - 1) for v, n in zeros.items() if v in values)
    assert zeros
