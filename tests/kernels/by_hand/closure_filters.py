"""Filters in closures, by hand: low-passes of a difference, a product and a sum; a high-pass."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(samples: list[float]) -> Any:
    """The states start from zero, and the first step computes with it."""
    quick, slow = b(0.0), b(0.0)
    out = []
    for sample in samples:
        x = b(sample)
        quick = sf.addition(quick, sf.multiplication(b(0.5), sf.subtraction(x, quick)))
        slow = sf.addition(slow, sf.multiplication(b(0.1), sf.subtraction(x, slow)))
        out.append((quick, sf.multiplication(b(1.25), sf.subtraction(x, slow))))
    return out
