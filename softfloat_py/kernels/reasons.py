"""Why a kernel computed nothing with emulated numbers, in a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from softfloat_py.tally.tally import Tally


def reason(given: tuple[Any, ...], tally: Tally) -> str:
    """What kept a kernel that was given these arguments from computing; the end of a sentence."""
    leaves = list(_leaves(given))
    threads = [departure for departure in tally.left if departure.how == "thread"]
    if threads:
        line = threads[0].line
        return (
            f"its work, as that of line {line.number}, was done in threads that no tally counts; "
            "give a pool sf.carrying(function), which takes the tally along"
        )
    if not leaves:
        return "inputs() gave nothing to compute with, only empty lists or arrays"
    if all(isinstance(leaf, int) for leaf in leaves):
        return (
            "inputs() gave ints alone and nothing made a number of them; arithmetic of ints is the program's "
            "own, which nothing counts"
        )
    return "no operation met a number: it moved or compared other things, or never came to its loop"


def _leaves(value: Any) -> Iterator[Any]:
    """All that stands in arguments, an array by its first element."""
    match value:
        case list() | tuple() | set() | frozenset():
            for element in value:
                yield from _leaves(element)
        case dict():
            yield from _leaves(list(value.values()))
        case _ if hasattr(value, "flat"):
            yield from (element.item() if hasattr(element, "item") else element for element in value.flat[:1])
        case _:
            yield value
