"""Fast Fourier transforms of power-of-two lengths, as a C programmer writes them by hand.

Radix 2, decimation in time, in place (Cooley and Tukey 1965; Cormen et al., Introduction to Algorithms,
"Efficient FFT implementations"; both from memory). The elements are put in the order of their indices with
reversed bits, which is not counted. Stages of size 2, 4 and so on to n follow, each of n / 2 butterflies,
for k below size / 2: t = w × odd, then even + t and even - t, where w = exp(-2πi k / size) is a constant,
correctly rounded. Counted a butterfly: two additions and two subtractions for even ± t, and for the product
four multiplications, a subtraction and an addition, but nothing where w is 1 (k = 0) or -i (k = size / 4,
where parts change places, and a sum its sign). So n points have n / 2 × log2(n) butterflies, of which, for n
from 2 on, (n - 1) + (n / 2 - 1) have no product. The inverse takes the conjugate constants, then multiplies
each part by 1 / n: 2 n multiplications, none for n = 1.

Real values given to `fft` get the imaginary part +0, with which is computed; `real_transforms` is cheaper.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.lib.array_utils import normalize_axis_tuple

from softfloat_py.errors import NotEmulatedError, OperandError
from softfloat_py.numbers.complex import complex_arithmetic as arithmetic
from softfloat_py.numbers.complex.complex_array import ComplexArray
from softfloat_py.numbers.complex.complex_value import combined, complex_of, pair_beside
from softfloat_py.numbers.functions import addition, subtraction
from softfloat_py.numbers.makers import full
from softfloat_py.numbers.numpy_calls.twiddles import circle


def fft(a: Any, n: int | None = None, axis: int = -1, norm: str | None = None) -> Any:
    """The complex transform of n points along an axis, cut off or filled up with zeros to n, a power of two.

    Counts: see the module. Raises OperandError for another length, NotEmulatedError for another `norm` than
    "backward".
    """
    points = as_complex(points_of("numpy.fft.fft", a, n, axis, norm))
    return moved_back(transformed(points, inverse=False), axis)


def ifft(a: Any, n: int | None = None, axis: int = -1, norm: str | None = None) -> Any:
    """The inverse of `fft`, with the factor 1 / n; counts: see the module."""
    points = as_complex(points_of("numpy.fft.ifft", a, n, axis, norm))
    return moved_back(scaled(transformed(points, inverse=True)), axis)


def transformed(points: ComplexArray, inverse: bool) -> ComplexArray:
    """The transform along the last axis, without a factor."""
    n = points.shape[-1]
    digits = n.bit_length() - 1
    reversed_indices = [int(f"{k:0{digits}b}"[::-1], 2) for k in range(n)]
    result: ComplexArray = points[..., reversed_indices].copy()  # so that each stage is a view of it
    size = 2
    while size <= n:
        _stage(result.reshape(*points.shape[:-1], n // size, size), inverse)
        size *= 2
    return result


def _stage(points: ComplexArray, inverse: bool) -> None:
    """The butterflies of one size, the last axis, in place."""
    size = points.shape[-1]
    half, quarter = size // 2, size // 4
    even, odd = points[..., :half].copy(), points[..., half:].copy()
    products = [k for k in range(1, half) if k != quarter]
    if products:
        odd[..., products] = circle(points.format, size, inverse)[products] * odd[..., products]
    straight = [0, *products]
    points[..., straight] = even[..., straight] + odd[..., straight]
    points[..., [half + k for k in straight]] = even[..., straight] - odd[..., straight]
    if quarter:
        lower, upper = (half + quarter, quarter) if inverse else (quarter, half + quarter)
        points[..., lower] = _less_turned(even[..., quarter], odd[..., quarter])
        points[..., upper] = plus_turned(even[..., quarter], odd[..., quarter])


def _less_turned(even: Any, odd: Any) -> Any:
    """even - i × odd."""
    return complex_of(addition(even.real, odd.imag), subtraction(even.imag, odd.real))


def plus_turned(even: Any, odd: Any) -> Any:
    """even + i × odd."""
    return complex_of(subtraction(even.real, odd.imag), addition(even.imag, odd.real))


def scaled(points: ComplexArray) -> ComplexArray:
    """The points times 1 / n, a constant."""
    n = points.shape[-1]
    if n == 1:
        return points
    factor = pair_beside(points.format, Fraction(1, n), "numpy.fft")
    result: ComplexArray = combined(arithmetic.product, points.pair, factor)
    return result


# -- what goes in and comes out ---------------------------------------------------------------------


def points_of(function: str, a: Any, n: int | None, axis: int, norm: str | None) -> Any:
    """The values, the axis moved to the end and of n elements, after a look at what was asked for."""
    along = along_axis(function, a, axis)
    n = along.shape[-1] if n is None else n
    check_length(function, n, norm)
    return of_length(along, n)


def along_axis(function: str, a: Any, axis: int) -> Any:
    """The values with an axis moved to the end."""
    if np.ndim(a) == 0:
        raise OperandError(f"{function} needs an array with at least one axis, not a single number")
    return np.moveaxis(a, axis, -1)


def check_length(function: str, n: int, norm: str | None) -> None:
    """Raise an error for a length that is no power of two, or a factor that is not the usual one."""
    if norm not in (None, "backward"):
        raise NotEmulatedError(f"norm={norm!r} of {function}", f"{function} and a multiplication")
    if n < 1 or n & (n - 1):
        raise OperandError(
            f"{function} needs a length that is a power of two, not {n}; fill up with zeros, for example "
            f"n={1 << max(n - 1, 0).bit_length()}"
        )


def of_length(values: Any, n: int) -> Any:
    """The values cut off, or filled up with zeros, to n along the last axis."""
    missing = n - values.shape[-1]
    if missing <= 0:
        return values[..., :n]
    return np.concatenate([values, full(values.format, (*values.shape[:-1], missing), 0)], -1)


def as_complex(values: Any) -> ComplexArray:
    """Complex values as they are; real ones with the imaginary part +0."""
    if isinstance(values, ComplexArray):
        return values
    return ComplexArray._of(values, full(values.format, values.shape, 0))


def moved_back(values: Any, axis: int) -> Any:
    """The values with the last axis moved to where it was."""
    return np.moveaxis(values, -1, axis)


# -- moving -----------------------------------------------------------------------------------------


def fftshift(x: Any, axes: Any = None) -> Any:
    """The point 0 moved from the beginning of each axis to its middle; not counted."""
    return _shifted(x, axes, 1)


def ifftshift(x: Any, axes: Any = None) -> Any:
    """The inverse of `fftshift`; not counted."""
    return _shifted(x, axes, -1)


def _shifted(x: Any, axes: Any, sign: int) -> Any:
    shape = np.shape(x)
    places = normalize_axis_tuple(range(len(shape)) if axes is None else axes, len(shape))
    return np.roll(x, [sign * (shape[place] // 2) for place in places], places)


ROWS: dict[Callable[..., Any], Callable[..., Any]] = {
    np.fft.fft: fft,
    np.fft.ifft: ifft,
    np.fft.fftshift: fftshift,
    np.fft.ifftshift: ifftshift,
}
