"""Comparisons, orders, classes and sign operations of IEEE 754-2019, judged from the encodings.

Clauses are quoted from memory. A predicate's result is 0 or 1.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum, auto

from softfloat_py.environment import Flags
from softfloat_py.numbers.formats import Format
from tests.references.exact_rounding import Outcome


class Relation(Enum):
    """The four mutually exclusive relations of clause 5.11."""

    LESS = auto()
    EQUAL = auto()
    GREATER = auto()
    UNORDERED = auto()


LESS, EQUAL, GREATER, UNORDERED = Relation

# When a predicate is true (tables 5.1 to 5.3); the first ten exist quiet and signalling, the rest only quiet.
_TRUE_FOR = {
    "equal": {EQUAL},
    "not_equal": {LESS, GREATER, UNORDERED},
    "greater": {GREATER},
    "greater_equal": {GREATER, EQUAL},
    "less": {LESS},
    "less_equal": {LESS, EQUAL},
    "not_greater": {LESS, EQUAL, UNORDERED},
    "less_unordered": {LESS, UNORDERED},
    "not_less": {GREATER, EQUAL, UNORDERED},
    "greater_unordered": {GREATER, UNORDERED},
    "unordered": {UNORDERED},
    "ordered": {LESS, EQUAL, GREATER},
}
_ONLY_QUIET = ("unordered", "ordered")

QUIET_COMPARISONS = {f"compare_quiet_{name}": true_for for name, true_for in _TRUE_FOR.items()}
SIGNALING_COMPARISONS = {
    f"compare_signaling_{name}": true_for for name, true_for in _TRUE_FOR.items() if name not in _ONLY_QUIET
}
COMPARISONS = QUIET_COMPARISONS | SIGNALING_COMPARISONS


# -- classes (clause 5.7.2) ----------------------------------------------------------------------------


def is_sign_minus(fmt: Format, bits: int) -> bool:
    """Whether the sign is negative, of zeros and NaNs too."""
    return bits >= fmt.sign_bit


def magnitude_of(fmt: Format, bits: int) -> int:
    """The encoding without its sign."""
    return bits % fmt.sign_bit


def is_zero(fmt: Format, bits: int) -> bool:
    """Whether the datum is +0 or -0."""
    return magnitude_of(fmt, bits) == 0


def is_subnormal(fmt: Format, bits: int) -> bool:
    """Whether the datum is a nonzero number below the smallest normal one."""
    return 0 < magnitude_of(fmt, bits) < fmt.smallest_normal


def is_normal(fmt: Format, bits: int) -> bool:
    """Whether the datum is neither zero, subnormal, infinite nor NaN."""
    return fmt.smallest_normal <= magnitude_of(fmt, bits) < fmt.first_special


def is_finite(fmt: Format, bits: int) -> bool:
    """Whether the datum is zero, subnormal or normal."""
    return magnitude_of(fmt, bits) < fmt.first_special


def is_infinite(fmt: Format, bits: int) -> bool:
    """Whether the datum is an infinity."""
    return fmt.has_infinity and magnitude_of(fmt, bits) == fmt.infinity


def is_nan(fmt: Format, bits: int) -> bool:
    """Whether the datum is a NaN, quiet or signalling."""
    return magnitude_of(fmt, bits) >= fmt.first_special and not is_infinite(fmt, bits)


def is_signaling(fmt: Format, bits: int) -> bool:
    """Whether the datum is a NaN with the first bit of its trailing significand clear (clause 6.2.1)."""
    return is_nan(fmt, bits) and magnitude_of(fmt, bits) < fmt.quiet_nan


CLASSES: dict[str, Callable[[Format, int], bool]] = {
    "is_sign_minus": is_sign_minus,
    "is_zero": is_zero,
    "is_subnormal": is_subnormal,
    "is_normal": is_normal,
    "is_finite": is_finite,
    "is_infinite": is_infinite,
    "is_nan": is_nan,
    "is_signaling": is_signaling,
}


# In the order in which clause 5.7.2 lists them; those of the numbers come in the order of their members.
_NEGATIVE = ("negative infinity", "negative normal", "negative subnormal", "negative zero")
_POSITIVE = ("positive zero", "positive subnormal", "positive normal", "positive infinity")
CLASS_NAMES = ("signaling nan", "quiet nan", *_NEGATIVE, *_POSITIVE)


def classify(fmt: Format, bits: int) -> int:
    """The place of the datum's class in `CLASS_NAMES`."""
    if is_nan(fmt, bits):
        return CLASS_NAMES.index("signaling nan" if is_signaling(fmt, bits) else "quiet nan")
    questions = {"zero": is_zero, "subnormal": is_subnormal, "normal": is_normal, "infinity": is_infinite}
    (kind,) = [name for name, question in questions.items() if question(fmt, bits)]
    return CLASS_NAMES.index(f"{'negative' if is_sign_minus(fmt, bits) else 'positive'} {kind}")


# -- sign operations (clause 5.5.1): quiet, and they treat NaNs like everything else -----------------------


def negate(fmt: Format, bits: int) -> int:
    """The encoding with its sign reversed."""
    return bits ^ fmt.sign_bit


def copy(fmt: Format, bits: int) -> int:
    """The encoding itself."""
    return bits


def copy_sign(fmt: Format, x: int, y: int) -> int:
    """The encoding of x with the sign of y."""
    return x if is_sign_minus(fmt, x) == is_sign_minus(fmt, y) else negate(fmt, x)


SIGN_OPERATIONS: dict[str, Callable[..., int]] = {
    "negate": negate,
    "absolute": magnitude_of,
    "copy": copy,
    "copy_sign": copy_sign,
}


# -- comparisons (clauses 5.6.1, 5.11) ---------------------------------------------------------------------


def relation(fmt: Format, x: int, y: int) -> Relation:
    """How x stands to y; zeros are equal whatever their signs."""
    if is_nan(fmt, x) or is_nan(fmt, y):
        return UNORDERED
    first, second = _rank(fmt, x), _rank(fmt, y)
    if first == second:
        return EQUAL
    return LESS if first < second else GREATER


def compare(operation: str, fmt: Format, x: int, y: int) -> Outcome:
    """Result and flags of a comparison; a signalling one is invalid on any NaN (clause 7.2, j)."""
    found = relation(fmt, x, y)
    if operation in SIGNALING_COMPARISONS:
        invalid = found is UNORDERED
    else:
        invalid = is_signaling(fmt, x) or is_signaling(fmt, y)
    return int(found in COMPARISONS[operation]), Flags.INVALID_OPERATION if invalid else Flags.NONE


# -- minimum and maximum (clause 9.6), of numbers ----------------------------------------------------------

EXTREMES = {
    f"{extreme}{by_magnitude}{number}"
    for extreme in ("maximum", "minimum")
    for by_magnitude in ("", "_magnitude")
    for number in ("", "_number")
}


def extreme(operation: str, fmt: Format, x: int, y: int) -> int:
    """The larger or the smaller of two numbers, with -0 below +0; by magnitude first, if the name says so."""
    chosen = max if operation.startswith("maximum") else min
    if "magnitude" in operation and magnitude_of(fmt, x) != magnitude_of(fmt, y):
        return chosen(x, y, key=lambda bits: magnitude_of(fmt, bits))
    return chosen(x, y, key=lambda bits: _rank_with_signed_zeros(fmt, bits))


# -- total order (clause 5.10) -----------------------------------------------------------------------------


def total_order(fmt: Format, x: int, y: int) -> bool:
    """Whether x does not come after y, by the rules of the clause one after the other."""
    if is_nan(fmt, x) or is_nan(fmt, y):
        return _place_in_total_order(fmt, x) <= _place_in_total_order(fmt, y)
    return _rank_with_signed_zeros(fmt, x) <= _rank_with_signed_zeros(fmt, y)


def _place_in_total_order(fmt: Format, bits: int) -> tuple[int, int, int]:
    """For a NaN: below or above all numbers, quiet farther out than signalling, then by payload."""
    if not is_nan(fmt, bits):
        return 0, 0, 0
    outward = -1 if is_sign_minus(fmt, bits) else 1
    quiet, payload = not is_signaling(fmt, bits), bits % fmt.quiet_bit
    return outward, outward * quiet, outward * payload


def total_order_magnitude(fmt: Format, x: int, y: int) -> bool:
    """The total order of the absolute values."""
    return total_order(fmt, magnitude_of(fmt, x), magnitude_of(fmt, y))


ORDERS = {"total_order": total_order, "total_order_magnitude": total_order_magnitude}


# -- neighbours (clause 5.3.1) -----------------------------------------------------------------------------


def neighbour(operation: str, fmt: Format, bits: int) -> int | None:
    """The next number above or below; none where the format ends without an infinity."""
    if is_infinite(fmt, bits) and is_sign_minus(fmt, bits) == (operation == "next_down"):
        return bits
    rank = _rank(fmt, bits) + (1 if operation == "next_up" else -1)
    # Zero is reached from below as -0 and from above as +0.
    negative = rank < 0 or (rank == 0 and operation == "next_up")
    found = abs(rank) | (fmt.sign_bit if negative else 0)
    return None if is_nan(fmt, found) else found


NEIGHBOURS = {"next_up", "next_down"}


def _rank(fmt: Format, bits: int) -> int:
    """A whole number that orders the numbers of a format as their values are ordered."""
    magnitude = magnitude_of(fmt, bits)
    return -magnitude if is_sign_minus(fmt, bits) else magnitude


def _rank_with_signed_zeros(fmt: Format, bits: int) -> tuple[int, bool]:
    return _rank(fmt, bits), not is_sign_minus(fmt, bits)
