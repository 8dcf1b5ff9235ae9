"""The entries of an .npz file, a zip file of .npy entries: read with care, as others may have made it.

Objects of Python, which would run code of the file, are not read. No room is made for what the file cannot
hold: a header that promises more elements than its entry has bytes is refused before it is believed.
"""

from __future__ import annotations

import zlib
from math import prod
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import ArrayFileError

SUFFIX = ".npy"
# What deflate makes of a byte at the most, 1032 bytes: zlib's technical notes, "Maximum Compression Factor"
# (from memory).
MOST_FROM_A_BYTE = 1032
HEADERS = {
    (1, 0): np.lib.format.read_array_header_1_0,
    (2, 0): np.lib.format.read_array_header_2_0,
}
# What zipfile and numpy raise for bytes that are not what they should be. Flags of the file's own choice, as
# for a password, end in a RuntimeError or the NotImplementedError below it, places outside the file in an
# OSError.
FAULTS = (BadZipFile, EOFError, KeyError, OSError, RuntimeError, ValueError, zlib.error)


def entries_of(path: str | Path) -> dict[str, NDArray[Any]]:
    """All entries of an .npz file by their names.

    Raises ArrayFileError where the file is none, or is damaged; OSError if it cannot be opened.
    """
    with Path(path).open("rb") as file:
        size = Path(path).stat().st_size
        try:
            with ZipFile(file) as archive:
                return {
                    info.filename.removesuffix(SUFFIX): _entry(archive, info, size)
                    for info in archive.infolist()
                }
        except FAULTS as error:
            raise ArrayFileError(f"{path} must be an .npz file saved by save_array: {error}") from None


def _entry(archive: ZipFile, info: ZipInfo, size_of_file: int) -> NDArray[Any]:
    """An entry of a zip file, as an array."""
    if info.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
        raise ValueError(f"{info.filename} is packed in another way than numpy packs")
    if info.file_size > MOST_FROM_A_BYTE * size_of_file:
        raise ValueError(f"{info.filename} cannot have {info.file_size} bytes")
    with archive.open(info) as entry:
        shape, dtype, start = _header(entry)
    promised = start + prod(shape) * dtype.itemsize
    if promised != info.file_size or min(shape, default=0) < 0:
        raise ValueError(f"{info.filename} has {info.file_size} bytes, and its header promises {promised}")
    with archive.open(info) as entry:
        values: NDArray[Any] = np.lib.format.read_array(entry, allow_pickle=False)
    return values


def _header(entry: Any) -> tuple[tuple[int, ...], np.dtype[Any], int]:
    """Shape and dtype by the header of an .npy entry, and where its elements begin."""
    version = np.lib.format.read_magic(entry)
    if version not in HEADERS:
        raise ValueError(f"entries must have headers of version 1.0 or 2.0, not {version}")
    shape, _, dtype = HEADERS[version](entry)
    if dtype.hasobject:
        raise ValueError("objects of Python are not read")
    return shape, dtype, entry.tell()
