"""Which algorithm is cheapest on which CPU? All deliver the same bits, so only the cost decides.

The operands are invented: accelerations in m/s², drawn evenly from 1/16 to 16.

Run by `python examples/which_algorithm.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import Enum
from random import Random
from typing import Any

import softfloat_py as sf

# No multiplier; products of 32 bits; products of 64 bits, a divider, and a count of leading zeros.
CPUS = ("msp430", "cortex-m0plus", "cortex-m3")
CHOICES: tuple[tuple[Callable[..., Any], Enum, sf.Options], ...] = (
    *((sf.subtraction, choice, replace(sf.LEAN, leading_zeros=choice)) for choice in sf.LeadingZeros),
    *((sf.multiplication, choice, replace(sf.LEAN, product=choice)) for choice in sf.Product),
    *((sf.division, choice, replace(sf.LEAN, division=choice)) for choice in sf.Division),
    *((sf.square_root, choice, replace(sf.LEAN, square_root=choice)) for choice in sf.SquareRoot),
)
PAIRS = 2000


def main() -> None:
    """One line a choice: the mean steps of an operation, and its cycles on each CPU."""
    chance = Random(4)
    x, y = (sf.binary32.array([chance.uniform(1 / 16, 16) for _ in range(PAIRS)]) for _ in "xy")
    print(f"binary32, lean, mean of {PAIRS:<17} steps", *(f"{cpu:>13}" for cpu in CPUS), sep="  ")
    for operation, choice, options in CHOICES:
        operands = (x,) if operation is sf.square_root else (x, y)
        with sf.environment(options=options), sf.counting() as tally:
            operation(*operands)
        steps = sum(tally.steps.values()) / PAIRS
        cycles = (tally.estimate(cpu).cycles / PAIRS for cpu in CPUS)
        print(
            f"{operation.__name__:<16}{choice!s:<25} {steps:5.0f}",
            *(f"{n:6.0f} cycles" for n in cycles),
            sep="  ",
        )


if __name__ == "__main__":
    from quiet_pipe import run

    run(main)
