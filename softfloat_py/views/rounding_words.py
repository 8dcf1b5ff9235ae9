"""A rounding decision in words: what the extra bits say, the direction, up or down, and why."""

from __future__ import annotations

from enum import Enum

from softfloat_py.environment import Rounding
from softfloat_py.teaching.rounded_sum import RoundedSum
from softfloat_py.views.layout import counted
from softfloat_py.views.worksheet import extra_letters


class Excess(Enum):
    """How much the extra bits are worth."""

    NOTHING = "nothing: the kept bits are exact"
    LESS = "less than half a unit in the last place"
    HALF = "exactly half a unit in the last place, a tie"
    MORE = "more than half a unit in the last place"


# None is the direction of the augmented operations (IEEE 754-2019, clause 9.5), no member of Rounding.
DIRECTIONS: dict[Rounding | None, str] = {
    Rounding.TIES_TO_EVEN: "to the nearest, ties to even",
    Rounding.TIES_TO_AWAY: "to the nearest, ties away from zero",
    Rounding.TOWARD_POSITIVE: "toward positive",
    Rounding.TOWARD_NEGATIVE: "toward negative",
    Rounding.TOWARD_ZERO: "toward zero",
    None: "to the nearest, ties toward zero",
}

_MEANINGS = {
    "G": "G guard, worth half a unit in the last place",
    "S": "S sticky, set if anything below was lost",
}


def letters_explained(extra: int) -> str:
    """What the letters above the extra bits mean."""
    letters = extra_letters(extra)
    middle = "R round" if "G" in letters else "R round, worth half a unit in the last place"
    meanings = {**_MEANINGS, "R": middle}
    return "; ".join(meanings[letter] for letter in dict.fromkeys(letters))


def excess_of(extra_bits: str) -> Excess:
    """What extra bits are worth, the first of them being half a unit."""
    first, rest = extra_bits[0], extra_bits[1:]
    if "1" not in extra_bits:
        return Excess.NOTHING
    if first == "0":
        return Excess.LESS
    return Excess.MORE if "1" in rest else Excess.HALF


def rounding_words(rounding: RoundedSum, direction: Rounding | None) -> list[str]:
    """The decision, a sentence a line."""
    excess = excess_of(rounding.extra_bits)
    grew = rounding.rounded != rounding.kept_before
    lines = [
        f"the {counted(rounding.extra, 'extra bit')} {rounding.extra_bits} are worth {excess.value}",
        f"direction: {DIRECTIONS[direction]}",
        f"decision: {_decision(excess, direction, rounding, grew)}",
    ]
    if rounding.rounded >> rounding.kept:
        lines.append("the increment carries out of the leading place, so the exponent grows by one")
    return lines


def _decision(excess: Excess, direction: Rounding | None, rounding: RoundedSum, grew: bool) -> str:
    if excess is Excess.NOTHING:
        return "the kept bits stay as they are; nothing is lost"
    verb = "up: one unit is added to the kept bits" if grew else "down: the kept bits stay as they are"
    return f"{verb}, because {_reason(excess, direction, rounding, grew)}"


def _reason(excess: Excess, direction: Rounding | None, rounding: RoundedSum, grew: bool) -> str:
    if direction is Rounding.TOWARD_ZERO:
        return "the magnitude must not grow"
    if direction in (Rounding.TOWARD_POSITIVE, Rounding.TOWARD_NEGATIVE):
        positive = grew is (direction is Rounding.TOWARD_POSITIVE)
        return f"the result is {'positive' if positive else 'negative'}"
    if excess is not Excess.HALF:
        return "that is the nearer side"
    if direction is None:
        return "a tie goes toward zero"
    if direction is Rounding.TIES_TO_AWAY:
        return "a tie goes away from zero"
    return f"the last kept bit is {rounding.kept_before & 1}, and a tie goes to the even neighbour"
