"""The printed form of small routines beside their text in `small_routines`: what the reader makes of them."""

from __future__ import annotations

from collections.abc import Mapping
from textwrap import dedent

import pytest

from softfloat_py.integer_form.printing import printed
from softfloat_py.integer_form.reader import read
from softfloat_py.routines.language import Routine
from tests.integer_form import small_routines

FORMS: list[tuple[Routine, Mapping[str, int], str]] = [
    (
        small_routines.clamped,
        {"height": 8, "limit": 8},
        """
        clamped(height.1:8, limit.2:8) -> 11
          compare:
            t.3:1 = less limit.2 height.1
            if t.3
              compare:
                height.4:8 = move limit.2
            else
            join height.5:8 = height.4 | height.1
          scale:
            t.6:10 = shift_left height.5, 2
            t.7:11 = add t.6 3
            return t.7
        """,
    ),
    (
        small_routines.reversed_bits,
        {"x": 6},
        """
        reversed_bits(x.1:6) -> 6
          order:
            carry turned.2:6 = 0, then turned.7
            carry x.3:6 = x.1, then x.9
            repeat 6
              order:
                t.4:5 = and turned.2 0x1f
                t.5:6 = shift_left t.4, 1
                t.6:1 = and x.3 1
                turned.7:6 = or t.5 t.6
                t.8:5 = shift_right x.3, 1
                x.9:6 = resize t.8, 6
            return turned.2
        """,
    ),
    (
        small_routines.folded,
        {"x": 16},
        """
        folded(x.1:16) -> 4
          reduce:
            parity.2:4 = and x.1 0xf
            t.3:12 = shift_right x.1, 4
            t.4:4 = and t.3 0xf
            parity.5:4 = xor parity.2 t.4
            t.6:8 = shift_right x.1, 8
            t.7:4 = and t.6 0xf
            parity.8:4 = xor parity.5 t.7
            t.9:4 = shift_right x.1, 12
            parity.10:4 = xor parity.8 t.9
            return parity.10
        """,
    ),
    (
        small_routines.looked_up,
        {"x": 2},
        """
        looked_up(x.1:2) -> 7
          whole:
            t.2:5 = look_up x.1, periods[4]
            t.3:6 = add t.2 7
            t.4:7 = resize t.3, 7
            return t.4
        """,
    ),
    (
        small_routines.with_helper,
        {"x": 8},
        """
        with_helper(x.1:8) -> 10
          unpack:
            t.2:9 = add x.1 1
            second.3:8 = xor x.1 5
          add:
            t.4:10 = add t.2 second.3
            return t.4
        """,
    ),
    (
        small_routines.with_early,
        {"x": 8},
        """
        with_early(x.1:8) -> 8
          negate:
            x.2:8 = not x.1
          special operands:
            t.3:1 = equal x.2 0
            if t.3
              special operands:
                return 0xff
            else
            return x.2
        """,
    ),
]


@pytest.mark.parametrize(("routine", "operands", "form"), FORMS, ids=[form[0].__name__ for form in FORMS])
def test_routine_is_read_as_these_steps(routine: Routine, operands: Mapping[str, int], form: str) -> None:
    """Branches, loops and calls take the form that their text suggests, with exact widths."""
    assert dedent(form).lstrip("\n") == printed(read(routine, operands, {}))


def test_parameters_for_all_elements_stand_apart() -> None:
    """A parameter that is the same for all elements is printed behind a semicolon."""
    program = read(small_routines.clamped, {"height": 8, "limit": 8}, {}, uniform=("limit",))

    assert printed(program).startswith("clamped(height.1:8; limit.2:8) -> 11\n")
