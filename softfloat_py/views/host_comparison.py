"""A comparison with the host's floating point, as text and HTML."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from softfloat_py.operations import ELEMENTARY, OPERATIONS, Result
from softfloat_py.studies.comparing import HostComparison
from softfloat_py.views.layout import columns, counted, grouped, hexadecimal, table_html

NOTE = "any NaN counts as equal to any other NaN; rounding: ties to even"
ELEMENTARY_NOTE = "elementary functions are correctly rounded here; hosts round them as they like: {names}"

_HEADINGS = ("operation", "samples", "differences")


def text(comparison: HostComparison) -> str:
    """A line for each operation, the first differences, and what counts as one."""
    heading = f"{comparison.format.name} beside the host's floating point"
    rows = columns([_HEADINGS, *_rows(comparison)], "<>>")
    return "\n".join([heading, *rows, *_details(comparison), *_notes(comparison)])


def html(comparison: HostComparison) -> str:
    """The same for a notebook."""
    details = "".join(f"<p><code>{escape(line)}</code></p>" for line in _details(comparison))
    notes = "".join(f"<p>{escape(note)}</p>" for note in _notes(comparison))
    return f"<div>{table_html(_HEADINGS, _rows(comparison))}{details}{notes}</div>"


def _rows(comparison: HostComparison) -> list[tuple[str, str, str]]:
    return [
        (compared.operation, grouped(compared.samples), grouped(compared.differences))
        for compared in comparison.operations
    ]


def _notes(comparison: HostComparison) -> list[str]:
    """What counts as a difference, and of which operations a difference says nothing against the host."""
    names = [compared.operation for compared in comparison.operations]
    elementary = ", ".join(name for name in names if name in ELEMENTARY)
    return [NOTE, ELEMENTARY_NOTE.format(names=elementary)] if elementary else [NOTE]


def _details(comparison: HostComparison) -> Iterator[str]:
    for compared in comparison.operations:
        if compared.first:
            yield f"{compared.operation}: first {counted(len(compared.first), 'difference')}"
        truth = OPERATIONS[compared.operation].result is Result.TRUTH
        width = 1 if truth else comparison.format.width
        for operands, ours, host in compared.first:
            given = " ".join(hexadecimal(bits, comparison.format.width) for bits in operands)
            ours_text, host_text = (hexadecimal(bits, width) for bits in (ours, host))
            yield f"  operands {given}  here {ours_text}  host {host_text}"
