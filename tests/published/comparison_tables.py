"""Tables 5.1 to 5.3 of IEEE 754-2019, from memory: every predicate on every relation, in binary32."""

from __future__ import annotations

from itertools import product

from softfloat_py.numbers.formats import binary32
from tests.published.binary32_encodings import (
    CANONICAL_NAN,
    LARGEST,
    MINUS_0,
    MINUS_1,
    MINUS_2,
    MINUS_INFINITY,
    MINUS_SMALLEST,
    MOST_NEGATIVE,
    NEGATIVE_NAN,
    PAYLOAD_NAN,
    PLUS_0,
    PLUS_1,
    PLUS_2,
    PLUS_INFINITY,
    SIGNALLING_NAN,
    SMALLEST,
)
from tests.published.case import EVEN, INVALID, NONE, Case

# Whether a predicate is true for operands that are less, equal, greater, unordered.
_PREDICATES = {
    "equal": (0, 1, 0, 0),
    "not_equal": (1, 0, 1, 1),
    "greater": (0, 0, 1, 0),
    "greater_equal": (0, 1, 1, 0),
    "less": (1, 0, 0, 0),
    "less_equal": (1, 1, 0, 0),
    "not_greater": (1, 1, 0, 1),
    "less_unordered": (1, 0, 0, 1),
    "not_less": (0, 1, 1, 1),
    "greater_unordered": (0, 0, 1, 1),
    "unordered": (0, 0, 0, 1),
    "ordered": (1, 1, 1, 0),
}
# Operands that are less, equal, greater; and unordered ones: a NaN is unordered even with itself (5.11).
_RELATED = (
    [(MINUS_1, SMALLEST), (PLUS_1, PLUS_2), (MINUS_2, MINUS_1), (MINUS_INFINITY, MOST_NEGATIVE)],
    [(PLUS_0, MINUS_0), (MINUS_0, PLUS_0), (PLUS_1, PLUS_1), (PLUS_INFINITY, PLUS_INFINITY)],
    [(SMALLEST, MINUS_SMALLEST), (PLUS_INFINITY, LARGEST), (MINUS_1, MINUS_2), (SMALLEST, MINUS_0)],
)
_UNORDERED = [(CANONICAL_NAN, CANONICAL_NAN), (PAYLOAD_NAN, PLUS_1), (MINUS_INFINITY, NEGATIVE_NAN)]


def _comparisons() -> list[Case]:
    """Every predicate on every pair; invalid on signalling NaNs, and signalling predicates on any NaN."""
    cases = []
    for (name, truth), kind in product(_PREDICATES.items(), ("quiet", "signaling")):
        if kind == "signaling" and name in ("unordered", "ordered"):
            continue
        rows = [
            (pair, result, NONE) for pairs, result in zip(_RELATED, truth[:-1], strict=True) for pair in pairs
        ]
        unordered_flags = INVALID if kind == "signaling" else NONE
        rows += [(pair, truth[-1], unordered_flags) for pair in _UNORDERED]
        rows += [((SIGNALLING_NAN, PLUS_1), truth[-1], INVALID)]
        cases += [
            Case(f"compare_{kind}_{name}", binary32, EVEN, *row, "IEEE 754-2019, 5.6.1, 5.11 and 7.2")
            for row in rows
        ]
    return cases


CASES = _comparisons()
