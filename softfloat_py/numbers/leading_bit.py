"""Encodings to and from the twin of a format that stores the leading bit, on ints.

The routines are those of `routines/explicit_leading_bit.py`, through which all operands and results go.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from softfloat_py.engines import plain
from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.reader import read
from softfloat_py.options import LEAN
from softfloat_py.routines.explicit_leading_bit import with_leading_bit, without_leading_bit
from softfloat_py.routines.language import Routine


def to_twin(fmt: BinaryFormat, bits: int) -> int:
    """An encoding as the format's twin has it: what makes no sense becomes a signalling NaN."""
    return _run(without_leading_bit, fmt, fmt.width)(bits)[0] if fmt.explicit_leading_bit else bits


def from_twin(fmt: BinaryFormat, bits: int) -> int:
    """A twin's encoding as the format has it."""
    return _run(with_leading_bit, fmt, fmt.width - 1)(bits)[0] if fmt.explicit_leading_bit else bits


@lru_cache(maxsize=256)
def _run(routine: Routine, fmt: BinaryFormat, width: int) -> Callable[[int], tuple[int, ...]]:
    return plain.compiled(read(routine, {"x": width}, {"fmt": fmt, "options": LEAN})).run
