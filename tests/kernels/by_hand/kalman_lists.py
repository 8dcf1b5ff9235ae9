"""A Kalman filter of two states, by hand: each element of a matrix product is two products and two sums."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32
Matrix = list[list[sf.Number]]

MOTION = [[b(1.0), b(0.5)], [b(0.0), b(1.0)]]
TURNED = [[b(1.0), b(0.0)], [b(0.5), b(1.0)]]
PROCESS = [[b(0.01), b(0.0)], [b(0.0), b(0.02)]]


def product(x: Matrix, y: Matrix) -> Matrix:
    """Sums start from the constant zero, as Python's sum does."""
    result = []
    for row in x:
        line = []
        for j in range(len(y[0])):
            total = b(0)
            for k in range(len(y)):
                total = sf.addition(total, sf.multiplication(row[k], y[k][j]))
            line.append(total)
        result.append(line)
    return result


def kernel(positions: list[float]) -> Any:
    """The zeros and ones of the matrices are multiplied as all else: the kernel has no other rule."""
    state = [[b(positions[0])], [b(0.0)]]
    p: Matrix = [[b(1.0), b(0.0)], [b(0.0), b(1.0)]]
    for z in positions[1:]:
        state = product(MOTION, state)
        p = product(product(MOTION, p), TURNED)
        p = [[sf.addition(p[r][c], PROCESS[r][c]) for c in (0, 1)] for r in (0, 1)]
        surprise = sf.subtraction(b(z), state[0][0])
        total = sf.addition(p[0][0], b(0.25))
        gain = [sf.division(p[0][0], total), sf.division(p[1][0], total)]
        state = [[sf.addition(state[r][0], sf.multiplication(gain[r], surprise))] for r in (0, 1)]
        p = [[sf.subtraction(p[r][c], sf.multiplication(gain[r], p[0][c])) for c in (0, 1)] for r in (0, 1)]
    return state, p
