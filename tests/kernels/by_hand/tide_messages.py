"""Levels in messages, by hand: what a text says is a constant."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(messages: list[str], datum: float) -> Any:
    """Two differences a level; comparisons with zero, in the sort, and with two up to the first."""
    levels = []
    for message in messages:
        station, text = message.split("=")
        if text and text != "?":
            levels.append((b(float(text)), station))
    above = [sf.subtraction(sf.subtraction(level, b(datum)), b(0.5)) for level, _ in levels]
    high = sum(sf.compare_signaling_greater(x, b(0)) for x in above)
    ranked = sorted(levels, key=lambda pair: pair[0], reverse=True)
    report = ", ".join(f"{station} {level:.2f}" for level, station in ranked)
    flooded = False
    for x in above:
        if sf.compare_signaling_greater(x, b(2)):
            flooded = True
            break
    return above, high, report, len(messages) - len(levels), flooded
