"""Fast Fourier transforms: loops over Numbers, the definition in many digits, and numpy's results."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import mpmath  # type: ignore[import-untyped]
import numpy
import pytest

import softfloat_py as sf
from tests.numbers.loops import check_against_loop
from tests.numbers.numpy_calls.test_twiddles import point

np: Any = numpy  # whose types know nothing of emulated values

FORMATS = [sf.binary16, sf.binary32, sf.binary128]
LENGTHS = [1, 2, 4, 8, 16, 32]
# Of a transform, in units of 2^-p for each stage: Higham, Accuracy and Stability of Numerical Algorithms,
# second edition, theorem 24.2 (from memory): the error of the twiddles, and 4 √2 for a butterfly.
BOUND = 7


def host_points(n: int, *shape: int) -> Any:
    """Random complex numbers."""
    generator = np.random.default_rng(n)
    return generator.normal(size=(*shape, n)) + 1j * generator.normal(size=(*shape, n))


def parts_of(result: Any) -> list[Any]:
    """Real and imaginary parts, at no cost."""
    return [result.real, result.imag]


# -- transforms of Numbers, recursively, each point a pair of its parts --------------------------------


def times(x: Any, y: Any) -> Any:
    """The product of two pairs."""
    return x[0] * y[0] - x[1] * y[1], x[0] * y[1] + x[1] * y[0]


def plus(x: Any, y: Any) -> Any:
    """The sum of two pairs."""
    return x[0] + y[0], x[1] + y[1]


def minus(x: Any, y: Any) -> Any:
    """The difference of two pairs."""
    return x[0] - y[0], x[1] - y[1]


def constants(fmt: sf.Format, k: int, n: int) -> Any:
    """The point at k parts of a turn."""
    return tuple(fmt(part) for part in point(k, n))


def transform(points: list[Any], fmt: sf.Format, sign: int) -> list[Any]:
    """By halves: the even ones and the odd ones."""
    n = len(points)
    if n == 1:
        return points
    even, odd = (transform(half, fmt, sign) for half in (points[::2], points[1::2]))
    first, second = [], []
    for k, (e, o) in enumerate(zip(even, odd, strict=True)):
        if n >= 4 and k == n // 4:
            lower, upper = (e[0] + o[1], e[1] - o[0]), (e[0] - o[1], e[1] + o[0])
            first.append(lower if sign < 0 else upper)
            second.append(upper if sign < 0 else lower)
            continue
        t = times(constants(fmt, sign * k, n), o) if k else o
        first.append(plus(e, t))
        second.append(minus(e, t))
    return first + second


def inverse_transform(points: list[Any], fmt: sf.Format) -> list[Any]:
    """The other sign, and a factor."""
    n = len(points)
    result = transform(points, fmt, 1)
    return [(x * fmt(1 / n), y * fmt(1 / n)) for x, y in result] if n > 1 else result


def half(x: Any) -> Any:
    """A half of a Number, by a multiplication."""
    return x * 0.5


def real_transform(values: list[Any], fmt: sf.Format) -> list[Any]:
    """Real Numbers as complex ones of half the length."""
    n, zero = len(values), fmt(0)
    if n == 1:
        return [(values[0], zero)]
    h = n // 2
    z = transform(list(zip(values[::2], values[1::2], strict=True)), fmt, -1)
    result: list[Any] = [None] * (h + 1)
    result[0], result[h] = (z[0][0] + z[0][1], zero), (z[0][0] - z[0][1], zero)
    if h > 1:
        result[h // 2] = (z[h // 2][0], -z[h // 2][1])
    for k in range(1, h // 2):
        x, y = z[k], z[h - k]
        even = half(x[0] + y[0]), half(x[1] - y[1])
        odd = half(x[1] + y[1]), half(y[0] - x[0])
        turned = times(constants(fmt, -k, n), odd)
        result[k] = plus(even, turned)
        result[h - k] = (even[0] - turned[0], turned[1] - even[1])
    return result


def inverse_real_transform(points: list[Any], fmt: sf.Format) -> list[Any]:
    """The real Numbers again."""
    h = len(points) - 1
    if h == 0:
        return [points[0][0]]
    z: list[Any] = [None] * h
    z[0] = half(points[0][0] + points[h][0]), half(points[0][0] - points[h][0])
    if h > 1:
        z[h // 2] = (points[h // 2][0], -points[h // 2][1])
    for k in range(1, h // 2):
        x, y = points[k], points[h - k]
        even = half(x[0] + y[0]), half(x[1] - y[1])
        odd = times(constants(fmt, k, 2 * h), (half(x[0] - y[0]), half(x[1] + y[1])))
        z[k] = (even[0] - odd[1], even[1] + odd[0])
        z[h - k] = (even[0] + odd[1], odd[0] - even[1])
    return [part for pair in inverse_transform(z, fmt) for part in pair]


def same_loop(loop: Callable[[], list[Any]], whole: Callable[[], Any]) -> None:
    """Whether a transform is that of a loop: parts, flags, counts."""
    check_against_loop(lambda: list(zip(*loop(), strict=True)), lambda: parts_of(whole()))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("n", LENGTHS)
def test_transforms_are_loops(fmt: sf.Format, n: int) -> None:
    """fft and ifft have the bits, flags and counts of a loop over Numbers with mpmath's constants."""
    points = fmt.complex_array(host_points(n))
    pairs = [(value.real, value.imag) for value in points]
    same_loop(lambda: transform(pairs, fmt, -1), lambda: np.fft.fft(points))
    same_loop(lambda: inverse_transform(pairs, fmt), lambda: np.fft.ifft(points))
    real = [(value, fmt(0)) for value, _ in pairs]
    same_loop(lambda: transform(real, fmt, -1), lambda: np.fft.fft(points.real))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("n", LENGTHS)
def test_transforms_of_real_values_are_loops(fmt: sf.Format, n: int) -> None:
    """rfft and irfft go by a complex transform of half the length."""
    points = fmt.complex_array(host_points(n // 2 + 1))
    values = list(fmt.array(host_points(n).real))
    pairs = [(value.real, value.imag) for value in points]
    same_loop(lambda: real_transform(values, fmt), lambda: np.fft.rfft(fmt.array(values)))
    check_against_loop(lambda: inverse_real_transform(pairs, fmt), lambda: np.fft.irfft(points, n))


@pytest.mark.parametrize("n", [*LENGTHS, 1024])
def test_transforms_are_near_numpy_s(n: int) -> None:
    """In binary64 they agree to the last few digits."""
    values = host_points(n)
    points, real = sf.binary64.complex_array(values), sf.binary64.array(values.real)
    spectrum = values[: n // 2 + 1]
    for expected, result in (
        (np.fft.fft(values), np.fft.fft(points)),
        (np.fft.ifft(values), np.fft.ifft(points)),
        (np.fft.rfft(values.real), np.fft.rfft(real)),
        (np.fft.irfft(spectrum, n), np.fft.irfft(sf.binary64.complex_array(spectrum), n)),
    ):
        np.testing.assert_allclose(result.to_numpy(), expected, rtol=0, atol=2e-14 * np.sqrt(n))


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary64, sf.binary128], ids=repr)
@pytest.mark.parametrize("n", [2, 8, 32])
def test_errors_stay_within_the_bound(fmt: sf.Format, n: int) -> None:
    """Against the definition in 60 digits, the error is as small as theory has it for correct constants."""
    points = fmt.complex_array(host_points(n) / n)
    result = np.fft.fft(points)
    with mpmath.workdps(60):

        def exact(value: Any) -> Any:
            real, imag = (fmt.decode(part.bits) for part in (value.real, value.imag))
            return mpmath.mpc(
                mpmath.mpf(real.numerator) / real.denominator, mpmath.mpf(imag.numerator) / imag.denominator
            )

        values = [exact(value) for value in points]
        defined = [
            mpmath.fsum(x * mpmath.expjpi(-mpmath.mpf(2 * j * k) / n) for j, x in enumerate(values))
            for k in range(n)
        ]
        error = mpmath.norm([exact(value) - y for value, y in zip(result, defined, strict=True)])
        stages = n.bit_length() - 1
        assert error <= BOUND * stages * mpmath.mpf(2) ** -fmt.precision * mpmath.norm(defined)


def test_counts_of_transforms() -> None:
    """The counts that the docstrings state, for 8 complex points and 16 real ones."""
    n = 8
    points, values = sf.binary32.complex_array(host_points(n)), sf.binary32.array(host_points(2 * n).real)

    def counts(compute: Callable[[], Any]) -> dict[str, int]:
        with sf.counting() as tally:
            compute()
        return {operation: calls for (operation, _), calls in tally.calls.items()}

    # n / 2 × log2 n = 12 butterflies, of which 7 have the factor 1 and 3 have -i.
    forward = {"multiplication": 4 * 2, "addition": 12 * 2 + 2, "subtraction": 12 * 2 + 2}
    assert forward == counts(lambda: np.fft.fft(points))
    assert forward | {"multiplication": 4 * 2 + 2 * n} == counts(lambda: np.fft.ifft(points))
    # n / 2 - 1 = 3 pairs, each with 4 halves, a product and 8 sums; 2 sums for the ends, 1 negate between.
    split = {
        "multiplication": 8 + 3 * 8,
        "addition": 26 + 3 * 5 + 1,
        "subtraction": 26 + 3 * 5 + 1,
        "negate": 1,
    }
    assert split == counts(lambda: np.fft.rfft(values))
    back = split | {"multiplication": 8 + 3 * 8 + 2 + 2 * n}
    assert back == counts(lambda: np.fft.irfft(sf.binary32.complex_array(host_points(n + 1))))


@pytest.mark.parametrize("axis", [0, 1, -1])
@pytest.mark.parametrize("n", [None, 2, 8])
def test_axes_and_lengths_are_numpy_s(axis: int, n: int | None) -> None:
    """A transform goes along one axis, cut off or filled up with zeros to n."""
    values = host_points(4, 2, 4)[:, :4]
    points, real = sf.binary64.complex_array(values), sf.binary64.array(values.real)
    for expected, result in (
        (np.fft.fft(values, n, axis), np.fft.fft(points, n, axis)),
        (np.fft.ifft(values, n, axis), np.fft.ifft(points, n, axis)),
        (np.fft.rfft(values.real, n, axis), np.fft.rfft(real, n, axis)),
        (np.fft.irfft(values, n or 4, axis), np.fft.irfft(points, n or 4, axis)),
        (np.fft.irfft(values.real, n or 4, axis), np.fft.irfft(real, n or 4, axis)),
    ):
        np.testing.assert_allclose(result.to_numpy(), expected, rtol=0, atol=1e-14)


def test_operands_stay_as_they_are() -> None:
    """A transform is made in memory of its own."""
    for n in (1, 4):
        points = sf.binary32.complex_array(host_points(n))
        before = repr(points)
        for result in (np.fft.fft(points), np.fft.ifft(points), np.fft.fft(points.real)):
            result[...] = 9
        np.fft.rfft(points.real).real[...] = 9
        np.fft.irfft(points, 1)[...] = 9
        assert before == repr(points)


REFUSED: dict[str, Callable[[Any], Any]] = {
    r"^numpy\.fft\.fft needs a length that is a power of two, not 6; .* n=8$": lambda x: np.fft.fft(x[:6]),
    r"^numpy\.fft\.rfft needs a length that is a power of two, not 3;": lambda x: np.fft.rfft(x, 3),
    r"^numpy\.fft\.ifft needs a length that is a power of two, not 0;": lambda x: np.fft.ifft(x[:0]),
    r"^numpy\.fft\.irfft needs a length that is a power of two, not 14;": lambda x: np.fft.irfft(x),
    r"^numpy\.fft\.fft needs an array with at least one axis": lambda x: np.fft.fft(x[0]),
    r"^numpy\.fft\.irfft needs an array with at least one axis": lambda x: np.fft.irfft(x[0]),
    r"^numpy\.fft\.rfft needs real values, not complex ones": lambda x: np.fft.rfft(np.fft.fft(x)),
    r"^norm='ortho' of numpy\.fft\.fft is not emulated": lambda x: np.fft.fft(x, norm="ortho"),
    r"^norm='forward' of numpy\.fft\.irfft is not emulated": lambda x: np.fft.irfft(x, 8, norm="forward"),
    r"^numpy\.fft\.fft2 is not emulated, .* fft\.fft along one axis at a time$": lambda x: np.fft.fft2(x),
}


@pytest.mark.parametrize(("message", "call"), REFUSED.items())
def test_what_is_refused(message: str, call: Callable[[Any], Any]) -> None:
    """Other lengths, factors and kinds of transforms say so."""
    with pytest.raises((sf.OperandError, sf.NotEmulatedError), match=message):
        call(sf.binary32.arange(8))


def test_shifts_only_move() -> None:
    """fftshift and ifftshift are numpy's, on real and complex values, and cost nothing."""
    values = host_points(5, 4)
    with sf.counting() as tally:
        for shift in (np.fft.fftshift, np.fft.ifftshift):
            for axes in (None, 0, (1,), (-1, 0)):
                moved = shift(sf.binary64.complex_array(values), axes)
                np.testing.assert_array_equal(shift(values, axes), moved.to_numpy())
                moved = shift(sf.binary64.array(values.real), axes=axes)
                np.testing.assert_array_equal(shift(values.real, axes), moved.to_numpy())
    assert {} == tally.calls


def test_frequencies() -> None:
    """fftfreq and rfftfreq take no arrays: of a constant they are host arrays, of a Number emulated."""
    for frequencies in (np.fft.fftfreq, np.fft.rfftfreq):
        expected = frequencies(8, 0.25)
        constants = sf.binary32.array(frequencies(8, 0.25))
        emulated = frequencies(8, sf.binary32(0.25))
        assert expected.tolist() == constants.to_numpy().tolist() == emulated.to_numpy().tolist()
