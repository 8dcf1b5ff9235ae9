"""Augmented arithmetic: every pair of small formats, and that result and error are exact together."""

from __future__ import annotations

import operator
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, binary128, ofp8_e4m3, ofp8_e5m2
from softfloat_py.options import COMPLETE, Options
from softfloat_py.uses import Use
from tests.engines.drawing import FLUSHED, operands_of
from tests.engines.running import array_runner, assert_engines_agree, reference, run_plain, used
from tests.references.exact_rounding import TIES_TOWARD_ZERO, Destination, Outcome
from tests.references.rational import rounded_with_error

EVEN = Rounding.TIES_TO_EVEN
AUGMENTED: dict[str, Callable[[Any, Any], Any]] = {
    "augmented_addition": operator.add,
    "augmented_subtraction": operator.sub,
    "augmented_multiplication": operator.mul,
}
SIX_BITS = Format("e3p3", exponent_bits=3, precision=3)
EIGHT_BITS = Format("e4p4", exponent_bits=4, precision=4)


@cache
def outcome_of_value(fmt: Format, value: Fraction) -> Outcome:
    """A number other than zero, rounded, with its error; few come from many pairs."""
    return rounded_with_error(Destination(fmt, TIES_TOWARD_ZERO), value)


def outcomes_on_arrays(use: Use, pairs: list[tuple[int, int]]) -> list[Outcome]:
    """What the array engine delivers for pairs of encodings."""
    outcome = array_runner(use).run(np.array(pairs, dtype=np.uint64).T, int(EVEN), keep_counts=False)
    results = zip(*(result.tolist() for result in outcome.results), strict=True)
    return list(zip(results, outcome.element_flags.tolist(), strict=True))


@pytest.mark.parametrize("fmt", [EIGHT_BITS, ofp8_e4m3, ofp8_e5m2], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", AUGMENTED)
def test_every_pair_has_the_expected_result_and_error(name: str, fmt: Format) -> None:
    """Every pair of a format of eight bits gives the expected two results and flags."""
    every = range(1 << fmt.width)
    values = [fmt.decode(bits) if fmt.is_finite(bits) else None for bits in every]

    def expected(x: int, y: int) -> Outcome:
        first, second = values[x], values[y]
        if first and second and (exact := AUGMENTED[name](first, second)):
            return outcome_of_value(fmt, exact)
        return reference(used(name, fmt), EVEN, (x, y))

    pairs = [(x, y) for x in every for y in every]
    delivered = outcomes_on_arrays(used(name, fmt), pairs)

    assert [] == [pair for pair, outcome in zip(pairs, delivered, strict=True) if expected(*pair) != outcome]


@pytest.mark.parametrize("options", [FLUSHED, Options(saturate=True)], ids=lambda options: options.name)
@pytest.mark.parametrize("name", AUGMENTED)
def test_every_pair_of_six_bits_keeps_to_the_options(name: str, options: Options) -> None:
    """Flushed and saturated results are as expected for every pair."""
    use, every = used(name, SIX_BITS, options), range(1 << SIX_BITS.width)
    pairs = [(x, y) for x in every for y in every]

    assert [reference(use, EVEN, pair) for pair in pairs] == outcomes_on_arrays(use, pairs)


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64, binary128], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", AUGMENTED)
@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_result_and_error_are_exact_together(data: st.DataObject, name: str, fmt: Format) -> None:
    """Where nothing is signalled, they add up to the exact result, and the error is half a unit at most."""
    x, y = data.draw(operands_of(used(name, fmt)).filter(lambda pair: all(map(fmt.is_finite, pair))))
    (result, error), flags = run_plain(used(name, fmt), EVEN, (x, y)).outcome
    assume(flags == Flags.NONE)

    assert AUGMENTED[name](fmt.decode(x), fmt.decode(y)) == fmt.decode(result) + fmt.decode(error)
    assert fmt.spacing(result) / 2 >= abs(fmt.decode(error))


@pytest.mark.parametrize("name", AUGMENTED)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_engines_agree_on_binary128(data: st.DataObject, name: str) -> None:
    """Pairs of results of several words come out alike on every engine, counts included."""
    use = used(name, binary128, COMPLETE)
    operands = data.draw(operands_of(use))

    assert_engines_agree(use, EVEN, operands)
