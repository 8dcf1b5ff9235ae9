"""Two second-order sections, by hand: five products, two sums, two differences a section and sample."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32
B = [[b(0.2066), b(0.4131), b(0.2066)], [b(0.8), b(-1.6), b(0.8)]]
A = [[b(-0.3695), b(0.1958)], [b(-1.5610), b(0.6414)]]


def kernel(acceleration: tuple[float, ...]) -> Any:
    """Both states of both sections start from zero."""
    first, second = [b(0.0), b(0.0)], [b(0.0), b(0.0)]
    filtered = []
    for sample in acceleration:
        x = b(sample)
        for n in (0, 1):
            y = sf.addition(sf.multiplication(B[n][0], x), first[n])
            difference = sf.subtraction(sf.multiplication(B[n][1], x), sf.multiplication(A[n][0], y))
            first[n] = sf.addition(difference, second[n])
            second[n] = sf.subtraction(sf.multiplication(B[n][2], x), sf.multiplication(A[n][1], y))
            x = y
        filtered.append(x)
    return filtered
