"""A function of one's own, run as a kernel file is: what it is given, what it keeps, what it cannot be."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

import softfloat_py as sf

b = sf.binary32
READINGS: list[float] = []
SEEN = 0


def remembered(x: float) -> tuple[float, int]:
    """Keep a reading in the module, and count."""
    global SEEN
    SEEN += 1
    READINGS.append(x * 0.5)
    return sum(READINGS), SEEN


class Gauge:
    """A gauge with a scale."""

    def __init__(self, scale: float) -> None:
        self.scale = scale

    def read(self, x: float) -> float:
        """A scaled value."""
        self.scale = self.scale * 2.0
        return x * self.scale


def test_what_a_call_is_given_is_emulated_anew() -> None:
    """A list that the caller changes is seen as it is now; the caller's own stays the host's."""
    values = [0.5]
    total = sf.emulated(lambda values: sum(v * 2.0 for v in values), b)

    assert b(1.0) == total(values)
    values.append(0.25)
    assert b(1.5) == total(values)
    assert [0.5, 0.25] == values


def test_arguments_by_name_and_defaults_are_emulated() -> None:
    """Keywords, and what stands in the function's own head."""

    def scaled(x: float, *, gain: float = 0.25) -> float:
        return x * gain

    emulated = sf.emulated(scaled, b)

    assert (b(0.125), b(1.0)) == (emulated(0.5), emulated(0.5, gain=2.0))


def test_globals_are_kept_from_call_to_call_and_the_modules_own_untouched() -> None:
    """The program has its memory on the emulated side; another emulation begins anew."""
    emulated = sf.emulated(remembered, b)

    assert (b(0.25), 1) == emulated(0.5)
    assert (b(0.75), 2) == emulated(1.0)
    assert (sf.binary16(0.25), 1) == sf.emulated(remembered, sf.binary16)(0.5)
    assert ([], 0) == (READINGS, SEEN)


def test_bound_methods_compute_with_an_object_of_their_own() -> None:
    """A method's object is emulated once, with the method; the caller's does not change."""
    gauge = Gauge(0.5)
    read = sf.emulated(gauge.read, b)

    assert (b(1.0), b(2.0)) == (read(1.0), read(1.0))
    assert 0.5 == gauge.scale


def test_values_that_are_emulated_already_stay_as_they_are() -> None:
    """Numbers and arrays of the format go in and come out."""
    doubled = sf.emulated(lambda x: x + x, b)

    assert b(1.0) == doubled(b(0.5))
    assert [b(1.0)] == list(doubled(b.array([0.5])))


@pytest.mark.parametrize("function", [math.sin, len, 3, Gauge])
def test_what_is_no_function_in_python_is_refused(function: Any) -> None:
    """A function of C, a class or a number has no text to run."""
    with pytest.raises(sf.OperandError, match=r"^emulated needs a function written in Python"):
        sf.emulated(function, b)


def test_the_format_is_a_format() -> None:
    """A name or a dtype is none."""
    format_name: Any = "binary32"
    with pytest.raises(sf.OperandError, match=r"^emulated needs a Format, such as binary32, not 'binary32'"):
        sf.emulated(remembered, format_name)


def test_functions_without_a_text_are_refused() -> None:
    """What was compiled from a text that is gone would compute with the host's literals."""
    names: dict[str, Callable[[float], float]] = {}
    exec("def tripled(x):\n    return x * 3.0", names)

    with pytest.raises(sf.KernelError, match=r"^the text of tripled must be readable"):
        sf.emulated(names["tripled"], b)
