"""Tallies: what they note, how they nest and add up, and how they are kept."""

from __future__ import annotations

import json
import pickle
from collections import Counter
from copy import deepcopy
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.engines import plain
from softfloat_py.environment import environment
from softfloat_py.errors import OperandError, TallyFileError
from softfloat_py.numbers.applying import apply, apply_arrays
from softfloat_py.numbers.formats import Format, binary16, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, NaNResult, Options
from softfloat_py.tally.files import LAYOUT, fingerprint
from softfloat_py.tally.tally import Line, Tally, counting
from softfloat_py.uses import use_of
from tests.engines.running import run_generated

# Accelerations of the buoy in binary32: 1.5, 0.4375, -1.25.
RISE, PUSH, FALL = 0x3FC00000, 0x3EE00000, 0xBFA00000


def computed(name: str, *bits: int) -> int:
    """An operation in binary32, noted at the line that calls this."""
    result: int = apply(OPERATIONS[name], binary32, bits)
    return result


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
    compiled = plain.compiled(use_of(OPERATIONS["addition"], binary32, COMPLETE).program)
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


@pytest.mark.parametrize("limit", [1, 3, 1000])
def test_runs_beyond_the_limit_of_a_log_are_all_counted(limit: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """However few runs are kept to be counted later, they are counted to the last, as if each were alone."""
    monkeypatch.setattr("softfloat_py.tally.counts.RUNS_LIMIT", limit)
    x, alone = binary32(1.0), Tally()
    others = [binary32(1 / n) for n in range(1, 40)]
    with counting() as together:
        results = [x - other for other in others]
    for other in others:
        with counting() as one:
            results.append(x - other)
        alone += one

    assert {("subtraction", "binary32"): 39} == together.calls
    assert alone.steps == together.steps
    assert alone.features == together.features


def test_one_line_run_in_several_ways_is_filed_under_each() -> None:
    """The same place in the code may compute in several formats, with several options and operations."""
    with counting() as tally:
        for fmt in (binary16, binary32):
            for options in (LEAN, COMPLETE):
                x = fmt(1.5)
                with environment(options=options):
                    results = [x * x, x - x]

    assert 4 == len({(origin.format, origin.options) for origin in tally.calls_by_origin})
    assert 1 == len({origin.line for origin in tally.calls_by_origin})
    assert "results = [x * x, x - x]" == next(iter(tally.calls_by_origin)).line.text
    assert 4 * 2 == tally.total_calls
    assert 2 == len(results)


def test_a_copy_of_a_tally_adds_up_with_it() -> None:
    """A tally may be copied, or sent to another process, and what is the same stays the same."""
    with environment(options=LEAN), counting() as tally:
        computed("addition", RISE, PUSH)
    steps = tally.steps

    for copy in (deepcopy(tally), pickle.loads(pickle.dumps(tally))):
        assert copy == tally
        assert 1 == len((tally + copy).usages())
        assert {step: 2 * n for step, n in steps.items()} == (tally + copy).steps


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


def test_everything_that_makes_a_program_is_kept(tmp_path: Path) -> None:
    """Formats of one's own, conventions, target formats and integer formats come back."""
    swell = Format("swell", exponent_bits=6, precision=9)
    conventions = Options(nan=NaNResult.FIRST_OPERAND, saturate=True)
    with environment(options=conventions), counting() as tally:
        height = swell(1.25) * swell(3)
        sf.convert_to_integer(sf.convert_format(height, binary16), width=16)
    tally.save(tmp_path / "swell.json")
    loaded = Tally.load(tmp_path / "swell.json")

    assert tally.usages().keys() == loaded.usages().keys()
    assert tally == loaded


def test_formats_of_one_name_are_kept_apart() -> None:
    """Two formats that share a name are two programs, in rows of their own; their steps add up."""
    with counting() as tally:
        for precision in (9, 11):
            swell = Format("swell", exponent_bits=6, precision=precision)
            swell(1.25) * swell(3)

    assert {("multiplication", "swell (6, 9)"): 1, ("multiplication", "swell (6, 11)"): 1} == tally.calls
    assert {("multiply", 9): 1, ("multiply", 11): 1} == {
        step: n for step, n in tally.steps.items() if step[0] == "multiply"
    }


def test_saved_tally_is_plain_json(tmp_path: Path) -> None:
    """Other programs can read a saved tally: its layout's name, and usages with their steps."""
    with environment(options=LEAN), counting() as tally:
        computed("negate", RISE)
    tally.save(tmp_path / "one.json")
    content = json.loads((tmp_path / "one.json").read_text(encoding="utf-8"))
    (usage,) = content["usages"]

    assert LAYOUT == content["layout"]
    assert ("negate", "binary32", 1) == (usage["operation"], usage["format"]["name"], usage["calls"])
    assert [
        ["call", "call", 0, None, 1],
        ["call", "return", 0, None, 1],
        ["sign", "load_constant", 32, None, 1],
        ["sign", "xor", 32, None, 1],
    ] == sorted(usage["steps"])


NEGATION = {
    "operation": "negate", "format": {"name": "binary32", "exponent_bits": 8, "precision": 24},
    "options": {"all_directions": False, "flags": False}, "parameter": None, "file": "buoy.py", "line": 3,
    "calls": 1, "runs": [1], "features": [],
    "program": fingerprint(use_of(OPERATIONS["negate"], binary32, LEAN).program),
}  # fmt: skip


def saved(**changed: Any) -> str:
    """A tally's file, with some of its only usage changed or, by Ellipsis, left out."""
    usage = {key: value for key, value in {**NEGATION, **changed}.items() if value is not ...}
    return json.dumps({"layout": LAYOUT, "usages": [usage]})


def test_file_written_by_hand_is_loaded(tmp_path: Path) -> None:
    """The file that the next test breaks is whole."""
    path = tmp_path / "tally.json"
    path.write_text(saved(), encoding="utf-8")

    assert 1 == Tally.load(path).steps["xor", 32]


UNLISTED = "{path} must list usages as Tally.save does, but has "
BROKEN = {
    "no JSON": ("waves", "{path} must be a tally saved by Tally.save, but is not: JSONDecodeError"),
    "empty": ("", "{path} must be a tally saved by Tally.save, but is not: JSONDecodeError"),
    "a list": ("[]", "{path} must be a tally saved by Tally.save, but is not: TypeError"),
    "no layout": ("{}", "{path} must be a tally saved by Tally.save, but is not: KeyError('layout')"),
    "another layout": (
        '{"layout": "swell 2"}',
        "{path} must have the layout 'softfloat_py tally 2', not 'swell 2'; count again",
    ),
    "no usages": (json.dumps({"layout": LAYOUT}), UNLISTED + "KeyError('usages')"),
    "no calls": (saved(calls=...), UNLISTED + "KeyError('calls')"),
    "calls in words": (saved(calls="some"), UNLISTED + "ValueError"),
    "fewer calls than none": (saved(calls=-1), UNLISTED + "ValueError"),
    "stretches missing": (saved(runs=[]), UNLISTED + "ValueError('counts of 0 stretches, not 1')"),
    "unknown operation": (saved(operation="negation"), UNLISTED + "UnknownNameError"),
    "unknown option": (saved(options={"fast": True}), UNLISTED + "AttributeError"),
    "impossible format": (
        saved(format={"name": "f", "exponent_bits": 1, "precision": 4}),
        UNLISTED + "FormatError",
    ),
    "other routines": (
        saved(program="0123456789abcdef"),
        "{path} must have been counted with this version's negate, and was with another's; count again",
    ),
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
