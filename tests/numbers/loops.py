"""Loops of single Numbers, against which numpy's functions on arrays are held: same bits and counts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

import softfloat_py as sf


def random_values(fmt: sf.Format, *shape: int, seed: int = 1) -> Any:
    """An array of numbers between about -4 and 4, some of them equal, with zeros of both signs."""
    generator = np.random.default_rng(seed)
    values = np.round(generator.normal(0, 2, shape), 2)
    values.flat[:: max(values.size // 5, 1)] = -0.0
    values.flat[2 :: max(values.size // 3, 1)] = 1.5
    return fmt.array(values)


def on_host(values: Any) -> Any:
    """The values as the host's doubles, which have all values that `random_values` gives."""
    return values.astype(sf.binary64).to_numpy()


def bits_of(result: Any) -> Any:
    """Encodings as nested lists, truths and integers as they are."""
    if isinstance(result, tuple | list):
        return [bits_of(part) for part in result]
    if isinstance(result, sf.FloatArray):
        return bits_of(result.tolist())
    return result.bits if isinstance(result, sf.Number) else np.asarray(result).tolist()


def check_against_loop(loop: Callable[[], Any], whole: Callable[[], Any]) -> None:
    """Whether a function delivers, raises and counts what a loop does."""
    with sf.environment() as one_by_one, sf.counting() as parts:
        expected = loop()
    with sf.environment() as at_once, sf.counting() as together:
        result = whole()
    assert bits_of(expected) == bits_of(result)
    assert one_by_one.flags == at_once.flags
    assert parts.calls == together.calls
    assert (parts.steps, parts.features) == (together.steps, together.features)


def in_order(values: Any) -> Any:
    """The running sum of Numbers in index order."""
    total = values[0]
    for value in values[1:]:
        total = total + value
    return total
