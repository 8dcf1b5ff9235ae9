"""Departures: whatever leaves the emulation while a tally counts is noted, with its line and how often."""

from __future__ import annotations

import array
import contextvars
import inspect
import math
import operator
import statistics
import struct
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.errors import OperandError
from softfloat_py.tally.tally import Departure, Line, Tally

HEIGHT = sf.binary32(1.25)


def left_by(kernel: Callable[[], object]) -> list[tuple[str, int]]:
    """How values left a kernel, and how many; all at its only line."""
    with sf.counting() as tally:
        kernel()
    assert {inspect.getsourcelines(kernel)[1]} >= {departure.line.number for departure in tally.left}
    assert {__file__} >= {departure.line.file for departure in tally.left}
    return [(departure.how, n) for departure, n in tally.left.items()]


# -- numbers that become host floats -----------------------------------------------------------------------

# What is not said in the types of numpy and Python: they take whatever has a __float__.
number: Any = HEIGHT
host: Any = np.zeros(3)

WAYS_OUT: dict[str, tuple[Callable[[], object], int]] = {
    "float": (lambda: float(number), 1),
    "complex": (lambda: complex(number), 1),
    "array of one element": (lambda: float(sf.binary32.array([1.25])), 1),
    "math": (lambda: math.sqrt(number), 1),
    "numpy scalar": (lambda: np.float64(number), 1),
    "stored": (lambda: operator.setitem(host, 0, number), 1),
    "list as a host array": (lambda: np.asarray([number, number, number], dtype=float), 3),
    "numpy in Python": (lambda: np.interp([number, number], [1, 2], [1, 2]), 2),
    # numpy converts it twice, once to see that it can.
    "random draw": (lambda: np.random.default_rng(1).normal(number), 2),
    "array module": (lambda: array.array("d", [number, number]), 2),
    "struct": (lambda: struct.pack("d", number), 1),
    "percent": (lambda: "%f metres" % number, 1),  # noqa: UP031
    "statistics": (lambda: statistics.fmean([number, number]), 2),
}


@pytest.mark.parametrize("way", WAYS_OUT)
def test_a_number_that_becomes_a_host_float_is_noted(way: str) -> None:
    """Each way that calls float() notes one departure a value, at the line of the program."""
    kernel, values = WAYS_OUT[way]

    assert [("float", values)] == left_by(kernel)


def test_a_host_array_of_numbers_is_refused() -> None:
    """An emulated array is still made no host array in silence."""
    with pytest.raises(OperandError, match="to_numpy"):
        np.asarray(sf.binary32.array([1.25]), dtype=float)


def test_values_are_counted_by_line() -> None:
    """The same line is noted once, with how many values left there; most first."""
    host = np.zeros(4)
    with sf.counting() as tally:
        for place in range(4):
            host[place] = HEIGHT
        float(HEIGHT)

    assert [4, 1] == list(tally.left.values())
    assert ["host[place] = HEIGHT", "float(HEIGHT)"] == [departure.line.text for departure in tally.left]


KEPT: dict[str, Callable[[], object]] = {
    "str": lambda: str(HEIGHT),
    "repr": lambda: repr(HEIGHT),
    "format": lambda: format(HEIGHT, ".3f"),
    "f-string": lambda: f"{HEIGHT} {HEIGHT!r} {HEIGHT:.2e} {HEIGHT:a}",
    "%s": lambda: "%s %r" % (HEIGHT, HEIGHT),  # noqa: UP031
    "notebook": lambda: HEIGHT._repr_html_(),
    "exact": lambda: (HEIGHT.exact_decimal(), HEIGHT.hex()),
    "print an array": lambda: (str(sf.binary32.array([1.25] * 3)), repr(sf.binary32.array([1.25, math.nan]))),
    "hash": lambda: (hash(HEIGHT), hash(sf.binary32(math.inf)), hash(sf.binary32(-math.inf))),
    "int": lambda: int(HEIGHT),
    "text of the standard": lambda: sf.convert_to_decimal_character(HEIGHT),
    "to_numpy": lambda: sf.binary32.array([1.25]).to_numpy(),
    "rounding": lambda: (round(HEIGHT), math.floor(HEIGHT), bool(HEIGHT)),
    "explanation": lambda: str(sf.explain("addition", HEIGHT, HEIGHT)),
    "conversion in steps": lambda: str(sf.convert_in_steps(HEIGHT, sf.binary16, sf.ofp8_e5m2)),
    "list of numbers": lambda: np.array([HEIGHT, HEIGHT], dtype=object),
}


@pytest.mark.parametrize("use", KEPT)
def test_printing_is_no_departure(use: str) -> None:
    """Text of all kinds, and whatever the library does by itself, goes not through float()."""
    assert [] == left_by(KEPT[use])


def test_whole_parts_of_what_has_none_raise_without_a_note() -> None:
    """int() of an infinity raises as ever, and is no departure."""
    with sf.counting() as tally, pytest.raises(OverflowError):
        int(sf.binary32(math.inf))

    assert {} == tally.left


def test_nothing_is_noted_where_nothing_counts() -> None:
    """float() outside any block leaves no note in a tally that counts later."""
    float(HEIGHT)
    with sf.counting() as tally:
        pass
    float(HEIGHT)

    assert {} == tally.left


# -- host operands -----------------------------------------------------------------------------------------

READINGS = [0.5, 0.25, 0.25, 0.125]

CHANGING: dict[str, tuple[Callable[[], object], int]] = {
    # The second 0.25 is what stood there before.
    "float": (lambda: [HEIGHT * r for r in READINGS], 3),
    "reflected": (lambda: [r - HEIGHT for r in READINGS], 3),
    "comparison": (lambda: [HEIGHT < r for r in READINGS], 3),
    "loop counter": (lambda: [HEIGHT * n for n in range(5)], 5),
    "fraction": (lambda: [HEIGHT * Fraction(n, 3) for n in range(5)], 5),
    "kind": (lambda: [HEIGHT * n for n in (1, 1.0, 1)], 3),
    "array": (lambda: [sf.binary32.array([1.5, 2.5]) * r for r in READINGS], 3),
    "long array": (lambda: [r + sf.binary32.array([1.5] * 200) for r in READINGS], 3),
    "numpy function": (lambda: [np.multiply(sf.binary32.array([1.5]), r) for r in READINGS], 3),
    "numpy scalar": (lambda: [r * HEIGHT for r in map(np.float64, READINGS)], 3),
    "in place": (lambda: [sf.binary32.array([1.5]).__iadd__(r) for r in READINGS], 3),  # type: ignore[attr-defined]
}


@pytest.mark.parametrize("kind", CHANGING)
def test_a_host_operand_that_changes_is_noted(kind: str) -> None:
    """What stands beside an emulated value at one place and changes is no constant: all of it is noted."""
    kernel, values = CHANGING[kind]

    assert [("host operand", values)] == left_by(kernel)


CONSTANT: dict[str, Callable[[], object]] = {
    "literal": lambda: [HEIGHT * 0.5 for _ in range(5)],
    "two in a line": lambda: [HEIGHT * 0.5 + 2 for _ in range(5)],
    "computed anew": lambda: [HEIGHT * (r - r + 0.3) for r in READINGS],
    "nan": lambda: [HEIGHT * float("nan") for _ in READINGS],
    "emulated": lambda: [HEIGHT * sf.binary32(r) for r in READINGS],
    "arrays": lambda: [sf.binary32.array([r]) * sf.binary32(r) for r in READINGS],
    "integers of numpy": lambda: [number * n for n in np.arange(5)],
}


@pytest.mark.parametrize("kind", CONSTANT)
def test_a_constant_is_no_departure(kind: str) -> None:
    """An operand that stays as it is, or is data that gets converted, is not noted."""
    assert [] == left_by(CONSTANT[kind])


def test_an_operand_is_followed_when_the_tally_is_read() -> None:
    """Reading a tally while it counts does not forget what stood at a place."""
    with sf.counting() as tally:
        for reading in READINGS:
            HEIGHT * reading
            assert tally.total_calls > 0

    assert [3] == list(tally.left.values())


def test_an_operand_is_followed_through_changes_of_direction() -> None:
    """Where each value has a direction of its own, and so a log of its own, every change is noted too."""
    directions = sf.Rounding.TOWARD_NEGATIVE, sf.Rounding.TOWARD_POSITIVE
    readings = 1.5, 2.5  # each always the same object
    with sf.counting() as tally:
        for place in (0, 1, 0, 1):
            with sf.environment(rounding=directions[place]):
                HEIGHT * readings[place]

    assert [("host operand", 4)] == [(departure.how, n) for departure, n in tally.left.items()]


def test_an_operand_is_followed_through_inner_blocks() -> None:
    """Where each visit of a line has a block of its own, the block around them sees the change."""
    with sf.counting() as outer:
        inner = []
        for reading in READINGS:
            with sf.counting() as tally:
                HEIGHT * reading
            inner.append(tally.left)

    assert ([{}] * 4, [3]) == (inner, list(outer.left.values()))


# -- threads -----------------------------------------------------------------------------------------------


def products(count: int) -> None:
    """So many products."""
    for _ in range(count):
        HEIGHT * HEIGHT


def test_work_in_a_pool_is_noted() -> None:
    """What threads compute while a tally counts elsewhere is not counted, and that is said."""
    with sf.counting() as tally, ThreadPoolExecutor(4) as pool:
        list(pool.map(products, [250] * 8))
        HEIGHT + HEIGHT

    ((departure, values),) = tally.left.items()
    assert ("HEIGHT * HEIGHT", "thread", 2000) == (departure.line.text, departure.how, values)
    assert {("addition", "binary32"): 1} == tally.calls


def in_a_thread(work: Callable[[], object]) -> None:
    """Do some work in a thread of its own."""
    thread = threading.Thread(target=work)
    thread.start()
    thread.join()


UNCOUNTED: dict[str, tuple[Callable[[], object], int]] = {
    "operator": (lambda: HEIGHT < HEIGHT, 1),
    "function": (lambda: sf.fused_multiply_add(HEIGHT, HEIGHT, HEIGHT), 1),
    "few elements": (lambda: sf.binary32.array([1.5] * 3) * 2, 3),
    "many elements": (lambda: sf.binary32.array([1.5] * 300) * 2, 300),
    "reduction": (lambda: np.sum(sf.binary32.array([1.5] * 10)), 9),
    "no elements": (lambda: sf.binary32.array(np.zeros(0)) * 2, 0),
}


@pytest.mark.parametrize("kind", UNCOUNTED)
def test_each_result_in_a_thread_is_a_value(kind: str) -> None:
    """As many values are noted as calls would have been counted."""
    work, values = UNCOUNTED[kind]
    with sf.counting() as counted:
        work()
    with sf.counting() as tally:
        in_a_thread(work)

    assert values == counted.total_calls
    assert [("thread", values)] * (values > 0) == [(departure.how, n) for departure, n in tally.left.items()]


def test_work_in_another_context_is_noted() -> None:
    """The same thread may have a context that no tally counts in."""
    with sf.counting() as tally:
        contextvars.Context().run(products, 3)

    assert [("thread", 3)] == [(departure.how, n) for departure, n in tally.left.items()]


def test_nested_tallies_note_a_thread_once() -> None:
    """Each of nested tallies has the values that were not counted during its block, once."""
    with sf.counting() as outer:
        in_a_thread(lambda: products(2))
        with sf.counting() as inner:
            in_a_thread(lambda: products(3))

    assert ([5], [3]) == (list(outer.left.values()), list(inner.left.values()))


def test_threads_that_count_for_themselves_are_no_departures() -> None:
    """A thread with a tally of its own is counted."""

    def counted() -> None:
        with sf.counting():
            products(3)

    with sf.counting() as tally:
        in_a_thread(counted)

    assert {} == tally.left


def test_nothing_counts_after_the_block() -> None:
    """Threads that work when the block has ended are nobody's."""
    with sf.counting() as tally:
        pass
    in_a_thread(lambda: products(3))

    assert {} == tally.left


def test_a_tally_tells_threads_from_nothing() -> None:
    """A tally without calls says whether nothing was computed or all of it in threads."""
    with sf.counting() as nothing:
        pass
    with sf.counting() as elsewhere:
        in_a_thread(lambda: products(3))

    assert (0, False) == (nothing.total_calls, bool(nothing.left))
    assert (0, {"thread"}) == (elsewhere.total_calls, {departure.how for departure in elsewhere.left})


def test_a_departure_can_be_noted_by_hand() -> None:
    """Whoever knows of another way out notes it, at a line and with how many values."""
    tally, line = Tally(), Line("buoy.py", 14)
    tally.note_departure(line, "float")
    tally.note_departure(line, "float", 511)

    assert {Departure(line, "float"): 512} == tally.left


@pytest.mark.parametrize("multiply", [lambda z, factor: z * factor, np.multiply])
def test_host_operands_beside_complex_values_are_noted_where_they_change(multiply: Any) -> None:
    """A host's float beside a complex value is a constant if it stays; a transform's own factor is always."""
    z = sf.binary32.complex_number(1, 2)
    with sf.counting() as tally:
        for factor in (1.5, 1.5, 1.5):
            multiply(z, factor)
        for n in (2, 4, 8):
            np.fft.ifft(sf.binary32.array(np.arange(n)))
    assert {} == tally.left
    with sf.counting() as tally:
        for factor in (1.5, 2.5, 3.5):
            multiply(z, factor)
    assert [("host operand", 3)] == [(departure.how, n) for departure, n in tally.left.items()]
