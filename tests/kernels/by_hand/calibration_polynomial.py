"""A polynomial, by hand: a square is one product, a cube two, a fourth power two; a root and a quotient."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32
C = [b(0.012), b(1.0035), b(-0.0021), b(0.00008)]


def kernel(readings: list[float]) -> Any:
    """Horner from the constant zero has a product and a sum more than Horner from the first coefficient."""
    samples = [b(x) for x in readings]
    out = []
    for x in samples:
        y = b(0.0)
        for c in reversed(C):
            y = sf.addition(sf.multiplication(y, x), c)
        square = sf.multiplication(x, x)
        cube = sf.multiplication(sf.multiplication(x, x), x)
        written = sf.addition(b(0.012), sf.multiplication(b(1.0035), x))
        written = sf.subtraction(written, sf.multiplication(b(0.0021), square))
        written = sf.addition(written, sf.multiplication(b(0.00008), cube))
        again = sf.multiplication(x, x)
        fourth = sf.multiplication(again, again)
        bent = sf.addition(sf.square_root(x), sf.division(b(1), x))
        bent = sf.subtraction(bent, sf.multiplication(b(0.5), fourth))
        out.append((y, written, bent))
    folded = C[3]
    for c in (C[2], C[1], C[0]):
        folded = sf.addition(sf.multiplication(folded, samples[0]), c)
    return out, folded
