"""How many steps of Newton's method a reciprocal takes."""

from __future__ import annotations


def newton_steps(good: int, fraction_bits: int, lost: int = 0) -> int:
    """Steps that take `good` tenths of a bit to `fraction_bits`, each leaving twice as many less `lost`.

    An approximation has n good bits if its relative error is less than 2^-n.
    """
    steps = 0
    while good < 10 * fraction_bits:
        good, steps = 2 * good - lost, steps + 1
    return steps
