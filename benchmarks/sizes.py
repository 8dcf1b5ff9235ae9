"""How much is measured: every size in one place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sizes:
    """How many elements, numbers and samples are computed with, and how often each measurement is repeated.

    `elements` are those of an array, of which mpmath computes one in `mpmath_share`; `numbers` are operated
    on one by one; `samples` are those of the wave height whose tally is priced, after `settling` further
    ones.
    """

    elements: int = 1_000_000
    mpmath_share: int = 10
    numbers: int = 20_000
    samples: int = 480
    settling: int = 48
    rounds: int = 5
    imports: int = 7


FULL = Sizes()
QUICK = Sizes(elements=100_000, numbers=2_000, samples=48, settling=24)
