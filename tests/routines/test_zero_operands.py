"""Operands that are zero leave early, with the result and the sign that clause 6.3 states."""

from __future__ import annotations

from itertools import product
from statistics import mean

import pytest

from softfloat_py.environment import Rounding
from softfloat_py.numbers.formats import Format, binary32
from softfloat_py.options import COMPLETE, LEAN, Options
from tests.engines.drawing import ALL_OPTIONS, FLUSHED
from tests.engines.running import reference, run_plain, run_stepwise, used

EVEN = Rounding.TIES_TO_EVEN
ZEROS = (0x00000000, 0x80000000)

# An acceleration and an interval of time in binary32, 0.12 and -0.04, and their kin.
ORDINARY = (0x3DF5C28F, 0xBD23D70A, 0x3F99999A, 0xC0490FDB)


def steps(name: str, options: Options, *operands: int) -> int:
    """How many steps an operation on numbers of binary32 takes."""
    counts = run_stepwise(used(name, binary32, options), EVEN, operands).counts
    assert counts is not None
    return counts.total()


def mean_of_ordinary(name: str, options: Options, arity: int) -> float:
    """The mean steps of an operation on ordinary operands, no two alike; no root of a negative one."""
    rows = [
        row for row in product(ORDINARY, repeat=arity) if len({bits % (1 << 31) for bits in row}) == arity
    ]
    return mean(steps(name, options, *row) for row in rows if arity > 1 or row[0] < 1 << 31)


def with_zeros(places: tuple[int, ...], arity: int) -> list[tuple[int, ...]]:
    """Rows of operands with zeros of either sign at these places, ordinary numbers elsewhere."""
    return list(product(*(ZEROS if place in places else ORDINARY[:2] for place in range(arity))))


# Operations with the places of zeros, and the largest part of the steps of ordinary operands that is left.
LEAVING = [
    ("addition", (0,), 0.6),
    ("addition", (1,), 0.6),
    ("addition", (0, 1), 0.6),
    ("subtraction", (0,), 0.6),
    ("subtraction", (1,), 0.6),
    ("subtraction", (0, 1), 0.6),
    ("multiplication", (0,), 0.65),
    ("multiplication", (1,), 0.65),
    ("multiplication", (0, 1), 0.65),
    ("division", (0,), 0.25),
    ("division", (1,), 0.25),
    ("square_root", (0,), 0.25),
    ("r_sqrt", (0,), 0.25),
    ("hypot", (0,), 0.25),
    ("hypot", (1,), 0.25),
    ("hypot", (0, 1), 0.25),
    ("fused_multiply_add", (0,), 0.6),
    ("fused_multiply_add", (1,), 0.6),
    ("fused_multiply_add", (0, 2), 0.6),
    ("fused_multiply_add", (2,), 1.0),  # the product has to be rounded still
]


@pytest.mark.parametrize("options", [COMPLETE, LEAN, FLUSHED], ids=lambda options: options.name)
@pytest.mark.parametrize(("name", "places", "part"), LEAVING)
def test_zero_operands_take_fewer_steps(
    name: str, places: tuple[int, ...], part: float, options: Options
) -> None:
    """With a zero among its operands, an operation never takes more than a part of its ordinary steps."""
    arity = {"square_root": 1, "r_sqrt": 1, "fused_multiply_add": 3}.get(name, 2)
    taken = max(steps(name, options, *row) for row in with_zeros(places, arity))

    assert taken < part * mean_of_ordinary(name, options, arity)


def test_steps_of_a_sum_with_zero() -> None:
    """1.2 + 0 takes 31 steps where the sum is rounded to nearest and raises no flags."""
    by_hand = (
        1 + 2  # the sign of the first, and of the difference of both encodings
        + 4  # each magnitude: a mask loaded and applied
        + 2  # which is the larger, and a jump past the exchange
        + 2  # the exponent fields, without signs above them
        + 3  # infinity's loaded; whether the larger one is that; a branch, not taken
        + 4  # the significand of the larger: a mask loaded and applied, the leading one loaded and set
        + 3  # 0 loaded; whether the smaller exponent is that; a branch, not taken
        + 3  # 0 loaded; whether the smaller magnitude is that; a branch, taken
        + 3  # 0 loaded; whether the larger one is that too; a branch, not taken
        + 2  # sign and magnitude are put together
        + 2  # call and return
    )  # fmt: skip

    assert by_hand == steps("addition", LEAN, 0x3F99999A, 0x00000000)


SMALL = [
    Format("e2p3", exponent_bits=2, precision=3),
    Format("e2p3 without infinity", exponent_bits=2, precision=3, has_infinity=False),
]


@pytest.mark.parametrize("fmt", SMALL, ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("options", ALL_OPTIONS, ids=lambda options: options.name)
@pytest.mark.parametrize("name", ["addition", "subtraction", "multiplication", "hypot", "fused_multiply_add"])
def test_zeros_beside_every_operand(name: str, options: Options, fmt: Format) -> None:
    """Zeros of either sign beside zeros, subnormal numbers, infinities and NaNs give the expected result and
    flags in all directions, whatever the options.
    """
    use = used(name, fmt, options)
    arity = 3 if name == "fused_multiply_add" else 2
    zeros = (0, fmt.sign_bit)
    others = [bits for bits in range(1 << fmt.width) if options.special or fmt.is_finite(bits)]
    rows = {row for place in range(arity) for row in product(*columns(zeros, others, place, arity))}
    for row in rows:
        for rounding in Rounding if options.all_directions else (EVEN,):
            result, flags = reference(use, rounding, row)
            expected = (result, flags if options.flags else 0)

            assert expected == run_plain(use, rounding, row).outcome, (row, rounding)


def columns(zeros: tuple[int, ...], others: list[int], place: int, arity: int) -> list[list[int]]:
    """What stands at each place of a row: zeros at one, others elsewhere, fewer of them in rows of three."""
    every = others if arity == 2 else others[::5]
    return [list(zeros) if index == place else every for index in range(arity)]
