"""The measured operations on lists of numbers, element by element, whoever made the numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

Loop = Callable[..., list[Any]]
Numbers = Sequence[Any]


def loop(operation: str, square_root: Callable[[Any], Any]) -> Loop:
    """A function of lists, one an operand; `square_root` is that of the numbers in them."""

    def square_roots(x: Numbers) -> list[Any]:
        return [square_root(a) for a in x]

    return square_roots if operation == "square_root" else _LOOPS[operation]


def _sums(x: Numbers, y: Numbers) -> list[Any]:
    return [a + b for a, b in zip(x, y, strict=True)]


def _products(x: Numbers, y: Numbers) -> list[Any]:
    return [a * b for a, b in zip(x, y, strict=True)]


def _quotients(x: Numbers, y: Numbers) -> list[Any]:
    return [a / b for a, b in zip(x, y, strict=True)]


_LOOPS: dict[str, Loop] = {"addition": _sums, "multiplication": _products, "division": _quotients}
