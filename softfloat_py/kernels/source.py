"""The emulated text of a source file: for each function's code, the code whose numbers are the target's."""

from __future__ import annotations

import linecache
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from types import CodeType
from typing import TypeAlias

from softfloat_py.kernels.rewriting import Folded, rewritten

Place: TypeAlias = tuple[str, int]  # a function's name with those around it, and its first line


@dataclass(frozen=True, slots=True)
class Source:
    """A file, compiled with names in place of its constants: what the names stand for, and its codes.

    `constants` are the names that the module level binds once, whatever to.
    """

    constants: frozenset[str]
    literals: dict[str, int | float | complex]
    folded: dict[str, Folded]
    codes: dict[object, CodeType]

    def emulated(self, code: CodeType) -> CodeType | None:
        """The code to run in place of a function's; None where it does not come from this text."""
        # Tools that rewrite assertions or trace lines change a code, but not where it begins.
        return self.codes.get(code) or self.codes.get(_place(code))


def source_of(file: str) -> Source | None:
    """The emulated text of a file, or of what a notebook's cell or a session was given; None without text."""
    linecache.checkcache(file)
    text = "".join(linecache.getlines(file))
    if not text:
        return None
    result = rewritten(text, file)
    written = compile(text, file, "exec", dont_inherit=True)
    emulated = compile(result.tree, file, "exec", dont_inherit=True)
    codes = _matched(_by_place(written), _by_place(emulated))
    return Source(frozenset(result.constants), result.literals, result.folded, codes)


def _matched(
    written: dict[Place, list[CodeType]], emulated: dict[Place, list[CodeType]]
) -> dict[object, CodeType]:
    """The emulated code by the code as written and, for the first one at a place, by the place."""
    codes: dict[object, CodeType] = {place: found[0] for place, found in emulated.items()}
    for place, found in written.items():
        codes.update(zip(found, emulated.get(place, ()), strict=False))
    return codes


def _by_place(code: CodeType) -> dict[Place, list[CodeType]]:
    found: defaultdict[Place, list[CodeType]] = defaultdict(list)
    for inner in _within(code):
        found[_place(inner)].append(inner)
    return found


def _within(code: CodeType) -> Iterator[CodeType]:
    """The codes of all functions within one, in the order of the text."""
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _within(constant)


def _place(code: CodeType) -> Place:
    return code.co_qualname, code.co_firstlineno
