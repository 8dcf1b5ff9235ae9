"""Functions that put values elsewhere: numpy's results, constants rounded on the way, nothing counted."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls import placing
from tests.numbers.loops import bits_of, random_values

np: Any = numpy  # whose types know nothing of emulated values

values = random_values(sf.binary32, 3, 4)
host = values.to_numpy()
mask = host > 0
indices = np.array([[0, 3], [1, 1], [2, 0]])

CASES: dict[str, Callable[[Any], Any]] = {
    "where": lambda a: np.where(mask, a, 0.5),
    "where, constants first": lambda a: np.where(mask, 0.1, a),
    "where, lists": lambda a: np.where(mask, [1, 2, 3, 4], a),
    "select": lambda a: np.select([mask, host < -1], [a, a[::-1]], default=0.1),
    "select, constants": lambda a: np.select([mask, host < -1], [a, 0.25]),
    "choose": lambda a: np.choose([0, 1, 1, 0], [a, 0.5]),
    "choose, wrapped": lambda a: np.choose([0, 3, 5, 2], [a, a[:, ::-1]], mode="wrap"),
    "compress": lambda a: np.compress([True, False, True], a, axis=0),
    "extract": lambda a: np.extract(mask, a),
    "append": lambda a: np.append(a, [0.1, 2]),
    "append by keyword": lambda a: np.append(a, values=a[:1], axis=0),
    "insert": lambda a: np.insert(a, 1, 0.1, axis=1),
    "insert by keyword": lambda a: np.insert(a, [0, 2], values=[0.1, 0.2]),
    "broadcast_arrays": lambda a: np.broadcast_arrays(a, a[0], np.arange(4)),
    "meshgrid": lambda a: np.meshgrid(a[0], a[:, 0]),
    "meshgrid, sparse": lambda a: np.meshgrid(a[0], np.arange(3), a[1], sparse=True, indexing="ij"),
    "atleast_1d": lambda a: np.atleast_1d(a[0, 0]),
    "atleast_2d": lambda a: np.atleast_2d(a[0], a, np.arange(3)),
    "atleast_3d": lambda a: np.atleast_3d(a),
}


def written(write: Callable[[Any], None]) -> Callable[[Any], Any]:
    """The array after a function has written into a copy of it."""

    def result(a: Any) -> Any:
        array = a.copy()
        write(array)
        return array

    return result


CASES |= {
    "put": written(lambda a: np.put(a, [0, 5, 13], [0.1, 2], mode="clip")),
    "place": written(lambda a: np.place(a, mask, [0.1, 2])),
    "place, one": written(lambda a: np.place(a, mask, 0.1)),
    "putmask": written(lambda a: np.putmask(a, mask, values=[0.1, 2, 3])),
    "copyto": written(lambda a: np.copyto(a, a[0].copy(), where=mask)),
    "copyto, constant": written(lambda a: np.copyto(a, 0.1)),
    "fill_diagonal": written(lambda a: np.fill_diagonal(a, 0.1)),
    "put_along_axis": written(lambda a: np.put_along_axis(a, indices, 0.1, axis=1)),
}


def parts(result: Any) -> list[Any]:
    """The arrays of a result, one or several."""
    return list(result) if isinstance(result, tuple) else [result]


def test_every_row_is_tried() -> None:
    """The cases cover the rows."""
    assert {function.__name__ for function in placing.ROWS} == {
        name.partition(",")[0].split()[0] for name in CASES
    }


@pytest.mark.parametrize("name", CASES)
def test_moving_is_numpy_s_and_not_counted(name: str) -> None:
    """Results are those of numpy's function on the host, host arrays stay such, and nothing is counted."""
    with sf.counting() as tally:
        result = CASES[name](values)
    expected = CASES[name](host)
    assert {} == tally.calls
    for one, on_host in zip(parts(result), parts(expected), strict=True):
        emulated = on_host.dtype.kind == "f"
        assert isinstance(one, sf.FloatArray) == emulated
        np.testing.assert_array_equal(
            np.float32(on_host) if emulated else on_host, one.to_numpy() if emulated else one
        )


@pytest.mark.parametrize("name", CASES)
def test_encodings_of_several_words_move_whole(name: str) -> None:
    """A format of several words gets the same values in the same places."""
    wide = values.astype(sf.binary128)
    for one, narrow in zip(parts(CASES[name](wide)), parts(CASES[name](values)), strict=True):
        assert bits_of(narrow) == bits_of(
            np.copy(one).astype(sf.binary32 if isinstance(one, sf.FloatArray) else int)
        )


def test_choosing_between_numbers_gives_a_number() -> None:
    """numpy.where on two Numbers is one of them."""
    x = sf.binary32(2.25)
    assert "binary32(2.25)" == repr(np.where(True, x, 0))
    assert "binary32(0.0)" == repr(np.where(False, x, 0))


def test_emulated_conditions_are_asked() -> None:
    """A condition that is emulated holds where it differs from zero, and each of its elements is compared."""
    specials: Any = sf.binary32.array([1.5, 0.0, -0.0, math.nan])
    truths = [True, False, False, True]
    asked: list[tuple[Any, Callable[[], Any]]] = [
        (np.where(truths), lambda: np.where(specials)),
        (np.where(truths, 1, 2), lambda: np.where(specials, 1, 2)),
        (np.where(truths, 0.5, 2), lambda: np.where(specials, 0.5, 2).to_numpy()),
        (np.where(truths, host[0], 2), lambda: np.where(specials, values[0], 2).to_numpy()),
        (np.compress(truths, host[0]), lambda: np.compress(specials, values[0]).to_numpy()),
        (np.extract(truths, host[0]), lambda: np.extract(specials, values[0]).to_numpy()),
        (np.select([truths], [host[0]]), lambda: np.select([specials], [values[0]]).to_numpy()),
        (np.flatnonzero(truths), lambda: np.flatnonzero(specials)),
        (np.argwhere(truths), lambda: np.argwhere(specials)),
    ]
    for expected, function in asked:
        with sf.counting() as tally:
            result = function()
        np.testing.assert_array_equal(expected, result)
        assert {("compare_quiet_not_equal", "binary32"): 4} == tally.calls


@pytest.mark.parametrize(
    "write",
    [
        lambda array: np.put(array, [0], values[0, :1]),
        lambda array: np.place(array, mask, values[0]),
        lambda array: np.putmask(array, mask, values),
        lambda array: np.copyto(array, values),
        lambda array: np.put_along_axis(array, indices, values[:, :2], 1),
    ],
)
def test_emulated_values_do_not_enter_host_arrays(write: Callable[[Any], None]) -> None:
    """A host array to write into is refused, which says how to make one of the format."""
    with pytest.raises(
        sf.OperandError,
        match=r"^numpy\.\w+ needs an array of binary32 .*, not ndarray; .* binary32\.array\(values\)$",
    ):
        write(host.copy())


@pytest.mark.parametrize(
    "call",
    [
        lambda: np.append(values, host),
        lambda: np.where(mask, host, values),
        lambda: np.select([mask], [values], default=host),
        lambda: np.insert(values, 0, host[0], axis=0),
        lambda: np.copyto(values.copy(), host),
    ],
)
def test_host_arrays_of_floats_are_refused(call: Callable[[], Any]) -> None:
    """A host array among values is converted first, wherever it stands."""
    with pytest.raises(sf.HostFloatError):
        call()


def test_formats_do_not_mix() -> None:
    """Values of another format are refused, not put in as encodings."""
    with pytest.raises(sf.MixedFormatsError):
        np.append(values, values.astype(sf.binary16))
    with pytest.raises(sf.MixedFormatsError):
        np.copyto(values.copy(), values.astype(sf.binary16))


@pytest.mark.parametrize("trim", ["fb", "f", "b", "B"])
def test_zeros_are_trimmed(trim: str) -> None:
    """trim_zeros compares each element with zero and gives what numpy gives."""
    for sequence in ([0, -0.0, 1.5, 0, math.nan, 0, 0], [2.5], [0, 0], []):
        emulated: Any = sf.binary32.array(sequence)
        with sf.counting() as tally:
            result = np.trim_zeros(emulated, trim)
        np.testing.assert_array_equal(np.trim_zeros(np.array(sequence), trim), result.to_numpy())
        assert len(sequence) == tally.total_calls
