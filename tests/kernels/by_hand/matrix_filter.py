"""A filter in matrices, by hand: an element of a product of two by two is two products and one sum."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32
Matrix = list[list[sf.Number]]

MOTION = [[b(1.0), b(0.25)], [b(0.0), b(1.0)]]
TURNED = [[b(1.0), b(0.0)], [b(0.25), b(1.0)]]
ONES = [[b(1.0), b(0.0)], [b(0.0), b(1.0)]]
SEEN = [b(1.0), b(0.0)]
TWO = range(2)


def inner(x: list[sf.Number], y: list[sf.Number]) -> sf.Number:
    """The first product, then a product and a sum."""
    return sf.addition(sf.multiplication(x[0], y[0]), sf.multiplication(x[1], y[1]))


def product(x: Matrix, y: Matrix) -> Matrix:
    """Rows by columns."""
    return [[inner(x[r], [y[0][c], y[1][c]]) for c in TWO] for r in TWO]


def kernel(levels: Any) -> Any:
    """What numpy makes inside the kernel is constant: identity, zeros, the noise."""
    p: Matrix = ONES
    state = [b(0.0), b(0.0)]
    estimates = []
    for level in levels.tolist():
        state = [inner(MOTION[0], state), inner(MOTION[1], state)]
        p = product(product(MOTION, p), TURNED)
        p = [[sf.addition(p[r][c], b(0.001)) for c in TWO] for r in TWO]
        total = sf.addition(p[0][0], b(0.2))
        gain = [sf.division(p[r][0], total) for r in TWO]
        surprise = sf.subtraction(b(level), inner(SEEN, state))
        state = [sf.addition(state[r], sf.multiplication(gain[r], surprise)) for r in TWO]
        left = [[sf.subtraction(ONES[r][c], sf.multiplication(gain[r], SEEN[c])) for c in TWO] for r in TWO]
        p = product(left, p)
        estimates.append(state[0])
    return estimates, p
