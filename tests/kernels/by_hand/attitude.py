"""A quaternion turned by rates, by hand: products, then Newton's root and four divisions."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32
HALF_STEP = b(0.01)


def root(square: sf.Number) -> sf.Number:
    """Each round: a division, a sum, a product, and a difference, its magnitude and a comparison."""
    guess = b(1.0)
    while True:
        better = sf.multiplication(b(0.5), sf.addition(guess, sf.division(square, guess)))
        if sf.compare_signaling_less(sf.absolute(sf.subtraction(better, guess)), b(1e-6)):
            return better
        guess = better


def times(x: sf.Number, y: sf.Number) -> sf.Number:
    """A product, with a short name."""
    return sf.multiplication(x, y)


def kernel(rates: list[tuple[float, float, float]]) -> Any:
    """The upright attitude is a constant; the tilt is six operations, the last of all a change of sign."""
    w, x, y, z = b(1.0), b(0.0), b(0.0), b(0.0)
    for rate in rates:
        p, q, r = map(b, rate)
        turn_w = sf.addition(sf.addition(times(x, p), times(y, q)), times(z, r))
        turn_x = sf.subtraction(sf.addition(times(w, p), times(y, r)), times(z, q))
        turn_y = sf.addition(sf.subtraction(times(w, q), times(x, r)), times(z, p))
        turn_z = sf.subtraction(sf.addition(times(w, r), times(x, q)), times(y, p))
        raw = [
            sf.subtraction(w, times(HALF_STEP, turn_w)),
            sf.addition(x, times(HALF_STEP, turn_x)),
            sf.addition(y, times(HALF_STEP, turn_y)),
            sf.addition(z, times(HALF_STEP, turn_z)),
        ]
        square = b(0)
        for part in raw:
            square = sf.addition(square, times(part, part))
        length = root(square)
        w, x, y, z = (sf.division(part, length) for part in raw)
    lean = times(b(2), sf.addition(times(x, x), times(y, y)))
    return (w, x, y, z), sf.subtraction(b(1), lean), sf.negate(z)
