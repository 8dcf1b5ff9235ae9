"""Power spectrum of sixteen samples by a recursive transform of radix two; the twiddles are a table."""

from math import cos, pi, sin

N = 16
TWIDDLES = [(cos(2 * pi * k / N), -sin(2 * pi * k / N)) for k in range(N // 2)]


def fft(re, im):
    n = len(re)
    if n == 1:
        return re, im
    even_re, even_im = fft(re[0::2], im[0::2])
    odd_re, odd_im = fft(re[1::2], im[1::2])
    out_re, out_im = [0.0] * n, [0.0] * n
    for k in range(n // 2):
        c, s = TWIDDLES[k * (N // n)]
        turned_re = c * odd_re[k] - s * odd_im[k]
        turned_im = c * odd_im[k] + s * odd_re[k]
        out_re[k] = even_re[k] + turned_re
        out_im[k] = even_im[k] + turned_im
        out_re[k + n // 2] = even_re[k] - turned_re
        out_im[k + n // 2] = even_im[k] - turned_im
    return out_re, out_im


def kernel(samples, window):
    windowed = [w * x for w, x in zip(window, samples)]
    re, im = fft(windowed, [0.0] * N)
    return [r * r + i * i for r, i in zip(re, im)][: N // 2 + 1]


def inputs():
    samples = [sin(0.9 * n) + 0.25 * cos(2.1 * n) for n in range(N)]
    window = tuple(0.5 - 0.5 * cos(2 * pi * n / N) for n in range(N))
    return samples, window
