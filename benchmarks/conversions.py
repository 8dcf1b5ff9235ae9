"""Counted conversions of arrays beside the peers."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

import softfloat_py as sf
from benchmarks.arrays import rows_beside
from benchmarks.operands import Values, operands
from benchmarks.peers import MpfrNumbers, host_contestant
from benchmarks.row import Row
from benchmarks.sizes import Sizes
from softfloat_py.studies.comparing import HOST_FLOATS

FORMATS = ((sf.binary64, sf.binary32), (sf.binary32, sf.binary16))
SPREAD = 1e4  # of the numbers that become integers


def conversion_rows(sizes: Sizes) -> Iterator[Row]:
    """Rows of conversions to narrower formats and to integers, in ns a conversion."""
    for source, target in FORMATS:
        yield from format_rows(source, target, sizes)
    yield from integer_rows(sf.binary32, sizes)


def format_rows(source: sf.Format, target: sf.Format, sizes: Sizes) -> Iterator[Row]:
    """From a format of the host to another."""
    _, values, _ = operands(source, sizes.elements)
    array, dtype = source.array(values), HOST_FLOATS[target]
    peers = MpfrNumbers(source, [values.tolist()], target).contestants("convert_format")
    peers["numpy"] = host_contestant(lambda x: x.astype(dtype), [values])
    what = f"array convert_format {source.name} to {target.name}"
    yield from rows_beside(what, lambda: sf.convert_format(array, target), array.size, peers, sizes.rounds)


def integer_rows(source: sf.Format, sizes: Sizes) -> Iterator[Row]:
    """From a format of the host to signed integers of 32 bits, ties to even."""
    _, values, _ = operands(source, sizes.elements)
    values = values * values.dtype.type(SPREAD)
    array = source.array(values)
    peers = MpfrNumbers(source, [values.tolist()]).contestants("convert_to_integer")
    peers["numpy"] = host_contestant(rounded_to_int32, [values])
    what = f"array convert_to_integer {source.name} to int32"
    yield from rows_beside(what, lambda: sf.convert_to_integer(array), array.size, peers, sizes.rounds)


def rounded_to_int32(values: Values) -> object:
    """numpy's way to the nearest integers."""
    return np.rint(values).astype(np.int32)
