"""Files of arrays that were damaged, or made to harm: refused as such before memory is taken."""

from __future__ import annotations

import json
from contextlib import suppress
from pathlib import Path
from typing import Any
from zipfile import ZIP_BZIP2, ZIP_DEFLATED, ZIP_STORED, ZipFile

import numpy as np
import pytest

import softfloat_py as sf

FORMAT = json.dumps({"name": "binary16", "exponent_bits": 5, "precision": 11})
HEIGHTS = sf.binary16.array([1.5, -0.25])


def saved(path: Path) -> bytes:
    """A small file of an array."""
    sf.save_array(path, HEIGHTS)
    return path.read_bytes()


def test_damaged_bytes_are_refused_or_mean_nothing(tmp_path: Path) -> None:
    """Whichever byte of a file is turned, loading gives ArrayFileError or the array that was saved."""
    path = tmp_path / "record.npz"
    whole = saved(path)
    loaded = 0
    for place in range(len(whole)):
        for turned in (0x01, 0xFF):
            path.write_bytes(whole[:place] + bytes([whole[place] ^ turned]) + whole[place + 1 :])
            with suppress(sf.ArrayFileError):
                assert HEIGHTS.bits.tolist() == sf.load_array(path).bits.tolist()
                loaded += 1
    assert 0 < loaded < len(whole)  # dates and the like


def test_files_that_end_early_are_refused(tmp_path: Path) -> None:
    """A file cut off anywhere is none."""
    path = tmp_path / "record.npz"
    whole = saved(path)
    for length in range(0, len(whole), 7):
        path.write_bytes(whole[:length])
        with pytest.raises(sf.ArrayFileError, match=r"must be an \.npz file saved by save_array: "):
            sf.load_array(path)


HEADER = "{'descr': '<u2', 'fortran_order': False, 'shape': (%s,), }"


def entry_of(shape: str) -> bytes:
    """An .npy entry of 128 bytes that has nothing but its header."""
    header = (HEADER % shape).ljust(117).encode() + b"\n"
    return b"\x93NUMPY\x01\x00" + len(header).to_bytes(2, "little") + header


@pytest.mark.parametrize(
    ("shape", "promised"),
    [
        (str(1 << 41), "4398046511232"),
        ("-2", "124"),
        (f"{1 << 62}, 4", str(128 + (1 << 65))),  # 0 modulo 2**64
        ("2", "132"),
    ],
)
def test_a_header_is_not_believed_beyond_its_entry(shape: str, promised: str, tmp_path: Path) -> None:
    """A promise of 4 TB, of fewer elements than none, or of a number that wraps around takes no memory."""
    path, entry = tmp_path / "record.npz", entry_of(shape)
    entries: dict[str, Any] = {"layout": "softfloat_py arrays 1", "array.format": FORMAT}
    np.savez(path, **entries)
    with ZipFile(path, "a") as archive:
        archive.writestr("array.bits.npy", entry)
    with pytest.raises(
        sf.ArrayFileError, match=rf"array\.bits\.npy has 128 bytes, and its header promises {promised}$"
    ):
        sf.load_array(path)


def test_an_entry_is_not_believed_beyond_its_file(tmp_path: Path) -> None:
    """A gigabyte that a small file says it unpacks to is more than packing can make."""
    path, size = tmp_path / "record.npz", 128 + 2 * (1 << 29)
    with ZipFile(path, "w") as archive:
        archive.writestr("array.bits.npy", entry_of(str(1 << 29)), ZIP_DEFLATED)
    whole = bytearray(path.read_bytes())
    place = whole.index(b"PK\x01\x02") + 24  # the unpacked size in the central directory
    whole[place : place + 4] = size.to_bytes(4, "little")
    path.write_bytes(whole)
    with pytest.raises(sf.ArrayFileError, match=rf"array\.bits\.npy cannot have {size} bytes$"):
        sf.load_array(path)


def test_packed_files_are_read(tmp_path: Path) -> None:
    """What numpy packs is unpacked; another packing is refused, and so are other headers."""
    path, packed = tmp_path / "record.npz", tmp_path / "packed.npz"
    saved(path)
    with np.load(path) as entries:
        np.savez_compressed(packed, **entries)
    assert HEIGHTS.bits.tolist() == sf.load_array(packed).bits.tolist()
    for packing, content, fault in [
        (ZIP_BZIP2, b"calm", "layout.npy is packed in another way than numpy packs"),
        (ZIP_DEFLATED, b"a calm sea", "the magic string is not correct"),
        (ZIP_STORED, b"\x93NUMPY\x07\x00", "headers of version 1.0 or 2.0, not"),
    ]:
        with ZipFile(packed, "w") as archive:
            archive.writestr("layout.npy", content, packing)
        with pytest.raises(sf.ArrayFileError, match=fault):
            sf.load_array(packed)


def test_parameters_in_parameters_without_end_are_refused(tmp_path: Path) -> None:
    """A format of 100 000 lists in one another is none."""
    path = tmp_path / "record.npz"
    entries: dict[str, Any] = {"layout": "softfloat_py arrays 1", "array.bits": HEIGHTS.bits}
    entries["array.format"] = "[" * 100_000
    np.savez(path, **entries)
    with pytest.raises(sf.ArrayFileError, match=r"the parameters of a format must be a JSON object of them"):
        sf.load_array(path)


def test_names_may_end_as_entries_do(tmp_path: Path) -> None:
    """Arrays come back by any name, those that look like entries of another array among them."""
    path = tmp_path / "record.npz"
    names = ["y", "y.format", "y.bits", "y.format.bits", ".bits", "layout"]
    arrays = {name: sf.binary32.array([place]) for place, name in enumerate(names)}
    sf.save_arrays(path, **arrays)
    again = sf.load_arrays(path)
    assert {name: array.bits.tolist() for name, array in arrays.items()} == {
        name: array.bits.tolist() for name, array in again.items()
    }
