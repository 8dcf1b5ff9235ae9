"""How numbers, times, bits and tables are written, in text and in HTML."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from math import ceil, floor, log10
from textwrap import wrap
from typing import NamedTuple

LINE = 106  # characters of a wrapped line at the most, without indentation

_CLOCK_UNITS = ((1e6, "MHz"), (1e3, "kHz"), (1.0, "Hz"))
_UNITS = ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns"))


class Section(NamedTuple):
    """A heading and the lines below it."""

    title: str
    lines: Sequence[str]


def indented(text: str) -> list[str]:
    """A text of any length in indented lines."""
    return wrap(text, LINE, initial_indent="  ", subsequent_indent="  ")


# -- numbers -------------------------------------------------------------------------------------------


def grouped(number: float) -> str:
    """A whole number in groups of three digits: 1 234 567."""
    return f"{number:,.0f}".replace(",", " ")


def duration(seconds: float) -> str:
    """A time with three significant digits in s, ms, µs or ns."""
    if seconds == 0:
        return "0 s"
    scale, unit = next((pair for pair in _UNITS if seconds >= 0.9995 * pair[0]), _UNITS[-1])
    value = seconds / scale
    digits = 2 if value < 9.995 else 1 if value < 99.95 else 0
    return f"{value:,.{digits}f} {unit}".replace(",", " ")


def frequency(hertz: float) -> str:
    """A clock frequency in MHz, a slow one in kHz or Hz."""
    scale, unit = next((pair for pair in _CLOCK_UNITS if hertz >= pair[0]), _CLOCK_UNITS[-1])
    return f"{hertz / scale:g} {unit}"


def frequency_from(hertz: float) -> str:
    """The slowest clock frequency of three significant digits that is not below this one."""
    step: float = 10.0 ** (floor(log10(hertz)) - 2)
    return frequency(ceil(hertz / step) * step)


def share(part: float, whole: float) -> str:
    """A part of a whole in per cent, with one digit below ten and two below one."""
    percent = 100 * part / whole if whole else 0.0
    digits = 0 if percent >= 9.95 else 1 if percent >= 0.995 else 2
    return f"{percent:.{digits}f} %"


def counted(number: int, noun: str) -> str:
    """A number with its noun in the singular or plural."""
    return f"{grouped(number)} {noun}" if number == 1 else f"{grouped(number)} {noun}s"


# What the named sets of options mean; any other set is named by what it means.
_NAMED_ARITHMETIC = {
    "complete": "complete: any direction, flags, subnormal numbers, infinities and NaNs",
    "lean": "lean: ties to even only, no flags",
}


def arithmetic(options_name: str) -> str:
    """A set of options in words, from its name."""
    return _NAMED_ARITHMETIC.get(options_name, options_name)


# -- bits ----------------------------------------------------------------------------------------------


def binary(value: int, width: int) -> str:
    """All bits of a value, in groups of four counted from the right."""
    bits = f"{value:0{width}b}"
    first = len(bits) % 4
    groups = [bits[:first], *(bits[i : i + 4] for i in range(first, len(bits), 4))]
    return " ".join(group for group in groups if group)


WIDEST_IN_BINARY = 64


def digits(value: int, width: int) -> str:
    """All bits of a value; of more than fit a line with what stands beside them, hexadecimal digits."""
    return binary(value, width) if width <= WIDEST_IN_BINARY else hexadecimal(value, width)


def hexadecimal(value: int, width: int) -> str:
    """A value in as many hexadecimal digits as its width takes."""
    return f"{value:#0{(width + 3) // 4 + 2}x}"


# -- tables --------------------------------------------------------------------------------------------


def columns(rows: Iterable[Sequence[str]], alignment: str, gap: str = "  ") -> list[str]:
    """Rows as lines of aligned columns; `alignment` has < (left) or > (right) for each column."""
    kept = list(rows)
    widths = [max((len(row[i]) for row in kept), default=0) for i in range(len(alignment))]
    return [
        gap.join(
            f"{cell:{side}{width}}" for cell, side, width in zip(row, alignment, widths, strict=True)
        ).rstrip()
        for row in kept
    ]


def sections_text(heading: Sequence[str], sections: Iterable[Section]) -> str:
    """Sections as plain text, one blank line between them."""
    parts = ["\n".join(heading)]
    parts += [
        "\n".join([section.title, *(f"  {line}".rstrip() for line in section.lines)]) for section in sections
    ]
    return "\n\n".join(parts)


def sections_html(heading: Sequence[str], sections: Iterable[Section]) -> str:
    """Sections as HTML; their lines keep their columns."""
    parts = [f"<p><b>{escape(heading[0])}</b></p>", *(f"<p>{escape(line)}</p>" for line in heading[1:])]
    for section in sections:
        parts.append(f"<p>{escape(section.title)}</p>")
        if section.lines:
            parts.append("<pre>" + escape("\n".join(section.lines)) + "</pre>")
    return "<div>" + "".join(parts) + "</div>"


def table_html(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table; all columns but the first are aligned to the right."""
    head = "".join(f"<th>{escape(cell)}</th>" for cell in headings)
    body = "".join(f"<tr>{_cells_html(row)}</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _cells_html(row: Sequence[str]) -> str:
    first, *rest = row
    return f"<td>{escape(first)}</td>" + "".join(
        f'<td style="text-align: right">{escape(cell)}</td>' for cell in rest
    )
