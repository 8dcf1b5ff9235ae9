"""A structured array's columns, by hand: those of floats are rounded once, that of int16 is converted."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from tests.kernels.whole_numbers import real

b = sf.binary32


def running_sum(values: list[sf.Number]) -> sf.Number:
    """One addition less than there are values, as np.sum counts."""
    total = values[0]
    for x in values[1:]:
        total = sf.addition(total, x)
    return total


def kernel(log: Any) -> Any:
    """np.mean divides by a constant, len(log) is an integer of the program."""
    heave = [b(x) for x in log["heave"].tolist()]
    mean = sf.division(running_sum(heave), b(len(heave)))
    level = [sf.subtraction(x, mean) for x in heave]
    energy = running_sum([sf.multiplication(x, x) for x in level])
    depth = [sf.multiplication(b(x), b(0.125)) for x in log["pressure"].tolist()]
    strain = [sf.multiplication(real(n, 16), b(0.25)) for n in log["count"].tolist()]
    return sf.division(energy, real(len(log))), depth, strain, heave[2]
