"""Times of several contestants, taken in turn so that a busy machine is busy for all of them."""

from __future__ import annotations

import gc
from collections.abc import Callable, Mapping
from time import perf_counter
from typing import NamedTuple


class Contestant(NamedTuple):
    """Something to run, and how many operations one run is."""

    run: Callable[[], object]
    operations: int = 1


def best_times(contestants: Mapping[str, Contestant], rounds: int) -> dict[str, float]:
    """The shortest time of each in seconds an operation; everyone runs once a round."""
    best = dict.fromkeys(contestants, float("inf"))
    for _ in range(rounds):
        for name, contestant in contestants.items():
            best[name] = min(best[name], seconds(contestant.run) / contestant.operations)
    return best


def seconds(run: Callable[[], object]) -> float:
    """The time of one run, without collecting garbage and without freeing the result."""
    gc.disable()
    try:
        start = perf_counter()
        result = run()
        elapsed = perf_counter() - start
    finally:
        gc.enable()
    del result
    return elapsed
