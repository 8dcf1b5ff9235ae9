"""Formats of one name are told apart wherever counts and cycles are listed by their names."""

from __future__ import annotations

from typing import Any

import softfloat_py as sf
from softfloat_py.numbers.formats import Format, binary16, binary32
from softfloat_py.tally.format_names import told_apart


def test_only_what_shares_a_name_is_written_in_full() -> None:
    """Widths are added where names clash, further parameters where they differ from the usual ones."""
    formats = {
        Format("swell", 6, 9): "swell (6, 9)",
        Format("swell", 6, 9, explicit_leading_bit=True): "swell (6, 9, explicit leading bit)",
        Format("swell", 6, 9, has_infinity=False): "swell (6, 9, no infinity)",
        Format("heave", 6, 9): "heave",
        binary32: "binary32",
        Format("binary32", 5, 9): "binary32 (5, 9)",
        binary16: "binary16",
    }
    assert formats == told_apart([*formats, binary16])
    assert {Format("binary32", 5, 9): "binary32"} == told_apart([Format("binary32", 5, 9)])


def test_reports_tell_formats_of_one_name_apart() -> None:
    """Calls and cycles of two formats of one name stand in two rows, which add up to the whole."""
    with sf.counting(each_call=True) as tally:
        for precision in (9, 30):
            swell: Any = Format("swell", exponent_bits=6, precision=precision)
            swell(1.25) * swell(3)
    estimate = tally.estimate("atmega")
    names = {("multiplication", "swell (6, 9)"), ("multiplication", "swell (6, 30)")}

    assert names == set(tally.calls) == set(estimate.by_operation) == set(estimate.each_call)
    assert round(estimate.cycles, 6) == round(sum(estimate.by_operation.values()), 6)
    assert all("swell (6, 30)" in shown for shown in (str(tally), str(estimate)))
