"""The array engine against the arithmetic of numpy and ml_dtypes: a million random pairs and all corners."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, binary64, ofp8_e4m3, ofp8_e5m2
from softfloat_py.operations import OPERATIONS
from tests.engines.running import run_on_arrays, used
from tests.references import host, ml_floats
from tests.strategies import corner_encodings

COUNT = 1_000_000
EVEN = Rounding.TIES_TO_EVEN
HOSTED = [binary16, binary32, binary64]

Reference = Callable[..., NDArray[Any]]


def operand_pairs(fmt: Format) -> NDArray[np.uint64]:
    """Shape (2, n): random bit patterns, half with nearby exponents, then every corner beside every one."""
    chance = np.random.default_rng(fmt.width + fmt.precision)
    x, y = chance.integers(0, 1 << fmt.width, size=(2, COUNT), dtype=np.uint64)
    nearby = np.uint64(4 * fmt.leading_one)
    y[: COUNT // 2] = x[: COUNT // 2] ^ y[: COUNT // 2] % nearby
    corners = np.array(corner_encodings(fmt), dtype=np.uint64)
    pairs = np.array([np.repeat(corners, corners.size), np.tile(corners, corners.size)])
    return np.concatenate([np.array([x, y]), pairs], axis=1)


def assert_same_results(name: str, fmt: Format, expected_array: Reference) -> None:
    """Engine and reference deliver the same encodings; the first few that differ are shown."""
    operands = operand_pairs(fmt)[: OPERATIONS[name].arity]
    expected = expected_array(name, fmt, *operands)
    results, _ = run_on_arrays(used(name, fmt), EVEN, *operands)
    wrong = np.flatnonzero(expected != results)

    assert [] == [tuple(hex(bits) for bits in operands[:, place]) for place in wrong[:5]]


@pytest.mark.parametrize("fmt", HOSTED, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", [*host.ARITHMETIC, "compare_quiet_equal", "compare_signaling_less_equal"])
def test_results_are_those_of_the_host(name: str, fmt: Format) -> None:
    """Ties to even, the host's arithmetic unit and the engine deliver the same bits."""
    assert_same_results(name, fmt, host.expected_array)


@pytest.mark.parametrize("name", [*host.ARITHMETIC, "compare_quiet_not_equal", "compare_signaling_greater"])
def test_results_are_those_of_ml_dtypes(name: str) -> None:
    """Ties to even, ml_dtypes' bfloat16 and the engine deliver the same bits."""
    assert_same_results(name, bfloat16, ml_floats.expected_array)


@pytest.mark.parametrize("fmt", [ofp8_e4m3, ofp8_e5m2], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", [*host.ARITHMETIC, "compare_quiet_not_equal", "compare_signaling_greater"])
def test_every_pair_of_8_bits_gives_what_ml_dtypes_gives(name: str, fmt: Format) -> None:
    """All pairs of the 8-bit formats, overflow to NaN or infinity included, as ml_dtypes has them."""
    every = np.arange(256, dtype=np.uint64)
    operands = np.array([np.repeat(every, 256), np.tile(every, 256)])[: OPERATIONS[name].arity]
    expected = ml_floats.expected_array(name, fmt, *operands)
    results, _ = run_on_arrays(used(name, fmt), EVEN, *operands)
    wrong = np.flatnonzero(expected != results)

    assert [] == [tuple(hex(bits) for bits in operands[:, place]) for place in wrong[:5]]


@pytest.mark.parametrize("target", [ofp8_e4m3, ofp8_e5m2], ids=lambda fmt: fmt.name)
def test_conversions_to_8_bits_are_those_of_ml_dtypes(target: Format) -> None:
    """A million binary32 numbers become what ml_dtypes makes of them."""
    encodings = operand_pairs(binary32)[0]
    results, _ = run_on_arrays(used("convert_format", binary32, parameter=target), EVEN, encodings)
    wrong = np.flatnonzero(ml_floats.convert_format_array(binary32, target, encodings) != results)

    assert [] == [hex(bits) for bits in encodings[wrong[:5]]]


@pytest.mark.parametrize("fmt", HOSTED, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", sorted(host.EXACT))
def test_exact_results_are_those_of_the_host(name: str, fmt: Format) -> None:
    """The host rounds to integers, finds neighbours and copies signs to the same bits."""
    pairs = operand_pairs(fmt)
    operands = pairs[: host.ARITY[name], np.all(pairs % fmt.sign_bit <= fmt.infinity, axis=0)]
    expected = host.expected_array(name, fmt, *operands)
    results, _ = run_on_arrays(used(name, fmt), EVEN, *operands)
    wrong = np.flatnonzero(expected != results)

    assert [] == [tuple(hex(bits) for bits in operands[:, place]) for place in wrong[:5]]


@pytest.mark.parametrize("fmt", HOSTED, ids=lambda fmt: fmt.name)
def test_scaled_numbers_and_exponents_are_those_of_the_host(fmt: Format) -> None:
    """The host's ldexp and frexp deliver the same bits and exponents."""
    encodings = operand_pairs(fmt)[0]
    across = fmt.emax - fmt.emin + fmt.precision + 4
    n = np.random.default_rng(fmt.width).integers(-across, across, encodings.size, dtype=np.int32)
    scaled, _ = run_on_arrays(used("scale_b", fmt), EVEN, encodings, n.view(np.uint32))
    numbers = encodings[(encodings % fmt.sign_bit > 0) & (encodings % fmt.sign_bit < fmt.infinity)]
    exponents, _ = run_on_arrays(used("log_b", fmt), EVEN, numbers)

    assert [] == np.flatnonzero(host.scale_b_array(fmt, encodings, n) != scaled).tolist()
    assert [] == np.flatnonzero(host.log_b_array(fmt, numbers) != exponents.astype(np.int32)).tolist()


@pytest.mark.parametrize("target", HOSTED, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("source", HOSTED, ids=lambda fmt: fmt.name)
def test_format_conversions_are_those_of_the_host(source: Format, target: Format) -> None:
    """The host converts between its three formats to the same bits."""
    encodings = operand_pairs(source)[0]
    results, _ = run_on_arrays(used("convert_format", source, parameter=target), EVEN, encodings)
    wrong = np.flatnonzero(host.convert_format_array(source, target, encodings) != results)

    assert [] == [hex(bits) for bits in encodings[wrong[:5]]]
