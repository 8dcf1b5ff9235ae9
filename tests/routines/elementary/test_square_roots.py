"""Square roots of fixed-point numbers: as near to the root as is stated."""

from __future__ import annotations

from math import isqrt
from random import Random

import pytest

from softfloat_py.engines import direct
from softfloat_py.options import Division, Options, SquareRoot, Tables
from softfloat_py.routines.elementary import square_roots

WIDTHS = [(9, 10), (24, 36), (48, 39), (60, 41), (90, 79)]  # of the radicand; bits wanted
SPARE = 20


def radicands(width: int) -> list[int]:
    """All numbers with one of the first two bits set, or some at random and those at the ends."""
    least, end = 1 << (width - 2), 1 << width
    if width < 10:
        return list(range(least, end))
    random = Random(width)
    ends = [least, least + 1, 2 * least - 1, 2 * least, end - 2, end - 1]
    return ends + [random.randrange(least, end) for _ in range(100)]


ALGORITHMS = [
    *(Options(division=division) for division in Division),
    *(Options(square_root=SquareRoot.RECIPROCAL, tables=tables) for tables in Tables),
]


@pytest.mark.parametrize("options", ALGORITHMS, ids=lambda options: options.name)
@pytest.mark.parametrize(("width", "bits"), WIDTHS)
def test_square_root(width: int, bits: int, options: Options) -> None:
    """Roots are off by less than is stated."""
    for x in radicands(width):
        operands, fixed = {"radicand": (x, width)}, {"bits": bits, "options": options}
        (root,), _ = direct.run(square_roots.square_root, operands, fixed)
        exact = isqrt((x << 2 * (bits + SPARE)) >> width)  # and less than a unit of its last place

        assert -(square_roots.ERROR << SPARE) < (root << SPARE) - exact - 1
        assert (root << SPARE) - exact < square_roots.ERROR << SPARE
