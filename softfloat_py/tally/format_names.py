"""What reports call formats that may share a name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from softfloat_py.number_systems import NumberSystem


def told_apart(formats: Iterable[NumberSystem]) -> dict[NumberSystem, str]:
    """A name for each of some formats: its own, with its parameters where another has the same.

    The library's own formats keep their names.

    >>> from softfloat_py.formats import BinaryFormat
    >>> named = ("swell", 6, 9), ("swell", 6, 11), ("heave", 5, 9)
    >>> told_apart(BinaryFormat(*one) for one in named).values()
    dict_values(['swell (6, 9)', 'swell (6, 11)', 'heave'])
    """
    different = dict.fromkeys(formats)
    times = Counter(fmt.name for fmt in different)
    return {fmt: fmt.name if times[fmt.name] == 1 or fmt.is_named else fmt.name_in_full for fmt in different}
