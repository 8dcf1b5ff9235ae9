"""Fast Fourier transforms of real values, by a complex one of half the length (common practice, no source).

n reals are taken as n / 2 complex numbers, whose transform is split into those of the even and the odd ones,
or the other way round. n is a power of two.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import OperandError
from softfloat_py.numbers.complex.complex_array import ComplexArray
from softfloat_py.numbers.complex.complex_value import complex_of
from softfloat_py.numbers.functions import addition, multiplication, subtraction
from softfloat_py.numbers.makers import full
from softfloat_py.numbers.numpy_calls.transforms import (
    along_axis,
    as_complex,
    check_length,
    moved_back,
    of_length,
    plus_turned,
    points_of,
    scaled,
    transformed,
)
from softfloat_py.numbers.numpy_calls.twiddles import circle


def rfft(a: Any, n: int | None = None, axis: int = -1, norm: str | None = None) -> Any:
    """The first n / 2 + 1 points of the transform of n real ones; the others are their conjugates.

    With h = n / 2, z[k] = a[2k] + i a[2k + 1] is transformed by `fft`. Then for each k from 1 to h / 2 - 1,
    with m = h - k: e = (z[k] + conj z[m]) / 2, o = (z[k] - conj z[m]) / 2i, t = exp(-2πi k / n) × o, and the
    points are e + t at k, conj(e - t) at m: four multiplications by 0.5, a complex product, eight additions
    or subtractions. The points at 0 and h are real, real(z[0]) ± imag(z[0]), with +0 beside them; that at
    h / 2 is conj z[h / 2], a negate.
    """
    points = points_of("numpy.fft.rfft", a, n, axis, norm)
    if isinstance(points, ComplexArray):
        raise OperandError("numpy.fft.rfft needs real values, not complex ones, which numpy.fft.fft takes")
    n = points.shape[-1]
    half, quarter = n // 2, n // 4
    zeros = full(points.format, (*points.shape[:-1], half + 1), 0)
    result = ComplexArray._of(zeros, zeros.copy())
    if n == 1:
        result.real = points
        return moved_back(result, axis)
    z = transformed(ComplexArray._of(points[..., 0::2], points[..., 1::2]), inverse=False)
    result.real[..., 0] = addition(z.real[..., 0], z.imag[..., 0])
    result.real[..., half] = subtraction(z.real[..., 0], z.imag[..., 0])
    if quarter:
        result[..., quarter] = z[..., quarter].conj()
    if quarter > 1:
        ahead, behind = _pairs(half)
        first, last = z[..., ahead], z[..., behind]
        even = _even(first, last)
        odd = complex_of(_half_sum(first.imag, last.imag), _half_difference(last.real, first.real))
        turned = circle(points.format, n, False)[ahead] * odd
        result[..., ahead] = even + turned
        result.real[..., behind] = subtraction(even.real, turned.real)
        result.imag[..., behind] = subtraction(turned.imag, even.imag)
    return moved_back(result, axis)


def irfft(a: Any, n: int | None = None, axis: int = -1, norm: str | None = None) -> Any:
    """n real points whose transform begins with the n / 2 + 1 given ones: the inverse of `rfft`.

    n is twice the number of given points less two where it is not stated. With h = n / 2, for each k from 1
    to h / 2 - 1 and m = h - k: e = (a[k] + conj a[m]) / 2, o = exp(2πi k / n) × (a[k] - conj a[m]) / 2, and
    z is e + i o at k, conj(e) + i conj(o) at m, with the counts of `rfft`. The parts of z[0] are (real(a[0])
    ± real(a[h])) / 2, an addition, a subtraction and two multiplications; z[h / 2] is conj a[h / 2], a
    negate. The real and imaginary parts of the inverse transform of z are the even and the odd points. As in
    numpy, imaginary parts at 0 and h are not looked at.
    """
    along = along_axis("numpy.fft.irfft", a, axis)
    n = 2 * (along.shape[-1] - 1) if n is None else n
    check_length("numpy.fft.irfft", n, norm)
    half, quarter = n // 2, n // 4
    points = as_complex(of_length(along, half + 1))
    if n == 1:
        return moved_back(points.real.copy(), axis)
    z = points[..., :half].copy()
    z.real[..., 0] = _half_sum(points.real[..., 0], points.real[..., half])
    z.imag[..., 0] = _half_difference(points.real[..., 0], points.real[..., half])
    if quarter:
        z[..., quarter] = points[..., quarter].conj()
    if quarter > 1:
        ahead, behind = _pairs(half)
        first, last = points[..., ahead], points[..., behind]
        even = _even(first, last)
        odd = complex_of(_half_difference(first.real, last.real), _half_sum(first.imag, last.imag))
        odd = circle(points.format, n, True)[ahead] * odd
        z[..., ahead] = plus_turned(even, odd)
        z.real[..., behind] = addition(even.real, odd.imag)
        z.imag[..., behind] = subtraction(odd.real, even.imag)
    z = scaled(transformed(z, inverse=True))
    result: Any = np.stack([z.real, z.imag], axis=-1)
    return moved_back(result.reshape(*z.shape[:-1], n), axis)


def _pairs(half: int) -> tuple[slice, slice]:
    """The places from 1 up to below half / 2, and those as far from `half`."""
    return slice(1, half // 2), slice(half - 1, half // 2, -1)


def _even(first: ComplexArray, last: ComplexArray) -> Any:
    """(first + conj last) / 2."""
    return complex_of(_half_sum(first.real, last.real), _half_difference(first.imag, last.imag))


def _half_sum(x: Any, y: Any) -> Any:
    return multiplication(addition(x, y), 0.5)


def _half_difference(x: Any, y: Any) -> Any:
    return multiplication(subtraction(x, y), 0.5)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.fft.rfft: rfft,
    np.fft.irfft: irfft,
}
