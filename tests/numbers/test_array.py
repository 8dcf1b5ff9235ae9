"""Arrays of emulated numbers have numpy's shapes and indexing, and the arithmetic of Numbers."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

import softfloat_py as sf
from softfloat_py.numbers import applying
from softfloat_py.operations import OPERATIONS
from tests import strategies

OURS = sf.Format("ours", exponent_bits=6, precision=9)
heights = np.linspace(-3, 3, 12).reshape(3, 4)


def buoy() -> sf.FloatArray:
    """Three rows of four heights."""
    return sf.binary32.array(heights)


def random_bits(fmt: sf.Format, size: int) -> NDArray[Any]:
    """Encodings of a format, corners first."""
    corners = strategies.corner_encodings(fmt)
    drawn = np.random.default_rng(7).integers(0, 1 << fmt.width, size, dtype=np.uint64)
    drawn[: len(corners)] = corners
    return drawn


# -- making -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "dtype", [np.float16, np.float32, np.float64, ">f4", np.int8, np.uint16, np.int64, np.uint64]
)
@pytest.mark.parametrize("size", [3, 1000])
def test_host_arrays_are_converted_as_scalars_are(dtype: Any, size: int) -> None:
    """A host array, short or long, becomes the encodings that its elements become one by one."""
    values = np.random.default_rng(5).normal(0, 100, size).astype(dtype)
    expected = [sf.binary16(value).bits for value in values]
    assert expected == sf.binary16.array(values).bits.tolist()


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary64], ids=repr)
def test_host_formats_go_there_and_back(fmt: sf.Format) -> None:
    """Every value of a host format survives to_numpy and array, a NaN as the canonical one."""
    bits = random_bits(fmt, 500)
    array = sf.FloatArray.from_bits(fmt, bits)
    again = fmt.array(array.to_numpy())
    expected = [fmt.quiet_nan if fmt.is_nan(value) else value for value in bits.tolist()]
    assert expected == again.bits.tolist()


@pytest.mark.parametrize(
    ("fmt", "dtype"), [(sf.bfloat16, np.float32), (OURS, np.float64)], ids=["bfloat16", "ours"]
)
def test_other_formats_are_held_by_a_wider_host_format(fmt: sf.Format, dtype: type) -> None:
    """to_numpy delivers the exact values in float32 for bfloat16, otherwise in float64."""
    bits = random_bits(fmt, 500)
    host = sf.FloatArray.from_bits(fmt, bits).to_numpy()
    assert np.dtype(dtype) == host.dtype
    np.testing.assert_array_equal([float(fmt.from_bits(value)) for value in bits.tolist()], host)


@pytest.mark.parametrize("values", [[1.5, 2], [[0.1, -2.5], [3, 10**30]], (), [sf.binary32(0.1), 0.1], 2.5])
def test_sequences_are_converted_element_by_element(values: Any) -> None:
    """Nested sequences of Python numbers and Numbers keep their shape and values."""
    array, objects = sf.binary32.array(values), np.array(values, dtype=object)
    assert objects.shape == array.shape
    assert [sf.binary32(value).bits for value in objects.flat] == array.bits.ravel().tolist()


def test_rows_may_be_arrays() -> None:
    """A list of emulated or host arrays is an array with one more axis."""
    array = buoy()
    assert array.bits.tolist() == sf.binary32.array([array[0], heights[1], array[2]]).bits.tolist()


def test_long_integers_in_a_list_are_rounded_once() -> None:
    """An int just above half way, which a double would take for half way, is rounded up."""
    assert float(2**60 + 2**37) == float(sf.binary32.array([0.5, 2**60 + 2**36 + 1])[1])


def test_an_array_of_the_format_is_copied() -> None:
    """An emulated array is a new array with the same bits; of another format it is an error."""
    array = buoy()
    again = sf.binary32.array(array)
    again[0] = 0
    assert buoy().bits.tolist() == array.bits.tolist()
    with pytest.raises(sf.MixedFormatsError, match=r"^binary16\.array needs operands of one format"):
        sf.binary16.array(array)


def test_arrays_follow_the_direction() -> None:
    """Values are rounded in the direction in force, in short and in long arrays."""
    for size in (2, 1000):
        with sf.environment(rounding=sf.Rounding.TOWARD_POSITIVE):
            above = sf.binary16.array(np.full(size, 0.1))
        assert {sf.binary16(0.1).bits + 1} == set(above.bits.tolist())


@pytest.mark.parametrize(
    ("values", "error", "message"),
    [
        (
            ["1"],
            sf.OperandError,
            "an element of an array of binary32 needs an int, a float or a Fraction, not '1'",
        ),
        (
            [True],
            sf.OperandError,
            "an element of an array of binary32 needs an int, a float or a Fraction, not True",
        ),
        (
            [[1, 2], [1, 2], [1, 2, 3], [1]],
            sf.OperandError,
            "an array needs rows of equal lengths, not a row of 2 beside a row of 3",
        ),
        (
            [1, [2, 3]],
            sf.OperandError,
            "an array needs rows of equal lengths, not a single value beside a row of 2",
        ),
        (np.array([True]), sf.OperandError, "binary32.array needs an array of numbers, not of bool"),
        (np.array([1j]), sf.OperandError, "binary32.array needs an array of numbers, not of complex128"),
        (
            [sf.binary16(1)],
            sf.MixedFormatsError,
            "binary32.array needs operands of one format, not binary32 and",
        ),
    ],
)
def test_what_is_no_number_is_refused(values: Any, error: type[Exception], message: str) -> None:
    """An array is made of numbers only."""
    with pytest.raises(error) as caught:
        sf.binary32.array(values)
    assert str(caught.value).startswith(message)


@pytest.mark.parametrize("bits", [[-1], [1 << 32], [0.5], np.array([1 << 33])])
def test_encodings_must_fit(bits: Any) -> None:
    """from_bits takes integers of the format's width only."""
    with pytest.raises(sf.FormatError, match=r"^(an encoding|encodings) of binary32 must "):
        sf.binary32.array_from_bits(bits)


def test_formats_beyond_the_host_cannot_go_there() -> None:
    """to_numpy refuses a format with a longer exponent than float64 has."""
    array = sf.Format("far", exponent_bits=12, precision=4).array([1])
    with pytest.raises(
        sf.FormatError, match=r"^to_numpy needs a format whose values float64 has, and far has more"
    ):
        array.to_numpy()


# -- looking ----------------------------------------------------------------------------------------


def test_bits_cannot_be_written() -> None:
    """The encodings are a view, read-only and in the smallest dtype."""
    array = buoy()
    assert np.dtype(np.uint32) == array.bits.dtype
    with pytest.raises(ValueError, match="read-only"):
        array.bits[0, 0] = 1


INDICES: list[Any] = [
    1, -1, (1, 2), slice(1, None), (slice(None), 2), (..., 0), (slice(None), None), [0, 2], ([0, 1], [1, 2]),
    heights > 0, heights[:, 0] < 0,
]  # fmt: skip


@pytest.mark.parametrize("index", INDICES, ids=range(len(INDICES)))
def test_indexing_is_numpy_s(index: Any) -> None:
    """What an index selects, and what assigning to it changes, is what it is in a host array."""
    array, host = buoy(), heights.astype(np.float32)
    selected = array[index]
    assert isinstance(selected, sf.Number) == (np.ndim(host[index]) == 0)
    np.testing.assert_array_equal(
        host[index], float(selected) if isinstance(selected, sf.Number) else selected.to_numpy()
    )
    array[index], host[index] = 0.1, 0.1
    np.testing.assert_array_equal(host, array.to_numpy())


def test_assignment_takes_what_operators_take() -> None:
    """Numbers and arrays of the format, constants and lists of them are assigned; others are refused."""
    array = buoy()
    array[0] = [1, 0.1, sf.binary32(2), 3]
    array[1] = array[0]
    array[2] = sf.binary32(7)
    array[:, 0] = np.array([4, 5, 6])
    assert [[4.0, 5.0, 6.0], [7.0] * 3] == [array[:, 0].to_numpy().tolist(), array[2, 1:].to_numpy().tolist()]
    with pytest.raises(
        sf.HostFloatError, match=r"^assignment needs emulated operands, not a host array of float64"
    ):
        array[0] = np.ones(4)
    with pytest.raises(sf.MixedFormatsError, match=r"^assignment needs operands of one format"):
        array[0, 0] = sf.binary16(1)
    with pytest.raises(sf.OperandError, match=r"^assignment to an array of binary32 needs numbers, not None"):
        array[0] = None


def test_views_share_memory() -> None:
    """Slices, reshaped and transposed arrays see what is assigned to the array; copies do not."""
    array = buoy()
    views = array[0], array.reshape(4, 3)[0], array.T[:, 0], array.ravel()[:3]
    apart = array.copy(), copy.copy(array), copy.deepcopy(array), pickle.loads(pickle.dumps(array))
    array[0, 0] = 9
    assert [9.0] * 4 == [float(view[0]) for view in views]
    assert [-3.0] * 4 == [float(one[0, 0]) for one in apart]
    assert all(isinstance(one, sf.FloatArray) and one.format == sf.binary32 for one in apart)


def test_shapes_and_elements() -> None:
    """Length, shape, iteration, item and tolist agree with each other."""
    array = buoy()
    assert (3, 2, 12, (3, 4)) == (len(array), array.ndim, array.size, array.shape)
    assert array.bits.tolist() == [[number.bits for number in row] for row in array]
    assert array.bits.tolist() == [[number.bits for number in row] for row in array.tolist()]
    assert array[1, 2].bits == array.item(1, 2).bits == array.item(6).bits


def test_reading_and_moving_count_nothing() -> None:
    """Data movement is no operation of the standard."""
    with sf.counting() as tally:
        array = buoy()
        array[1] = array[0, ::-1].copy()
        array.T.reshape(-1).tolist()
        str(array)
    assert {} == tally.calls


# -- arithmetic -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "operation", [row for row in OPERATIONS.values() if row.operator], ids=lambda row: row.name
)
@pytest.mark.parametrize("size", [60, applying.FEW + 72])
def test_an_array_is_its_elements(operation: Any, size: int) -> None:
    """Result, flags and counts of an array are those of its elements one by one, in short and long arrays."""
    bits = [np.roll(random_bits(sf.binary16, size), shift) for shift in range(0, 7 * operation.arity, 7)]
    with sf.environment() as one_by_one, sf.counting() as parts:
        expected = [
            getattr(sf.binary16.from_bits(x), operation.operator)(*map(sf.binary16.from_bits, others))
            for x, *others in zip(*(operand.tolist() for operand in bits), strict=True)
        ]
    with sf.environment() as together, sf.counting() as whole:
        x, *others = (sf.binary16.array_from_bits(operand) for operand in bits)
        result = getattr(x, operation.operator)(*others)
    got = result.bits.tolist() if isinstance(result, sf.FloatArray) else result.tolist()
    assert [value.bits if isinstance(value, sf.Number) else value for value in expected] == got
    assert one_by_one.flags == together.flags
    assert (parts.calls, parts.steps, parts.features) == (whole.calls, whole.steps, whole.features)


@given(st.integers(0, 3), st.integers(0, 3))
def test_shapes_broadcast(rows: int, columns: int) -> None:
    """A column and a row make a table, empty ones an empty table."""
    column = sf.binary16.array(np.arange(rows).reshape(-1, 1))
    table = column + sf.binary16.array(np.arange(columns))
    np.testing.assert_array_equal(np.add.outer(np.arange(rows), np.arange(columns)), table.to_numpy())


def test_in_place_operators_keep_the_memory() -> None:
    """+= changes the array itself and everything that shares its memory, for constants and arrays."""
    array = buoy()
    row = array[0]
    array += 1
    array *= array
    array[1:] -= sf.binary32(1)
    assert [4.0, float(np.float32(np.float32(heights[0, 1]) + 1) ** 2)] == [float(row[0]), float(row[1])]
    with pytest.raises(ValueError, match=r"could not be broadcast|broadcastable|broadcast"):
        row += array


def test_arrays_without_axes_give_numbers() -> None:
    """The sum of two arrays without axes is a Number, as it is a scalar in numpy."""
    zero_dimensional = sf.binary32.array(1.5)
    assert () == zero_dimensional.shape
    assert "binary32(3.0)" == repr(zero_dimensional + zero_dimensional)


def test_astype_is_the_counted_conversion() -> None:
    """astype converts each element by convert_format; to the same format it copies."""
    with sf.counting() as tally:
        short = buoy().astype(sf.binary16)
        same = buoy().astype(sf.binary32)
    assert {("convert_format", "binary32"): 12} == tally.calls
    np.testing.assert_array_equal(heights.astype(np.float32).astype(np.float16), short.to_numpy())
    assert buoy().bits.tolist() == same.bits.tolist()
    with pytest.raises(
        sf.OperandError,
        match=r"^astype needs a Format or a dtype of ints, not <class 'float'>; for host floats use to_numpy",
    ):
        buoy().astype(float)


@pytest.mark.parametrize("dtype", [int, np.int8, "int16", np.dtype(np.uint8), np.uint32, np.int64])
def test_astype_of_ints_is_the_conversion_of_c(dtype: Any) -> None:
    """astype to ints cuts the fraction off as numpy's does, counted in the width of the dtype."""
    values = np.array([0.0, 0.75, 2.5, 99.99, 127.0], np.float32)
    made = sf.binary32.array(values)
    with sf.counting() as tally:
        ints = made.astype(dtype)
    with sf.counting() as expected:
        sf.convert_to_integer_toward_zero(
            made, 8 * np.dtype(dtype).itemsize, signed=np.dtype(dtype).kind == "i"
        )

    assert np.dtype(dtype) == ints.dtype
    np.testing.assert_array_equal(values.astype(dtype), ints)
    assert expected.calls == tally.calls
    assert expected.total_steps == tally.total_steps


def test_astype_of_truths_compares_with_zero() -> None:
    """astype(bool) is numpy's: a NaN is true, both zeros are false."""
    values = np.array([0.0, -0.0, 0.25, np.nan, -np.inf], np.float32)
    with sf.counting() as tally:
        truths = sf.binary32.array(values).astype(bool)

    np.testing.assert_array_equal(values.astype(bool), truths)
    assert {("compare_quiet_not_equal", "binary32"): 5} == tally.calls


# -- refusals and text ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (
            np.asarray,
            "a host array is not made of emulated numbers silently; write to_numpy() for host floats, and "
            "numpy.stack(rows) or binary32.array(rows) for an emulated array of several",
        ),
        (float, "float() needs an array of one element, not of 12"),
        (int, "int() needs an array of one element, not of 12"),
        (bool, "bool() needs an array of one element, not of 12"),
    ],
)
def test_no_host_value_is_made_silently(function: Callable[[Any], Any], message: str) -> None:
    """An array turns into host values only where that is written."""
    with pytest.raises(sf.OperandError) as caught:
        function(buoy())
    assert message == str(caught.value)


def test_an_array_of_one_element_converts_as_its_element() -> None:
    """float, int and bool of a single element are the Number's."""
    single = sf.binary32.array([[2.75]])
    assert (2.75, 2, True) == (float(single), int(single), bool(single))
    with pytest.raises(TypeError, match="unhashable"):
        hash(single)


@pytest.mark.parametrize("values", [[0.1, -2.5], [[1.0, 2.0], [3.0, 1e30]], []])
def test_repr_of_arrays_reads_back(values: list[Any]) -> None:
    """Evaluating the repr of a short array gives the same bits."""
    array = sf.binary32.array(values)
    assert array.bits.tolist() == eval(repr(array), {**vars(sf), "np": np}).bits.tolist()


def test_text_is_laid_out_as_numpy_does() -> None:
    """str shows the shortest decimals in numpy's brackets; the notebook view adds format and shape."""
    array = sf.binary16.array([[0.1, 1], [2, float("nan")]])
    assert "[[0.1 1.0]\n [2.0 nan]]" == str(array)
    assert "<p>binary16, shape (2, 2)</p><pre>[[0.1 1.0]\n [2.0 nan]]</pre>" == array._repr_html_()
    assert "..." in repr(sf.binary16.array(np.zeros(2000)))
