"""The array engine on every operand there is: pairs of small formats, single operands of binary16."""

from __future__ import annotations

import operator
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from softfloat_py.environment import Flags, Rounding
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.formats import Format, bfloat16, binary16, binary32, ofp8_e4m3, ofp8_e5m2
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import Options
from softfloat_py.uses import INTEGER_BITS, Use
from tests.engines.drawing import BY_RECIPROCAL, FLUSHED
from tests.engines.running import reference, run_on_arrays, used
from tests.references import predicates
from tests.references.exact_rounding import Destination, Outcome

SIX_BITS = Format("e3p3", exponent_bits=3, precision=3)
EIGHT_BITS = (ofp8_e4m3, ofp8_e5m2)
EVEN = Rounding.TIES_TO_EVEN

# Remainders and augmented arithmetic are judged in files of their own, elementary functions below.
PAIRS = [
    name
    for name, row in OPERATIONS.items()
    if row.arity == 2
    and not (row.integer_operands or row.elementary or name.startswith(("remainder", "augmented")))
]
ROUNDED_PAIRS: dict[str, Callable[[Any, Any], Any]] = {
    "addition": operator.add,
    "subtraction": operator.sub,
    "multiplication": operator.mul,
    "division": operator.truediv,
}
QUESTIONS = [name for name in OPERATIONS if name.startswith("is_")]


def all_encodings(fmt: BinaryFormat) -> NDArray[np.uint64]:
    """Every encoding of a format, in order."""
    return np.arange(1 << fmt.width, dtype=np.uint64)


def all_pairs(fmt: Format) -> tuple[NDArray[np.uint64], NDArray[np.uint64]]:
    """Every pair of encodings, the second operand changing fastest."""
    every = all_encodings(fmt)
    return np.repeat(every, every.size), np.tile(every, every.size)


def assert_equal(expected: list[Outcome], delivered: tuple[Any, Any], operands: tuple[Any, ...]) -> None:
    """Results and flags agree at every place; the first few that do not are shown."""
    results, flags = (np.array(column, dtype=np.uint64) for column in zip(*expected, strict=True))
    wrong = np.flatnonzero((results != delivered[0]) | (flags != delivered[1]))
    shown = [tuple(hex(operand[place]) for operand in operands) for place in wrong[:5]]

    assert [] == shown, f"{wrong.size} of {results.size} operands"


# -- pairs of small formats --------------------------------------------------------------------------------


@cache
def outcomes_of_value(fmt: Format, value: Fraction) -> tuple[Outcome, ...]:
    """A value other than zero, rounded in each direction; few values come from many pairs."""
    return tuple(Destination(fmt, rounding).round(value) for rounding in Rounding)


def outcomes_of_pair(
    name: str, fmt: Format, x: int, y: int, values: list[Fraction | None]
) -> tuple[Outcome, ...]:
    """Outcomes in each direction: one exact value, rounded, or what the reference says of the rest."""
    first, second = values[x], values[y]
    if first and second and (exact := ROUNDED_PAIRS[name](first, second)):
        return outcomes_of_value(fmt, exact)
    return tuple(reference(used(name, fmt), rounding, (x, y)) for rounding in Rounding)


def outcomes_of_pairs(name: str, fmt: Format) -> list[tuple[Outcome, ...]]:
    """What is expected for all pairs, in their order."""
    every = range(1 << fmt.width)
    values = [fmt.decode(bits) if fmt.is_finite(bits) else None for bits in every]
    return [outcomes_of_pair(name, fmt, x, y, values) for x in every for y in every]


@pytest.mark.parametrize("fmt", [SIX_BITS, *EIGHT_BITS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", ROUNDED_PAIRS)
def test_every_pair_is_rounded_correctly(name: str, fmt: Format) -> None:
    """Every pair of a small format gives the expected result and flags in all five directions."""
    operands = all_pairs(fmt)
    by_direction = list(zip(*outcomes_of_pairs(name, fmt), strict=True))

    for rounding in Rounding:
        assert_equal(
            list(by_direction[rounding]), run_on_arrays(used(name, fmt), rounding, *operands), operands
        )


WITH_OPTIONS = [*((name, FLUSHED) for name in ROUNDED_PAIRS), ("division", BY_RECIPROCAL)]


@pytest.mark.parametrize(("name", "options"), WITH_OPTIONS, ids=lambda value: getattr(value, "name", value))
def test_every_pair_is_rounded_correctly_with_options(name: str, options: Options) -> None:
    """Flushing subnormal numbers and dividing by reciprocal deliver what is expected for every pair."""
    use, operands = used(name, SIX_BITS, options), all_pairs(SIX_BITS)
    pairs = list(zip(*(operand.tolist() for operand in operands), strict=True))

    for rounding in Rounding:
        expected = [reference(use, rounding, pair) for pair in pairs]
        assert_equal(expected, run_on_arrays(use, rounding, *operands), operands)


@pytest.mark.parametrize("fmt", [SIX_BITS, *EIGHT_BITS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", predicates.COMPARISONS)
def test_every_pair_is_compared_correctly(name: str, fmt: Format) -> None:
    """Every pair of a small format is compared as expected: relations are found once for all predicates."""
    operands = all_pairs(fmt)
    relations = relations_of_pairs(fmt)
    signaling = np.array([predicates.is_signaling(fmt, bits) for bits in range(1 << fmt.width)])
    holds = np.isin(relations, [relation.value for relation in predicates.COMPARISONS[name]])
    invalid = signaling[operands[0]] | signaling[operands[1]]
    if name in predicates.SIGNALING_COMPARISONS:
        invalid = relations == predicates.UNORDERED.value
    delivered, flags = run_on_arrays(used(name, fmt), EVEN, *operands)

    assert [] == np.flatnonzero(holds != delivered).tolist()
    assert [] == np.flatnonzero(invalid * int(Flags.INVALID_OPERATION) != flags).tolist()


@cache
def relations_of_pairs(fmt: Format) -> NDArray[np.int64]:
    """How the first of each pair stands to the second."""
    every = range(1 << fmt.width)
    return np.array([predicates.relation(fmt, x, y).value for x in every for y in every])


@pytest.mark.parametrize("fmt", [SIX_BITS, *EIGHT_BITS], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", [n for n in PAIRS if n not in {*ROUNDED_PAIRS, *predicates.COMPARISONS}])
def test_every_pair_of_other_operations_is_as_expected(name: str, fmt: Format) -> None:
    """Minimum, maximum and their kin, signs and orders of every pair of a small format are as expected."""
    use, operands = used(name, fmt), all_pairs(fmt)
    pairs = zip(*(operand.tolist() for operand in operands), strict=True)

    assert_equal(
        [reference(use, EVEN, pair) for pair in pairs], run_on_arrays(use, EVEN, *operands), operands
    )


@pytest.mark.parametrize("rounding", [EVEN, Rounding.TOWARD_NEGATIVE], ids=lambda rounding: rounding.name)
@pytest.mark.parametrize(
    "name", [name for name, row in OPERATIONS.items() if row.elementary and row.arity == 2]
)
def test_every_pair_of_elementary_functions_is_as_expected(name: str, rounding: Rounding) -> None:
    """Powers, angles and their kin of every pair of a small format, or of a number and small integers."""
    use, (x, y) = used(name, SIX_BITS), all_pairs(SIX_BITS)
    if use.operation.integer_operands:
        y = ((y.astype(np.int64) - 32) % (1 << INTEGER_BITS)).astype(np.uint64)
    pairs = zip(x.tolist(), y.tolist(), strict=True)

    assert_equal(
        [reference(use, rounding, pair) for pair in pairs], run_on_arrays(use, rounding, x, y), (x, y)
    )


# -- single operands of binary16 ---------------------------------------------------------------------------


def assert_every_operand(use: Use, rounding: Rounding) -> None:
    """Every encoding gives the expected result and flags."""
    assert isinstance(use.format, BinaryFormat)
    every = all_encodings(use.format)
    expected = [reference(use, rounding, (bits,)) for bits in every.tolist()]

    assert_equal(expected, run_on_arrays(use, rounding, every), (every,))


@pytest.mark.parametrize("name", [*QUESTIONS, "negate", "absolute"])
def test_every_binary16_operand_is_classified(name: str) -> None:
    """Class questions and sign operations are right for every encoding of binary16."""
    assert_every_operand(used(name, binary16), EVEN)


@pytest.mark.parametrize("rounding", Rounding, ids=lambda rounding: rounding.name)
def test_every_binary16_operand_has_its_root(rounding: Rounding) -> None:
    """The square root of every encoding of binary16 is correctly rounded."""
    assert_every_operand(used("square_root", binary16), rounding)


def test_both_methods_find_the_same_roots() -> None:
    """The root by reciprocal equals the root digit by digit for every encoding of binary16."""
    every = all_encodings(binary16)
    by_digits = run_on_arrays(used("square_root", binary16), EVEN, every)
    by_reciprocal = run_on_arrays(used("square_root", binary16, BY_RECIPROCAL), EVEN, every)

    assert_equal(list(zip(*by_digits, strict=True)), by_reciprocal, (every,))


# Less range in all directions, more range, where subnormal numbers become normal, in one each side of zero.
CONVERSIONS_TO_FEWER_BITS = [
    *((ofp8_e4m3, rounding) for rounding in Rounding),
    (bfloat16, EVEN),
    (bfloat16, Rounding.TOWARD_NEGATIVE),
]


@pytest.mark.parametrize(("target", "rounding"), CONVERSIONS_TO_FEWER_BITS, ids=lambda value: value.name)
def test_every_binary16_operand_is_converted_to_fewer_bits(target: Format, rounding: Rounding) -> None:
    """Every encoding of binary16 is rounded correctly into formats with more and with less exponent range."""
    assert_every_operand(used("convert_format", binary16, parameter=target), rounding)


def test_every_binary16_operand_is_converted_to_more_bits() -> None:
    """Every encoding of binary16 has its binary32 counterpart."""
    assert_every_operand(used("convert_format", binary16, parameter=binary32), EVEN)


# The narrowest width in all directions, the others in one each.
CONVERSIONS_TO_INTEGERS = [
    *((8, rounding) for rounding in Rounding),
    (16, EVEN),
    (32, Rounding.TIES_TO_AWAY),
    (64, Rounding.TOWARD_NEGATIVE),
]


@pytest.mark.parametrize(
    ("width", "rounding"), CONVERSIONS_TO_INTEGERS, ids=lambda value: getattr(value, "name", value)
)
def test_every_binary16_operand_is_converted_to_an_integer(width: int, rounding: Rounding) -> None:
    """Every encoding of binary16 is rounded to an integer, or saturates, as expected."""
    assert_every_operand(used("convert_to_integer", binary16, parameter=width), rounding)


@pytest.mark.parametrize("width", [8, 32])
def test_every_binary16_operand_is_truncated_to_an_integer(width: int) -> None:
    """Every encoding of binary16 loses its fraction, or saturates, as expected, whatever the direction."""
    assert_every_operand(used("convert_to_integer_toward_zero", binary16, parameter=width), EVEN)
