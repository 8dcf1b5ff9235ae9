"""Fused multiply-add: every triple of a small format, MPFR, and what one rounding is good for."""

from __future__ import annotations

from functools import cache
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, binary128
from softfloat_py.options import Options
from tests.engines.drawing import FLUSHED, NO_SPECIALS, operands_of
from tests.engines.running import assert_engines_agree, reference, run_on_arrays, run_plain, used
from tests.references import multiprecision
from tests.references.exact_rounding import Destination

NAME = "fused_multiply_add"
SIX_BITS = Format("e3p3", exponent_bits=3, precision=3)
FOUR_BITS = Format("e2p2", exponent_bits=2, precision=2)
EVEN = Rounding.TIES_TO_EVEN


def units(fmt: Format, bits: int) -> int:
    """A finite number as a multiple of the smallest one."""
    return int(fmt.decode(bits) / fmt.decode(fmt.smallest_subnormal))


@cache
def all_triples() -> NDArray[np.uint64]:
    """Shape (3, n): every triple of encodings."""
    every = np.arange(1 << SIX_BITS.width, dtype=np.uint64)
    return np.array(np.meshgrid(every, every, every, indexing="ij")).reshape(3, -1)


@cache
def finite_and_total() -> tuple[NDArray[np.bool_], NDArray[np.int64]]:
    """Of every triple, whether it is finite, and the exact result in squares of the smallest number."""
    every = range(1 << SIX_BITS.width)
    finite = np.array([SIX_BITS.is_finite(bits) for bits in every])
    values = np.array([units(SIX_BITS, bits) if finite[bits] else 0 for bits in every])
    one = units(SIX_BITS, SIX_BITS.bias << SIX_BITS.trailing_bits)
    x, y, z = values[all_triples()]
    all_finite: NDArray[np.bool_] = np.logical_and.reduce(finite[all_triples()])
    return all_finite, x * y + z * one


@cache
def outcomes_of_special() -> NDArray[np.int64]:
    """What triples with an infinity or a NaN give, in order: the same in all directions."""
    return judged(EVEN, ~finite_and_total()[0])


def judged(rounding: Rounding, chosen: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Shape (n, 2): results and flags that the reference gives for the chosen triples."""
    triples = all_triples()[:, chosen].T.tolist()
    return np.array([reference(used(NAME, SIX_BITS), rounding, tuple(triple)) for triple in triples])


@pytest.mark.parametrize("rounding", Rounding, ids=lambda rounding: rounding.name)
def test_every_triple_is_rounded_correctly(rounding: Rounding) -> None:
    """Every triple of a format of six bits gives the expected result and flags."""
    finite, total = finite_and_total()
    rounds = finite & (total != 0)
    # Few exact results come from many triples.
    distinct, places = np.unique(total[rounds], return_inverse=True)
    square = SIX_BITS.decode(SIX_BITS.smallest_subnormal) ** 2
    rounded = [Destination(SIX_BITS, rounding).round(int(value) * square) for value in distinct]
    expected = np.empty((total.size, 2), dtype=np.int64)
    expected[rounds] = np.array(rounded)[places]
    expected[~finite] = outcomes_of_special()
    expected[finite & ~rounds] = judged(rounding, finite & ~rounds)
    delivered = np.array(run_on_arrays(used(NAME, SIX_BITS), rounding, *all_triples())).T
    wrong = np.flatnonzero((expected != delivered).any(axis=1))

    assert [] == all_triples()[:, wrong[:5]].T.tolist(), f"{wrong.size} triples"


@pytest.mark.parametrize("options", [FLUSHED, NO_SPECIALS], ids=lambda options: options.name)
def test_every_triple_of_two_digits_is_rounded_correctly(options: Options) -> None:
    """Two bits of precision, the fewest there are, do, where options leave something out too."""
    use, every = used(NAME, FOUR_BITS, options), range(1 << FOUR_BITS.width)
    admitted = [bits for bits in every if options.special or FOUR_BITS.is_finite(bits)]
    triples = list(product(admitted, repeat=3))
    for rounding in Rounding:
        results, flags = run_on_arrays(use, rounding, *np.array(triples, dtype=np.uint64).T)

        assert [reference(use, rounding, triple) for triple in triples] == list(
            zip(results.tolist(), flags.tolist(), strict=True)
        )


@pytest.mark.parametrize("rounding", sorted(multiprecision.DIRECTIONS), ids=lambda rounding: rounding.name)
@pytest.mark.parametrize("fmt", [binary16, binary32, binary64, binary128], ids=lambda fmt: fmt.name)
@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_it_agrees_with_mpfr(data: st.DataObject, fmt: Format, rounding: Rounding) -> None:
    """MPFR's fma delivers the same result and flags in the four directions it has, for operands but NaNs."""
    drawn = operands_of(used(NAME, fmt)).filter(lambda triple: not any(map(fmt.is_nan, triple)))
    operands = data.draw(drawn)

    assert (
        multiprecision.expected(NAME, fmt, rounding, *operands)
        == run_plain(used(NAME, fmt), rounding, operands).outcome
    )


@settings(max_examples=30, deadline=None)
@given(data=st.data(), rounding=st.sampled_from(Rounding))
def test_engines_agree_on_binary128(data: st.DataObject, rounding: Rounding) -> None:
    """Sums of more than two hundred bits come out alike on every engine, counts included."""
    use = used(NAME, binary128)
    operands = data.draw(operands_of(use))

    assert_engines_agree(use, rounding, operands)


@settings(max_examples=60, deadline=None)
@given(data=st.data(), rounding=st.sampled_from(Rounding))
def test_it_finds_the_error_of_a_product(data: st.DataObject, rounding: Rounding) -> None:
    """x × y less the rounded product is exact where neither is near the ends of the range."""
    one = binary32.bias << binary32.trailing_bits
    near_one = st.integers(one - (20 << 23), one + (20 << 23))
    x, y = data.draw(near_one), data.draw(near_one)
    rounded, _ = run_plain(used("multiplication", binary32), rounding, (x, y)).outcome
    error, flags = run_plain(used(NAME, binary32), rounding, (x, y, rounded ^ binary32.sign_bit)).outcome

    assert (binary32.decode(x) * binary32.decode(y) - binary32.decode(rounded), 0) == (
        binary32.decode(error),
        flags,
    )
