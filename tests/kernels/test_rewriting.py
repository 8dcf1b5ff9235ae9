"""The text of a kernel: what is a constant, what a compiler folds, and which ints are data."""

from __future__ import annotations

import math
from math import pi, radians

import numpy as np

import softfloat_py as sf
from tests.kernels.counted import calls, run

GRAVITY = 9.81
BLOCK = 64
RATE = float(4)
CHANGED = 1.0
CHANGED = 2.0


def test_literals_are_numbers_of_the_format() -> None:
    """Two literals that meet through variables are an operation of the target, rounded as it rounds."""

    def kernel() -> object:
        third, step = 0.1, 0.2
        return third + step

    assert (sf.binary32(0.1) + sf.binary32(0.2), {"addition": 1}) == run(kernel)


def test_constant_expressions_are_folded() -> None:
    """Literals, the module's constants, and functions of math and numpy on such are computed by no run."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return x * (2.0 * math.pi / 180), x * (GRAVITY * 2), x * -GRAVITY, x * math.sin(GRAVITY / 2)

    def with_others(x):  # type: ignore[no-untyped-def]
        return x * np.sqrt(2.0), x * (BLOCK / 3), x * radians(pi), x * abs(-RATE)

    assert {"multiplication": 4} == calls(kernel, 0.5)
    assert {"multiplication": 4} == calls(with_others, 0.5)


def test_folded_constants_are_rounded_once() -> None:
    """What is folded is computed by the host and rounded to the format at the end."""

    def kernel():  # type: ignore[no-untyped-def]
        return 0.1 * GRAVITY

    assert sf.binary32(0.1 * 9.81) == run(kernel)[0]


def test_what_is_no_constant_is_not_folded() -> None:
    """A variable of a function, a name that is bound twice and an element of a table are met at run time."""
    table = [0.5, 0.25]

    def kernel():  # type: ignore[no-untyped-def]
        gain = 0.5
        return gain * 2.0, CHANGED * 2.0, table[0] * table[1]

    assert {"multiplication": 3} == calls(kernel)


def test_a_shadowed_name_is_not_the_constant() -> None:
    """A parameter that has the name of a constant of the module is what it is given."""

    def kernel(GRAVITY):  # type: ignore[no-untyped-def]  # noqa: N803
        return GRAVITY * 2.0

    assert (sf.binary32(1.0), {"multiplication": 1}) == run(kernel, 0.5)


def test_what_cannot_be_folded_is_left_to_the_run() -> None:
    """A constant division by zero is the target's: infinity, not Python's error where the file is read."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return x + 1.0 / 0.0

    assert ({"addition": 1, "division": 1}) == calls(kernel, 0.5)


def test_accumulating_a_literal_counts_every_round() -> None:
    """A sum that starts from a literal is an addition in the first round too."""

    def kernel():  # type: ignore[no-untyped-def]
        t = 0.0
        for _ in range(5):
            t = t + 0.01
        return t

    assert {"addition": 5} == calls(kernel)


def test_int_literals_are_constants_and_other_ints_are_converted() -> None:
    """Two is a constant beside a float; a counter, a length, an argument and a counted variable are data."""

    def literals(x):  # type: ignore[no-untyped-def]
        return x * 2, 1 - x, x > 0, max(x, 0), x / BLOCK, x * (BLOCK - 1)

    def counters(x, values, n):  # type: ignore[no-untyped-def]
        k = 0
        k += 1
        return x * n, x / len(values), x - k, [x * i for i in range(3)], n < x

    assert "convert_from_integer" not in calls(literals, 0.5)
    assert 3 + 3 + 1 == calls(counters, 0.5, [1.0, 2.0], 7)["convert_from_integer"]


def test_variable_bound_once_to_a_literal_is_that_literal() -> None:
    """What a function names once is as constant as what it writes out; what it counts with is not."""

    def kernel(x):  # type: ignore[no-untyped-def]
        window = 8
        return x / window

    def counting_up(x):  # type: ignore[no-untyped-def]
        i = 0
        total = 0.0
        while i < 3:
            total = total + x * i
            i = i + 1
        return total

    assert {"division": 1} == calls(kernel, 0.5)
    assert 3 == calls(counting_up, 0.5)["convert_from_integer"]


def test_division_of_two_ints_is_done_on_the_target() -> None:
    """Both are converted, unless one is a literal, and divided; floor division stays the program's own."""

    def kernel(i, n):  # type: ignore[no-untyped-def]
        return i / n, i / 4, i // n

    result, counts = run(kernel, 7, 2)

    assert (sf.binary32(3.5), sf.binary32(1.75), 3) == result
    assert {"convert_from_integer": 3, "division": 2} == counts


def test_division_in_place_of_an_int_is_done_on_the_target() -> None:
    """`total /= n` converts as `total / n` does, in variables, attributes and elements."""

    class Record:
        """A sum of readings."""

        def __init__(self, total: int) -> None:
            self.total = total

    def kernel(n, readings):  # type: ignore[no-untyped-def]
        total, record, k = sum(readings), Record(9), 0
        total /= n
        record.total /= n
        readings[k] /= n
        return total, record.total, readings[k]

    result, counts = run(kernel, 2, [3, 4])

    assert (sf.binary32(3.5), sf.binary32(4.5), sf.binary32(1.5)) == result
    assert {"convert_from_integer": 6, "division": 3} == counts


def test_targets_of_assignments_are_looked_up_once() -> None:
    """An index that counts is not computed twice by an operator that assigns."""

    def kernel(bins, x):  # type: ignore[no-untyped-def]
        bins[int(x)] += 1
        return bins

    result, counts = run(kernel, [0, 0], 1.5)

    assert [0, 1] == result
    assert {"convert_to_integer_toward_zero": 1} == counts


def test_text_is_made_of_numbers_without_leaving() -> None:
    """Printing with %, format or an f-string computes nothing and is not noted."""

    def kernel(x):  # type: ignore[no-untyped-def]
        return "%.2f %s" % (x, x) + f"{x:.1f}" + "{:.3f}".format(x) + "%(x).1f" % {"x": x}  # noqa: UP031, UP032

    with sf.counting() as tally:
        assert "0.50 0.50.50.5000.5" == run(kernel, 0.5)[0]
    assert {} == tally.left


def test_patterns_defaults_and_annotations_stay_what_they_are() -> None:
    """A match compares with its literals, a default is emulated as an argument is."""

    def kernel(x, gain=0.5):  # type: ignore[no-untyped-def]
        match x:
            case 0.5:
                limit: float = 1.0
                return gain * limit
        return None

    assert (sf.binary32(0.5), {"compare_quiet_equal": 1, "multiplication": 1}) == run(kernel, 0.5)
