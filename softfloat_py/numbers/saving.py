"""Emulated arrays in files: numpy's .npz, which any reader of zip files and .npy entries can take apart.

The file has, written by numpy.savez:

    layout          the text "softfloat_py arrays 1"
    NAME.bits       for each array its encodings, as FloatArray.bits has them: the smallest unsigned dtype, or
                    beyond 64 bits a field for each 64-bit word, word0 (the lowest), word1
    NAME.format     for each array the parameters of its format, a JSON object with the keys name,
                    exponent_bits, precision, explicit_leading_bit, has_infinity

A Number is saved as an array of shape (), and is read back as a Number.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from softfloat_py.engines.arrays.words import as_array, to_ints
from softfloat_py.errors import ArrayFileError, FormatError, OperandError
from softfloat_py.numbers.array import FloatArray
from softfloat_py.numbers.array_constants import storage
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.npz_entries import entries_of
from softfloat_py.numbers.number import Number
from softfloat_py.numbers.systems import system_of
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.whole_files import whole_file

LAYOUT = "softfloat_py arrays 1"
ONLY = "array"  # the name of an array that is saved alone
BITS, FORMAT = ".bits", ".format"


def save_array(path: str | Path, array: FloatArray | Number) -> None:
    """Write an array or a Number of any format to a file, to be read by `load_array`.

    The layout is described in `softfloat_py.numbers.saving`; the name of the array is "array". The encodings
    alone can be kept with np.save(path, a.bits) and binary32.array_from_bits(np.load(path)). Raises
    OperandError for a host array.
    """
    save_arrays(path, **{ONLY: array})


def save_arrays(path: str | Path, /, **arrays: FloatArray | Number) -> None:
    """Write arrays and Numbers, of any formats, to one file, each by its keyword; read by `load_arrays`.

    Raises OperandError for a host array.
    """
    entries: dict[str, Any] = {"layout": np.array(LAYOUT)}
    for name, value in arrays.items():
        if not isinstance(value, Emulated):
            raise OperandError(
                f"a saved array must be a FloatArray or a Number, not {type(value).__name__} {name!r}; "
                "for host arrays use numpy.savez"
            )
        entries[name + BITS] = as_array(value._bits, value.format.width)
        entries[name + FORMAT] = np.array(json.dumps(value.format.parameters_to_save()))
    with whole_file(path) as file:
        np.savez(file, **entries)


def load_array(path: str | Path) -> Any:
    """Read the FloatArray, or the Number, that `save_array` wrote.

    Raises ArrayFileError where the file is none, or holds several arrays; OSError if it cannot be opened.
    """
    arrays = load_arrays(path)
    if list(arrays) != [ONLY]:
        names = ", ".join(arrays) or "none"
        raise ArrayFileError(f"{path} must hold one array saved by save_array, not {names}; use load_arrays")
    return arrays[ONLY]


def load_arrays(path: str | Path) -> dict[str, Any]:
    """Read the FloatArrays and Numbers that `save_arrays` wrote, by their names.

    Raises ArrayFileError, which lists all faults, where the file is none; OSError if it cannot be opened.
    """
    entries = entries_of(path)
    if _text(entries.pop("layout", None)) != LAYOUT:
        raise ArrayFileError(f"{path} must be a file of layout {LAYOUT!r}, and is another; save it again")
    arrays, faults = {}, []
    for name in dict.fromkeys(map(_name, entries)):
        try:
            arrays[name] = _array(entries, name)
        except (FormatError, ArrayFileError) as fault:
            faults.append(f"  {name}: {fault}")
    if faults:
        raise ArrayFileError("\n".join([f"{path} has arrays that cannot be read:", *faults]))
    return arrays


def _name(entry: str) -> str:
    """The name of the array that an entry belongs to. A name may itself end as an entry does."""
    return entry.removesuffix(BITS) if entry.endswith(BITS) else entry.removesuffix(FORMAT)


def _text(entry: NDArray[Any] | None) -> str:
    """The text that is an entry; empty if it is none."""
    return str(entry) if entry is not None and entry.dtype.kind == "U" and entry.ndim == 0 else ""


def _array(entries: Mapping[str, NDArray[Any]], name: str) -> Any:
    missing = [suffix for suffix in (BITS, FORMAT) if name + suffix not in entries]
    if missing:
        raise ArrayFileError(f"there must be an entry {name + missing[0]!r}, and there is none")
    fmt, bits = _system(_text(entries[name + FORMAT])), entries[name + BITS]
    if bits.dtype.newbyteorder("=") != storage(fmt):
        raise ArrayFileError(f"the encodings of {fmt.name} must be of {storage(fmt)}, not {bits.dtype}")
    bits = bits.astype(storage(fmt))
    fmt.check_encoding(max(to_ints(bits), default=0))
    return fmt.value_of(bits)


def _system(text: str) -> ValueSystem:
    """The number system with these parameters."""
    try:
        return system_of(json.loads(text))
    except (ValueError, TypeError, RecursionError) as error:
        if isinstance(error, FormatError):
            raise
        raise ArrayFileError(f"the parameters of a format must be a JSON object of them: {error}") from None
