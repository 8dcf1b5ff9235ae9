"""Notes of a tally: printed, added up, compared, copied and kept beside its counts."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from copy import copy, deepcopy
from pathlib import Path
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.errors import TallyFileError
from softfloat_py.tally.files import LAYOUT
from softfloat_py.tally.notes import Notes
from softfloat_py.tally.tally import Birth, Departure, Line, Tally

LINE = Line("/buoy/filter.py", 14)
OVERFLOW = Birth(LINE, "infinity", "multiplication", ("3e+38", "2.0"))


def kernel() -> sf.Number:
    """A step of a filter that overflows, and whose result is looked at by the host."""
    energy = sf.binary32(3e38) * 2
    return sf.binary32(float(energy))


def tally_of_kernel(*, each_call: bool = False) -> Tally:
    """What the step leaves: one call, one departure, one birth."""
    with sf.counting(each_call=each_call) as tally:
        kernel()
    return tally


def noted(departures: int = 0, births: int = 0) -> Tally:
    """A tally with nothing but notes at one line."""
    tally = Tally()
    tally.note_departure(LINE, "float", departures)
    if births:
        tally.notes.birth(OVERFLOW, births)
    return tally


# -- printing ----------------------------------------------------------------------------------------------


def test_a_tally_prints_what_left_before_its_totals() -> None:
    """The first thing said is what is missing in the totals, most first."""
    tally = noted(512)
    tally.note_departure(Line("buoy.py", 3), "thread", 2000)
    tally.note_departure(Line("buoy.py", 4), "host operand")

    assert [
        "not counted: 2000 values left the emulation at buoy.py:3 (thread)",
        "not counted: 512 values left the emulation at filter.py:14 (float)",
        "not counted: 1 value left the emulation at buoy.py:4 (host operand)",
        "0 calls, 0 steps",
    ] == str(tally).splitlines()
    assert "<Tally: 0 calls, 0 steps; not counted: 2513 values left>" == repr(tally)


def test_a_tally_prints_what_was_born() -> None:
    """NaNs and infinities are said with line, kind, operation and first operands."""
    tally = noted(births=2)

    assert [
        "born at filter.py:14: infinity, 2 times, first by multiplication of 3e+38 and 2.0",
        "0 calls, 0 steps",
    ] == str(tally).splitlines()
    assert "<Tally: 0 calls, 0 steps; 2 NaNs or infinities born>" == repr(tally)
    assert "<Tally: 0 calls, 0 steps; not counted: 1 value left; 1 NaN or infinity born>" == repr(noted(1, 1))


def test_no_values_are_no_departure() -> None:
    """An operation on an array without elements leaves no note."""
    assert ({}, Tally()) == (noted(0).left, noted(0))


# -- adding up ---------------------------------------------------------------------------------------------


def test_notes_add_up() -> None:
    """A sum of tallies has the notes of both, and both keep their own."""
    first, second = noted(512, 2), noted(3, 1)
    total = first + second
    first.absorb(second)

    for tally in (total, first):
        assert {Departure(LINE, "float"): 515} == tally.left
        assert {OVERFLOW: 3} == tally.born
    assert ({Departure(LINE, "float"): 3}, {OVERFLOW: 1}) == (second.left, second.born)


def test_a_sum_keeps_the_first_operands() -> None:
    """A line, kind and operation is one birth in a sum too, with the operands of the first tally."""
    other = Tally()
    other.notes.birth(OVERFLOW._replace(operands=("1e+38", "9.0")), 1)

    assert {OVERFLOW: 3} == (noted(births=2) + other).born


def test_a_sum_takes_the_constants_of_two_runs_for_constants() -> None:
    """A run with another factor is another run: no departure is made of that in a sum."""
    tallies = []
    for factor in (0.5, 0.25):
        with sf.counting() as tally:
            for _ in range(3):
                sf.binary32(1.5) * factor
        tallies.append(tally)

    assert {} == (tallies[0] + tallies[1]).left


@pytest.mark.parametrize(
    ("inner", "after", "expected"),
    [
        # Values of the block around, then those of the inner block: what is noted in all.
        ([1.0, 1.0], [1.0, 1.0], 0),
        ([1.0, 1.0], [2.0, 2.0], 2),
        ([1.0, 2.0], [2.0, 2.0], 2),
        ([1.0, 1.0], [1.0, 2.0], 2),
        ([1.0, 2.0], [3.0, 4.0], 4),
        ([1.0, 2.0], [3.0, 3.0], 3),
        ([1.0, 1.0], [2.0, 3.0], 3),
    ],
)
def test_operands_of_two_inner_blocks_are_one_row(
    inner: list[float], after: list[float], expected: int
) -> None:
    """Two blocks that visit the same place are followed as if there were none."""
    with sf.counting() as tally:
        for values in (inner, after):
            with sf.counting():
                for value in values:
                    sf.binary32(1.5) * value

    assert expected == sum(tally.left.values())


def test_nested_blocks_pass_notes_on() -> None:
    """What an inner block noted is noted in the outer one when it ends."""
    with sf.counting() as outer:
        kernel()
        with sf.counting() as inner:
            kernel()

    assert ([1], [1]) == (list(inner.left.values()), list(inner.born.values()))
    assert ([2], [2]) == (list(outer.left.values()), list(outer.born.values()))


# -- comparing and copying ---------------------------------------------------------------------------------


def test_tallies_differ_by_their_notes() -> None:
    """Tallies with the same counts are equal only if the same left and the same was born."""
    assert noted(512, 2) == noted(512, 2)
    for other in (noted(512), noted(511, 2), noted(512, 3), noted(births=2), Tally()):
        assert noted(512, 2) != other


@pytest.mark.parametrize("each_call", [False, True])
@pytest.mark.parametrize("duplicate", [copy, deepcopy, lambda tally: pickle.loads(pickle.dumps(tally))])
def test_a_copy_is_independent(duplicate: Callable[[Tally], Tally], each_call: bool) -> None:
    """Whatever is added to a copy, the original stays as it is, and the other way round."""
    tally, untouched = tally_of_kernel(each_call=each_call), tally_of_kernel(each_call=each_call)
    copied = duplicate(tally)
    assert (tally, tally.records()) == (copied, copied.records())
    assert each_call == copied.each_call == bool(copied.records())

    copied.absorb(noted(512, 2))
    copied.absorb(untouched)
    assert (untouched, untouched.records()) == (tally, tally.records())
    again = duplicate(tally)
    tally.absorb(untouched)
    assert (untouched, untouched.records()) == (again, again.records())


def test_a_copy_can_be_taken_while_the_tally_counts() -> None:
    """A copy within the block has what was counted so far, and counts no further itself."""
    with sf.counting() as tally:
        kernel()
        copied = copy(tally)
        kernel()

    assert ((1, [1], [1]), (2, [2], [2])) == tuple(
        (one.total_calls, list(one.left.values()), list(one.born.values())) for one in (copied, tally)
    )


# -- keeping -----------------------------------------------------------------------------------------------


def test_notes_are_saved_and_loaded(tmp_path: Path) -> None:
    """A tally read back has the notes of the one saved."""
    tally = tally_of_kernel()
    tally.absorb(noted(512, 2))
    tally.save(tmp_path / "tally.json")
    loaded = Tally.load(tmp_path / "tally.json")

    assert (tally, tally.left, tally.born) == (loaded, loaded.left, loaded.born)


def test_saved_notes_are_plain_json(tmp_path: Path) -> None:
    """Other programs can read what left and what was born."""
    noted(512, 2).save(tmp_path / "tally.json")
    content = json.loads((tmp_path / "tally.json").read_text(encoding="utf-8"))

    assert [{"file": LINE.file, "line": 14, "how": "float", "values": 512}] == content["left_emulation"]
    assert [
        {
            "file": LINE.file, "line": 14, "kind": "infinity", "operation": "multiplication",
            "operands": ["3e+38", "2.0"], "times": 2,
        }
    ] == content["births"]  # fmt: skip


def test_a_file_without_notes_is_loaded(tmp_path: Path) -> None:
    """Files of earlier versions, which had none, are still tallies."""
    path = tmp_path / "tally.json"
    path.write_text(json.dumps({"layout": LAYOUT, "usages": []}), encoding="utf-8")

    assert Tally() == Tally.load(path)


DEPARTURE = {"file": "buoy.py", "line": 3, "how": "float", "values": 1}
BIRTH = {**DEPARTURE, "kind": "NaN", "operation": "division", "operands": ["0.0", "0.0"], "times": 1}
BROKEN: dict[str, dict[str, Any]] = {
    "values below one": {"left_emulation": [{**DEPARTURE, "values": 0}]},
    "values in words": {"left_emulation": [{**DEPARTURE, "values": "some"}]},
    "no line": {"left_emulation": [{"file": "buoy.py", "how": "float", "values": 1}]},
    "no list": {"left_emulation": 3},
    "times below one": {"births": [{**BIRTH, "times": -1}]},
    "no operands": {"births": [{**BIRTH, "operands": None}]},
}


@pytest.mark.parametrize("fault", BROKEN)
def test_broken_notes_are_refused(fault: str, tmp_path: Path) -> None:
    """A file whose notes are none raises, naming it."""
    path = tmp_path / "tally.json"
    path.write_text(json.dumps({"layout": LAYOUT, "usages": [], **BROKEN[fault]}), encoding="utf-8")

    with pytest.raises(TallyFileError, match=r"tally\.json must list"):
        Tally.load(path)


def test_new_notes_say_nothing() -> None:
    """Notes start empty, and then have no sentence and no summary."""
    assert ([], "", {}, {}) == (Notes().sentences(), Notes().summary(), Notes().left, Notes().born)
