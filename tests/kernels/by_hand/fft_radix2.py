"""The power spectrum, by hand: in place, after reordering, a butterfly of ten operations at a time."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf

b = sf.binary32
N = 16


def reversed_bits(place: int) -> int:
    """The place with its four bits in reverse."""
    return int(f"{place:04b}"[::-1], 2)


def kernel(samples: list[float], window: tuple[float, ...]) -> Any:
    """Sixteen products with the window, 32 butterflies of 4 products, 6 sums; 9 + 7 powers."""
    windowed = [sf.multiplication(b(w), b(x)) for w, x in zip(window, samples, strict=True)]
    re = [windowed[reversed_bits(place)] for place in range(N)]
    im = [b(0.0)] * N
    size = 2
    while size <= N:
        for start in range(0, N, size):
            for k in range(size // 2):
                angle = 2 * math.pi * (k * (N // size)) / N
                c, s = b(math.cos(angle)), b(-math.sin(angle))
                low, high = start + k, start + k + size // 2
                turned_re = sf.subtraction(sf.multiplication(c, re[high]), sf.multiplication(s, im[high]))
                turned_im = sf.addition(sf.multiplication(c, im[high]), sf.multiplication(s, re[high]))
                re[low], re[high] = re[low] + turned_re, re[low] - turned_re
                im[low], im[high] = im[low] + turned_im, im[low] - turned_im
        size *= 2
    powers = [sf.addition(r * r, i * i) for r, i in zip(re, im, strict=True)]
    return powers[:9]
