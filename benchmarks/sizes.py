"""How much is measured: every size in one place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sizes:
    """How many elements, numbers and samples are computed with, and how often each measurement is repeated.

    `elements` are those of an array, of which mpmath computes one in `mpmath_share`; `wide_elements` those of
    an array of binary128, `function_elements` those that elementary functions are computed of. `numbers` are
    operated on and `texts` are converted one by one. `samples` are those
    of the wave height whose tally is priced, after `settling` further ones, in so many `processes` of their
    own.
    """

    elements: int = 1_000_000
    wide_elements: int = 50_000
    function_elements: int = 100_000
    mpmath_share: int = 10
    numbers: int = 20_000
    texts: int = 2_000
    samples: int = 480
    settling: int = 48
    rounds: int = 5
    processes: int = 5
    imports: int = 7


FULL = Sizes()
QUICK = Sizes(
    elements=100_000,
    wide_elements=5_000,
    function_elements=10_000,
    numbers=2_000,
    texts=200,
    samples=48,
    settling=24,
    processes=2,
    imports=3,
)
