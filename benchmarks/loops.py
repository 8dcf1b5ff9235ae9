"""The measured operations on lists of numbers, element by element, whoever made the numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

Loop = Callable[..., list[Any]]
Numbers = Sequence[Any]


def loop(operation: str, function: Callable[..., Any]) -> Loop:
    """A function of lists, one an operand: of Python's operator or, where there is none, of `function`."""
    return _LOOPS.get(operation) or partial(_each, function)


def _each(function: Callable[..., Any], *lists: Numbers) -> list[Any]:
    return list(map(function, *lists))


def _sums(x: Numbers, y: Numbers) -> list[Any]:
    return [a + b for a, b in zip(x, y, strict=True)]


def _products(x: Numbers, y: Numbers) -> list[Any]:
    return [a * b for a, b in zip(x, y, strict=True)]


def _quotients(x: Numbers, y: Numbers) -> list[Any]:
    return [a / b for a, b in zip(x, y, strict=True)]


_LOOPS: dict[str, Loop] = {"addition": _sums, "multiplication": _products, "division": _quotients}
