"""numpy in a kernel: what it makes and computes is the target's, also where ints or lists come in."""

from __future__ import annotations

import functools
import operator
import random
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from tests.kernels.counted import calls, run

b = sf.binary32
READINGS = np.array([1, 2, 3], np.int16)


def same(expected: Any, found: sf.FloatArray) -> bool:
    """Whether an emulated array has these values."""
    return found.format == b and np.array_equal(np.asarray(expected, np.float32), found.to_numpy())


def test_makers_make_arrays_of_the_format() -> None:
    """Zeros, grids, windows, identities and arrays of literals are constants, whatever dtype is asked for."""

    def kernel():  # type: ignore[no-untyped-def]
        return (
            np.zeros(2), np.ones((1, 2), dtype=np.float64), np.full(2, 0.5), np.empty(0), np.eye(2),
            np.array([0.1, 0.2]), np.asarray([[1.0, 2.0]], dtype=float), np.linspace(0.0, 1.0, 3),
            np.arange(0.0, 1.0, 0.25), np.hanning(3), np.zeros_like(np.ones(2)), np.float32(0.5) * np.ones(1),
        )  # fmt: skip

    result, counts = run(kernel)

    assert all(isinstance(array, sf.FloatArray) and array.format == b for array in result)
    assert same([0.1, 0.2], result[5])
    assert same([0, 0.5, 1], result[7])
    assert same([0, 0.25, 0.5, 0.75], result[8])
    assert {"multiplication": 1} == counts


def test_arrays_that_are_made_are_new_each_time() -> None:
    """Two calls of one maker give two arrays."""

    def kernel(x):  # type: ignore[no-untyped-def]
        first, second = [np.zeros(1) for _ in range(2)]
        first[0] = x * 2.0
        return second

    assert same([0], run(kernel, 0.5)[0])


def test_makers_of_values_known_at_run_time_are_loops() -> None:
    """A grid between measured ends is computed on the target: step, and place by place."""

    def linspace(x):  # type: ignore[no-untyped-def]
        return np.linspace(x, 1.0, 3)

    def arange(x):  # type: ignore[no-untyped-def]
        return np.arange(0.0, 1.0, x)

    result, counts = run(linspace, 0.5)
    assert same([0.5, 0.75, 1.0], result)
    assert {
        "subtraction": 1, "division": 1, "convert_from_integer": 3, "multiplication": 3, "addition": 3,
    } == counts  # fmt: skip
    assert same([0, 0.5], run(arange, 0.5)[0])


def test_ints_stay_ints_as_long_as_ints_come_out() -> None:
    """Counting, indexing and sums of ints are the program's own integer work."""

    def kernel(raw):  # type: ignore[no-untyped-def]
        bins = np.zeros(4, dtype=int)
        bins[raw] += 1
        return bins, raw.sum(), np.cumsum(raw), raw[raw > 1], np.max(raw), len(np.arange(3))

    result, counts = run(kernel, READINGS)

    assert {} == counts
    assert [0, 1, 1, 1] == result[0].tolist()
    assert (6, [1, 3, 6], [2, 3], 3, 3) == (result[1], result[2].tolist(), result[3].tolist(), *result[4:])


def test_arrays_of_ints_share_their_memory_as_numpys_do() -> None:
    """An operator in place, or a view, changes the array for all who hold it; the host has its own."""

    def kernel(raw):  # type: ignore[no-untyped-def]
        held, view = raw, np.reshape(raw, (3, 1))
        raw += 1
        view[0, 0] = 7
        return held, held is raw, raw[1:] * 2

    held, is_same, doubled = run(kernel, READINGS)[0]

    assert ([7, 3, 4], True, [6, 8]) == (held.tolist(), is_same, doubled.tolist())
    assert [1, 2, 3] == READINGS.tolist()


@pytest.mark.parametrize(
    ("kernel", "expected", "counts"),
    [
        (lambda raw: raw / 2, [0.5, 1, 1.5], {"convert_from_integer": 3, "division": 3}),
        (lambda raw: raw * 0.5, [0.5, 1, 1.5], {"convert_from_integer": 3, "multiplication": 3}),
        (lambda raw: 0.5 + raw, [1.5, 2.5, 3.5], {"convert_from_integer": 3, "addition": 3}),
        (lambda raw: np.sqrt(raw * raw), [1, 2, 3], {"convert_from_integer": 3, "square_root": 3}),
        (lambda raw: raw.astype(float), [1, 2, 3], {"convert_from_integer": 3}),
        (lambda raw: raw / len(raw), [1 / 3, 2 / 3, 1], {"convert_from_integer": 4, "division": 3}),
        (lambda raw: raw[1:] / raw[0], [2, 3], {"convert_from_integer": 3, "division": 2}),
    ],
)
def test_ints_that_become_floats_are_converted(
    kernel: Any, expected: list[float], counts: dict[str, int]
) -> None:
    """Every way from an array of ints to floats is a conversion of each element, counted."""
    result, counted = run(kernel, READINGS)

    assert same(expected, result)
    assert counts == counted


@pytest.mark.parametrize(
    "kernel", [lambda raw: raw.mean(), lambda raw: np.mean(raw), lambda raw: np.mean([1, 2, raw[2]])]
)
def test_means_of_ints_are_computed_on_the_target(kernel: Any) -> None:
    """A mean converts each reading, adds them up and divides."""
    result, counts = run(kernel, READINGS)

    assert b(2.0) == result
    assert {"convert_from_integer": 3, "addition": 2, "division": 1} == counts


@pytest.mark.parametrize(
    "kernel",
    [
        lambda x: x.astype(int) / 2,
        lambda x: x.astype("int32", copy=False) / 2,
        lambda x: np.array(x, dtype=np.int16) / 2,
        lambda x: np.asarray(list(x), int) / 2,
    ],
)
def test_ints_made_of_an_array_are_data(kernel: Any) -> None:
    """Each number is converted to an int, and each int beside a float back again."""
    result, counts = run(kernel, np.array([1.5, -2.75, 100.0]))

    assert same([0.5, -1.0, 50.0], result)
    assert {"convert_to_integer_toward_zero": 3, "convert_from_integer": 3, "division": 3} == counts


@pytest.mark.parametrize("dtype", [float, np.float32, np.float64, "float32"])
def test_floats_of_a_kernel_are_the_format_whatever_they_are_called(dtype: Any) -> None:
    """astype to a type of floats copies."""
    result, counts = run(lambda x: x.astype(dtype), np.array([1.5, -2.75]))

    assert same([1.5, -2.75], result)
    assert {} == counts


TRUTHS = {"compare_signaling_greater": 3, "convert_from_integer": 3}
PLACES = {"is_nan": 3, "compare_quiet_less": 3, "convert_from_integer": 3}
MEAN = {"addition": 2, "division": 1}


@pytest.mark.parametrize(
    ("kernel", "expected", "counts"),
    [
        (lambda x: (x > 0).mean(), 2 / 3, TRUTHS | MEAN),
        (lambda x: np.mean(x > 0), 2 / 3, TRUTHS | MEAN),
        (lambda x: np.mean([v > 0 for v in x]), 2 / 3, TRUTHS | MEAN),
        (lambda x: (x > 0).astype(float), [1, 0, 1], TRUTHS),
        (lambda x: (x > 0) / 2, [0.5, 0, 0.5], TRUTHS | {"division": 3}),
        (lambda x: [(v > 0) / 2 for v in x], [0.5, 0, 0.5], TRUTHS | {"division": 3}),
        (lambda x: np.sqrt(x > 0), [1, 0, 1], TRUTHS | {"square_root": 3}),
        (lambda x: x.argsort().mean(), 1, PLACES | MEAN),
        (lambda x: np.mean(np.argsort(x)), 1, PLACES | MEAN),
        (lambda x: np.mean(x.argsort()), 1, PLACES | MEAN),
        (lambda x: np.sqrt(x.argsort()), [1, 0, 2**0.5], PLACES | {"square_root": 3}),
        (lambda x: x.argsort() / 2, [0.5, 0, 1], PLACES | {"division": 3}),
        (lambda x: x.argsort() ** -1.0, [1, np.inf, 0.5], PLACES | {"division": 3}),
    ],
)
def test_truths_and_places_that_become_floats_are_converted(
    kernel: Any, expected: Any, counts: dict[str, int]
) -> None:
    """What numbers are compared to, and where they stand in order, is data as arrays of ints are."""
    result, counted = run(kernel, np.array([1.5, -2.75, 100.0]))

    assert same(expected, b.array(result))
    assert counts == counted


@pytest.mark.parametrize(
    ("make", "first"),
    [
        (lambda x: np.asarray(x), 7),
        (lambda x: np.array(x, copy=False), 7),
        (lambda x: np.array(x), 1),
        (lambda x: np.asarray(x, copy=True), 1),
    ],
)
@pytest.mark.parametrize("given", [np.array([1.0, 2.0]), np.array([1, 2])])
def test_an_array_is_copied_where_numpy_copies_it(make: Any, first: int, given: Any) -> None:
    """numpy.asarray of an array is that array: what is put into one is in the other."""

    def kernel(x):  # type: ignore[no-untyped-def]
        make(x)[0] = 7
        return x

    assert [first, 2] == run(kernel, given)[0].tolist()


def _added(a: Any, n: int) -> Any:
    a += n
    return a


def _rest(a: Any, n: int) -> Any:
    a %= n
    return a


def _filled(a: Any, n: int) -> Any:
    a.fill(n)
    return a


def _diagonal(a: Any, n: int) -> Any:
    square = np.outer(a, a)
    np.fill_diagonal(square, n)
    return square


def _complex_element(a: Any, n: int) -> Any:
    z = a + 1j
    z[0] = n
    return z


@pytest.mark.parametrize(
    "kernel",
    [
        _added,
        _rest,
        _filled,
        _diagonal,
        _complex_element,
        lambda a, n: a // n,
        lambda a, n: n // a,
        lambda a, n: n % a[0],
        lambda a, n: divmod(a[0], n),
        lambda a, n: (a + 1j) * n,
        lambda a, n: n / (a + 1j),
        lambda a, n: np.clip(a, n, 100),
        lambda a, n: np.clip(a, a_min=n, a_max=None),
        lambda a, n: a.clip(n, 100),
        lambda a, n: np.where(a > 6, a, n),
        lambda a, n: np.append(a, n),
        lambda a, n: np.full_like(a, n),
        lambda a, n: np.searchsorted(a, n),
        lambda a, n: np.interp(n, a, a),
    ],
)
def test_an_int_beside_an_array_is_converted_once(kernel: Any) -> None:
    """Whatever an int that is data comes to: operators in place, whole quotients, functions with values."""
    assert 1 == run(kernel, np.array([5.0, 7.0]), 3)[1]["convert_from_integer"]


@pytest.mark.parametrize(
    "kernel",
    [
        lambda a: a // 2,
        lambda a: (a + 1j) * 2,
        lambda a: np.clip(a, 0, 100),
        lambda a: np.where(a > 6, a, 0),
        lambda a: np.roll(a, len(a)),
        lambda a: a ** len(a),
    ],
)
def test_literals_shifts_and_exponents_are_not_converted(kernel: Any) -> None:
    """A literal is a constant; a number of places or of products is no float."""
    assert "convert_from_integer" not in run(kernel, np.array([5.0, 7.0]))[1]


def _halved_in_place(x: Any) -> Any:
    held: list[Any] = [1, 2, 3, 4]
    for i in range(len(x)):
        held[i + 1] /= 2
    return held[1:]


THREE = {"convert_from_integer": 3}


@pytest.mark.parametrize(
    ("kernel", "expected", "counts"),
    [
        (_halved_in_place, [1, 1.5, 2], THREE | {"division": 3}),
        (lambda x: np.mean((2, 4, 9)), 5, THREE | MEAN),
        (lambda x: np.mean(range(3)), 1, THREE | MEAN),
        (lambda x: np.mean([[1, 2, 3]]), 2, THREE | MEAN),
        (lambda x: [operator.truediv(n, 2.0) for n in (1, 2, 3)], [0.5, 1, 1.5], THREE | {"division": 3}),
        (lambda x: functools.reduce(operator.truediv, [12, 3, 2]), 2, THREE | {"division": 2}),
        (lambda x: np.array([1, 2, 3]).dot(x), 296, THREE | {"multiplication": 3, "addition": 2}),
        (lambda x: np.array(["1.5", "0.25"], dtype=float), [1.5, 0.25], {}),
        (lambda x: np.asarray(["1.5"], np.float64), [1.5], {}),
    ],
)
def test_floats_made_in_passing_are_the_targets(kernel: Any, expected: Any, counts: dict[str, int]) -> None:
    """Division in place, sequences of ints, the module operator, texts: no host float comes out."""
    result, counted = run(kernel, np.array([1.5, -2.75, 100.0]))

    assert same(expected, b.array(result))
    assert counts == counted


def test_width_of_a_conversion_is_that_of_the_array() -> None:
    """Readings of 16 bits are converted from 16 bits, a Python int from 32."""

    def kernel(raw, n):  # type: ignore[no-untyped-def]
        return raw[0] * 0.5, n * 0.5, raw * 0.5

    with sf.counting() as tally:
        run(kernel, READINGS, 7)
    widths = sorted(
        use.integer.width
        for (use, _), usage in tally.usages().items()
        if use.operation.name == "convert_from_integer"
        for _ in range(usage.calls)
    )

    assert [16, 16, 16, 16, 32] == widths


def test_lists_of_numbers_are_arrays_to_numpy() -> None:
    """numpy's functions take lists and tuples of emulated numbers as they take lists of floats."""

    def kernel(values):  # type: ignore[no-untyped-def]
        squares = [v * v for v in values]
        return np.mean(values), np.sqrt(squares), np.max(values), np.dot(values, [0.5, 0.5])

    result, _ = run(kernel, [1.0, 2.0])

    assert (b(1.5), b(2.0), b(1.5)) == (result[0], result[2], result[3])
    assert same([1, 2], result[1])


def test_random_draws_are_constants_of_the_program() -> None:
    """Numbers from numpy's generators, old and new, and from Python's, are of the format."""

    def kernel(generator, dice):  # type: ignore[no-untyped-def]
        own = np.random.default_rng(7)
        drawn = [
            generator.normal(0.0, 1.0),
            own.uniform(size=2)[0],
            np.random.rand(),
            dice.random(),
            random.random(),
        ]
        return drawn, [x + 0.5 for x in drawn], own.integers(5)

    drawn, _, whole = run(kernel, np.random.default_rng(1), random.Random(1))[0]

    assert all(isinstance(x, sf.Number) for x in drawn)
    assert sf.binary32(np.random.default_rng(1).normal()) == drawn[0]
    assert int(whole) in range(5)
    assert {"addition": 5} == calls(kernel, np.random.default_rng(1), random.Random(1))


def test_structured_arrays_have_emulated_columns() -> None:
    """Columns by name, rows by place, fields of rows, slices and masks."""
    log = np.array([(1, 0.5), (2, 0.25)], [("n", "i4"), ("heave", "f8")])

    def kernel(log):  # type: ignore[no-untyped-def]
        row = log[1]
        high = log[log["heave"] > 0.3]
        total = sum(each["heave"] for each in log)
        return log["heave"], row["heave"] * row["n"], len(high), total, log[["heave"]]["heave"][0], log.size

    result, counts = run(kernel, log)

    assert same([0.5, 0.25], result[0])
    assert (b(0.5), 1, b(0.75), b(0.5), 2) == result[1:]
    assert 1 == counts["convert_from_integer"]


def test_types_of_numpy_know_the_numbers_of_a_kernel() -> None:
    """isinstance and casts to numpy's types of floats and arrays work as on the host."""

    def kernel(x, values):  # type: ignore[no-untyped-def]
        cast = np.float32(x), np.float64(values[0])
        return isinstance(x, float), isinstance(x, np.floating | float), isinstance(values, np.ndarray), cast

    assert (True, True, True, (b(0.5), b(1.0))) == run(kernel, 0.5, np.array([1.0]))[0]


def test_functions_that_are_not_emulated_are_refused() -> None:
    """A Bessel function is refused by its name; a sine of constants is one."""

    def refused(values):  # type: ignore[no-untyped-def]
        return np.i0(values)

    def constant(x):  # type: ignore[no-untyped-def]
        return x * np.sin(0.5)

    with pytest.raises(sf.NotEmulatedError, match=r"numpy\.i0"):
        run(refused, np.array([0.5]))
    assert {"multiplication": 1} == calls(constant, 0.5)


def test_ints_put_into_an_array_of_floats_are_converted() -> None:
    """`y[i] = i` stores a converted int, `y[i] = 0` a constant."""

    def kernel():  # type: ignore[no-untyped-def]
        y = np.zeros(3)
        for i in range(3):
            y[i] = i
        y[0] = 7
        return y

    result, counts = run(kernel)

    assert same([7, 1, 2], result)
    assert {"convert_from_integer": 3} == counts
