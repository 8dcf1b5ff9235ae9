"""Points on the unit circle: correctly rounded, by mpmath with many more digits."""

from __future__ import annotations

from fractions import Fraction

import mpmath  # type: ignore[import-untyped]
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.twiddles import circle

FORMATS = [sf.ofp8_e4m3, sf.bfloat16, sf.binary16, sf.binary32, sf.binary64, sf.extended80, sf.binary128]


def exact(value: mpmath.mpf) -> Fraction:
    """An mpmath number as a fraction."""
    sign, significand, exponent, _ = value._mpf_
    magnitude = int(significand) * Fraction(2) ** int(exponent)
    return -magnitude if sign else magnitude


def point(k: int, points: int) -> tuple[Fraction, Fraction]:
    """cos and sin of k parts of a turn, to 200 digits; what is zero exactly."""
    with mpmath.workdps(200):
        angle = 2 * mpmath.mpf(k) / points
        return exact(mpmath.cospi(angle)), exact(mpmath.sinpi(angle))


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
@pytest.mark.parametrize("rounding", sf.Rounding)
@pytest.mark.parametrize("inverse", [False, True])
def test_points_are_correctly_rounded(fmt: sf.Format, rounding: sf.Rounding, inverse: bool) -> None:
    """Both parts are the exact values rounded once, in every direction; nothing is counted or raised."""
    points = 64
    with sf.environment(rounding=rounding) as seen, sf.counting() as tally:
        made = circle(fmt, points, inverse)
    assert (points // 2, 0, sf.Flags.NONE) == (len(made), tally.total_calls, seen.flags)
    for k, number in enumerate(made):
        expected = point(k if inverse else -k, points)
        for part, value in zip((number.real, number.imag), expected, strict=True):
            assert fmt.encode(value, rounding)[0] == part.bits, (k, part)


@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32, sf.binary64, sf.binary128], ids=repr)
def test_points_of_a_long_transform(fmt: sf.Format) -> None:
    """With many points, sines become small, which costs no digit."""
    made = circle(fmt, 1 << 12, False)
    for k in (1, 2, 3, 511, 512, 513, 1023, 1025, 1535, 1537, 2047):
        for part, value in zip((made[k].real, made[k].imag), point(-k, 1 << 12), strict=True):
            assert fmt.encode(value)[0] == part.bits
