"""The phases of the routines, and what each is for, in a sentence for readers who see it for the first time.

A routine names the part of the algorithm that follows by `phase("align")`. Reports and explanations show the
name beside its sentence, so a routine may only name a phase that has one here.
"""

from __future__ import annotations

from softfloat_py.errors import UnknownNameError
from softfloat_py.suggestions import nearest_names

CALL = "call"  # what a call costs around a routine; no routine names it
WHOLE = "whole"  # what a routine does before it names a phase

PHASES: dict[str, str] = {
    CALL: "the routine is called and returns",
    WHOLE: "the routine does not name its parts",
    "leading bit": "the leading bit that this format stores is taken out of the encoding, or put in again",
    "memory": "operands are loaded from memory, results stored there",
    "order": "the operand with the larger magnitude goes first",
    "negate": "the sign of the second operand is flipped, which makes the difference a sum",
    "sign": "only the sign bit is touched",
    "classify": "the class is read from the fields of the encoding",
    "compare": "the encodings are compared as integers; they order as the magnitudes do",
    "unpack": "the encodings are taken apart, the leading one that is not stored is added",
    "special operands": "zeros, infinities and NaNs are looked for, which have results of their own",
    "out of range": "what no integer of the width can stand for is found",
    "align": "a significand is shifted right to its place; what falls off is kept as one sticky bit",
    "rebase": "the exponent is counted from the bias of the target format",
    "add": "the significands are added",
    "subtract": "the smaller significand is taken from the larger one",
    "multiply": "the significands are multiplied exactly, the exponents added",
    "divide": "the quotient of the significands is found, rounded down, with what remains as the sticky bit",
    "reduce": "multiples of the divisor are taken away, a round for each digit of the quotient",
    "nearest multiple": "where more than half of the divisor is left, the next multiple is the nearer one",
    "extract root": "the root of the significand is found, rounded down, with what remains as the sticky bit",
    "correct": "the last digit is set right with the exact remainder",
    "normalise": "the leading one is brought to its place, the exponent follows",
    "below normal range": "the significand is shifted right until the exponent is the smallest there is",
    "round": "an increment below the kept bits carries into them exactly when the magnitude is to grow",
    "next number": "one is added to the encoding or taken from it; encodings follow each other as numbers do",
    "scale": "the integer is limited to what moves an exponent out of the range, and added to the exponent",
    "exponent": "the bias is taken from the stored exponent",
    "below one": "what is below one becomes zero or one: its sign decides, or whether it lies above one half",
    "pack": "the parts are put together; a carry out of rounding moves the exponent up by itself",
    "reciprocal root": "a third of the digits of one over the root is found, and what they leave of one",
    "refine": "two terms of a power series make the other digits of what is left of one",
    "square": "the squares of the significands are added, to a few bits more than the result has",
    "decide": "a boundary of rounding is too near: whole numbers decide on which side the result is",
    "to fixed point": "the argument becomes a whole number and a fraction in fixed point",
    "near 0": "near 0 the argument is to be multiplied by a polynomial, which keeps its leading bits",
    "first bits": "what the function is of the argument's first bits comes from a table, and is joined",
    "right angles": "the argument becomes a quadrant and a fraction of it, by as many bits of 2/pi as matter",
    "quadrant": "the quadrant decides on the sign, and whether the fraction is counted from its other end",
    "polynomial": "a polynomial is evaluated in fixed point, from its last coefficient to its first",
    "quotient": "a quotient of fixed-point numbers is found, to a bit or two beyond what is needed",
    "table": "a short reciprocal of the significand is looked up, and the logarithm of that",
    "factors": "the significand is multiplied by factors 1 + 2^-k, as long as it stays below 2",
    "sum": "one and the argument are added, or the argument is taken from one",
    "under the root": "what is under the root is found, of the square of the argument",
    "rest": "the argument is taken from one, and the leading one brought to its place",
    "next to 1": "what the argument is away from 1 is brought to floating point",
    "power of two": "the exponent is the result, and becomes a number",
    "shift and add": "the function is put together from shifts and additions, factor by factor",
    "rotate": "a table or rotations leave a small quotient of it, and the angle that is taken from it",
    "turn": "a vector turns by known angles, this way or that, until it is next to the fraction",
    "ratio": "the smaller of two coordinates is told from the larger",
    "certain": "does rounding change within the error? Then all is done again with more bits",
    "exact": "is the power short enough to be exact? Then it is what the fast phase comes next to",
    "overflow": "what exceeds the largest finite number becomes an infinity or, by direction, that number",
}


def explained(name: str) -> str:
    """The name of a phase that has a sentence; UnknownNameError for any other."""
    if name not in PHASES:
        required = "one with a sentence in routines/phases.py"
        raise UnknownNameError("a phase", name, list(PHASES), nearest_names(name, PHASES), required)
    return name
