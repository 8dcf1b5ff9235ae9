"""What a program consists of, on its emulated side: functions, classes, closures, generators, containers."""

from __future__ import annotations

import cmath
import functools
import math
import statistics
from collections import defaultdict, deque, namedtuple
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from enum import Enum
from types import SimpleNamespace
from typing import Any, NamedTuple

import numpy as np
import pytest

import softfloat_py as sf
from tests.kernels.counted import calls, run

b = sf.binary32


class Fix(NamedTuple):
    """A position, with a default."""

    north: float
    east: float = 0.25


Bearing = namedtuple("Bearing", "degrees")


class Mode(Enum):
    """Ways to sail."""

    DRIFT = 0.5


@dataclass(frozen=True, slots=True)
class Settings:
    """A filter's settings."""

    share: float = 0.125
    taps: list[float] = field(default_factory=lambda: [0.5, 0.25])


class Filter:
    """A filter with state, a constant of its class and all kinds of methods."""

    limit = 2.0
    made = 0

    def __init__(self, share: float) -> None:
        self.share, self.last = share, 0.0

    def step(self, x: Any) -> Any:
        """Smooth a value."""
        self.last = self.last + self.share * (x - self.last)
        return self.last

    @property
    def half(self) -> Any:
        """Half the share."""
        return self.share * 0.5

    @staticmethod
    def double(x: Any) -> Any:
        """Twice a value."""
        return x + x

    @classmethod
    def quick(cls) -> Filter:
        """A filter with a literal of its own."""
        cls.made += 1
        return cls(0.5)

    @functools.cached_property
    def gain(self) -> Any:
        """Computed once."""
        return self.share * self.limit


class Steep(Filter):
    """A filter that calls its base."""

    def step(self, x: Any) -> Any:
        """Smooth twice."""
        return super().step(super().step(x))


def make_scaler(factor: float) -> Callable[[Any], Any]:
    """A closure."""

    def scale(x: Any) -> Any:
        return x * factor

    return scale


SCALE = make_scaler(0.75)
STATE = Filter(0.25)
TOTAL = 0.0


@functools.cache
def cubed(x: Any) -> Any:
    """A cached function."""
    return x * x * x


def logged(function: Callable[..., Any]) -> Callable[..., Any]:
    """A decorator as one writes them."""

    @functools.wraps(function)
    def wrapper(*arguments: Any) -> Any:
        return function(*arguments)

    return wrapper


@logged
def shifted(x: Any) -> Any:
    """A decorated function."""
    return x + 0.5


def halves(values: Any) -> Iterator[Any]:
    """A generator."""
    for value in values:
        yield value * 0.5


def test_floats_are_emulated_in_whatever_holds_them() -> None:
    """Lists, tuples, sets, dictionaries, deques, records of all kinds and arrays hold numbers."""

    def kernel(*values):  # type: ignore[no-untyped-def]
        return values

    number = b(0.5)
    given = [
        0.5, np.float64(0.5), [0.5], (1, 0.5), {0.5}, {"k": 0.5}, deque([0.5], 3), Bearing(0.5), Fix(0.5),
        SimpleNamespace(x=0.5), [[0.5]], defaultdict(float, {"k": 0.5}),
    ]  # fmt: skip
    result, _ = run(kernel, *given)

    assert [number, number, [number], (1, number), {number}, {"k": number}] == list(result[:6])
    assert (deque([number]), 3) == (result[6], result[6].maxlen)
    assert (number, number, b(0.25)) == (result[7].degrees, result[8].north, result[8].east)
    assert (number, [[number]], number) == (result[9].x, result[10], result[11]["k"])
    assert [0.5, [0.5], Fix(0.5)] == [given[0], given[2], given[8]]


def test_what_was_shared_stays_shared() -> None:
    """A list that stands in two places is one list on the emulated side too, and may hold itself."""
    shared: list[Any] = [0.5]
    shared.append(shared)

    def kernel(first, second):  # type: ignore[no-untyped-def]
        first[0] = first[0] * 2.0
        return second[0], second[1] is second

    assert (b(1.0), True) == run(kernel, shared, shared)[0]
    assert 0.5 == shared[0]


def test_classes_compute_on_the_target() -> None:
    """State, inheritance, properties, class constants and methods of all kinds count as functions do."""

    def kernel(given, x):  # type: ignore[no-untyped-def]
        steep = Steep(0.25)
        values = [given.step(x), steep.step(x), Filter.double(x), Filter.quick().half, steep.gain, steep.gain]
        return values, isinstance(steep, Filter), isinstance(given, Filter), Filter.made

    values, is_steep, is_given, made = run(kernel, Filter(0.5), 1.0)[0]

    assert [b(0.5), b(0.25), b(2.0), b(0.25), b(0.5), b(0.5)] == values
    assert (True, True, 1) == (is_steep, is_given, made)
    assert {"addition": 4, "multiplication": 5, "subtraction": 3} == calls(kernel, Filter(0.5), 1.0)
    assert 0 == Filter.made


def test_dataclasses_keep_their_defaults_and_factories() -> None:
    """Fields, defaults and what factories make are numbers, whether made here or there."""

    def kernel(given):  # type: ignore[no-untyped-def]
        own = Settings()
        return given.share * own.share, given.taps[0] * own.taps[1], Fix(0.5).east * 2.0

    result, counts = run(kernel, Settings(0.5))

    assert (b(0.0625), b(0.125), b(0.5)) == result
    assert {"multiplication": 3} == counts


def test_functions_of_all_kinds_are_reached() -> None:
    """Closures, caches, decorators, lambdas, partial functions, bound methods and generators."""

    def kernel(x, given, method, sliced, values):  # type: ignore[no-untyped-def]
        doubled = functools.partial(Filter.double)
        found = [SCALE(x), cubed(x), cubed(x), shifted(x), given(x), method(x), sliced(x), doubled(x)]
        return found, list(halves(values)), sum(v for v in halves(values))

    arguments = (0.5, lambda x: x * 0.25, Filter(0.5).step, functools.partial(max, 0.25), [1.0, 2.0])
    found, generated, total = run(kernel, *arguments)[0]

    assert [b(0.375), b(0.125), b(0.125), b(1.0), b(0.125), b(0.25), b(0.5), b(1.0)] == found
    assert ([b(0.5), b(1.0)], b(1.5)) == (generated, total)
    # One for SCALE, two for cubed, once, one each for the lambda and the method, four for the generators.
    assert 9 == calls(kernel, *arguments)["multiplication"]
    assert 1 == calls(kernel, *arguments)["compare_signaling_greater"]


def test_module_state_is_the_programs_own() -> None:
    """Globals that a kernel assigns, and objects of its module, change on the emulated side alone."""

    def kernel(x):  # type: ignore[no-untyped-def]
        global TOTAL
        TOTAL = TOTAL + x
        return STATE.step(x), TOTAL

    assert (b(0.25), b(1.0)) == run(kernel, 1.0)[0]
    assert (0.0, 0.0) == (STATE.last, TOTAL)


def test_enumerations_stay_what_they_are() -> None:
    """A member is the same on both sides."""

    def kernel(mode, x):  # type: ignore[no-untyped-def]
        return mode is Mode.DRIFT, x * mode.value

    assert (True, b(0.5)) == run(kernel, Mode.DRIFT, 1.0)[0]


def test_iterators_deliver_numbers() -> None:
    """What an iterator of the host still delivers is emulated as it comes."""

    def kernel(values, pairs):  # type: ignore[no-untyped-def]
        return sum(values), [x * y for x, y in pairs]

    assert (b(0.75), [b(0.125)]) == run(kernel, iter([0.5, 0.25]), zip([0.5], [0.25], strict=True))[0]


def test_functions_of_math_are_the_targets() -> None:
    """What math has for the operations of the standard is counted, what it has beyond them refused."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return math.sqrt(x), math.fabs(-x), math.floor(x * 10), math.copysign(x, -1), math.isnan(x)

    def refused(x):  # type: ignore[no-untyped-def]
        return math.erf(x)

    assert (b(0.5), b(0.25), 2, b(-0.25), False) == run(kernel, 0.25)[0]
    with pytest.raises(sf.NotEmulatedError, match=r"math\.erf is not emulated"):
        run(refused, 0.5)


@pytest.mark.parametrize(
    ("kernel", "name"),
    [
        (lambda n, z: statistics.mean([n, 4]), "statistics.mean"),
        (lambda n, z: statistics.median([n, 4]), "statistics.median"),
        (lambda n, z: cmath.sqrt(n), "cmath.sqrt"),
        (lambda n, z: cmath.phase(z), "cmath.phase"),
    ],
)
def test_floats_that_the_host_would_make_of_data_are_refused(kernel: Any, name: str) -> None:
    """A mean of ints is floating point as one of floats is; the median of three ints is one of them."""
    assert 4 == run(lambda n, z: statistics.median([n, 4, 9]), 3, 1j)[0]
    with pytest.raises(sf.NotEmulatedError, match=rf"{name} is not emulated"):
        run(kernel, 3, 1j)


def test_an_exception_of_ones_own_is_caught_as_ever() -> None:
    """Classes of exceptions, and what they carry, work within the kernel."""

    class SensorError(Exception):
        """No reading."""

    def kernel(x):  # type: ignore[no-untyped-def]
        try:
            raise SensorError(x)
        except SensorError as error:
            return error.args[0] * 2.0

    assert b(1.0) == run(kernel, 0.5)[0]
