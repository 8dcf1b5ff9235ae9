"""Padding is numpy's, in every mode that only moves elements, and costs nothing."""

from __future__ import annotations

from typing import Any

import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import on_host, random_values

np: Any = numpy  # whose types know nothing of emulated values

MODES: list[dict[str, Any]] = [
    {},
    {"constant_values": -1.5},
    {"constant_values": ((1, 2), (3, 4))},
    {"mode": "edge"},
    {"mode": "reflect"},
    {"mode": "symmetric", "reflect_type": "even"},
    {"mode": "wrap"},
]


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary128], ids=repr)
@pytest.mark.parametrize("mode", MODES, ids=repr)
@pytest.mark.parametrize("width", [1, (2, 3), ((1, 0), (0, 7))])
def test_padding_is_numpy_s(fmt: sf.Format, mode: dict[str, Any], width: Any) -> None:
    """Elements and constants stand where numpy puts them, and nothing is counted."""
    values = random_values(fmt, 3, 4)
    with sf.counting() as tally:
        result = np.pad(values, width, **mode)
    np.testing.assert_array_equal(np.pad(on_host(values), width, **mode), on_host(result))
    assert {} == tally.calls


def test_padding_by_numbers() -> None:
    """A constant may be a Number of the format, and "empty" is zeros."""
    values = sf.binary32.array([1, 2])
    assert ["4.0", "1.0", "2.0", "4.0"] == list(map(str, np.pad(values, 1, constant_values=sf.binary32(4))))
    assert ["0.0", "1.0", "2.0", "0.0"] == list(map(str, np.pad(values, 1, "empty")))
    with pytest.raises(sf.MixedFormatsError, match=r"^numpy\.pad needs operands of one format"):
        np.pad(values, 1, constant_values=sf.binary16(4))


@pytest.mark.parametrize("mode", ["linear_ramp", "mean", "maximum", lambda *arguments: None])
def test_padding_that_computes_is_refused(mode: Any) -> None:
    """What would be computed is named, with the modes that there are."""
    with pytest.raises(
        sf.NotEmulatedError, match=r"^mode=.* of numpy\.pad is not emulated, .*constant, edge"
    ):
        np.pad(sf.binary32.array([1, 2]), 1, mode)
    with pytest.raises(sf.NotEmulatedError, match=r"^reflect_type='odd' of numpy\.pad is not emulated"):
        np.pad(sf.binary32.array([1, 2]), 1, "reflect", reflect_type="odd")
