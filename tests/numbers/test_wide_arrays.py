"""Arrays of formats wider than 64 bits do all that other arrays do."""

from __future__ import annotations

import copy
import pickle
from fractions import Fraction
from functools import reduce
from operator import add
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers import applying
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.formats import binary128, extended80
from softfloat_py.numbers.numpy_calls.moving import MOVING
from softfloat_py.operations import OPERATIONS
from tests import strategies
from tests.numbers.numpy_calls.test_dispatching import MOVES, moved, parts
from tests.numbers.test_array import INDICES

LONG = sf.Format("e6p113", exponent_bits=6, precision=113)
FORMATS = [binary128, extended80, LONG]
BINARY64_WITH_LEADING_BIT = sf.Format("e11p53", exponent_bits=11, precision=53, explicit_leading_bit=True)
heights = np.linspace(-3, 3, 12).reshape(3, 4)
of_wide_formats = pytest.mark.parametrize("fmt", FORMATS, ids=lambda fmt: fmt.name)


def to_host(value: Any) -> Any:
    """An emulated value as the host's float64, anything else as it is."""
    if isinstance(value, sf.FloatArray):
        return value.astype(sf.binary64).to_numpy()
    return float(value) if isinstance(value, sf.Number) else value


def encodings(fmt: sf.Format, size: int) -> list[int]:
    """So many encodings, corners again and again, shifted by one place each time."""
    corners = strategies.corner_encodings(fmt)
    places = (divmod(place, len(corners)) for place in range(size))
    return [(corners[place] + shift) % (1 << fmt.width) for shift, place in places]


# -- encodings ----------------------------------------------------------------------------------------


@of_wide_formats
def test_encodings_are_what_they_were(fmt: sf.Format) -> None:
    """Arrays are made of nested ints, of arrays of ints and of what `bits` gives; elements show the ints."""
    bits = encodings(fmt, 6)
    rows = [bits[:3], bits[3:]]
    array = sf.FloatArray.from_bits(fmt, rows)
    for again in (array, fmt.array_from_bits(np.array(rows, object)), fmt.array_from_bits(array.bits)):
        assert rows == [[number.bits for number in row] for row in again.tolist()]
    assert [5, 7] == [number.bits for number in fmt.array_from_bits(np.array([5, 7], np.int8))]


@of_wide_formats
def test_bits_show_words(fmt: sf.Format) -> None:
    """`bits` has a field for each word, lowest first, and cannot be written to."""
    bits = encodings(fmt, 50)
    shown = fmt.array_from_bits(bits).bits
    assert storage(fmt) == shown.dtype
    assert bits == [low | high << 64 for low, high in shown.tolist()]
    assert [value % 2**64 for value in bits] == shown["word0"].tolist()
    with pytest.raises(ValueError, match="read-only"):
        shown["word0"] = 0


@pytest.mark.parametrize("bits", [[-1], [1 << 80], [[0.5]], [None], np.array([0.5]), np.array([-3])])
def test_encodings_must_fit(bits: Any) -> None:
    """from_bits takes integers of the format's width only."""
    with pytest.raises(sf.FormatError, match=r"^(an encoding|encodings) of extended80 must "):
        extended80.array_from_bits(bits)


def test_shown_encodings_must_fit() -> None:
    """The words of a wider format are refused where a bit is too far up."""
    shown = LONG.array_from_bits([1, 1 << 118]).bits
    assert 1 << 79 == extended80.array_from_bits(extended80.array_from_bits([1 << 79]).bits)[0].bits
    with pytest.raises(sf.FormatError, match=r"^an encoding of extended80 must lie between"):
        extended80.array_from_bits(shown)


def test_long_ints_beside_short_ones() -> None:
    """Ints that no dtype of the host has in common are encodings of a format of 64 bits too."""
    assert [1 << 63, 1] == sf.binary64.array_from_bits([1 << 63, 1]).bits.tolist()


# -- values -------------------------------------------------------------------------------------------


@of_wide_formats
@pytest.mark.parametrize("size", [3, 1000])
def test_host_arrays_are_converted_as_scalars_are(fmt: sf.Format, size: int) -> None:
    """Floats and integers of the host, and sequences, become what their elements become one by one."""
    values = np.random.default_rng(5).normal(0, 100, size)
    for given in (values, values.astype(np.int32), values.astype(np.float16), values.tolist()):
        assert [fmt(value).bits for value in given] == [number.bits for number in fmt.array(given)]
    rows: Any = [[Fraction(1, 3), 2**100 + 1], [fmt(0.5), 1]]
    assert [[fmt(Fraction(1, 3)).bits, fmt(2**100 + 1).bits], [fmt(0.5).bits, fmt(1).bits]] == [
        [number.bits for number in row] for row in fmt.array(rows)
    ]


def test_conversions_there_and_back() -> None:
    """Values of binary64 survive in binary128, in arrays long and short; integers too."""
    for size in (5, 1000):
        values = np.random.default_rng(2).normal(0, 1e5, size)
        wide = sf.binary64.array(values).astype(binary128)
        np.testing.assert_array_equal(values, wide.astype(sf.binary64).to_numpy())
        whole = sf.convert_to_integer(wide, width=64, rounding=sf.Rounding.TOWARD_ZERO)
        np.testing.assert_array_equal(values.astype(np.int64), whole)
        from_whole = sf.convert_from_integer(whole, binary128)
        np.testing.assert_array_equal(np.trunc(values), to_host(from_whole))


def test_to_numpy_needs_a_host_format_with_the_values() -> None:
    """A wide format goes to the host if float64 has its values; otherwise the error says what to write."""
    np.testing.assert_array_equal(heights, BINARY64_WITH_LEADING_BIT.array(heights).to_numpy())
    assert 65 == BINARY64_WITH_LEADING_BIT.width
    with pytest.raises(sf.FormatError, match=r"^to_numpy needs a format whose values float64 has"):
        binary128.array(heights).to_numpy()


# -- moving -------------------------------------------------------------------------------------------


@of_wide_formats
@pytest.mark.parametrize("function", MOVES, ids=lambda function: function.__name__)
def test_moving_is_numpy_s(fmt: sf.Format, function: Any) -> None:
    """Functions that only move data move all words of an element together."""
    assert function in MOVING
    result, expected = moved(function, fmt.array(heights)), moved(function, heights)
    for one, host in zip(parts(result), parts(expected), strict=True):
        assert fmt == one.format
        np.testing.assert_array_equal(to_host(fmt.array(host)), to_host(one))


@pytest.mark.parametrize("index", INDICES, ids=range(len(INDICES)))
def test_indexing_is_numpy_s(index: Any) -> None:
    """What an index selects, and what assigning to it changes, is what it is in a host array."""
    array, host = binary128.array(heights), heights.copy()
    selected = array[index]
    assert isinstance(selected, sf.Number) == (np.ndim(host[index]) == 0)
    np.testing.assert_array_equal(host[index], to_host(selected))
    array[index], host[index] = 0.1, 0.1
    np.testing.assert_array_equal(host, to_host(array))


def test_assignment_takes_what_operators_take() -> None:
    """Numbers, arrays, constants, arrays of integers and lists are assigned."""
    array = binary128.array(heights)
    array[0] = [1, 0.1, binary128(2), 3]
    array[1] = array[0]
    array[2] = binary128(Fraction(1, 3))
    array[:, 0] = np.array([4, 5, 6])
    third = binary128(Fraction(1, 3)).bits
    assert [[4, 0.1, 2, 3], [5, 0.1, 2, 3]] == to_host(array)[:2].tolist()
    assert [binary128(6).bits, third, third, third] == [number.bits for number in array[2]]


def test_views_share_memory() -> None:
    """Slices, reshaped and transposed arrays see what is assigned to the array; copies do not."""
    array = binary128.array(heights)
    views = array[0], array.reshape(4, 3)[0], array.T[:, 0], array.ravel()[:3]
    apart = array.copy(), copy.copy(array), copy.deepcopy(array), pickle.loads(pickle.dumps(array))
    array[0, 0] = 9
    assert [9.0] * 4 == [float(view[0]) for view in views]
    assert [-3.0] * 4 == [float(one[0, 0]) for one in apart]
    assert all(isinstance(one, sf.FloatArray) and one.format == binary128 for one in apart)


def test_filled_arrays() -> None:
    """The like-functions fill all words."""
    array: Any = binary128.array(heights)
    third = binary128(Fraction(1, 3))
    for made, value in (
        (np.zeros_like(array), binary128(0)),
        (np.ones_like(array), binary128(1)),
        (np.full_like(array, Fraction(1, 3)), third),
        (np.full_like(array, third), third),
    ):
        assert [[value.bits] * 4] * 3 == [[number.bits for number in row] for row in made]


# -- arithmetic ---------------------------------------------------------------------------------------


@of_wide_formats
@pytest.mark.parametrize(
    "operation", [row for row in OPERATIONS.values() if row.operator], ids=lambda row: row.name
)
@pytest.mark.parametrize("size", [60, applying.FEW + 72])
def test_an_array_is_its_elements(fmt: sf.Format, operation: Any, size: int) -> None:
    """Result, flags and counts of an array are those of its elements one by one, in short and long arrays."""
    bits = [np.roll(encodings(fmt, size), shift).tolist() for shift in range(0, 7 * operation.arity, 7)]
    with sf.environment() as one_by_one, sf.counting() as parts:
        expected = [
            getattr(fmt.from_bits(x), operation.operator)(*map(fmt.from_bits, others))
            for x, *others in zip(*bits, strict=True)
        ]
    with sf.environment() as together, sf.counting() as whole:
        x, *others = map(fmt.array_from_bits, bits)
        result = getattr(x, operation.operator)(*others)
    got = [number.bits for number in result] if isinstance(result, sf.FloatArray) else result.tolist()
    assert [value.bits if isinstance(value, sf.Number) else value for value in expected] == got
    assert one_by_one.flags == together.flags
    assert (parts.calls, parts.steps, parts.features) == (whole.calls, whole.steps, whole.features)


@pytest.mark.parametrize("size", [3, 200])
def test_constants_stand_on_either_side(size: int) -> None:
    """Python numbers, Numbers and arrays of integers are operands on both sides and in place."""
    host = np.arange(1, size + 1) / 4
    array = binary128.array(host)
    ones: Any = np.ones(size, np.int64)
    for result, expected in (
        (array + 1.5, host + 1.5),
        (2 - array, 2 - host),
        (array * binary128(3), host * 3),
        (array - ones, host - 1),
        (array > 1, host > 1),
    ):
        np.testing.assert_array_equal(expected, to_host(result))
    row = array[:2]
    array += 1
    array *= array
    np.testing.assert_array_equal(((host + 1) ** 2)[:2], to_host(row))


def test_shapes_broadcast() -> None:
    """A column and a row make a table; arrays without axes a Number."""
    table = binary128.array(np.arange(20).reshape(-1, 1)) + binary128.array(np.arange(10))
    np.testing.assert_array_equal(np.add.outer(np.arange(20), np.arange(10)), to_host(table))
    empty = binary128.array([])
    assert (0,) == (empty + empty).shape
    assert isinstance(binary128.array(1.5) + binary128.array(1), sf.Number)


def test_out_and_where() -> None:
    """out= receives the result, where= leaves the other elements alone and uncounted."""
    array: Any = binary128.array(heights)
    out: Any = np.zeros_like(array)
    truths = np.zeros((3, 4), bool)
    assert np.add(array, 1, out=out) is out
    assert np.less(array, 0, out=truths) is truths
    np.testing.assert_array_equal(to_host(array + 1), to_host(out))
    np.testing.assert_array_equal(heights < 0, truths)
    with sf.counting() as tally:
        np.multiply(array, 2, out=out, where=heights > 0)
    np.testing.assert_array_equal(np.where(heights > 0, 2 * heights, to_host(array + 1)), to_host(out))
    assert {("multiplication", "binary128"): 6} == tally.calls


# -- reductions ---------------------------------------------------------------------------------------


@of_wide_formats
@pytest.mark.parametrize("axis", [None, 0, 1, (0, 1)])
@pytest.mark.parametrize("keepdims", [False, True])
def test_reductions_along_axes(fmt: sf.Format, axis: Any, keepdims: bool) -> None:
    """Sums, products, largest and smallest of small whole numbers, which are exact, are the host's."""
    values = np.random.default_rng(4).integers(-3, 4, (3, 50))
    array = fmt.array(values)
    for name in ("sum", "prod", "max", "min"):
        expected = getattr(values.astype(np.float64), name)(axis=axis, keepdims=keepdims)
        result = getattr(array, name)(axis, keepdims=keepdims)
        assert np.shape(expected) == np.shape(result)
        np.testing.assert_array_equal(expected, to_host(result))


def test_sums_are_rounded_in_index_order() -> None:
    """The sum, and the last of the running sums, is that of a loop over Numbers."""
    values: Any = [Fraction(number, 3) for number in range(1, 60)]
    thirds = binary128.array(values)
    total = reduce(add, thirds)
    running: Any = np.cumsum(thirds)
    assert total.bits == thirds.sum().bits == running[-1].bits == (thirds @ np.ones_like(thirds)).bits
    assert (0, binary128(1).bits) == (binary128.array([]).sum().bits, binary128.array([]).prod().bits)
    by_column = np.add.accumulate(thirds[:58].reshape(2, 29), axis=0)
    assert (thirds[3] + thirds[32]).bits == by_column[1, 3].bits


@of_wide_formats
def test_matrix_products(fmt: sf.Format) -> None:
    """Products of matrices and vectors of small whole numbers are the host's."""
    generator = np.random.default_rng(8)
    a, b = generator.integers(-3, 4, (2, 3, 20)), generator.integers(-3, 4, (20, 4))
    left, right = fmt.array(a), fmt.array(b)
    np.testing.assert_array_equal(a @ b, to_host(left @ right))
    np.testing.assert_array_equal(a[0] @ b, to_host(np.dot(left[0], right)))
    np.testing.assert_array_equal(a[0, 1] @ b[:, 2], to_host(left[0, 1] @ right[:, 2]))


# -- text ---------------------------------------------------------------------------------------------


def test_text_shows_numbers() -> None:
    """str has numpy's layout, and evaluating the repr of a short array gives the same bits."""
    rows: Any = [[Fraction(1, 3), 1], [2, float("nan")]]
    array = binary128.array(rows)
    assert "[[0.3333333333333333333333333333333333 1.0]\n [2.0 nan]]" == str(array)
    again = eval(repr(array[0]), {"binary128": binary128})
    assert [number.bits for number in array[0]] == [number.bits for number in again]
    assert "..." in repr(binary128.array(np.zeros(2000)))
