"""How far compiled code was from estimates, in words.

Elementary functions are compared by themselves: what was measured of sums and products says nothing of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from softfloat_py.operations import ELEMENTARY
from softfloat_py.pricing.cost_model import CostModel

if TYPE_CHECKING:
    from softfloat_py.pricing.estimate import Estimate


def kinds_among(calls: Iterable[tuple[str, str]]) -> list[bool]:
    """The kinds of operation among calls by (operation, format): True for elementary functions, False, which
    comes first, for all others. Without calls the latter.
    """
    return sorted({operation in ELEMENTARY for operation, _ in calls}) or [False]


def ratios_in_words(model: CostModel, elementary: bool) -> str:
    """How many times its estimate compiled code of a kind took, or that nobody has looked."""
    ratios = model.compiled_ratios(elementary)
    if ratios is None:
        return f"{'elementary functions ' if elementary else ''}not yet compared with compiled code"
    code = "elementary functions" if elementary else "code"
    return f"compiled {code} took {ratios[0]:.2f} to {ratios[1]:.2f} times the estimate"


def times_that_miss(estimate: Estimate) -> float | None:
    """How many times its estimate compiled code took at the most, where the estimate holds its deadline and
    that would not; None otherwise.
    """
    ratios = [estimate.cpu.compiled_ratios(kind) for kind in kinds_among(estimate.calls)]
    most = max((highest for _, highest in filter(None, ratios)), default=0.0)
    used = estimate.deadline_share
    return most if used is not None and used <= 1 < used * most else None
