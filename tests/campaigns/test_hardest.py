"""Operands of binary64 whose results lie nearest to where rounding turns: published ones.

From V. Lefèvre and J.-M. Muller, "Worst cases for correct rounding of the elementary functions in double
precision" (2001 and later), from memory; so it is checked here, by MPFR, that they are hard. What was not
remembered well enough to pass is left out.
"""

from __future__ import annotations

import struct

import pytest

from softfloat_py.engines import plain
from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import binary64
from softfloat_py.operations import OPERATIONS
from softfloat_py.uses import Use
from tests.campaigns import exact

HARDEST = {
    "exp": ("0x1.9e9cbbfd6080bp-31", "-0x1.ed318efb627eap-27"),
    "exp2": ("0x1.bfbbde44edfc5p-25", "0x1.e4596526bf94dp-10"),
    "log": ("0x1.62a88613629b6p+678",),
    "log2": ("0x1.61555f75885b4p+512", "0x1.b4ebe40c95a01p+0"),
    "log10": ("0x1.e12d66744ff81p+429",),
    "sin": ("0x1.e0000000001c2p-20", "0x1.598bae9e632f6p-7", "0x1.fe767739d0f6dp-2"),
    "cos": ("0x1.8000000000009p-23", "0x1.06b505550e6b2p-9", "0x1.34ec2f9fc9c00p+1"),
    "tan": ("0x1.dffffffffff1fp-22",),
    "asin": ("0x1.e9950730c4696p-2",),
    "acos": ("0x1.53ea6c7255e88p-4", "0x1.fd737be914578p-11"),
    "atan": ("0x1.a933fe176b375p-3", "0x1.6298b5896ed3cp+1"),
    "cosh": ("0x1.7fffffffffff7p-23",),
}
CASES = [(name, operand) for name, operands in HARDEST.items() for operand in operands]


def run_behind(name: str, operand: float) -> int:
    """How many bits are alike behind the last one of a result, or behind the next one."""
    bits = bin(exact.cut(name, 300, operand, 0.0).significand)[2 + binary64.precision :]
    return max(len(rest) - len(rest.lstrip(rest[0])) for rest in (bits, bits[1:]))


@pytest.mark.parametrize(("name", "operand"), CASES)
def test_a_published_operand_is_hard(name: str, operand: str) -> None:
    """53 bits alike or more, which one operand of 2^52 has by chance."""
    assert run_behind(name, float.fromhex(operand)) >= 53


@pytest.mark.parametrize(("name", "operand"), [case for case in CASES if case[0] in OPERATIONS])
def test_the_hardest_operands_are_rounded_as_mpfr_rounds_them(name: str, operand: str) -> None:
    """In all directions, with flags; and those beside them, which are not hard."""
    use = Use.named(name, binary64)
    bits = int.from_bytes(struct.pack(">d", float.fromhex(operand)))
    for x in (bits - 1, bits, bits + 1):
        wanted = exact.outcomes(name, binary64, x, 0)
        for direction in Rounding:
            found = plain.compiled(use.program).run(*use.arguments((x,), direction))
            assert wanted[direction] == found[:2]
