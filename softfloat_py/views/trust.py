"""How far compiled code was from estimates, in words.

Elementary functions are compared by themselves: what was measured of sums and products says nothing of them.
"""

from __future__ import annotations

from collections.abc import Iterable

from softfloat_py.operations import OPERATIONS
from softfloat_py.pricing.cost_model import CostModel

_ELEMENTARY = frozenset(name for name, row in OPERATIONS.items() if row.elementary)


def kinds_among(calls: Iterable[tuple[str, str]]) -> list[bool]:
    """The kinds of operation among calls by (operation, format): True for elementary functions, False, which
    comes first, for all others. Without calls the latter.
    """
    return sorted({operation in _ELEMENTARY for operation, _ in calls}) or [False]


def ratios_in_words(model: CostModel, elementary: bool) -> str:
    """How many times its estimate compiled code of a kind took, or that nobody has looked."""
    ratios = model.compiled_ratios(elementary)
    if ratios is None:
        return f"{'elementary functions ' if elementary else ''}not yet compared with compiled code"
    code = "elementary functions" if elementary else "code"
    return f"compiled {code} took {ratios[0]:.2f} to {ratios[1]:.2f} times the estimate"
