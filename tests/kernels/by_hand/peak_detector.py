"""Crests of a heave record, by hand: two or three comparisons a sample, then those for the highest."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def is_crest(before: sf.Number, here: sf.Number, after: sf.Number) -> bool:
    """Above a quarter of a metre, above the sample before, not below the one after."""
    if sf.compare_signaling_less(here, b(0.25)):
        return False
    if not sf.compare_signaling_less(before, here):
        return False
    return sf.compare_signaling_greater_equal(here, after)


def kernel(heave: list[float]) -> Any:
    """Twice the threshold is a constant."""
    h = [b(x) for x in heave]
    crests = []
    i = 1
    while i < len(h) - 1:
        found = is_crest(h[i - 1], h[i], h[i + 1])
        if found:
            crests.append((i, h[i]))
        i += 3 if found else 1
    highest = crests[0][1]
    for _, height in crests[1:]:
        if sf.compare_signaling_greater(height, highest):
            highest = height
    return crests, highest, sf.compare_signaling_greater(highest, b(0.5))
