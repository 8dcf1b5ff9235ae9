"""Energy in bands, by hand: a sum a band, times the width of a bin; then shares and the largest of them."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(spectrum: list[float]) -> Any:
    """Two comparisons find the largest of three shares, one more asks whether it is the sea's."""
    bins = [b(x) for x in spectrum]
    energy = {}
    total = b(0.0)
    for name, first, end in (("swell", 2, 5), ("wind sea", 5, 12), ("chop", 12, 16)):
        band = b(0)
        for n in range(first, end):
            band = sf.addition(band, bins[n])
        energy[name] = sf.multiplication(band, b(0.05))
        total = sf.addition(total, energy[name])
    share = {name: sf.division(value, total) for name, value in energy.items()}
    strongest = "swell"
    for name in ("wind sea", "chop"):
        if sf.compare_signaling_greater(share[name], share[strongest]):
            strongest = name
    leads = sf.compare_signaling_greater(share[strongest], b(0.5))
    return energy, share, strongest if leads else "mixed"
