"""Names that are near, and long lists by family."""

from __future__ import annotations

import pytest

from softfloat_py.suggestions import families, nearest_name, nearest_names, shared_beginning

SEA = ["wave_height", "wave_period", "wave_age", "swell_height", "tide"]


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("wave_hieght", ["wave_height"]),
        ("height", ["wave_height", "swell_height"]),
        ("Wave", ["wave_height", "wave_period", "wave_age"]),
        ("ti", ["tide"]),
        ("salt", []),
    ],
)
def test_nearest_names(name: str, near: list[str]) -> None:
    """A slip of the pen has one name near, a part of names all of them, anything else what is like it."""
    assert near == nearest_names(name, SEA)


def test_part_of_too_many_names_has_none_near() -> None:
    """Where more names hold a part than are asked for, none is picked from them."""
    assert [] == nearest_names("wave", SEA, most=2)


def test_nearest_name() -> None:
    """The one name most like it, if there is any."""
    assert ("tide", None) == (nearest_name("tied", SEA), nearest_name("salt", SEA))


def test_families() -> None:
    """Names that begin with one word are one family, wherever they stand."""
    assert ["wave_… (3)", "swell_height", "tide"] == families(
        ["wave_height", "swell_height", "tide", *SEA[1:3]]
    )
    assert ["copy… (2)"] == families(["copy", "copy_sign"])


def test_a_name_begins_a_family() -> None:
    """Names that begin with the letters of another are of its family, those with a short one's are not."""
    assert ["tide… (3)", "low", "e", "ebb"] == families(["tide", "tides", "tidemark_low", "low", "e", "ebb"])


def test_shared_beginning() -> None:
    """Letters are shared as far as all names have the same."""
    assert ("wave_", "tide", "") == tuple(map(shared_beginning, (SEA[:3], SEA[4:], SEA)))
