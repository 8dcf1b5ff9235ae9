"""What a text says: a number in decimal or hexadecimal, an infinity or a NaN, of no format yet.

    text         = [sign] (number | "inf" | "infinity" | ["s"] "nan" ["(" [payload] ")"])
    decimal      = significand ["e" [sign] digits]
    hexadecimal  = "0x" significand ["p" [sign] digits]
    significand  = digits ["." [digits]] | "." digits

Letters in either case, blanks around the text, single underscores between digits as Python has them. The
hexadecimal significand is that of IEEE 754-2019, clause 5.12.3, and of C; its exponent is a power of two in
decimal digits, and may be left out as C's library allows. The payload of a NaN is a decimal number or, after
0x, a hexadecimal one, in parentheses as C writes it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from typing import NoReturn, TypeAlias

from softfloat_py.errors import OperandError, TextError

# No text is so long that an exponent beyond this could be made up for by its digits.
LARGEST_EXPONENT = 10**18
SIGNALING_PAYLOAD = 1  # of a signalling NaN that states none; with 0 it would be an infinity
LONGEST_PAYLOAD = 40  # decimal digits; the largest payload of any format has 34


class Notation(Enum):
    """How a number may be written; infinities and NaNs are written alike in all."""

    ANY = "in decimal or hexadecimal"
    DECIMAL = "in decimal"
    HEXADECIMAL = "in hexadecimal"


class Radix(Enum):
    """The radix of the digits, and what a digit and the exponent stand for."""

    DECIMAL = 10
    HEXADECIMAL = 16

    @property
    def of_exponent(self) -> int:
        """What is raised to the exponent."""
        return 10 if self is Radix.DECIMAL else 2

    @property
    def exponents_per_digit(self) -> int:
        """By how much the exponent grows where the point moves by one digit."""
        return 1 if self is Radix.DECIMAL else 4


@dataclass(frozen=True, slots=True)
class Numeral:
    """A finite number as written. `digits` have no zeros at either end; they are empty for zero.

    `leading` is the exponent of the first digit: decimal for decimal digits, binary (of its last bit) for
    hexadecimal ones.
    """

    negative: bool
    radix: Radix
    digits: str
    leading: int


@dataclass(frozen=True, slots=True)
class InfinityText:
    """An infinity as written."""

    negative: bool


@dataclass(frozen=True, slots=True)
class NaNText:
    """A NaN as written; `payload` is None where none is, `place` is where it stands."""

    negative: bool
    signaling: bool
    payload: int | None
    place: int


Said: TypeAlias = Numeral | InfinityText | NaNText

_ASCII = re.ASCII | re.IGNORECASE
_BLANKS = re.compile(r"\s*")
_SIGN = re.compile(r"[+-]")
_POINT = re.compile(r"\.")
_INFINITY = re.compile(r"inf(inity)?", _ASCII)
_NAN = re.compile(r"s?nan", _ASCII)
_PREFIX = re.compile(r"0x", _ASCII)
_OPENING, _CLOSING = re.compile(r"\("), re.compile(r"\)")
_PAYLOAD = re.compile(r"0x[0-9a-f]+|0|[1-9][0-9]*", _ASCII)
_DECIMAL_DIGITS = re.compile(r"[0-9]+(?:_[0-9]+)*")
_DIGITS = {
    Radix.DECIMAL: _DECIMAL_DIGITS,
    Radix.HEXADECIMAL: re.compile(r"[0-9a-f]+(?:_[0-9a-f]+)*", _ASCII),
}
_EXPONENT_SIGN = {Radix.DECIMAL: re.compile(r"e", _ASCII), Radix.HEXADECIMAL: re.compile(r"p", _ASCII)}
_A_DIGIT = {Radix.DECIMAL: "a digit", Radix.HEXADECIMAL: "a hexadecimal digit"}
_AN_EXPONENT = {Radix.DECIMAL: "an exponent (e)", Radix.HEXADECIMAL: "an exponent (p)"}


def parse(text: str, notation: Notation = Notation.ANY) -> Said:
    """What a text says. Raises TextError, with the place, where it says nothing; OperandError for no str."""
    if not isinstance(text, str):
        raise OperandError(f"the text of a number must be a str, not {text!r} ({type(text).__name__})")
    return _Scanner(text).said(notation)


class _Scanner:
    """A text and the place reached in it."""

    def __init__(self, text: str) -> None:
        self.text, self.place = text, 0

    def take(self, pattern: re.Pattern[str]) -> str:
        """What matches here, which is passed over; empty if nothing does."""
        match = pattern.match(self.text, self.place)
        if match is None:
            return ""
        self.place = match.end()
        return match[0]

    def require(self, pattern: re.Pattern[str], expected: str) -> str:
        """What matches here; TextError if nothing does."""
        return self.take(pattern) or self.fail(expected)

    def fail(self, expected: str) -> NoReturn:
        if self.text.startswith("_", self.place):
            expected += " (an underscore stands between two digits)"
        raise TextError("the text of a number", self.text, self.place, expected)

    def finish(self, *expected: str) -> None:
        """Pass over blanks at the end; TextError, with what else might have come, if anything is there."""
        place = self.place
        self.take(_BLANKS)
        if self.place < len(self.text):
            self.place = place
            self.fail(f"{', '.join(expected)} or the end" if expected else "the end")

    def said(self, notation: Notation) -> Said:
        self.take(_BLANKS)
        sign = self.take(_SIGN)
        negative = sign == "-"
        if self.take(_INFINITY):
            self.finish()
            return InfinityText(negative)
        if name := self.take(_NAN):
            return self.nan(negative, signaling=len(name) == len("snan"))
        if notation is not Notation.DECIMAL and self.take(_PREFIX):
            return self.numeral(negative, Radix.HEXADECIMAL, "a hexadecimal digit or a point")
        if notation is Notation.HEXADECIMAL:
            self.fail("0x, inf or nan")
        return self.numeral(
            negative, Radix.DECIMAL, f"{'' if sign else 'a sign, '}a digit, a point, inf or nan"
        )

    def nan(self, negative: bool, signaling: bool) -> NaNText:
        """The rest of a NaN."""
        payload, place = None, self.place
        opening = self.take(_OPENING)
        if opening:
            place = self.place
            digits = self.take(_PAYLOAD)
            self.require(_CLOSING, "a closing parenthesis" if digits else "a payload")
            payload = _payload(digits) if digits else None
        self.finish(*([] if opening else ["a payload in parentheses"]))
        return NaNText(negative, signaling, payload, place)

    def numeral(self, negative: bool, radix: Radix, expected: str) -> Numeral:
        """The rest of a number."""
        digits = _DIGITS[radix]
        whole = self.take(digits)
        point = self.take(_POINT)
        fraction = self.take(digits) if point else ""
        if not whole and not fraction:
            self.fail(_A_DIGIT[radix] if point else expected)
        exponent = self.exponent() if self.take(_EXPONENT_SIGN[radix]) else None
        if exponent is not None:
            self.finish("a digit")
        elif point:
            self.finish(_A_DIGIT[radix], _AN_EXPONENT[radix])
        else:
            self.finish(_A_DIGIT[radix], "a point", _AN_EXPONENT[radix])
        return _numeral(negative, radix, _plain(whole), _plain(fraction), exponent or 0)

    def exponent(self) -> int:
        sign = self.take(_SIGN)
        digits = self.require(_DECIMAL_DIGITS, "a digit of the exponent" if sign else "a sign or a digit")
        digits = _plain(digits).lstrip("0")
        # A longer text would take Python long to convert, or be refused.
        magnitude = int(digits or "0") if len(digits) < 19 else LARGEST_EXPONENT
        return -magnitude if sign == "-" else magnitude


def _payload(digits: str) -> int:
    if digits[:2] in ("0x", "0X"):
        return int(digits, 16)
    return int(digits[:LONGEST_PAYLOAD])  # what is cut off would not make it fit


def _plain(digits: str) -> str:
    return digits.replace("_", "")


def _numeral(negative: bool, radix: Radix, whole: str, fraction: str, exponent: int) -> Numeral:
    """A number in the form that has no zeros at either end."""
    digits = (whole + fraction).lstrip("0")
    position = len(digits) - len(fraction) - 1  # of the first digit, counted from the point
    return Numeral(negative, radix, digits.rstrip("0"), exponent + radix.exponents_per_digit * position)
