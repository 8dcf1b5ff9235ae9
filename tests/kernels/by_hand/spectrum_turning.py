"""The spectrum with computed twiddles, by hand: fifteen angles, each with its cosine and its sine."""

from __future__ import annotations

import math
from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32
N = 16


def times(x: sf.Number, y: sf.Number) -> sf.Number:
    """A product, with a short name."""
    return sf.multiplication(x, y)


def kernel(samples: list[float]) -> Any:
    """Minus twice pi is a constant, k and the size are integers; 32 butterflies of ten operations."""
    re = [b(samples[int(f"{place:04b}"[::-1], 2)]) for place in range(N)]
    im = [b(0.0)] * N
    for size in (2, 4, 8, 16):
        for k in range(size // 2):
            angle = sf.division(times(b(-2 * math.pi), real(k)), real(size))
            c, s = sf.cos(angle), sf.sin(angle)
            for low in range(k, N, size):
                high = low + size // 2
                turned_re = sf.subtraction(times(c, re[high]), times(s, im[high]))
                turned_im = sf.addition(times(c, im[high]), times(s, re[high]))
                re[low], re[high] = sf.addition(re[low], turned_re), sf.subtraction(re[low], turned_re)
                im[low], im[high] = sf.addition(im[low], turned_im), sf.subtraction(im[low], turned_im)
    return [sf.hypot(r, i) for r, i in zip(re[:9], im[:9], strict=True)]
