"""Remainders: every pair of small formats, MPFR, numpy, and loops of any number of rounds."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from math import trunc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, binary128, ofp8_e4m3, ofp8_e5m2
from tests.engines.drawing import operands_of
from tests.engines.running import assert_engines_agree, reference, run_on_arrays, run_plain, used
from tests.references import host, multiprecision
from tests.references.exact_rounding import Destination, Outcome
from tests.strategies import corner_encodings

EVEN = Rounding.TIES_TO_EVEN
REMAINDERS: dict[str, Callable[[Fraction], int]] = {"remainder": round, "remainder_truncated": trunc}
EIGHT_BITS = Format("e4p4", exponent_bits=4, precision=4)


@cache
def outcome_of_value(fmt: Format, value: Fraction) -> Outcome:
    """A remainder other than zero, as the format has it; few come from many pairs."""
    return Destination(fmt, EVEN).round(value)


@pytest.mark.parametrize("fmt", [EIGHT_BITS, ofp8_e4m3, ofp8_e5m2], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", REMAINDERS)
def test_every_pair_leaves_the_expected_remainder(name: str, fmt: Format) -> None:
    """Every pair of a format of eight bits gives the expected result and flags."""
    every = range(1 << fmt.width)
    values = [fmt.decode(bits) if fmt.is_finite(bits) else None for bits in every]

    def expected(x: int, y: int) -> Outcome:
        first, second = values[x], values[y]
        if first and second and (rest := first - second * REMAINDERS[name](first / second)):
            return outcome_of_value(fmt, rest)
        return reference(used(name, fmt), EVEN, (x, y))

    pairs = [(x, y) for x in every for y in every]
    results, flags = run_on_arrays(used(name, fmt), EVEN, *np.array(pairs, dtype=np.uint64).T)
    delivered = zip(results.tolist(), flags.tolist(), strict=True)

    assert [] == [pair for pair, outcome in zip(pairs, delivered, strict=True) if expected(*pair) != outcome]


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64, binary128], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", REMAINDERS)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_remainders_agree_with_mpfr(data: st.DataObject, name: str, fmt: Format) -> None:
    """MPFR's remainder and fmod deliver the same result and flags."""
    operands = data.draw(operands_of(used(name, fmt)))

    assert (
        multiprecision.expected(name, fmt, EVEN, *operands)
        == run_plain(used(name, fmt), EVEN, operands).outcome
    )


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64], ids=lambda fmt: fmt.name)
def test_truncated_remainders_are_those_of_numpy(fmt: Format) -> None:
    """np.fmod delivers the same bits for random pairs and for every corner beside every other."""
    chance = np.random.default_rng(fmt.width)
    x, y = chance.integers(0, 1 << fmt.width, size=(2, 20_000), dtype=np.uint64)
    corners = np.array(corner_encodings(fmt), dtype=np.uint64)
    x = np.concatenate([x, np.repeat(corners, corners.size)])
    y = np.concatenate([y, np.tile(corners, corners.size)])
    dtype = host.FLOATS[fmt]
    with np.errstate(all="ignore"):
        expected = host.encoded(fmt, np.fmod(host.floats_of(dtype, x), host.floats_of(dtype, y)))
    results, _ = run_on_arrays(used("remainder_truncated", fmt), EVEN, x, y)
    wrong = np.flatnonzero(expected != results)

    assert [] == [(hex(x[place]), hex(y[place])) for place in wrong[:5]]


@pytest.mark.parametrize("name", REMAINDERS)
@settings(max_examples=10, deadline=None)
@given(data=st.data())
def test_engines_agree_on_long_loops(data: st.DataObject, name: str) -> None:
    """Loops of hundreds of rounds, of words of their own, end alike on every engine, counts included."""
    use = used(name, Format("e9p70", exponent_bits=9, precision=70))
    operands = data.draw(operands_of(use))

    assert_engines_agree(use, EVEN, operands)


def test_rounds_are_counted_by_the_distance_of_the_exponents() -> None:
    """A round is made for each digit of the quotient: 1 + 10 of them where exponents differ by ten."""
    one = binary32.bias << binary32.trailing_bits
    counts = run_plain(used("remainder", binary32), EVEN, (one + (10 << 23) + 1, one + 3)).counts
    assert counts is not None
    doublings = {
        entry: n for entry, n in counts.items() if (entry.phase, entry.kind) == ("reduce", "shift_left")
    }

    assert [11] == list(doublings.values())
