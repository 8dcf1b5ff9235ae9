"""What reports call formats that may share a name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from softfloat_py.formats import NAMED_FORMATS, BinaryFormat


def told_apart(formats: Iterable[BinaryFormat]) -> dict[BinaryFormat, str]:
    """A name for each of some formats: its own, with its parameters where another has the same.

    The library's own formats keep their names.

    >>> named = ("swell", 6, 9), ("swell", 6, 11), ("heave", 5, 9)
    >>> told_apart(BinaryFormat(*one) for one in named).values()
    dict_values(['swell (6, 9)', 'swell (6, 11)', 'heave'])
    """
    different = dict.fromkeys(formats)
    times = Counter(fmt.name for fmt in different)
    return {fmt: fmt.name if times[fmt.name] == 1 or _is_named(fmt) else _in_full(fmt) for fmt in different}


def _is_named(fmt: BinaryFormat) -> bool:
    """Whether the format is one of the library's own."""
    named = NAMED_FORMATS.get(fmt.name)
    return named is not None and named.parameters == fmt.parameters


def _in_full(fmt: BinaryFormat) -> str:
    """A name with bits of the exponent, precision, and what else tells formats apart."""
    parts = [str(fmt.exponent_bits), str(fmt.precision)]
    parts += ["explicit leading bit"] if fmt.explicit_leading_bit else []
    parts += [] if fmt.has_infinity else ["no infinity"]
    return f"{fmt.name} ({', '.join(parts)})"
