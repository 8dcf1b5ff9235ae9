"""Arrays in files and in pickles: every format comes back with its bits; other files are refused."""

from __future__ import annotations

import copy
import json
import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers.formats import KNOWN_FORMATS
from tests import strategies

OURS = sf.Format("buoy", exponent_bits=6, precision=70)
FORMATS = [*KNOWN_FORMATS.values(), sf.Format("ours", exponent_bits=4, precision=6), OURS]


def corners(fmt: sf.Format) -> Any:
    """Encodings of all kinds, in two rows."""
    bits = strategies.corner_encodings(fmt)
    return fmt.array_from_bits(bits[: len(bits) // 2 * 2]).reshape(2, -1)


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_arrays_and_numbers_come_back(fmt: sf.Format, tmp_path: Path) -> None:
    """An array, a transposed one, an empty one and a Number of every format are read back as they were."""
    array = corners(fmt)
    number = array[1, 3]
    path = tmp_path / "record.data"
    for value in (array, array.T, array[:0]):
        sf.save_array(path, value)
        again = sf.load_array(path)
        assert (fmt, value.shape) == (again.format, again.shape)
        assert value.bits.tolist() == again.bits.tolist()
    sf.save_array(path, number)
    assert isinstance(sf.load_array(path), sf.Number)
    assert (fmt, number.bits) == (sf.load_array(path).format, sf.load_array(path).bits)
    assert [path] == list(tmp_path.iterdir())


@pytest.mark.parametrize("fmt", FORMATS, ids=repr)
def test_pickles_and_copies_keep_bits(fmt: sf.Format) -> None:
    """Numbers and arrays of every format survive pickling and copying, and copies have their own memory."""
    array = corners(fmt)
    for again in (pickle.loads(pickle.dumps(array)), copy.copy(array), copy.deepcopy(array)):
        assert (fmt, array.bits.tolist()) == (again.format, again.bits.tolist())
        again[0, 0] = 1
        assert array.bits.tolist() != again.bits.tolist()
    number = array[1, 3]
    for one in (pickle.loads(pickle.dumps(number)), copy.copy(number), copy.deepcopy(number)):
        assert (fmt, number.bits) == (one.format, one.bits)


def test_loaded_arrays_compute() -> None:
    """A loaded format is equal to the one that was saved, so arrays meet in operations."""
    again = pickle.loads(pickle.dumps(corners(OURS)))
    assert (2, again.shape[1]) == (again + corners(OURS)).shape


def test_several_arrays_by_name(tmp_path: Path) -> None:
    """save_arrays keeps any number of arrays of any formats by their keywords, in the documented layout."""
    path = tmp_path / "record.npz"
    heights, speed = sf.binary32.array([[0.5, -0.25]]), sf.binary128(0.1)
    sf.save_arrays(path, heights=heights, speed=speed, path=heights[0])
    again = sf.load_arrays(path)
    assert ["heights", "speed", "path"] == list(again)
    assert again["heights"].format is sf.binary32
    assert (speed.bits, heights.bits.tolist()) == (again["speed"].bits, again["heights"].bits.tolist())
    with np.load(path) as entries:
        assert "softfloat_py arrays 1" == str(entries["layout"])
        assert heights.bits.tolist() == entries["heights.bits"].tolist()
        assert (speed.bits >> 64, speed.bits % (1 << 64)) == (
            int(entries["speed.bits"]["word1"]),
            int(entries["speed.bits"]["word0"]),
        )
        assert {
            "name": "binary128", "exponent_bits": 15, "precision": 113,
            "explicit_leading_bit": False, "has_infinity": True,
        } == json.loads(str(entries["speed.format"]))  # fmt: skip
    with pytest.raises(
        sf.ArrayFileError, match=r"must hold one array saved by save_array, not heights, speed, path"
    ):
        sf.load_array(path)


def test_encodings_alone_may_be_kept_by_numpy(tmp_path: Path) -> None:
    """np.save of bits and array_from_bits of np.load is the same array, for wide formats too."""
    for fmt in (sf.binary32, sf.binary128):
        np.save(tmp_path / "bits.npy", corners(fmt).bits)
        again = fmt.array_from_bits(np.load(tmp_path / "bits.npy"))
        assert corners(fmt).bits.tolist() == again.bits.tolist()


def test_only_emulated_values_are_saved(tmp_path: Path) -> None:
    """A host array is refused before a file is made."""
    with pytest.raises(
        sf.OperandError, match=r"^a saved array must be a FloatArray or a Number, not ndarray"
    ):
        sf.save_array(tmp_path / "record.npz", np.ones(3))  # type: ignore[arg-type]
    assert [] == list(tmp_path.iterdir())


GOOD_FORMAT = json.dumps({"name": "binary16", "exponent_bits": 5, "precision": 11})
LAYOUT = "softfloat_py arrays 1"
BITS = np.array([1, 2], np.uint16)


@pytest.mark.parametrize(
    ("message", "entries"),
    [
        ("must be a file of layout 'softfloat_py arrays 1'", {"array.bits": BITS}),
        ("must be a file of layout 'softfloat_py arrays 1'", {"layout": "something else"}),
        ("must hold one array saved by save_array, not none", {"layout": LAYOUT}),
        (
            "array: there must be an entry 'array.format', and there is none",
            {"layout": LAYOUT, "array.bits": BITS},
        ),
        (
            "other: there must be an entry 'other.bits', and there is none",
            {"layout": LAYOUT, "other": BITS},
        ),
        (
            "array: the parameters of a format must be a JSON object of them",
            {"layout": LAYOUT, "array.bits": BITS, "array.format": "binary16"},
        ),
        (
            "array: exponent_bits of format 'binary16' must be a whole number from 2 to 15, not 99",
            {"layout": LAYOUT, "array.bits": BITS, "array.format": GOOD_FORMAT.replace("5", "99")},
        ),
        (
            "array: the encodings of binary16 must be of uint16, not int64",
            {"layout": LAYOUT, "array.bits": BITS.astype(np.int64), "array.format": GOOD_FORMAT},
        ),
        (
            "array: an encoding of binary16 must lie between 0 and 0x7fff (15 bits), not 0x8000",
            {
                "layout": LAYOUT,
                "array.bits": BITS << 14,
                "array.format": GOOD_FORMAT.replace("11", "10"),
            },
        ),
    ],
)
def test_wrong_entries_are_named(message: str, entries: dict[str, Any], tmp_path: Path) -> None:
    """A file with other entries says which and why."""
    np.savez(tmp_path / "wrong.npz", **entries)
    with pytest.raises(sf.ArrayFileError) as caught:
        sf.load_array(tmp_path / "wrong.npz")
    assert message in str(caught.value)
    assert str(caught.value).startswith(str(tmp_path / "wrong.npz"))


def test_all_faults_are_listed(tmp_path: Path) -> None:
    """Every array of a file that cannot be read is named at once."""
    entries: dict[str, Any] = {"layout": LAYOUT, "a.bits": BITS, "b.format": GOOD_FORMAT}
    np.savez(tmp_path / "wrong.npz", **entries)
    with pytest.raises(sf.ArrayFileError, match=r"(?s)has arrays that cannot be read:\n  a: .*\n  b: "):
        sf.load_arrays(tmp_path / "wrong.npz")


def test_other_files_are_refused(tmp_path: Path) -> None:
    """Texts, empty files, .npy files and objects of Python are no saved arrays; a missing file is missing."""
    (tmp_path / "text.npz").write_text("heights: 1.5")
    (tmp_path / "empty.npz").write_bytes(b"")
    np.save(tmp_path / "bits.npy", BITS)
    np.savez(tmp_path / "objects.npz", layout=np.array([{}], object))
    for name in ("text.npz", "empty.npz", "bits.npy", "objects.npz"):
        with pytest.raises(sf.ArrayFileError, match=r"must be an \.npz file saved by save_array"):
            sf.load_array(tmp_path / name)
    with pytest.raises(FileNotFoundError):
        sf.load_array(tmp_path / "none.npz")
