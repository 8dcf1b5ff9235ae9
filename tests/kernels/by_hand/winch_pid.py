"""The controller of the winch, by hand: the reciprocal of the rate is a constant, the rate is one too."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf

b = sf.binary32


def kernel(target: float, start: float, steps: int) -> Any:
    """The first step has no slope: neither its difference nor its product with the rate is computed."""
    p, i, d = b(1.8), b(0.6), b(0.05)
    goal, depth = b(target), b(start)
    integral, last = b(0.0), None
    log = []
    for _ in range(steps):
        error = sf.subtraction(goal, depth)
        integral = sf.addition(integral, sf.multiplication(error, b(0.1)))
        if last is None:
            slope = b(0.0)
        else:
            slope = sf.multiplication(sf.subtraction(error, last), b(10.0))
        last = error
        wanted = sf.addition(sf.multiplication(p, error), sf.multiplication(i, integral))
        wanted = sf.addition(wanted, sf.multiplication(d, slope))
        if sf.compare_signaling_greater(b(-2.5), wanted):
            wanted = b(-2.5)
        if sf.compare_signaling_less(b(2.5), wanted):
            wanted = b(2.5)
        depth = sf.addition(depth, sf.division(wanted, b(10.0)))
        log.append(depth)
    return log, sf.subtraction(goal, depth)
