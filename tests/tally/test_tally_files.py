"""Tally files: what is read back must be what runs can leave, so that it has a meaning and a price."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from contextlib import suppress
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.environment import environment
from softfloat_py.errors import TallyFileError
from softfloat_py.options import LEAN
from softfloat_py.tally.tally import Tally, counting


def saved_content(path: Path) -> dict[str, Any]:
    """A small kernel's tally as its file has it: a negation, an addition, a conversion."""
    with environment(options=LEAN), counting() as tally:
        -sf.binary16(1.5)
        sf.binary16(1.5) + sf.binary16(-0.25)
        sf.convert_to_integer(sf.binary16(3.5), width=16)
    tally.save(path)
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


FAULTS = {
    "more calls than runs": ({"calls": 2}, "1 runs of the first stretch in 2 calls"),
    "calls without end": ({"calls": 10**400, "runs": [10**400]}, "a count that is no whole number from 0"),
    "features of no step": ({"features": [[]]}, "features of 1 steps, not 0"),
    "steps of another program": (
        {"steps": [["sign", "xor", 32, None, 2]]},
        "steps beside a usage that are not those of the usage",
    ),
    "a line beyond all files": ({"line": math.inf}, "a line of a file that is none: "),
    "a file that is none": ({"file": 5}, "a line of a file that is none: 5"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_counts_that_contradict_each_other_are_refused(fault: str, tmp_path: Path) -> None:
    """Calls, stretches, features, steps and lines are held against the program and against each other."""
    path = tmp_path / "tally.json"
    content = saved_content(path)
    changed, message = FAULTS[fault]
    content["usages"][0].update(changed)
    path.write_text(json.dumps(content), encoding="utf-8")

    with pytest.raises(TallyFileError) as caught:
        Tally.load(path)

    assert f"{path} must list usages as Tally.save does, but has ValueError(" in str(caught.value)
    assert message in str(caught.value)


@pytest.mark.parametrize("text", ["[" * 100_000, '{"layout": ' * 100_000, "1" + "0" * 5000])
def test_texts_beyond_json_s_readers_are_refused(text: str, tmp_path: Path) -> None:
    """Lists in lists without end, and integers that Python does not read, are no tally either."""
    path = tmp_path / "tally.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(TallyFileError, match=r"must be a tally saved by Tally\.save, but is not: "):
        Tally.load(path)


# What stands in a file where something else should.
HOSTILE: list[Any] = [None, -1, 7, 10**9, 10**400, math.inf, "x", [], [[1, 1], [1, 2]], {}]


def places_in(content: Any) -> Iterator[tuple[Any, Any]]:
    """Everything that stands in a JSON document: the list or object it stands in, and its index or key."""
    for key in content if isinstance(content, dict) else range(len(content)):
        yield content, key
        if isinstance(content[key], dict | list):
            yield from places_in(content[key])


def test_a_file_that_is_loaded_can_be_priced(tmp_path: Path) -> None:
    """Whatever is changed in a saved tally, it is refused as a tally's file or has finite cycles."""
    path = tmp_path / "changed.json"
    whole = saved_content(path)
    for usage in whole["usages"]:
        del usage["steps"]  # which are for other readers, and many
    text, loaded = json.dumps(whole), 0
    for place in range(sum(1 for _ in places_in(json.loads(text)))):
        for hostile in HOSTILE:
            content = json.loads(text)
            part, key = next(islice(places_in(content), place, None))
            part[key] = hostile
            path.write_text(json.dumps(content), encoding="utf-8")
            with suppress(TallyFileError):
                cycles = Tally.load(path).estimate("cortex-m0plus").cycles
                assert 0 <= cycles < math.inf
                loaded += 1
    assert 0 < loaded < 40  # other lines and names of files, and what equals what it replaces
