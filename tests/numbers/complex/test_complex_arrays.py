"""Complex arrays: pairs of FloatArrays, with numpy's functions as far as a Fourier transform needs them."""

from __future__ import annotations

import copy
import inspect
import pickle
from collections.abc import Callable
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from softfloat_py.numbers.complex.complex_functions import FUNCTIONS, UFUNCS
from softfloat_py.numbers.numpy_calls.moving import MOVING
from tests.numbers.loops import check_against_loop
from tests.numbers.numpy_calls.test_dispatching import MOVES, replaced

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary128, sf.ofp8_e4m3]
generator = np.random.default_rng(7)
host = np.round(generator.normal(size=(3, 4)) + 1j * generator.normal(size=(3, 4)), 2).astype(np.complex64)
array: Any = sf.binary32.complex_array(host)
real: Any = array.real


def parts_of(value: Any) -> list[Any]:
    """Real and imaginary parts, at no cost."""
    return [value.real, value.imag]


def bits_of(value: Any) -> Any:
    """The encodings of both parts."""
    return [value.real.bits.tolist(), value.imag.bits.tolist()]


def elements(fmt: sf.Format, seed: int, n: int = 5) -> tuple[Any, list[Any]]:
    """A complex array, and its elements as ComplexNumbers."""
    values = np.random.default_rng(seed).normal(size=(2, n))
    made = fmt.complex_array(values[0], values[1])
    return made, list(made)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_arithmetic_is_that_of_the_elements(fmt: sf.Format) -> None:
    """Operators on arrays deliver and count what they do on ComplexNumbers, with reals and constants."""
    (x, xs), (y, ys) = elements(fmt, 1), elements(fmt, 2)
    u, c = y.real, fmt.complex_number(0.5 - 1j)
    us = list(u)

    def check(loop: Callable[[], list[Any]], whole: Callable[[], Any]) -> None:
        check_against_loop(
            lambda: [[value.real, value.imag] for value in loop()],
            lambda: [[value.real, value.imag] for value in whole()],
        )

    for combine in (lambda a, b: a + b, lambda a, b: a - b, lambda a, b: a * b, lambda a, b: a / b):
        check(lambda f=combine: list(map(f, xs, ys)), lambda f=combine: f(x, y))  # type: ignore[misc]
        check(lambda f=combine: list(map(f, xs, us)), lambda f=combine: f(x, u))  # type: ignore[misc]
        check(lambda f=combine: list(map(f, us, xs)), lambda f=combine: f(u, x))  # type: ignore[misc]
        for one in (c, fmt(0.5), 2, 1j, np.float32(0.5), np.complex64(1 + 1j)):
            check(lambda f=combine, o=one: [f(a, o) for a in xs], lambda f=combine, o=one: f(x, o))  # type: ignore[misc]
            check(lambda f=combine, o=one: [f(o, a) for a in xs], lambda f=combine, o=one: f(o, x))  # type: ignore[misc]
        check(lambda f=combine: [f(a, c) for a in us], lambda f=combine: f(u, c))  # type: ignore[misc]
        check(lambda f=combine: [f(c, a) for a in us], lambda f=combine: f(c, u))  # type: ignore[misc]
    check(lambda: [-a for a in xs], lambda: -x)
    check(lambda: [a.conjugate() for a in xs], lambda: x.conj())
    check_against_loop(lambda: [abs(a) for a in xs], lambda: abs(x))
    check_against_loop(lambda: [a == b for a, b in zip(xs, ys, strict=True)], lambda: x == y)
    check_against_loop(lambda: [a != 1 for a in xs], lambda: x != 1)


def test_results_share_no_memory() -> None:
    """The part that an operation leaves alone is copied: writing to a result does not change an operand."""
    before = bits_of(array)
    for result in (array + 1, 1 + array, array - real, +array, array.conj(), array.copy(), array * 1):
        result[...] = 9 + 9j
    broadcast = sf.binary32.complex_number(1j) + real
    broadcast.imag[0] = 5
    assert before == bits_of(array)
    assert 1.0 == float(broadcast.imag[1, 0])


def test_arrays_without_axes_become_numbers() -> None:
    """An operation on an array of shape () gives a ComplexNumber, as on a FloatArray it gives a Number."""
    one = array[0, 0, ...]
    assert ((), 0) == (one.shape, one.ndim)
    number = array[0, 0]
    for expected, result in (
        (number.conj(), one.conj()),
        (number + 1, one + 1),
        (number * number, one * array[0, 0]),
        (number - real[0, 0], one - real[0, 0, ...]),
    ):
        assert isinstance(result, sf.ComplexNumber)
        assert repr(expected) == repr(result)
    assert isinstance(array[0, 0] * array[0], sf.ComplexArray)


def test_in_place_operators_write_to_the_array() -> None:
    """+=, -=, *= and /= change the elements that a view has in common with its array."""
    values = array.copy()
    row = values[1]
    with sf.counting() as tally:
        row += 1
        row -= array[0]
        row *= 2j
        row /= real[2]
    expected = (((array[1] + 1) - array[0]) * 2j) / real[2]
    assert bits_of(expected) == bits_of(values[1])
    assert {"addition": 8, "subtraction": 12, "multiplication": 16, "division": 8} == {
        operation: calls for (operation, _), calls in tally.calls.items()
    }
    assert bits_of(array[0]) == bits_of(values[0])


def test_making_arrays() -> None:
    """Of host arrays, nested sequences of constants and emulated values, or two arrays of parts."""
    x, c = sf.binary32(0.5), sf.binary32.complex_number(1j)
    for made, expected in (
        (sf.binary32.complex_array([[1, 2j], [x, c]]), [[1, 2j], [0.5, 1j]]),
        (sf.binary32.complex_array([real[0], array[0]]), np.stack([host[0].real, host[0]])),
        (sf.binary32.complex_array(real), host.real),
        (sf.binary32.complex_array(array), host),
        (sf.binary32.complex_array(np.arange(3)), np.arange(3)),
        (sf.binary32.complex_array([1, 2, 3], 4), [1 + 4j, 2 + 4j, 3 + 4j]),
        (sf.binary32.complex_array(real, array.imag), host),
        (sf.binary32.complex_array([]), []),
        (sf.binary32.complex_array(1j), 1j),
    ):
        np.testing.assert_array_equal(expected, made.to_numpy())
    assert (np.complex64, np.complex128) == (
        array.to_numpy().dtype,
        array.astype(sf.binary64).to_numpy().dtype,
    )
    with pytest.raises(sf.MixedFormatsError):
        sf.binary16.complex_array(array)
    with pytest.raises(sf.OperandError, match=r"^an element of an array of binary32 needs an int"):
        sf.binary32.complex_array(["1"])


def test_elements_views_and_assignment() -> None:
    """Indexing gives ComplexNumbers and views; assignment takes complex and real values and constants."""
    values = array.copy()
    assert isinstance(values[0, 1], sf.ComplexNumber)
    assert host[0, 1] == complex(values[0, 1]) == complex(values.item(1))
    expected = host.copy()
    values[0, 1], expected[0, 1] = 2, 2
    values[:, 2], expected[:, 2] = [1j, 2, 3 - 1j], [1j, 2, 3 - 1j]
    values[1], expected[1] = array[2], host[2]
    values[2, ::2], expected[2, ::2] = real[0, :2], host.real[0, :2]
    values[2, 1], expected[2, 1] = sf.binary32(0.5), 0.5
    np.testing.assert_array_equal(expected, values.to_numpy())
    values.real, values.imag = 0, real
    np.testing.assert_array_equal(1j * host.real, values.to_numpy())
    with pytest.raises(sf.OperandError, match=r"^assignment to a complex array of binary32 needs numbers"):
        values[0] = None


def test_looking_at_arrays() -> None:
    """Shapes, lengths, iteration and lists are those of numpy's arrays."""
    assert ((3, 4), 2, 12, 3) == (array.shape, array.ndim, array.size, len(array))
    assert ((3, 4), 2, 4) == (np.shape(array), np.ndim(array), np.size(array, 1))
    assert host.tolist() == [[complex(value) for value in row] for row in array]
    assert host.tolist() == [list(map(complex, row)) for row in array.tolist()]
    for copied in (copy.copy(array), copy.deepcopy(array), pickle.loads(pickle.dumps(array))):
        assert bits_of(array) == bits_of(copied)
    np.testing.assert_array_equal(host.T, array.T.to_numpy())
    np.testing.assert_array_equal(host.reshape(2, 6), array.reshape(2, 6).to_numpy())
    np.testing.assert_array_equal(host.ravel(), array.ravel().to_numpy())
    assert bool(array[0, :1])
    with pytest.raises(sf.OperandError, match=r"^bool\(\) needs an array of one element, not of 12$"):
        bool(array)


def test_arrays_as_text() -> None:
    """repr makes the array again; str is laid out as numpy does it."""
    values = sf.binary32.complex_array([[1.5, -2j], [0.1 + 1j, 3]])
    assert "[[1.5+0.0j -0.0-2.0j]\n [0.1+1.0j 3.0+0.0j]]" == str(values)
    assert bits_of(array) == bits_of(eval(repr(array), {**vars(sf), "np": np}))
    assert "binary32.complex_array(np.zeros((0,)))" == repr(sf.binary32.complex_array([]))
    assert "<p>binary32, complex, shape (1,)</p><pre>[1.5+0.0j]</pre>" == values[0, :1]._repr_html_()


# -- numpy's functions ------------------------------------------------------------------------------


@pytest.mark.parametrize("ufunc", UFUNCS, ids=lambda ufunc: ufunc.__name__)
def test_elementwise_functions_are_numpy_s(ufunc: Any) -> None:
    """On arrays and numbers they are near what numpy gives, which may scale or fuse."""
    for value in (array, array[0, 1]):
        operands = (value, array[1, 2], real[1, 2])[: ufunc.nin]
        expected = ufunc(*(complex(x) if isinstance(x, sf.ComplexNumber) else x.to_numpy() for x in operands))
        result = ufunc(*operands)
        if isinstance(result, sf.ComplexArray | sf.FloatArray):
            result = result.to_numpy()
        elif isinstance(result, sf.ComplexNumber | sf.Number):
            result = (
                complex(result.real, result.imag) if isinstance(result, sf.ComplexNumber) else float(result)
            )
        np.testing.assert_allclose(result, expected, rtol=1e-6)


@pytest.mark.parametrize(
    "function", sorted(set(MOVING) - {np.dsplit}, key=repr), ids=lambda function: function.__name__
)
def test_moving_is_numpy_s_and_not_counted(function: Any) -> None:
    """Functions that only move data give what numpy gives, at no cost."""
    with sf.counting() as tally:
        result = function(*replaced(list(MOVES[function]), array))
    expected = function(*replaced(list(MOVES[function]), host))
    for one, other in (
        zip(result, expected, strict=True) if isinstance(result, list | tuple) else [(result, expected)]
    ):
        assert isinstance(one, sf.ComplexArray)
        np.testing.assert_array_equal(other, one.to_numpy())
    assert {} == tally.calls


def test_moving_real_and_complex_values_together() -> None:
    """Real values and constants beside complex ones get the imaginary part zero, in either order."""
    for together in ([array, real], [real, array], [array, [[1] * 4]], [real, array, [[1j] * 4]]):
        values = [x.to_numpy() if not isinstance(x, list) else np.array(x) for x in together]
        np.testing.assert_array_equal(np.concatenate(values), np.concatenate(together).to_numpy())
    for condition in (host.real > 0, True):
        for one, other in ((array, real), (real, array), (array, 0), (1j, array), (real, array[0, 0])):
            hosts = [x.to_numpy() if hasattr(x, "to_numpy") else complex(x) for x in (one, other)]
            result = np.where(condition, one, other).to_numpy()
            np.testing.assert_array_equal(np.where(condition, *hosts), result)
    assert "1.5+0.0j" == str(np.where(True, sf.binary32(1.5), array[0, 0]))


def test_sums() -> None:
    """sum adds real and imaginary parts in index order: n - 1 additions each."""
    values, numbers = elements(sf.binary16, 3, 6)

    def loop() -> Any:
        total = numbers[0]
        for number in numbers[1:]:
            total = total + number
        return [total.real, total.imag]

    for whole in (lambda: np.sum(values), lambda: values.sum(), lambda: np.add.reduce(values)):
        check_against_loop(loop, lambda whole=whole: parts_of(whole()))  # type: ignore[misc]
    assert (3,) == np.sum(array, 1).shape
    assert (3, 1) == array.sum(axis=1, keepdims=True).shape
    assert bits_of(np.add.reduce(array)) == bits_of(array.sum(0))


def test_filled_arrays_and_parts() -> None:
    """The like-functions make complex arrays; real and imag give the parts, which are views."""
    for expected, made in (
        (0, np.zeros_like(array)),
        (0, np.empty_like(array)),
        (1, np.ones_like(array)),
        (2 - 1j, np.full_like(array, 2 - 1j)),
    ):
        np.testing.assert_array_equal(np.full((3, 4), expected), made.to_numpy())
    assert (2,) == np.zeros_like(array, shape=2).shape
    assert np.real(array) is array.real
    assert np.imag(array) is array.imag
    made = np.zeros_like(array)
    made.imag[0] = 1
    assert [0, 0] == [made.real[0, 0].bits, made.imag[1, 0].bits]


def test_out_receives_the_result() -> None:
    """out= takes a complex array of the format, or a real one for a magnitude."""
    out, magnitudes = np.zeros_like(array), np.zeros_like(real)
    assert np.multiply(array, 1j, out=out) is out
    assert bits_of(array * 1j) == bits_of(out)
    assert np.abs(array, out=magnitudes) is magnitudes
    assert abs(array).bits.tolist() == magnitudes.bits.tolist()
    with pytest.raises(sf.OperandError, match=r"^out= needs a complex array of binary32, not FloatArray$"):
        np.multiply(array, 1j, out=magnitudes)


@pytest.mark.parametrize(
    ("message", "call"),
    [
        (r"^numpy\.exp of complex values is not emulated", lambda: np.exp(array)),
        (r"^numpy\.dot of complex values is not emulated", lambda: np.dot(array, real)),
        (r"^numpy\.matmul of complex values is not emulated", lambda: np.matmul(array, array)),
        (r"^numpy\.multiply\.reduce of complex values is not", lambda: np.multiply.reduce(array)),
        (r"^where= of numpy\.add of complex values is not", lambda: np.add(array, 1, where=host.real > 0)),
        (r"^initial= of numpy\.add of complex values is not", lambda: np.add.reduce(array, initial=1)),
        (r"^dtype= of numpy\.sum of complex values is not", lambda: np.sum(array, dtype=complex)),
        (r"^@ of complex values is not emulated", lambda: array @ array),
        (r"^< is not emulated", lambda: array < 1),
        (r"^numpy\.linalg\.solve of complex values is not", lambda: np.linalg.solve(array, array)),
    ],
)
def test_other_functions_are_refused(message: str, call: Callable[[], Any]) -> None:
    """What has no row says what there is instead."""
    with pytest.raises(sf.NotEmulatedError, match=message):
        call()


def test_host_arrays_are_refused() -> None:
    """A host array of complex or real floats is converted where it enters; none is made silently."""
    beside: list[Any] = [
        lambda: array * host,
        lambda: host * array,
        lambda: real + host,
        lambda: array + host.real,
    ]
    for combine in beside:
        with pytest.raises(sf.HostFloatError):
            combine()
    with pytest.raises(sf.OperandError, match=r"write to_numpy\(\)$"):
        np.array(array)


def test_rows_take_the_names_numpy_has() -> None:
    """The parameters of a row are called as numpy calls them, so keywords work unchanged."""
    for function, row in FUNCTIONS.items():
        ours, theirs = inspect.signature(row).parameters, inspect.signature(function).parameters
        assert set(ours) <= set(theirs), function


def test_a_condition_is_asked_once_for_both_parts() -> None:
    """numpy.where of complex values counts a comparison with zero for each element, as of real ones."""
    with sf.counting() as tally:
        chosen = np.where(sf.binary32.array([1, 0]), sf.binary32.complex_array([1j, 2j]), 0)
    assert [1j, 0] == chosen.to_numpy().tolist()
    assert {("compare_quiet_not_equal", "binary32"): 2} == tally.calls
