"""Tallies: what they note, how they nest and add up, and how they are kept."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from softfloat_py.engines import plain
from softfloat_py.environment import environment
from softfloat_py.errors import OperandError, TallyFileError
from softfloat_py.formats import binary16, binary32
from softfloat_py.numbers.applying import apply, apply_arrays, prepare
from softfloat_py.operations import OPERATIONS, program_of
from softfloat_py.options import COMPLETE, LEAN
from softfloat_py.tally import LAYOUT, Line, Tally, counting
from tests.engines.running import run_generated

# Accelerations of the buoy in binary32: 1.5, 0.4375, -1.25.
RISE, PUSH, FALL = 0x3FC00000, 0x3EE00000, 0xBFA00000


def computed(name: str, *bits: int) -> int:
    """An operation in binary32, noted at the line that calls this."""
    return apply(OPERATIONS[name], binary32, bits)


def tally_of_a_step() -> Tally:
    """What one step of a filter leaves: two additions and a multiplication."""
    with counting() as tally:
        computed("addition", RISE, PUSH)
        computed("addition", RISE, FALL)
        computed("multiplication", RISE, FALL)
    return tally


# -- noting ------------------------------------------------------------------------------------------------


def test_calls_are_counted_by_operation_and_format() -> None:
    """Each call is noted under its operation and its format."""
    with counting() as tally:
        computed("addition", RISE, PUSH)
        computed("addition", RISE, FALL)
        apply(OPERATIONS["addition"], binary16, (0x3C00, 0x3C00))

    assert {("addition", "binary32"): 2, ("addition", "binary16"): 1} == tally.calls
    assert 3 == tally.total_calls


def test_steps_are_those_of_the_engine() -> None:
    """A tally's steps by kind and width are what the engine's records add up to."""
    compiled = plain.compiled(program_of(OPERATIONS["addition"], binary32, COMPLETE))
    records = [run_generated(compiled, (RISE, other, 0))[1] for other in (PUSH, FALL)]
    expected: Counter[tuple[str, int]] = Counter()
    for entry, count in compiled.count(records).items():
        expected[entry.kind, entry.width] += count
    with counting() as tally:
        computed("addition", RISE, PUSH)
        computed("addition", RISE, FALL)

    assert +expected == tally.steps
    assert expected.total() == tally.total_steps


def test_nothing_is_counted_outside_the_block() -> None:
    """What is computed before and after a block is not in its tally."""
    computed("addition", RISE, PUSH)
    with counting() as tally:
        pass
    computed("addition", RISE, PUSH)

    assert ({}, {}) == (tally.calls, tally.steps)


def test_nested_blocks_each_count_what_is_inside() -> None:
    """An inner block counts its own calls, the outer one these as well."""
    with counting() as outer:
        computed("addition", RISE, PUSH)
        with counting() as inner:
            computed("multiplication", RISE, PUSH)

    assert {("multiplication", "binary32"): 1} == inner.calls
    assert {("addition", "binary32"): 1, ("multiplication", "binary32"): 1} == outer.calls


def test_counting_ends_with_an_error_too() -> None:
    """An exception that leaves a block ends its counting."""
    with pytest.raises(OperandError), counting() as tally:
        binary32.encode("no number")
    computed("addition", RISE, PUSH)

    assert 0 == tally.total_calls


def test_arrays_are_counted_as_their_elements() -> None:
    """An operation on arrays leaves the counts of as many single ones."""
    bits = np.array([RISE, PUSH, FALL, 0, 1, 0x7F800000] * 100, dtype=np.uint32)
    with counting() as of_arrays:
        apply_arrays(OPERATIONS["multiplication"], binary32, (bits, bits[::-1]))
    with counting() as of_elements:
        for x, y in zip(bits.tolist(), bits[::-1].tolist(), strict=True):
            computed("multiplication", x, y)

    assert of_elements.calls == of_arrays.calls
    assert of_elements.steps == of_arrays.steps
    assert of_elements.features == of_arrays.features
    assert of_elements.steps_by_phase == of_arrays.steps_by_phase


def test_more_calls_than_the_log_holds_are_all_counted() -> None:
    """A long run is counted to the last call, though the log is emptied on the way."""
    function = plain.compiled(program_of(OPERATIONS["negate"], binary32, LEAN))
    _, record = run_generated(function, (RISE,))
    runner, tally = prepare(OPERATIONS["negate"], binary32, LEAN), Tally()
    for _ in range(7):
        tally.note_runs((runner, record, __file__, 1) for _ in range(10_000))

    assert {("negate", "binary32"): 70_000} == tally.calls
    assert (
        dict.fromkeys([("xor", 32), ("load_constant", 32), ("call", 0), ("return", 0)], 70_000) == tally.steps
    )


# -- reading -----------------------------------------------------------------------------------------------


def test_steps_are_told_apart_by_phase() -> None:
    """An addition without a carry goes through the phases of the routine, and they hold all its steps."""
    with environment(options=LEAN), counting() as tally:
        computed("addition", RISE, PUSH)
    phases = {phase: n for (name, phase), n in tally.steps_by_phase.items() if name == "addition"}

    assert ["call", "order", "unpack", "align", "add", "normalise", "round", "pack"] == list(phases)
    assert 2 == phases["call"]
    assert 1 == phases["add"]
    assert tally.total_steps == sum(phases.values())


def test_steps_are_told_apart_by_line() -> None:
    """Steps are filed under the user's line that computed them, which can be read back."""
    with environment(options=LEAN), counting() as tally:
        apply(OPERATIONS["negate"], binary32, (RISE,))
        apply(OPERATIONS["absolute"], binary32, (FALL,))
    by_text = {line.text: n for line, n in tally.steps_by_line.items()}

    # A constant, the step itself, call and return each.
    assert {
        'apply(OPERATIONS["negate"], binary32, (RISE,))': 4,
        'apply(OPERATIONS["absolute"], binary32, (FALL,))': 4,
    } == by_text
    assert {__file__} == {line.file for line in tally.steps_by_line}


def test_line_of_an_unknown_file_has_no_text() -> None:
    """A line whose file is gone is still a line."""
    assert "" == Line("gone.py", 3).text


def test_features_are_histograms() -> None:
    """For each kind and width whose cost may depend on it, a tally holds how often each value occurred."""
    with environment(options=LEAN), counting() as tally:
        computed("addition", RISE, PUSH)
        computed("addition", RISE, PUSH)
        computed("addition", RISE, RISE)

    # The second operand of the first two is 2 places lower, that of the last one none.
    assert {2: 2, 0: 1} == tally.features["shift_right_variable", 27]


def test_options_are_kept_apart() -> None:
    """Calls with different options are one operation by name but different origins."""
    with counting() as tally:
        computed("addition", RISE, PUSH)
        with environment(options=LEAN):
            computed("addition", RISE, PUSH)

    assert {("addition", "binary32"): 2} == tally.calls
    assert {"complete", "lean"} == {origin.options for origin in tally.calls_by_origin}


def test_tally_prints_its_calls() -> None:
    """A tally prints how much it holds, and its calls in order."""
    tally = tally_of_a_step()

    assert f"<Tally: 3 calls, {tally.total_steps} steps>" == repr(tally)
    assert ["  addition binary32: 2", "  multiplication binary32: 1"] == str(tally).splitlines()[1:]
    assert f"3 calls, {tally.total_steps} steps" == str(tally).splitlines()[0]


# -- adding ------------------------------------------------------------------------------------------------


def test_tallies_add_up() -> None:
    """A sum holds both tallies' calls and steps, and leaves them as they were."""
    first, second = tally_of_a_step(), tally_of_a_step()
    total = first + second

    assert {("addition", "binary32"): 4, ("multiplication", "binary32"): 2} == total.calls
    assert {key: 2 * n for key, n in first.steps.items()} == total.steps
    assert {key: 2 * n for key, n in first.steps_by_line.items()} == total.steps_by_line
    assert 3 == first.total_calls == second.total_calls


def test_sum_of_nothing_is_nothing_more() -> None:
    """An empty tally changes nothing in a sum."""
    tally = tally_of_a_step()

    assert tally == tally + Tally()
    assert Tally() == Tally() + Tally()


def test_tallies_differ_by_what_they_hold() -> None:
    """Tallies are equal if they hold the same calls and steps, and equal nothing else."""
    assert tally_of_a_step() == tally_of_a_step()
    assert tally_of_a_step() != Tally()
    assert Tally() != 0


def test_tally_adds_only_to_a_tally() -> None:
    """A tally and a number have no sum."""
    with pytest.raises(TypeError, match="unsupported operand"):
        Tally() + 1  # type: ignore[operator]


def test_tally_cannot_be_a_key() -> None:
    """A tally changes while it counts, so it has no hash."""
    with pytest.raises(TypeError, match="unhashable"):
        hash(Tally())


# -- keeping -----------------------------------------------------------------------------------------------


def test_saved_tally_is_loaded_whole(tmp_path: Path) -> None:
    """A tally read back equals the one saved, features and lines included."""
    tally = tally_of_a_step()
    tally.save(tmp_path / "step.json")
    loaded = Tally.load(str(tmp_path / "step.json"))

    assert tally == loaded
    assert (tally.features, tally.steps_by_line) == (loaded.features, loaded.steps_by_line)


def test_saved_tally_is_plain_json(tmp_path: Path) -> None:
    """Other programs can read a saved tally: its layout's name and a list of origins."""
    with environment(options=LEAN), counting() as tally:
        computed("negate", RISE)
    tally.save(tmp_path / "one.json")
    content = json.loads((tmp_path / "one.json").read_text(encoding="utf-8"))
    (origin,) = content["origins"]

    assert LAYOUT == content["layout"]
    assert ("negate", "binary32", "lean", 1) == tuple(
        origin[key] for key in ("operation", "format", "options", "calls")
    )
    assert [
        ["call", "call", 0, None, 1],
        ["call", "return", 0, None, 1],
        ["sign", "load_constant", 32, None, 1],
        ["sign", "xor", 32, None, 1],
    ] == sorted(origin["steps"])


ORIGIN = {
    "operation": "negate", "format": "binary32", "options": "lean", "file": "buoy.py", "line": 3, "calls": 1,
    "steps": [["sign", "xor", 32, None, 1]],
}  # fmt: skip


def saved(**changed: Any) -> str:
    """A tally's file, with some of its only origin changed or, by None, left out."""
    origin = {key: value for key, value in {**ORIGIN, **changed}.items() if value is not None}
    return json.dumps({"layout": LAYOUT, "origins": [origin]})


def test_file_written_by_hand_is_loaded(tmp_path: Path) -> None:
    """The file that the next test breaks is whole."""
    path = tmp_path / "tally.json"
    path.write_text(saved(), encoding="utf-8")

    assert {("xor", 32): 1} == Tally.load(path).steps


BROKEN = {
    "no JSON": ("waves", "{path} must be a tally saved by Tally.save, but is not: JSONDecodeError"),
    "empty": ("", "{path} must be a tally saved by Tally.save, but is not: JSONDecodeError"),
    "a list": ("[]", "{path} must be a tally saved by Tally.save, but is not: TypeError"),
    "no layout": ("{}", "{path} must be a tally saved by Tally.save, but is not: KeyError('layout')"),
    "another layout": (
        '{"layout": "swell 2"}',
        "{path} must have the layout 'softfloat_py tally 1', not 'swell",
    ),
    "no origins": (
        json.dumps({"layout": LAYOUT}),
        "{path} must list origins as Tally.save does, but has KeyError('origins')",
    ),
    "no calls": (saved(calls=None), "{path} must list origins as Tally.save does, but has KeyError('calls')"),
    "calls in words": (
        saved(calls="some"),
        "{path} must list origins as Tally.save does, but has ValueError",
    ),
    "steps too short": (saved(steps=[["sign", "xor", 32]]), "{path} must list origins as Tally.save does"),
    "steps no list": (saved(steps=7), "{path} must list origins as Tally.save does, but has TypeError"),
}


@pytest.mark.parametrize("fault", BROKEN)
def test_broken_file_is_refused(fault: str, tmp_path: Path) -> None:
    """A file that is no saved tally raises, naming it and what it has instead."""
    content, message = BROKEN[fault]
    path = tmp_path / "tally.json"
    path.write_text(content, encoding="utf-8")

    with pytest.raises(TallyFileError) as caught:
        Tally.load(path)

    assert str(caught.value).startswith(message.format(path=path))


@pytest.mark.parametrize("row", [["sign", "xor", 32, None, -5], ["sign", "stir", 32, None, 5]])
def test_impossible_steps_are_not_loaded(row: list[Any], tmp_path: Path) -> None:
    """A count below zero, or a kind of step there is not, makes a file no tally."""
    origin = {"operation": "negate", "format": "binary32", "options": "lean", "file": "buoy.py", "line": 7}
    path = tmp_path / "tally.json"
    path.write_text(json.dumps({"layout": LAYOUT, "origins": [{**origin, "calls": 1, "steps": [row]}]}))

    with pytest.raises(TallyFileError, match=f"{row[4]} steps of kind '{row[1]}'"):
        Tally.load(path)
