"""A routine that shows a fault made as short as it can be: statements are left out as long as it shows it."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator


def shrunk(text: str, shows_it: Callable[[str], bool]) -> str:
    """The shortest text found that still shows a fault."""
    while (shorter := next(filter(shows_it, shorter_texts(text)), None)) is not None:
        text = shorter
    return text


def shorter_texts(text: str) -> Iterator[str]:
    """Texts with a statement less, or with what stands inside a statement in its place, or with an expression
    that is one of its own parts.
    """
    tree = ast.parse(text)
    for node in ast.walk(tree):
        for name in ("body", "orelse"):
            block = getattr(node, name, [])
            whole = list(block) if isinstance(block, list) else []  # that of `x if y else z` is none
            for i, statement in enumerate(whole):
                for instead in ([], getattr(statement, "body", []), getattr(statement, "orelse", [])):
                    block[i : i + 1] = instead
                    yield ast.unparse(tree)
                    block[:] = whole
    yield from _with_shorter_expressions(tree)


def _with_shorter_expressions(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        for name, value in ast.iter_fields(node):
            if isinstance(value, ast.expr) and not isinstance(node, ast.Call):
                for part in _parts(value):
                    setattr(node, name, part)
                    yield ast.unparse(tree)
                setattr(node, name, value)
        if isinstance(node, ast.Call):
            for i, value in enumerate(node.args):
                for part in _parts(value):
                    node.args[i] = part
                    yield ast.unparse(tree)
                node.args[i] = value


def _parts(expression: ast.expr) -> Iterator[ast.expr]:
    return (part for part in ast.iter_child_nodes(expression) if isinstance(part, ast.expr))
