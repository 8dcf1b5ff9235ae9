"""Notes of a tally in words: where values left the emulation, where NaNs and infinities were born."""

from __future__ import annotations

from typing import Any, cast

from softfloat_py.tally.tally import Birth, Departure, Line, Tally
from softfloat_py.views.remarks import born_records, left_records, remarks, what_left
from tests.views.made_up import Noted

LINE = Line("somewhere/filter.py", 14)


def tally(**notes: Any) -> Tally:
    """A tally as far as its notes go."""
    return cast("Tally", Noted(**notes))


def test_nothing_is_said_where_nothing_was_noted() -> None:
    """A tally without notes has no remarks, in words or as records."""
    silent = Tally()

    assert [] == remarks(silent)
    assert ([], [], None) == (left_records(silent), born_records(silent), what_left(silent))


def test_places_come_most_first_and_are_cut_after_five() -> None:
    """Each place has its line, the one that most values left at first; those beyond five are only counted."""
    left = {Departure(Line("filter.py", number), "float"): number for number in range(1, 8)}

    assert remarks(tally(left=left)) == [
        "not counted: 7 values left the emulation at filter.py:7 (float)",
        "not counted: 6 values left the emulation at filter.py:6 (float)",
        "not counted: 5 values left the emulation at filter.py:5 (float)",
        "not counted: 4 values left the emulation at filter.py:4 (float)",
        "not counted: 3 values left the emulation at filter.py:3 (float)",
        "and 2 more places",
    ]


def test_one_value_is_singular() -> None:
    """A single value is spoken of as one."""
    assert ["not counted: 1 value left the emulation at filter.py:14 (host operand)"] == remarks(
        tally(left={Departure(LINE, "host operand"): 1})
    )


def test_births_are_said_with_their_operands() -> None:
    """NaNs and infinities come with line, operation, operands of the first time, and how often."""
    born = {
        Birth(LINE, "NaN", "square_root", ("-1.0",)): 1,
        Birth(LINE, "infinity", "fused_multiply_add", ("1e+38", "9.0", "0.5")): 2000,
    }

    assert remarks(tally(born=born)) == [
        "a NaN was first born at filter.py:14, square_root of -1.0 (once)",
        "an infinity was first born at filter.py:14, fused_multiply_add of 1e+38, 9.0 and 0.5 (2 000 times)",
    ]


def test_records_have_all_there_is() -> None:
    """As data, each note is a record with the whole path of its file."""
    noted = tally(
        left={Departure(LINE, "thread"): 512}, born={Birth(LINE, "NaN", "division", ("0.0", "0.0")): 3}
    )

    assert left_records(noted) == [
        {"file": "somewhere/filter.py", "line": 14, "how": "thread", "values": 512}
    ]
    assert born_records(noted) == [{
        "file": "somewhere/filter.py", "line": 14, "kind": "NaN",
        "operation": "division", "operands": ["0.0", "0.0"], "times": 3,
    }]  # fmt: skip


def test_what_left_in_short() -> None:
    """In short, all values are summed, and the place is named that most of them left at."""
    one = {Departure(LINE, "float"): 1}

    assert "1 value did, at filter.py:14 (float)" == what_left(tally(left=one))
    assert "10 values did, most of them at filter.py:3 (thread)" == what_left(
        tally(left=one | {Departure(Line("filter.py", 3), "thread"): 9})
    )
