"""The smaller and the larger of two operands: every pair of small formats, and what one of them costs."""

from __future__ import annotations

from itertools import product

import pytest

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, NaNResult, Options
from tests.engines.drawing import FLUSHED, NO_SPECIALS
from tests.engines.running import reference, run_plain, run_stepwise, used

EVEN = Rounding.TIES_TO_EVEN
NAMES = [name for name in OPERATIONS if name.startswith(("minimum", "maximum"))]
E2P3 = Format("e2p3", exponent_bits=2, precision=3)
WITHOUT_INFINITY = Format("e2p3 without infinity", exponent_bits=2, precision=3, has_infinity=False)
FIRST_NAN_FLUSHED = Options(nan=NaNResult.FIRST_OPERAND, subnormal_operands=False)
LARGER_PAYLOAD = Options(nan=NaNResult.LARGER_PAYLOAD)
NO_SPECIALS_FLUSHED = Options(special=False, subnormal_operands=False)


@pytest.mark.parametrize(
    ("fmt", "options"),
    [
        *((E2P3, options) for options in (FLUSHED, FIRST_NAN_FLUSHED, LARGER_PAYLOAD)),
        *((E2P3, options) for options in (NO_SPECIALS, NO_SPECIALS_FLUSHED)),
        *((WITHOUT_INFINITY, options) for options in (COMPLETE, FLUSHED)),
    ],
    ids=lambda value: value.name,
)
@pytest.mark.parametrize("name", NAMES)
def test_every_pair_delivers_the_right_operand(name: str, fmt: Format, options: Options) -> None:
    """Signed zeros, subnormal numbers that are flushed or not, infinities and NaNs are told apart."""
    use = used(name, fmt, options)
    operands = [bits for bits in range(1 << fmt.width) if options.special or fmt.is_finite(bits)]
    for pair in product(operands, operands):
        assert reference(use, EVEN, pair) == run_plain(use, EVEN, pair).outcome, pair


def test_steps_of_one_minimum() -> None:
    """The smaller of 1.5 and 2.75 takes 13 steps where nothing but the result is asked for."""
    by_hand = (
        4  # each magnitude: a mask loaded and applied
        + 2  # whether the second is larger; a branch to where it is
        + 3  # infinity loaded; whether the larger one lies above it; a branch, not taken
        + 2  # the sign bit of the larger one; a choice by it
        + 2  # call and return
    )
    counts = run_stepwise(used("minimum", binary32, LEAN), EVEN, (0x3FC00000, 0x40300000)).counts

    assert counts is not None
    assert by_hand == counts.total()
