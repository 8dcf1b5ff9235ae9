"""The environment: directions and options in force for a block, and the flags raised in it."""

from __future__ import annotations

import asyncio
import contextvars
import copy
import pickle
import threading
from typing import Any

import pytest

from softfloat_py.environment import Environment, Flags, Rounding, current, environment
from softfloat_py.errors import ConventionError
from softfloat_py.numbers.applying import apply
from softfloat_py.numbers.formats import binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options

# In binary32; a third rounded to nearest lies above the exact one.
ONE, THREE, ONE_THIRD = 0x3F800000, 0x40400000, 0x3EAAAAAB


def divided(x: int, y: int) -> int:
    """x / y in binary32, in the environment in force."""
    quotient: int = apply(OPERATIONS["division"], binary32, (x, y))
    return quotient


def test_default_is_ties_to_even_and_complete() -> None:
    """Outside any block, everything is provided and ties go to even (clause 4.3.3)."""
    assert (Rounding.TIES_TO_EVEN, COMPLETE) == (current.get().rounding, current.get().options)


def test_directions_are_those_of_the_standard() -> None:
    """The five rounding-direction attributes have the standard's names in snake case (clause 4.3)."""
    assert ["TIES_TO_EVEN", "TIES_TO_AWAY", "TOWARD_POSITIVE", "TOWARD_NEGATIVE", "TOWARD_ZERO"] == [
        rounding.name for rounding in Rounding
    ]


def test_block_puts_a_direction_in_force() -> None:
    """Inside a block its direction holds, after it the outer one."""
    with environment(rounding=Rounding.TOWARD_NEGATIVE):
        inside = divided(ONE, THREE)
    with environment():
        outside = divided(ONE, THREE)

    assert (ONE_THIRD - 1, ONE_THIRD) == (inside, outside)


def test_what_is_not_given_stays_as_it_was() -> None:
    """An inner block changes only what it names."""
    flushed = Options(subnormal_results=False)
    with environment(rounding=Rounding.TOWARD_ZERO), environment(options=flushed) as inner:
        assert (Rounding.TOWARD_ZERO, flushed) == (inner.rounding, inner.options)
    with environment(options=flushed), environment(rounding=Rounding.TOWARD_ZERO) as inner:
        assert (Rounding.TOWARD_ZERO, flushed) == (inner.rounding, inner.options)


def test_options_without_directions_return_to_ties_to_even() -> None:
    """Lean options inside a directed block round ties to even, as code built with them would."""
    with environment(rounding=Rounding.TOWARD_POSITIVE), environment(options=LEAN) as inner:
        assert Rounding.TIES_TO_EVEN is inner.rounding


def test_block_starts_with_lowered_flags_and_keeps_them_to_itself() -> None:
    """Flags raised in an inner block are not passed on to the outer one."""
    with environment() as outer:
        divided(ONE, THREE)
        with environment() as inner:
            assert Flags.NONE is inner.flags
            divided(ONE, 0)

    assert (Flags.INEXACT, Flags.DIVISION_BY_ZERO) == (outer.flags, inner.flags)


def test_flags_only_grow_until_they_are_lowered() -> None:
    """A raised flag stays, others join it, and assigning none lowers all (clause 7.1)."""
    with environment() as env:
        divided(ONE, THREE)
        divided(0, 0)
        divided(ONE, ONE)
        assert Flags.INEXACT | Flags.INVALID_OPERATION == env.flags
        env.flags = Flags.NONE
        assert Flags.NONE == env.flags


def test_environment_returns_after_an_error() -> None:
    """An exception that leaves a block takes its conventions out of force."""
    outside = current.get()
    with pytest.raises(ZeroDivisionError), environment(rounding=Rounding.TOWARD_ZERO):
        raise ZeroDivisionError

    assert outside is current.get()


def test_threads_have_environments_of_their_own() -> None:
    """What a thread puts in force does not reach another one."""
    seen: list[Any] = []
    with environment(rounding=Rounding.TOWARD_ZERO):
        thread = threading.Thread(target=lambda: seen.append(current.get().rounding))
        thread.start()
        thread.join()

    assert [Rounding.TIES_TO_EVEN] == seen


def flags_after(x: int, y: int) -> Flags:
    """The flags of the environment in force after a division."""
    divided(x, y)
    return current.get().flags


def test_threads_have_default_environments_of_their_own() -> None:
    """Flags raised outside any block in a worker do not show in the default environment of another thread."""
    seen: list[Flags] = []
    current.get().flags = Flags.NONE

    def work(y: int) -> None:
        seen.append(flags_after(ONE, y))

    handed_on = contextvars.copy_context()  # to a thread, as asyncio.to_thread does
    for run in (work, lambda y: handed_on.run(work, y)):
        for y in (0, THREE):
            thread = threading.Thread(target=run, args=(y,))
            thread.start()
            thread.join()

    assert [Flags.DIVISION_BY_ZERO, Flags.INEXACT] * 2 == seen
    assert Flags.NONE is current.get().flags


def test_tasks_have_default_environments_of_their_own() -> None:
    """Flags raised outside any block in a task show neither in its creator's nor in another task's."""

    async def work(x: int, y: int) -> Flags:
        divided(ONE, ONE)
        await asyncio.sleep(0)
        flags = flags_after(x, y)
        await asyncio.sleep(0)
        return flags | current.get().flags

    async def measure() -> list[Flags]:
        seen = await asyncio.gather(work(ONE, 0), work(ONE, THREE), work(0, 0))
        return [*seen, current.get().flags]

    current.get().flags = Flags.NONE
    expected = [Flags.DIVISION_BY_ZERO, Flags.INEXACT, Flags.INVALID_OPERATION, Flags.NONE]

    assert expected == asyncio.run(measure())
    assert Flags.NONE is current.get().flags


def test_operators_raise_flags_in_ones_own_default_environment() -> None:
    """What the operators of numbers and of arrays raise outside any block is found there."""
    current.get().flags = Flags.NONE
    binary32(1) / binary32(3)
    assert Flags.INEXACT is current.get().flags
    binary32.array([1.0] * 200) / 0
    assert Flags.INEXACT | Flags.DIVISION_BY_ZERO == current.get().flags
    current.get().flags = Flags.NONE


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (
            {"rounding": Rounding.TOWARD_ZERO, "options": LEAN},
            "options 'lean' round ties to even only, not TOWARD_ZERO; use options with all_directions=True",
        ),
        ({"rounding": "up"}, "rounding must be a member of Rounding, not 'up'"),
        ({"rounding": 2}, "rounding must be a member of Rounding, not 2"),
        ({"options": "lean"}, "options must be an Options, not 'lean'"),
    ],
)
def test_contradictory_conventions_are_refused(given: dict[str, Any], message: str) -> None:
    """Conventions that contradict each other, or are none, raise with the remedy."""
    for make in (Environment, environment):  # a block refuses them where it is written, before it begins
        with pytest.raises(ConventionError) as caught:
            make(**given)

        assert message == str(caught.value)


@pytest.mark.parametrize("given", [999, -1, 1.5, 1, "inexact", None, Flags(999)], ids=repr)
def test_flags_are_flags(given: Any) -> None:
    """Only a set of the five flags can be assigned, no number, and what was raised stays raised."""
    env = Environment()
    env.flags = Flags.OVERFLOW
    with pytest.raises(ConventionError) as caught:
        env.flags = given

    message = f"flags must be a set of Flags, not {given!r}; Flags.NONE lowers all of them"
    assert (message, Flags.OVERFLOW) == (str(caught.value), env.flags)


def test_direction_within_lean_options_is_refused() -> None:
    """A block cannot ask for a direction where the options in force round ties to even only."""
    with environment(options=LEAN), pytest.raises(ConventionError, match="TOWARD_ZERO"):  # noqa: SIM117
        with environment(rounding=Rounding.TOWARD_ZERO):
            pass


def test_a_copy_of_an_environment_has_its_flags() -> None:
    """An environment can be copied and sent to another process, in its block and after it."""
    with environment(rounding=Rounding.TOWARD_ZERO) as env:
        divided(ONE, THREE)
        inside = copy.copy(env)
        divided(ONE, 0)

    assert Flags.INEXACT == inside.flags
    for copied in (copy.deepcopy(env), pickle.loads(pickle.dumps(env))):
        assert repr(env) == repr(copied)
        assert Flags.INEXACT | Flags.DIVISION_BY_ZERO == copied.flags


def test_environment_prints_what_is_in_force() -> None:
    """The printed environment names direction, options and flags."""
    env = Environment(Rounding.TOWARD_ZERO)
    env.flags = Flags.OVERFLOW | Flags.INEXACT

    assert "Environment(rounding=TOWARD_ZERO, options='complete', flags=overflow, inexact)" == repr(env)


@pytest.mark.parametrize(
    ("text", "flags"),
    [
        ("none", Flags.NONE),
        ("invalid_operation", Flags.INVALID_OPERATION),
        ("division_by_zero, inexact", Flags.DIVISION_BY_ZERO | Flags.INEXACT),
    ],
)
def test_flags_print_their_names(text: str, flags: Flags) -> None:
    """A set of flags prints the standard's names of its members."""
    assert text == str(flags)


@pytest.mark.parametrize("flag", [flag for flag in Flags if flag], ids=str)
def test_flag_has_a_question_of_its_name(flag: Flags) -> None:
    """Each flag can be asked for by its name, and no other answers for it."""
    names = ["invalid_operation", "division_by_zero", "overflow", "underflow", "inexact"]

    assert [str(flag)] == [name for name in names if getattr(flag, name)]
