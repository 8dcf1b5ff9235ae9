"""Power spectrum of sixteen samples, in place, whose twiddles are computed as the transform goes."""

import math

N = 16


def in_reversed_order(values):
    digits = int(math.log2(N))
    return [values[int(f"{place:0{digits}b}"[::-1], 2)] for place in range(N)]


def kernel(samples):
    re = in_reversed_order(samples)
    im = [0.0] * N
    size = 2
    while size <= N:
        for k in range(size // 2):
            angle = -2.0 * math.pi * k / size
            c, s = math.cos(angle), math.sin(angle)
            for low in range(k, N, size):
                high = low + size // 2
                turned_re = c * re[high] - s * im[high]
                turned_im = c * im[high] + s * re[high]
                re[low], re[high] = re[low] + turned_re, re[low] - turned_re
                im[low], im[high] = im[low] + turned_im, im[low] - turned_im
        size *= 2
    return [math.hypot(r, i) for r, i in zip(re[: N // 2 + 1], im)]


def inputs():
    return ([0.3 * math.sin(0.9 * n) + 0.25 * math.cos(2.1 * n) for n in range(N)],)
