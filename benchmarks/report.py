"""The rows as one table, or as JSON."""

from __future__ import annotations

import json
import platform
from collections.abc import Sequence
from typing import Any

from benchmarks.peers import versions
from benchmarks.row import Row, Target
from benchmarks.sizes import Sizes
from softfloat_py.views.layout import columns, grouped

PEERS = ("gmpy2", "mpmath", "numpy", "python")
HEADINGS = ("", "options", "ours", *PEERS, "", *(f"ours/{peer}" for peer in PEERS), "target", "")
ALIGNMENT = "<<>>>>><>>>><<"
VERDICTS = {True: "met", False: "missed", None: ""}


def text(rows: Sequence[Row], sizes: Sizes) -> str:
    """A heading, the table, and a count of the targets."""
    judged = [row.met for row in rows if row.met is not None]
    table = columns([HEADINGS, *(_cells(row) for row in rows)], ALIGNMENT)
    verdict = f"{sum(judged)} of {len(judged)} targets met"
    return "\n".join([*_heading(sizes), "", *table, "", verdict])


def json_text(rows: Sequence[Row], sizes: Sizes) -> str:
    """The same as JSON."""
    return json.dumps({"measured": _heading(sizes), "rows": [_data(row) for row in rows]}, indent=2)


def _heading(sizes: Sizes) -> list[str]:
    return [
        f"Python {platform.python_version()} on {platform.machine()}, {versions()}",
        f"arrays: {grouped(sizes.elements)} normal numbers, {grouped(sizes.wide_elements)} of binary128, "
        f"{grouped(sizes.function_elements)} for elementary functions; "
        f"mpmath on one in {sizes.mpmath_share}; gmpy2 in lists or arrays of objects, whichever is faster",
        f"scalars: {grouped(sizes.numbers)} operations one by one; texts: {grouped(sizes.texts)} one by one",
        "ours is counted, texts apart, up to reading the tally's steps; ns an operation, ms in all",
        f"best of {sizes.rounds} rounds, everyone in turn; first use and pricing: best of {sizes.processes} "
        f"processes; imports: median of {sizes.imports}",
    ]


def _cells(row: Row) -> list[str]:
    figures = [three_digits(row.peers[peer]) if peer in row.peers else "" for peer in PEERS]
    ratios = [three_digits(row.ratios[peer]) if peer in row.ratios else "" for peer in PEERS]
    target = "" if row.target is None else _target(row.target, row.unit)
    ours = three_digits(row.ours)
    return [row.what, row.options, ours, *figures, row.unit, *ratios, target, VERDICTS[row.met]]


def _target(target: Target, unit: str) -> str:
    return f"≤ {target.limit:g} × {target.peer}" if target.peer else f"≤ {target.limit:g} {unit}"


def _data(row: Row) -> dict[str, Any]:
    return {
        "what": row.what,
        "options": row.options,
        "unit": row.unit,
        "ours": row.ours,
        "peers": dict(row.peers),
        "ratios": row.ratios,
        "target": None if row.target is None else row.target._asdict(),
        "met": row.met,
    }


def three_digits(figure: float) -> str:
    """A figure with two decimals below ten, one below a hundred, none above."""
    decimals = 2 if figure < 9.995 else 1 if figure < 99.95 else 0
    return f"{figure:.{decimals}f}"
