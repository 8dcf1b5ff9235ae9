"""The calls that are measured: what they compute is what others compute, and their checksum is CRC-32."""

from __future__ import annotations

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.options import LEAN
from softfloat_py.pricing.measured_calls import MOST_CALLS, measured_calls
from softfloat_py.uses import Use


def crc_32(data: bytes) -> int:
    """CRC-32 by the division of IEEE 802.3, a bit at a time."""
    remainder = 0xFFFFFFFF
    for byte in data:
        remainder ^= byte
        for _ in range(8):
            remainder = remainder >> 1 ^ (0xEDB88320 if remainder & 1 else 0)
    return remainder ^ 0xFFFFFFFF


def test_checksum_is_that_of_the_hosts_results() -> None:
    """The checksum of 50 sums is CRC-32 of the sums that numpy gives, least significant byte first."""
    calls = measured_calls(Use.named("addition", sf.binary32, LEAN), 50)
    x, y = (np.array(column, dtype="<u4").view("<f4") for column in zip(*calls.operands, strict=True))

    assert 0xCBF43926 == crc_32(b"123456789")  # the check value that is usual for CRC-32 (from memory)
    assert crc_32((x + y).tobytes()) == calls.checksum


def test_operands_stay_those_that_boards_have_measured() -> None:
    """Files that exist hold checksums: the operands that these belong to must never be drawn otherwise."""
    calls = measured_calls(Use.named("multiplication", sf.binary32, LEAN), 2)

    assert [(0x3C827C4D, 0x3D62FEB8), (0x42B11D8A, 0x4192E769)] == list(calls.operands)


@pytest.mark.parametrize("operation", ["square_root", "log", "acos", "exp", "division"])
def test_results_are_finite(operation: str) -> None:
    """Operands whose result is a NaN or an infinity are passed over: such a call leaves early."""
    calls = measured_calls(Use.named(operation, sf.binary16, LEAN), MOST_CALLS)

    assert MOST_CALLS == len(calls)
    assert all(sf.binary16.is_finite(result) for (result,) in calls.results)


def test_more_calls_begin_with_the_fewer_ones() -> None:
    """The first calls are the same however many there are."""
    use = Use.named("subtraction", sf.binary64, LEAN)

    assert measured_calls(use, 9).operands == measured_calls(use, 30).operands[:9]


def test_tally_counts_the_calls() -> None:
    """The tally has the steps that the same calls have when Numbers make them."""
    calls = measured_calls(Use.named("division", sf.binary32, LEAN), 20)
    with sf.environment(options=LEAN), sf.counting() as tally:
        for x, y in calls.operands:
            sf.division(sf.binary32.from_bits(x), sf.binary32.from_bits(y))

    assert tally.steps == calls.tally.steps
    assert {("division", "binary32"): 20} == calls.tally.calls
