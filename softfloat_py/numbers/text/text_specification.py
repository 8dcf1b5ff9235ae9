"""Python's format specifications for numbers of any format: rounded correctly from the exact value.

    [[fill]align][sign]["z"]["#"]["0"][width][grouping]["." precision][type]

As Python's own language for floats has it (Library Reference, "Format Specification Mini-Language"), with
these differences: % multiplies the exact value by 100, where Python rounds the product first; a NaN keeps its
sign; the type n, which asks for the locale, is not there; the types a and A are C's hexadecimal ones.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from softfloat_py.environment import Rounding
from softfloat_py.errors import TextError
from softfloat_py.formats import BinaryFormat
from softfloat_py.numbers.text.decimal_digits import shortest_digits, significant_digits
from softfloat_py.numbers.text.text_layout import (
    Layout,
    general,
    hexadecimal,
    with_decimals,
    with_digits_after_first,
)

DECIMAL_TYPES, HEXADECIMAL_TYPES = "eEfFgG%", "aA"
_DEFAULT_PRECISION = 6
_LARGEST = (1 << 31) - 1  # width and precision, as for Python's own floats where an int has 32 bits
_PARTS = re.compile(
    r"(?:(?P<fill>.)?(?P<align>[<>=^]))?(?P<sign>[-+ ])?(?P<unsigned_zero>z)?(?P<alternate>\#)?"
    r"(?P<zeros>0)?(?P<width>[0-9]+)?(?P<grouping>[,_])?(?:\.(?P<precision>[0-9]+))?(?P<type>[aAeEfFgG%])?",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Specification:
    """A format specification, taken apart. `type` is empty for Python's own choice of layout."""

    fill: str = " "
    align: str = ">"
    sign: str = "-"
    unsigned_zero: bool = False
    alternate: bool = False
    width: int = 0
    grouping: str = ""
    precision: int | None = None
    type: str = ""

    def text(self, fmt: BinaryFormat, bits: int) -> str:
        """An encoding as text, rounded to nearest, ties to even, as Python rounds."""
        if fmt.is_finite(bits):
            return self.filled(fmt, bits, self.layout(fmt, bits, Rounding.TIES_TO_EVEN))
        return self.filled(fmt, bits, Layout("nan" if fmt.is_nan(bits) else "inf"))

    def layout(self, fmt: BinaryFormat, bits: int, rounding: Rounding) -> Layout:
        """The digits of a finite encoding, rounded, and how they are laid out."""
        if not self.type and self.precision is None:
            return general(shortest_digits(fmt, bits)).with_fraction()
        magnitude, negative = abs(fmt.decode(bits)), bool(bits & fmt.sign_bit)
        precision = _DEFAULT_PRECISION if self.precision is None else self.precision
        match self.type.lower():
            case "e":
                return with_digits_after_first(magnitude, precision, rounding, negative)
            case "f":
                return with_decimals(magnitude, precision, rounding, negative)
            case "%":
                return with_decimals(100 * magnitude, precision, rounding, negative)._replace(tail="%")
            case "a":
                layout = hexadecimal(fmt, bits, self.precision, rounding, negative)
                return layout.stripped() if self.precision is None else layout
        count = max(precision, 1)
        # Without a type, a positional text has a digit after the point, for which there must be room.
        digits = significant_digits(magnitude, count, rounding, negative)
        layout = general(digits, count if self.type else count - 1)
        layout = layout if self.alternate else layout.stripped()
        return layout if self.type else layout.with_fraction()

    def filled(self, fmt: BinaryFormat, bits: int, layout: Layout) -> str:
        """The layout of an encoding with its sign, its groups, and filled up to the width."""
        negative = bits & fmt.sign_bit and not (self.unsigned_zero and layout.is_zero)
        sign = "-" if negative else self.sign.strip("-")
        if self.type == "%":
            layout = layout._replace(tail="%")
        if self.type.isupper():
            layout = Layout(*map(str.upper, layout))
        start = sign + layout.prefix
        rest = layout._replace(whole="", prefix="")
        end = rest.text(point=self.alternate and layout.whole.isdigit())
        whole, least = layout.whole, self.width - len(start) - len(end)
        if whole.isdigit() and self.grouping:
            zeros = least if (self.fill, self.align) == ("0", "=") else 0
            whole = _grouped(whole, self.grouping, zeros)
        padding = self.fill * (least - len(whole))
        if self.align == "=":
            return start + padding + whole + end
        if self.align == "^":
            half = len(padding) // 2
            return padding[:half] + start + whole + end + padding[half:]
        text = start + whole + end
        return text + padding if self.align == "<" else padding + text


def _grouped(whole: str, separator: str, least: int) -> str:
    """Digits in groups of three, with zeros before them up to a length, and no separator in front."""
    bare, padded = _in_threes(whole, separator), _in_threes(whole.rjust(least, "0"), separator)
    text = padded[len(padded) - max(least, len(bare)) :]
    return f"0{text}" if text.startswith(separator) else text


def _in_threes(digits: str, separator: str) -> str:
    first = len(digits) % 3
    groups = [digits[:first], *(digits[place : place + 3] for place in range(first, len(digits), 3))]
    return separator.join(group for group in groups if group)


@lru_cache(maxsize=256)
def specification(
    text: str, types: str = DECIMAL_TYPES + HEXADECIMAL_TYPES, default_type: str = ""
) -> Specification:
    """A specification with one of these types, or with the default one; TextError for anything else.

    >>> specification("+.3e").precision
    3
    """
    match = _PARTS.match(text)
    assert match is not None, "all parts may be missing"
    parts = match.groupdict(default="")
    legal = f"one of the types {' '.join(types)}, or the end,"
    if match.end() < len(text):
        raise TextError("a format specification", text, match.end(), _expected_after(match, text, legal))
    if parts["type"] and parts["type"] not in types:
        raise TextError("a format specification", text, match.start("type"), legal)
    kind = parts["type"] or default_type
    if parts["grouping"] and kind in ("a", "A"):
        place = match.start("grouping")
        raise TextError("a hexadecimal format specification", text, place, "digits without groups")
    zeros = bool(parts["zeros"])
    return Specification(
        fill=parts["fill"] or ("0" if zeros else " "),
        align=parts["align"] or ("=" if zeros else ">"),
        sign=parts["sign"] or "-",
        unsigned_zero=bool(parts["unsigned_zero"]),
        alternate=bool(parts["alternate"]),
        width=_number(match, "width") or 0,
        grouping=parts["grouping"],
        precision=_number(match, "precision"),
        type=kind,
    )


def _number(match: re.Match[str], part: str) -> int | None:
    """A width or a precision, if there is one; TextError for one that no text can have."""
    digits = match[part]
    if digits is None:
        return None
    significant = digits.lstrip("0") or "0"
    if len(significant) > len(str(_LARGEST)) or int(significant) > _LARGEST:
        place = match.start(part)
        raise TextError("a format specification", match.string, place, f"a {part} of {_LARGEST} or less")
    return int(significant)


def _expected_after(match: re.Match[str], text: str, legal: str) -> str:
    """What may stand where a specification stops being one."""
    if match["type"]:
        return "nothing after its type"
    if text[match.end()] == "." and match["precision"] is None:
        return "digits after the point"
    return legal
