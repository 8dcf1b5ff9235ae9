"""Makers of arrays: constants of a format, each exact and rounded once."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.environment import Flags

FORMATS = [sf.binary16, sf.binary32, sf.extended80, sf.binary128, sf.ofp8_e4m3]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_filled_arrays_and_identities_are_numpy_s(fmt: sf.Format) -> None:
    """Shapes and values are those that numpy's functions of these names make."""
    for made, expected in (
        (fmt.zeros(3), np.zeros(3)),
        (fmt.empty((2, 0)), np.zeros((2, 0))),
        (fmt.ones((2, 3)), np.ones((2, 3))),
        (fmt.full((2, 2), -1.5), np.full((2, 2), -1.5)),
        (fmt.full((2, 2), [1, 2]), np.full((2, 2), [1, 2])),
        (fmt.eye(2, 3, 1), np.eye(2, 3, 1)),
        (fmt.eye(3, k=-1), np.eye(3, k=-1)),
        (fmt.identity(2), np.identity(2)),
    ):
        assert fmt == made.format
        assert expected.tolist() == [
            [float(x) for x in row] if expected.ndim > 1 else float(row) for row in made
        ]
        assert expected.shape == made.shape


@pytest.mark.parametrize(
    "arguments", [(7,), (2, 9), (0, 1, 0.25), (5, 0, -2), (0, 5, -1), (0.5, 3, np.float32(0.5)), (1, 1)]
)
def test_ranges_are_numpy_s(arguments: tuple[Any, ...]) -> None:
    """Where steps are exact, numpy's arange has the same values."""
    assert np.arange(*arguments).tolist() == [float(value) for value in sf.binary32.arange(*arguments)]


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("rounding", [sf.Rounding.TIES_TO_EVEN, sf.Rounding.TOWARD_POSITIVE])
def test_values_are_exact_and_rounded_once(fmt: sf.Format, rounding: sf.Rounding) -> None:
    """Each value is the nearest, or the next above, of the exact fraction; nothing is counted or raised."""
    tenth, third = Fraction(0.1), Fraction(2, 3) - Fraction(0.1)
    with sf.environment(rounding=rounding) as seen, sf.counting() as tally:
        steps = fmt.arange(0.1, 1, third)
        distances = fmt.linspace(0.1, Fraction(5, 3), 8)
    assert [fmt.encode(tenth + k * third, rounding)[0] for k in range(2)] == [x.bits for x in steps]
    between = (Fraction(5, 3) - tenth) / 7
    assert [fmt.encode(tenth + k * between, rounding)[0] for k in range(8)] == [x.bits for x in distances]
    assert (0, Flags.NONE) == (tally.total_calls, seen.flags)


@pytest.mark.parametrize(("num", "endpoint"), [(0, True), (1, True), (1, False), (5, True), (5, False)])
def test_distances_are_numpy_s(num: int, endpoint: bool) -> None:
    """linspace has as many values as asked for, with the end or without it."""
    expected = np.linspace(-1, 3, num, endpoint)
    result = sf.binary64.linspace(-1, 3, num, endpoint).to_numpy()
    np.testing.assert_allclose(result, expected, rtol=1e-15)


def test_an_array_is_filled_with_a_number() -> None:
    """full takes an emulated value, as assignment does: putting it there is no arithmetic."""
    height = sf.binary32(0.1)
    assert [height.bits] * 2 == [value.bits for value in sf.binary32.full(2, height)]
    with pytest.raises(sf.MixedFormatsError, match=r"^binary16\.full needs operands of one format"):
        sf.binary16.full(2, height)


@pytest.mark.parametrize(
    ("message", "arguments"),
    [
        (
            r"^binary32\.arange makes constants, .* for example binary32\.arange\(8\) \* step \+ start$",
            "Number",
        ),
        (r"^binary32\.arange of binary32 needs an int, a float or a Fraction, not '3' \(str\)", "3"),
        (r"^binary32\.arange needs finite numbers, not inf$", float("inf")),
        (r"^binary32\.arange needs finite numbers, not nan$", np.float32("nan")),
    ],
)
def test_what_no_maker_takes(message: str, arguments: Any) -> None:
    """An emulated limit is refused, as the program would compute from it; so is what is no number."""
    limit = sf.binary32(3) if arguments == "Number" else arguments
    with pytest.raises(sf.OperandError, match=message):
        sf.binary32.arange(0, limit)


def test_steps_and_numbers_of_values_that_cannot_be() -> None:
    """A step of zero and a negative number of values are errors."""
    with pytest.raises(sf.OperandError, match=r"^step of binary32\.arange must not be zero$"):
        sf.binary32.arange(0, 3, 0)
    with pytest.raises(sf.OperandError, match=r"^num of binary32\.linspace must not be negative, and is -1$"):
        sf.binary32.linspace(0, 1, -1)


def test_lengths_may_be_ints_of_numpy() -> None:
    """arange and linspace take numpy's ints as Python's, and stay exact beside fractions."""
    assert sf.binary32.arange(3).bits.tolist() == sf.binary32.arange(np.int64(3)).bits.tolist()
    assert sf.binary32.linspace(0, 1, 3).bits.tolist() == sf.binary32.linspace(np.int8(0), 1, 3).bits.tolist()
