"""Options and the names that reports give them."""

from __future__ import annotations

from typing import Any

import pytest

from softfloat_py.errors import ConventionError
from softfloat_py.options import COMPLETE, LEAN, NAMED_OPTIONS, Method, Options


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("complete", Options()),
        ("lean", Options(all_directions=False, flags=False)),
        ("complete, ties to even only", Options(all_directions=False)),
        ("complete, no flags", Options(flags=False)),
        ("complete, subnormals flushed", Options(gradual=False)),
        ("complete, no special operands", Options(special=False)),
        ("complete, division by reciprocal", Options(division=Method.RECIPROCAL)),
        ("complete, square root by reciprocal", Options(square_root=Method.RECIPROCAL)),
        (
            "complete, ties to even only, no flags, subnormals flushed",
            Options(all_directions=False, flags=False, gradual=False),
        ),
    ],
)
def test_options_are_named_by_how_they_differ(name: str, options: Options) -> None:
    """Options are called complete or lean, or by what they leave out or choose."""
    assert name == options.name


def test_complete_leaves_nothing_out() -> None:
    """The defaults are the complete set, and lean drops only directions and flags."""
    assert Options() == COMPLETE
    assert {"complete": COMPLETE, "lean": LEAN} == NAMED_OPTIONS
    assert (True, True) == (LEAN.gradual, LEAN.special)


def test_options_of_the_same_choices_are_equal() -> None:
    """Options are values: equal by their choices, fit to be keys, and not to be changed."""
    assert Options(flags=False) == Options(flags=False)
    assert 1 == len({Options(gradual=False), Options(gradual=False)})
    with pytest.raises(AttributeError):
        COMPLETE.flags = False  # type: ignore[misc]


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"division": "digits"}, "division must be a member of Method, not 'digits'"),
        ({"flags": "no"}, "flags must be True or False, not 'no'"),
        (
            {"square_root": None, "all_directions": 1, "special": "yes"},
            "all_directions must be True or False, not 1\nspecial must be True or False, not 'yes'\n"
            "square_root must be a member of Method, not None",
        ),
    ],
)
def test_value_of_another_kind_is_refused(wrong: dict[str, Any], message: str) -> None:
    """A text in place of a truth or of a member of Method is refused, with the field named."""
    with pytest.raises(ConventionError) as refused:
        Options(**wrong)

    assert message == str(refused.value)
