"""numpy's functions on emulated values: each row does what its name says, all else is refused."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.dispatching import (
    ELEMENTWISE,
    FUNCTIONS,
    UFUNCS,
    UNCOUNTED,
    call_function,
)
from softfloat_py.numbers.numpy_calls.moving import MOVING
from tests.references import rational

heights = np.linspace(-3, 3, 12, dtype=np.float32).reshape(3, 4)
array: Any = sf.binary32.array(heights)
x: Any = sf.binary32(2.25)


def to_host(value: Any) -> Any:
    """An emulated value as the host has it, anything else as it is."""
    if isinstance(value, sf.FloatArray):
        return value.to_numpy()
    return np.float32(float(value)) if isinstance(value, sf.Number) else value


# -- element-wise -----------------------------------------------------------------------------------

# numpy's elementary functions are not correctly rounded: those rows are held against MPFR.
ELEMENTARY = [name for name, operation in ELEMENTWISE.items() if "9.2" == operation.clause]
SINGLE = [
    *(getattr(np, name) for name in ELEMENTWISE if name not in ELEMENTARY),
    np.positive,
    np.square,
    np.reciprocal,
]


@pytest.mark.filterwarnings("ignore:invalid value:RuntimeWarning")
@pytest.mark.parametrize("ufunc", SINGLE, ids=lambda ufunc: ufunc.__name__)
def test_elementwise_functions_are_numpy_s(ufunc: np.ufunc) -> None:
    """A row of one operation gives, on arrays and Numbers, what numpy gives on the host's binary32."""
    for value in (array, x):
        operands = (value, array[1])[: ufunc.nin]
        result = ufunc(*operands)
        np.testing.assert_array_equal(ufunc(*map(to_host, operands)), to_host(result))


@pytest.mark.filterwarnings("ignore::RuntimeWarning")
@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary64, sf.bfloat16], ids=repr)
@pytest.mark.parametrize("name", ELEMENTARY)
def test_elementary_functions_are_those_of_their_name(name: str, fmt: sf.Format) -> None:
    """A row of an elementary function gives what MPFR gives, correctly rounded, and comes near numpy's own:
    on arrays, on Numbers, and with numpy's order of two operands.
    """
    ufunc = getattr(np, name)
    first: Any = fmt.array([*heights.ravel(), 0.0, -0.0, 1.0, -1.0, np.inf, np.nan, 40.0, 1e-3])
    operands = (first, np.roll(first, 12))[: ufunc.nin]
    expected = [
        rational.expected(ELEMENTWISE[name].name, fmt, sf.Rounding.TIES_TO_EVEN, *bits)[0]
        for bits in zip(*(values.bits.tolist() for values in operands), strict=True)
    ]
    result = ufunc(*operands)
    singly = [ufunc(*numbers).bits for numbers in zip(*operands, strict=True)]
    assert expected == result.bits.tolist() == singly
    on_host = fmt.array(ufunc(*(values.to_numpy(np.float64) for values in operands)))
    unit = 2.0 ** (1 - fmt.precision)
    np.testing.assert_allclose(result.to_numpy(np.float64), on_host.to_numpy(np.float64), rtol=2 * unit)


@pytest.mark.parametrize("name", ELEMENTWISE)
def test_elementwise_functions_count_their_operation(name: str) -> None:
    """A function of the table counts one call of its operation an element."""
    ufunc = getattr(np, name)
    with sf.counting() as tally:
        ufunc(*(array,) * ufunc.nin)
        ufunc(*(x,) * ufunc.nin)
    assert {(ELEMENTWISE[name].name, "binary32"): 13} == tally.calls


def test_host_scalars_on_the_left_are_constants() -> None:
    """numpy's scalars leave the operation to the emulated side."""
    lefts: list[Any] = [np.float64(2), np.float32(2), np.int64(2), 2, 2.0]
    for left in lefts:
        assert isinstance(left * x, sf.Number)
        assert isinstance(left * array, sf.FloatArray)
        assert "binary32(4.5)" == repr(left * x) == repr(np.multiply(left, x))


def test_out_receives_the_result() -> None:
    """out= takes an array of the format, or of bools for a comparison; another format or a host array not."""
    out: Any = sf.binary32.array(np.zeros((3, 4)))
    truths = np.zeros((3, 4), bool)
    assert np.add(array, 1, out=out) is out
    np.testing.assert_array_equal(heights + 1, out.to_numpy())
    assert np.less(array, 0, out=truths) is truths
    assert (heights < 0).tolist() == truths.tolist()
    with pytest.raises(sf.MixedFormatsError, match=r"^assignment needs operands of one format"):
        np.add(array, 1, out=out.astype(sf.binary16))
    with pytest.raises(sf.OperandError, match=r"^out= needs an array of binary32, not ndarray"):
        np.add(array, 1, out=np.zeros((3, 4)))


def test_where_computes_only_what_it_names() -> None:
    """where= leaves the other elements of out= alone and does not count them."""
    out = array.copy()
    with sf.counting() as tally:
        np.multiply(array, 2, out=out, where=heights > 0)
    np.testing.assert_array_equal(np.where(heights > 0, 2 * heights, heights), out.to_numpy())
    assert {("multiplication", "binary32"): 6} == tally.calls
    with pytest.raises(sf.OperandError, match=r"^where= of numpy\.add needs out="):
        np.add(array, 1, where=heights > 0)


# -- reductions -------------------------------------------------------------------------------------


def in_order(function: Callable[[Any, Any], Any], values: Any) -> Any:
    """The host's reduction in index order along the first axis, rounding each step to binary32."""
    total = values[0]
    for value in values[1:]:
        total = function(total, value)
    return total


@pytest.mark.parametrize("size", [1, 2, 1000])
@pytest.mark.parametrize(
    ("name", "ufunc"), [("sum", np.add), ("prod", np.multiply), ("max", np.maximum), ("min", np.minimum)]
)
def test_reductions_go_in_index_order(name: str, ufunc: np.ufunc, size: int) -> None:
    """A reduction starts with the first element and takes n - 1 steps, as the C loop does."""
    values = np.random.default_rng(3).normal(1, 0.3, size).astype(np.float32)
    with sf.counting() as tally:
        results = [
            getattr(np, name)(sf.binary32.array(values)),
            getattr(sf.binary32.array(values), name)(),
            ufunc.reduce(sf.binary32.array(values)),
        ]
    assert [in_order(ufunc, values)] * 3 == [float(result) for result in results]
    assert 3 * (size - 1) == tally.total_calls


@pytest.mark.parametrize("axis", [None, 0, 1, -1, (0, 1), (1,)])
@pytest.mark.parametrize("keepdims", [False, True])
def test_reductions_along_axes(axis: Any, keepdims: bool) -> None:
    """Any axes are reduced, in the order of their indices, and may be kept with length one."""
    values = np.random.default_rng(4).normal(size=(5, 6)).astype(np.float32)
    result = sf.binary32.array(values).sum(axis, keepdims=keepdims)
    axes = range(2) if axis is None else axis if isinstance(axis, tuple) else (axis,)
    order = [number % 2 for number in axes] + [
        number for number in range(2) if number not in {n % 2 for n in axes}
    ]
    flat = values.transpose(order).reshape(-1, *(values.shape[n] for n in order[len(list(axes)) :]))
    expected = in_order(np.add, flat)
    assert np.sum(values, axis, keepdims=keepdims).shape == np.shape(result)
    np.testing.assert_array_equal(np.ravel(expected), np.ravel(to_host(result)))


def test_running_sums() -> None:
    """cumsum and accumulate deliver every sum on the way."""
    values = np.random.default_rng(6).normal(size=(4, 30)).astype(np.float32)
    emulated: Any = sf.binary32.array(values)
    along = np.stack([in_order(np.add, values.T[: n + 1]) for n in range(30)], axis=1)
    flat = [in_order(np.add, values.ravel()[: n + 1]) for n in range(120)]
    np.testing.assert_array_equal(along, emulated.cumsum(axis=1).to_numpy())
    accumulated: Any = np.add.accumulate(emulated, axis=1)
    running: Any = np.cumsum(emulated)
    np.testing.assert_array_equal(along, accumulated.to_numpy())
    np.testing.assert_array_equal(flat, running.to_numpy())


@pytest.mark.skipif(not hasattr(np, "cumulative_sum"), reason="numpy has it from 2.1 on")
@pytest.mark.parametrize("include_initial", [False, True])
def test_cumulative_results_may_begin_with_nothing(include_initial: bool) -> None:
    """cumulative_sum and cumulative_prod go on as numpy has them, n - 1 operations a line."""
    values = np.random.default_rng(6).integers(-4, 5, (3, 4)).astype(np.float32)
    emulated: Any = sf.binary32.array(values)
    for function, operation in ((np.cumulative_sum, "addition"), (np.cumulative_prod, "multiplication")):
        with sf.counting() as tally:
            result: Any = function(emulated, axis=1, include_initial=include_initial)
        expected = function(values, axis=1, include_initial=include_initial)
        np.testing.assert_array_equal(expected, result.to_numpy())
        assert {(operation, "binary32"): 3 * 3} == tally.calls
    alone: Any = np.cumulative_sum(emulated[0], include_initial=include_initial)
    np.testing.assert_array_equal(
        np.cumulative_sum(values[0], include_initial=include_initial), alone.to_numpy()
    )
    with pytest.raises(sf.OperandError, match=r"^a running result of 2 axes needs one of them"):
        np.cumulative_sum(emulated)


def test_reducing_nothing() -> None:
    """No elements have the sum +0 and the product 1, and no largest element."""
    nothing = sf.binary32.array([])
    assert (0, sf.binary32(1).bits) == (nothing.sum().bits, nothing.prod().bits)
    with pytest.raises(sf.OperandError, match=r"^numpy\.maximum\.reduce needs at least one element"):
        nothing.max()


@pytest.mark.parametrize("shape", [(0, 3), (2, 0, 3), (3, 0)])
@pytest.mark.parametrize("axis", [0, 1, -1, (0, 1)])
def test_results_without_elements_have_numpy_s_shape(shape: tuple[int, ...], axis: Any) -> None:
    """Where no element is left of the other axes, nothing is computed and the shape is numpy's."""
    host, values = np.zeros(shape, np.float32), sf.binary32.array(np.zeros(shape))
    for function in (np.sum, np.add.reduce, np.mean, np.linalg.norm, np.max):
        if np.sum(host, axis).size:
            continue
        with sf.counting() as tally:
            assert np.sum(host, axis).shape == function(values, axis=axis).shape
        assert 0 == tally.total_calls
    assert np.sum(host, axis).tolist() == to_host(np.sum(values, axis)).tolist()


def test_reductions_that_leave_out_nans() -> None:
    """fmax and fmin reduce and accumulate by maximum_number and minimum_number, which prefer a number."""
    values: Any = sf.binary32.array([np.nan, 1.5, -2.0, np.nan, 4.0])
    assert ["4.0", "-2.0"] == [str(np.fmax.reduce(values)), str(np.fmin.reduce(values))]
    running: Any = np.fmin.accumulate(values)
    np.testing.assert_array_equal(np.fmin.accumulate(values.to_numpy()), running.to_numpy())


def product_in_order(a: Any, b: Any) -> Any:
    """The host's matrix product with products and sums in index order, each rounded to binary32."""
    return in_order(np.add, np.stack([a[..., :, k, None] * b[..., None, k, :] for k in range(a.shape[-1])]))


def test_matrix_products_go_in_index_order() -> None:
    """matmul adds the products of each element in the order of the index they share."""
    generator = np.random.default_rng(8)
    a, b = (generator.normal(size=shape).astype(np.float32) for shape in ((2, 3, 20), (20, 4)))
    left, right = sf.binary32.array(a), sf.binary32.array(b)
    expected = product_in_order(a, b)
    with sf.counting() as tally:
        result = left @ right
    np.testing.assert_array_equal(expected, result.to_numpy())
    assert {("multiplication", "binary32"): 480, ("addition", "binary32"): 456} == tally.calls
    np.testing.assert_array_equal(expected[0], np.dot(left[0], right).to_numpy())
    np.testing.assert_array_equal(expected[0], np.inner(left[0], right.T).to_numpy())
    np.testing.assert_array_equal(expected[0, :, 1], (left[0] @ right[:, 1]).to_numpy())
    np.testing.assert_array_equal(expected[0, 1], (left[0, 1] @ right).to_numpy())


def test_inner_products_of_vectors() -> None:
    """dot, vdot, inner and @ of two vectors are one Number: n products, n - 1 sums."""
    values = np.random.default_rng(9).normal(size=50).astype(np.float32)
    vector = sf.binary32.array(values)
    expected = float(in_order(np.add, values * values))
    with sf.counting() as tally:
        results = [vector.dot(vector), vector @ vector, np.vdot(vector, vector), np.inner(vector, vector)]
    assert [expected] * 4 == [float(result) for result in results]
    assert {("multiplication", "binary32"): 200, ("addition", "binary32"): 196} == tally.calls


def test_products_take_constants_and_refuse_wrong_shapes() -> None:
    """Arrays of integers and lists stand beside an array in a product; lengths must agree."""
    assert "binary32(-2.0)" == repr(np.dot(array[0, :2] * 0 + 1, np.array([-3, 1])))
    assert "binary32(3.0)" == repr(np.matmul([1, 2], sf.binary32.array([1.0, 1.0])))
    np.testing.assert_array_equal(2 * heights, np.dot(2, array).to_numpy())
    with pytest.raises(
        sf.OperandError, match=r"^matmul needs as many columns on the left as rows on the right, not 4 and 3"
    ):
        array @ array
    with pytest.raises(sf.OperandError, match=r"^matmul needs arrays with at least one axis"):
        array @ x


# -- moving -----------------------------------------------------------------------------------------

MOVES: dict[Callable[..., Any], tuple[Any, ...]] = {
    np.concatenate: (["array", "array"], 1),
    np.stack: (["array", "array"],),
    np.vstack: (["array", "array"],),
    np.hstack: (["array", "array"],),
    np.reshape: ("array", (2, 6)),
    np.ravel: ("array",),
    np.transpose: ("array",),
    np.copy: ("array",),
    np.broadcast_to: ("array", (2, 3, 4)),
    np.squeeze: ("array",),
    np.expand_dims: ("array", 1),
    np.flip: ("array", 0),
    np.roll: ("array", 3),
    np.moveaxis: ("array", 0, 1),
    np.swapaxes: ("array", 0, 1),
    np.take: ("array", [0, 5]),
    np.repeat: ("array", 2),
    np.tile: ("array", 2),
    np.split: ("array", 3),
    np.diagonal: ("array",),
    np.lib.stride_tricks.sliding_window_view: ("array", (2, 3)),
    np.linalg.diagonal: ("array",),
    np.dstack: (["array", "array"],),
    np.column_stack: (["array", "array"],),
    np.block: ([["array", "array"], ["array", "array"]],),
    np.resize: ("array", (5, 4)),
    np.matrix_transpose: ("array",),
    np.linalg.matrix_transpose: ("array",),
    np.fliplr: ("array",),
    np.flipud: ("array",),
    np.rot90: ("array",),
    np.rollaxis: ("array", 1),
    np.take_along_axis: ("array", np.array([[0, 3], [1, 1], [2, 0]]), 1),
    np.delete: ("array", 1, 0),
    np.array_split: ("array", 2),
    np.hsplit: ("array", 2),
    np.vsplit: ("array", 3),
    np.dsplit: ("array", 2),
    np.diag: ("array",),
    np.diagflat: ("array",),
    np.tril: ("array",),
    np.triu: ("array", 1),
    np.unstack: ("array",),
}


def replaced(argument: Any, value: Any) -> Any:
    """An argument with the word 'array' replaced by a value."""
    if isinstance(argument, list):
        return [replaced(element, value) for element in argument]
    return value if isinstance(argument, str) else argument


def moved(function: Callable[..., Any], value: Any) -> Any:
    """What a function makes of an array of three rows of four, or of two times two."""
    value = value.reshape(3, 2, 2) if function is np.dsplit else value
    return function(*replaced(list(MOVES[function]), value))


def parts(result: Any) -> list[Any]:
    """The arrays of a result, one or several."""
    return list(result) if isinstance(result, list | tuple) else [result]


def test_every_function_that_moves_is_tried() -> None:
    """The cases below cover the rows."""
    assert set(MOVING) == set(MOVES)


@pytest.mark.parametrize("function", MOVES, ids=lambda function: function.__name__)
def test_moving_is_numpy_s_and_not_counted(function: Callable[..., Any]) -> None:
    """Functions that only move data give what numpy gives, in the format, at no cost."""
    with sf.counting() as tally:
        result = moved(function, array)
    expected = moved(function, heights)
    assert type(result) is (sf.FloatArray if isinstance(expected, np.ndarray) else type(expected))
    for one, host in zip(parts(result), parts(expected), strict=True):
        assert isinstance(one, sf.FloatArray)
        assert sf.binary32 == one.format
        np.testing.assert_array_equal(host, one.to_numpy())
    assert {} == tally.calls


@pytest.mark.parametrize("keyword", ["dtype", "casting", "subok", "copy", "like", "anything"])
@pytest.mark.parametrize("function", MOVES, ids=lambda function: function.__name__)
def test_moving_takes_no_keyword_that_is_not_known_to_move(
    function: Callable[..., Any], keyword: str
) -> None:
    """A dtype, a rule of casting and whatever numpy may think of next are refused, and nothing is moved."""
    arguments = replaced(list(MOVES[function]), array)
    values = {"dtype": np.uint8, "casting": "unsafe"}
    with pytest.raises(sf.NotEmulatedError, match=rf"^{keyword}= of numpy\.\w+ is not emulated"):
        call_function(function, tuple(arguments), {keyword: values.get(keyword)})


@pytest.mark.parametrize("function", [np.concatenate, np.stack, np.take], ids=lambda f: f.__name__)
def test_moving_into_an_array_of_the_format(function: Callable[..., Any]) -> None:
    """out= receives the elements if it is of the format; a host array and another format are refused."""
    arguments: list[Any] = [array, [0, 5]] if function is np.take else [[array, array]]
    made = function(*arguments)
    out = np.zeros_like(made)
    assert out is function(*arguments, out=out)
    assert made.bits.tolist() == out.bits.tolist()
    host = np.zeros(made.shape, np.float32)
    with pytest.raises(sf.OperandError, match=r"^out= needs an array of binary32, not ndarray"):
        function(*arguments, out=host)
    assert not host.any()
    with pytest.raises(sf.MixedFormatsError):
        function(*arguments, out=sf.binary64.array(host))


def test_arrays_to_take_from_keep_their_format_by_position_too() -> None:
    """An array given for the results by position is the one that numpy has there."""
    out = sf.binary32.array([0, 0])
    assert out is np.take(array, [0, 50], None, out, "clip")  # type: ignore[call-overload]
    assert [array[0, 0].bits, array[2, 3].bits] == out.bits.tolist()


def test_values_to_move_may_be_named() -> None:
    """What is moved is found by its name as well."""
    assert array.bits[None].tolist() == np.stack(arrays=[array]).bits.tolist()  # type: ignore[attr-defined]


def test_choosing_between_numbers_gives_a_number() -> None:
    """numpy.where on two Numbers is one of them."""
    assert "binary32(2.25)" == repr(np.where(True, x, 0))


@pytest.mark.parametrize(
    ("expected", "made"),
    [
        (0.0, np.zeros_like(array)),
        (1.0, np.ones_like(array)),
        (0.0, np.empty_like(array)),
        (0.5, np.full_like(array, 0.5)),
        (2.25, np.full_like(array, x)),
    ],
)
def test_filled_arrays(expected: float, made: sf.FloatArray) -> None:
    """The like-functions make arrays of the same shape and format."""
    np.testing.assert_array_equal(np.full((3, 4), expected), made.to_numpy())
    assert (2,) == np.zeros_like(array, shape=2).shape


def test_a_number_is_an_array_without_axes() -> None:
    """The like-functions make a Number of a Number, running sums an array of one element, as numpy has it."""
    assert ["0.0", "1.0", "0.5"] == [str(np.zeros_like(x)), str(np.ones_like(x)), str(np.full_like(x, 0.5))]
    assert "[0.0 0.0]" == str(np.zeros_like(x, shape=2))
    assert (1,) == np.cumsum(x).shape == np.cumprod(x).shape == np.cumsum(np.float32(2.25)).shape


def test_places_from_a_shape() -> None:
    """Indices of diagonals and triangles are numpy's."""
    square, host = array[:, :3], heights[:, :3]
    for function in (np.diag_indices_from, np.tril_indices_from, np.triu_indices_from):
        np.testing.assert_array_equal(function(host), function(square))
    np.testing.assert_array_equal(np.tril_indices_from(host, k=1), np.tril_indices_from(square, k=1))


def test_asking_for_shapes() -> None:
    """shape, ndim and size work on arrays and Numbers."""
    assert ((3, 4), 2, 12, 4) == (np.shape(array), np.ndim(array), np.size(array), np.size(array, 1))
    assert ((), 0, 1) == (np.shape(x), np.ndim(x), np.size(x))


def test_array_equal() -> None:
    """Arrays are equal if shapes and elements are; nothing is compared if the shapes differ."""
    with sf.counting() as tally:
        answers = (
            np.array_equal(array, array.copy()),
            np.array_equal(array, array + 0.5),
            np.array_equal(array, array.T),
        )
    assert (True, False, False) == answers
    assert 24 == tally.calls["compare_quiet_equal", "binary32"]


# -- refusals ---------------------------------------------------------------------------------------

REFUSED: dict[Any, tuple[str, str]] = {
    np.i0: ("numpy.i0", "a polynomial or a table of your own"),
    np.gcd: ("numpy.gcd", "numpy's own on integers, which convert_to_integer makes of numbers"),
    np.bitwise_and: (
        "numpy.bitwise_and",
        "integers: x.bits are the encodings, which from_bits and array_from_bits make numbers of",
    ),
    np.conjugate: (
        "numpy.conjugate",
        "x itself, as emulated values are real; a complex number is two arrays, real and imaginary part",
    ),
    np.linalg.eig: (
        "numpy.linalg.eig",
        "matrix products and elimination of your own, with matmul, division and square_root",
    ),
    np.lib.scimath.sqrt: (
        "numpy.lib.scimath.sqrt",
        "the function of numpy's main module, which gives a NaN where the result is complex",
    ),
    np.add.outer: ("numpy.add.outer", "numpy.add on arrays that broadcast"),
    np.add.reduceat: ("numpy.add.reduceat", "numpy.add.reduce of each slice"),
    np.add.at: (
        "numpy.add.at",
        "numpy.add on the elements that the indices name, one by one where an index comes twice",
    ),
    np.subtract.reduce: ("numpy.subtract.reduce", "add.reduce, multiply.reduce, maximum.reduce"),
}


@pytest.mark.parametrize("function", REFUSED)
def test_functions_without_a_row_are_refused(function: Callable[..., Any]) -> None:
    """Any other function says what to write instead, and computes nothing."""
    counts = {np.gcd: 2, np.bitwise_and: 2, np.add.outer: 2, np.add.reduceat: 2, np.add.at: 3}
    operands = (array, [0], array)[: counts.get(function, 1)]
    with pytest.raises(sf.NotEmulatedError) as caught:
        function(*operands)
    name, nearest = REFUSED[function]
    assert (
        f"{name} is not emulated, and nothing here falls back to the host's floating point; "
        f"the nearest that is emulated: {nearest}"
    ) == str(caught.value)


def test_no_numpy_function_falls_back() -> None:
    """Every element-wise function of numpy either has a row or is refused, on Numbers as on arrays."""
    rows = set(UFUNCS) | set(FUNCTIONS)
    ufuncs = {value for value in vars(np).values() if isinstance(value, np.ufunc)} - rows
    assert {np.gcd, np.conjugate, np.bitwise_and, np.left_shift} <= ufuncs
    for ufunc in ufuncs:
        for value in (array, x):
            with pytest.raises(sf.NotEmulatedError):
                ufunc(*(value,) * ufunc.nin)


@pytest.mark.parametrize(
    "call",
    [
        lambda: np.sum(array, dtype=float),
        lambda: np.add(array, 1, dtype=float),
        lambda: np.add.reduce(array, initial=1),
    ],
)
def test_options_that_would_change_the_arithmetic_are_refused(call: Callable[[], Any]) -> None:
    """A dtype or a starting value is not silently left out."""
    with pytest.raises(
        sf.NotEmulatedError, match=r"^(dtype|initial)= of numpy\.\w+(\.reduce)? is not emulated"
    ):
        call()


def test_values_stand_where_values_are_expected() -> None:
    """A dtype by position is refused."""
    for positional in (lambda: np.sum(array, 0, float), lambda: np.zeros_like(array, float)):
        with pytest.raises(TypeError, match="positional argument"):
            positional()


def test_rows_take_the_names_numpy_has() -> None:
    """The parameters of a row are called as numpy calls them, so keywords work unchanged."""
    assert set(UNCOUNTED) < set(FUNCTIONS)
    for function, row in FUNCTIONS.items():
        if function in MOVING or function is np.where or isinstance(function, np.ufunc):
            continue
        ours, theirs = inspect.signature(row).parameters, inspect.signature(function).parameters
        assert set(ours) <= set(theirs), function
