"""Results in short: cut between elements, never inside a number."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.views.returned import returned


@dataclass
class Readings:
    """What a kernel of the buoy may return."""

    heights: tuple[int, ...]


class Faulty:
    """An object that cannot show itself."""

    def __repr__(self) -> str:
        raise ValueError("no text")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("None", None),
        ("binary32(0.1)", sf.binary32(0.1)),
        ("binary32.array([0.5, 1.5])", sf.binary32.array([0.5, 1.5])),
        (
            "binary32.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0, ...]), shape (40,)",
            sf.binary32.array(np.arange(40.0)),
        ),
        (
            "binary32.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0, ...]), shape (4, 10)",
            sf.binary32.array(np.arange(40.0).reshape(4, 10)),
        ),
        ("array([0, 1, 2, 3, 4, 5, ...]), shape (40,)", np.arange(40)),
        (
            "(binary32(0.0), binary32(1.0), binary32(2.0), binary32(3.0), binary32(4.0), binary32(5.0), ...)",
            tuple(map(sf.binary32, range(40))),
        ),
        ("[{'height': binary32(2.0)}]", [{"height": sf.binary32(2.0)}]),
    ],
)
def test_long_results_are_cut_between_elements(text: str, value: object) -> None:
    """What is short is shown whole, what is long by its first six elements."""
    assert text == returned(value)


def test_ints_that_python_does_not_write_are_measured() -> None:
    """An int of more digits than Python makes text of is shown by its length."""
    assert "an int of 16610 bits" == returned(10**5000)


def test_numbers_of_wide_formats_are_whole() -> None:
    """A number of many digits is not cut."""
    third = sf.binary128(1) / sf.binary128(3)

    assert repr(third) == returned(third)


def test_other_objects_are_cut_at_a_comma() -> None:
    """A long text of an object ends after a whole element."""
    heights = tuple(range(100_000_000, 100_000_100))
    text = returned(Readings(heights))

    assert text.endswith(", ...")
    assert repr(Readings(heights)).startswith(text.removesuffix(" ..."))


def test_object_that_cannot_show_itself() -> None:
    """An object whose text raises is named by its class."""
    assert "Faulty" in returned(Faulty())


def test_list_that_holds_itself() -> None:
    """What holds itself is cut at some depth."""
    holds_itself: list[object] = []
    holds_itself.append(holds_itself)

    assert "..." in returned(holds_itself)
