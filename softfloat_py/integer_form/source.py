"""A routine's source text: its syntax tree, its parameters, and faults shown as Python shows them."""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from softfloat_py.integer_form.builder import Fault
from softfloat_py.routines.language import Routine


@dataclass(frozen=True, slots=True)
class RoutineSource:
    """A routine as text. `first_line` is what to add to a node's line to get the file's."""

    name: str
    file: str
    first_line: int
    lines: tuple[str, ...]
    node: ast.FunctionDef
    globals: Mapping[str, Any]

    @property
    def body(self) -> list[ast.stmt]:
        """The statements of the routine."""
        return self.node.body

    def bind(self, values: Sequence[Any], named: Mapping[str, Any]) -> dict[str, Any]:
        """Parameters by name, in their own order, as a call with these arguments has them."""
        names = [argument.arg for argument in self.node.args.args]
        bound = dict(zip(names, values, strict=False)) | dict(named)
        if len(values) > len(names) or set(bound) != set(names):
            raise Fault(f"{self.name} takes {', '.join(names)}, not {len(values) + len(named)} arguments")
        return {name: bound[name] for name in names}


@lru_cache(maxsize=512)
def source_of(routine: Routine) -> RoutineSource:
    """The source of a routine; its file must be readable."""
    lines, first = inspect.getsourcelines(routine)
    tree = ast.parse(textwrap.dedent("".join(lines)))
    node = tree.body[0]
    assert isinstance(node, ast.FunctionDef), f"{routine!r} must be a plain function"
    return RoutineSource(
        routine.__name__,
        inspect.getsourcefile(routine) or "?",
        first - 1,
        tuple(lines),
        node,
        routine.__globals__,
    )


def show_fault(source: RoutineSource, node: ast.stmt, message: str) -> str:
    """file:line: message, the source line, and carets below the offending part."""
    line = source.lines[node.lineno - 1].rstrip("\n")
    indent = len(line) - len(line.lstrip())
    end = node.end_col_offset if node.end_lineno == node.lineno and node.end_col_offset else len(line)
    length = max(min(end, len(line)) - node.col_offset, 1)
    return (
        f"{source.file}:{source.first_line + node.lineno}: {message}\n"
        f"    {line.strip()}\n    {'^' * min(length, len(line) - indent)}"
    )
