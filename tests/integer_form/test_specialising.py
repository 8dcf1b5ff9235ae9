"""What is fixed disappears from the form, and so do the steps that nobody needs."""

from __future__ import annotations

from textwrap import dedent

import pytest

from softfloat_py.integer_form.finishing import Draft, finished
from softfloat_py.integer_form.grammar import Block, If, Program, Step
from softfloat_py.integer_form.printing import printed
from softfloat_py.integer_form.reader import draft, read
from softfloat_py.numbers.formats import Format, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.uses import use_of
from tests.integer_form import small_routines

TINY = Format("e3p4", exponent_bits=3, precision=4)


def halved(options: Options) -> Draft:
    """The form of a small routine with options, before useless steps are removed."""
    return draft(
        small_routines.halved, {"x": TINY.width}, {"fmt": TINY, "options": options}, keep_flags=options.flags
    )


def steps_of(program: Draft | Program) -> list[str]:
    """The kinds of all steps, in order."""
    statements = [statement for block in program.body.walk() for statement in block.statements]
    return [statement.kind.name for statement in statements if isinstance(statement, Step)]


def blocks_with_an_if(program: Draft | Program) -> list[Block]:
    """The blocks in which a decision is left to be made."""
    return [block for block in program.body.walk() if any(isinstance(s, If) for s in block.statements)]


def test_condition_on_an_option_disappears() -> None:
    """An `if` on an option leaves one of its sides and no trace of the other."""
    assert 1 == len(blocks_with_an_if(halved(COMPLETE)))
    assert [] == blocks_with_an_if(halved(Options(special=False)))


def test_complete_form_keeps_what_it_signals() -> None:
    """With everything kept, the flags are a second result with steps of their own."""
    expected = """
        halved(x.1:7) -> 7, 5
          classify:
            t.2:4 = shift_right x.1, 3
            t.3:3 = and t.2 7
            t.4:1 = equal t.3 7
            if t.4
              classify:
                return x.1 1
            else
          scale:
            odd.5:1 = and x.1 1
            t.6:5 = shift_left odd.5, 4
            t.7:7 = subtract x.1 8
            return t.7 t.6
    """

    assert dedent(expected).lstrip("\n") == printed(finished(halved(COMPLETE)))


def test_steps_for_flags_alone_go_with_them() -> None:
    """What was computed for a flag that is not kept is no step of the program any more."""
    form = halved(Options(special=False, flags=False))

    assert ["and", "subtract"] == steps_of(form)
    assert ["subtract"] == steps_of(finished(form))


@pytest.mark.parametrize("name", ["addition", "division", "square_root"])
def test_leaving_something_out_never_adds_steps(name: str) -> None:
    """Each option left out makes a program shorter, or leaves it as it is."""
    complete = len(steps_of(use_of(OPERATIONS[name], binary32, COMPLETE).program))
    for left_out in (LEAN, Options(flags=False), Options(subnormal_operands=False), Options(special=False)):
        lighter = use_of(OPERATIONS[name], binary32, left_out).program

        assert complete >= len(steps_of(lighter))
    assert complete > len(steps_of(use_of(OPERATIONS[name], binary32, Options(flags=False)).program))


def test_stretches_are_numbered_in_the_order_of_the_text() -> None:
    """Each block begins a stretch; what follows an `if` that may return is one too."""
    program = finished(halved(COMPLETE))
    (decision,) = [statement for statement in program.body.statements if isinstance(statement, If)]

    assert (0, 1, 2, 3) == (
        program.body.number, decision.then.number, decision.otherwise.number, decision.after,
    )  # fmt: skip
    assert 4 == program.stretches


def test_steps_that_change_nothing_are_not_taken() -> None:
    """Zeros, full masks, shifts by nothing and choices that are fixed leave no step."""
    form = read(small_routines.nothing_to_do, {"x": 8}, {})

    assert "nothing_to_do(x.1:8) -> 8\n  whole:\n    return x.1\n" == printed(form)


def test_useless_loop_goes() -> None:
    """A loop whose values nobody uses is removed with all it carries."""
    form = draft(small_routines.loop_for_nothing, {"x": 8}, {})

    assert ["not", "xor"] == steps_of(form)
    assert ["not"] == steps_of(finished(form))
