"""Blocks: what they put in force goes out of force whenever, wherever and in whatever order they end."""

from __future__ import annotations

import asyncio
import contextvars
import threading
from collections.abc import AsyncIterator, Callable, Generator
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.environment import Rounding, current
from softfloat_py.errors import ConventionError
from softfloat_py.tally.tally import Tally, counting_now

UP, DOWN = Rounding.TOWARD_POSITIVE, Rounding.TOWARD_NEGATIVE


def heights(rounding: Rounding) -> Generator[sf.Number, None, None]:
    """A third for ever, rounded one way: a generator that suspends inside a block."""
    with sf.environment(rounding=rounding):
        while True:
            yield sf.binary32(1) / sf.binary32(3)


def counted_heights(tallies: list[Tally], steps: int = 9) -> Generator[sf.Number, None, None]:
    """Products, counted: a generator that suspends inside a block and leaves its tally."""
    with sf.counting() as tally:
        tallies.append(tally)
        for _ in range(steps):
            yield sf.binary32(1.5) * sf.binary32(2)


# -- generators --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_closed_generators_leave_no_convention(order: tuple[int, int]) -> None:
    """Two generators that suspend inside blocks, closed in any order, leave the caller's in force."""
    generators = heights(UP), heights(DOWN)
    for _ in zip(*generators, range(3), strict=False):
        pass
    for place in order:
        generators[place].close()

    assert (None, Rounding.TIES_TO_EVEN) == (current.variable.get(), current.get().rounding)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_closed_generators_leave_no_tally(order: tuple[int, int]) -> None:
    """The same with blocks that count: nothing goes on counting."""
    tallies: list[Tally] = []
    generators = counted_heights(tallies), counted_heights(tallies)
    for _ in zip(*generators, range(3), strict=False):
        pass
    for place in order:
        generators[place].close()
    before = [tally.total_calls for tally in tallies]
    sf.binary32(1.5) * sf.binary32(2)

    assert (None, None) == (counting_now.variable.get(), counting_now.get())
    assert before == [tally.total_calls for tally in tallies]


def test_a_block_inside_a_suspended_one_is_the_innermost() -> None:
    """A generator that ends while an inner block goes on leaves the inner one in force, then the outer."""
    generator = heights(UP)
    with sf.environment(rounding=Rounding.TOWARD_ZERO):
        next(generator)
        with sf.environment(rounding=DOWN):
            generator.close()
            inside = current.get().rounding
        outside = current.get().rounding

    assert (DOWN, Rounding.TOWARD_ZERO) == (inside, outside)


def test_a_suspended_block_is_finished_in_another_thread() -> None:
    """A generator that another thread closes leaves nothing in force in the one that began it."""
    generator = heights(UP)
    next(generator)
    thread = threading.Thread(target=generator.close)
    thread.start()
    thread.join()

    assert Rounding.TIES_TO_EVEN is current.get().rounding


def test_tallies_that_end_out_of_order_miss_nothing_and_have_nothing_twice() -> None:
    """Each tally has what was computed from its block's beginning to its end, in whatever order they end."""
    tallies: list[Tally] = []
    x = sf.binary32(1.5)
    with sf.counting() as around:
        first, second = counted_heights(tallies), counted_heights(tallies)
        next(first)  # counts 1 for the first
        next(second)  # 1 for both
        x + x
        first.close()
        x - x
        second.close()
        x / x

    assert [3, 3] == [tally.total_calls for tally in tallies]
    assert 5 == around.total_calls


def test_a_generator_used_up_leaves_nothing() -> None:
    """A generator that runs to its end ends its block."""
    tallies: list[Tally] = []

    assert 4 == len(list(counted_heights(tallies, 4)))
    assert (4, None) == (tallies[0].total_calls, counting_now.get())


# -- tasks -------------------------------------------------------------------------------------------------


async def waves(rounding: Rounding, seen: list[Tally]) -> AsyncIterator[int]:
    """An asynchronous generator that suspends inside blocks of both kinds."""
    with sf.environment(rounding=rounding), sf.counting() as tally:
        seen.append(tally)
        for place in range(9):
            yield place
            await asyncio.sleep(0)


def test_an_asynchronous_generator_left_by_break_raises_nothing() -> None:
    """Python finishes it in a task of its own; the convention and the tally are out of force all the same."""
    faults: list[dict[str, Any]] = []
    seen: list[Tally] = []

    async def measure() -> tuple[Rounding, Tally | None]:
        asyncio.get_running_loop().set_exception_handler(lambda _, fault: faults.append(fault))
        async for _ in waves(UP, seen):
            break
        for _ in range(3):
            await asyncio.sleep(0)
        sf.binary32(1.5) * sf.binary32(2)
        return current.get().rounding, counting_now.get()

    assert (Rounding.TIES_TO_EVEN, None) == asyncio.run(measure())
    assert ([], [0]) == (faults, [tally.total_calls for tally in seen])


def test_a_task_made_inside_a_block_keeps_it() -> None:
    """A task works under the block that it was made in, for as long as it runs, and is counted there."""

    async def work(started: asyncio.Event) -> Rounding:
        await started.wait()
        sf.binary32(1.5) * sf.binary32(2)
        return current.get().rounding

    async def measure() -> tuple[Rounding, Rounding, int]:
        started = asyncio.Event()
        with sf.environment(rounding=UP), sf.counting() as tally:
            task = asyncio.create_task(work(started))
            await asyncio.sleep(0)
        started.set()
        return await task, current.get().rounding, tally.total_calls

    assert (UP, Rounding.TIES_TO_EVEN, 1) == asyncio.run(measure())


def test_a_copied_context_keeps_what_was_in_force() -> None:
    """What runs in a copy of a context works under the block that the copy was taken in."""
    with sf.environment(rounding=UP):
        inside = contextvars.copy_context()

    assert UP is inside.run(lambda: current.get().rounding)
    assert Rounding.TIES_TO_EVEN is current.get().rounding


# -- one use, and decorating -------------------------------------------------------------------------------


@pytest.mark.parametrize("make", [sf.environment, sf.counting])
def test_a_block_is_entered_once(make: Callable[[], Any]) -> None:
    """What environment() or counting() returned cannot be entered again, inside itself or later."""
    block = make()
    with block, pytest.raises(ConventionError, match=f"what {make.__name__}.. returned must be entered once"):
        block.__enter__()
    with pytest.raises(ConventionError, match=f"write `with {make.__name__}"), block:
        pass

    assert (None, None) == (current.variable.get(), counting_now.get())


def test_environment_decorates_a_function() -> None:
    """A decorated function runs under the conventions each time, also when it calls itself."""

    @sf.environment(rounding=UP)
    def third(depth: int) -> list[sf.Number]:
        """A third, so many times."""
        one = [sf.binary32(1) / sf.binary32(3)]
        return one + third(depth - 1) if depth else one

    with sf.environment(rounding=UP):
        expected = sf.binary32(1) / sf.binary32(3)

    assert [[expected] * 3] * 2 == [third(2), third(2)]
    assert ("third", "A third, so many times.") == (third.__name__, third.__doc__)
    assert Rounding.TIES_TO_EVEN is current.get().rounding


def test_counting_decorates_a_function() -> None:
    """A decorated function is counted for the block around each of its calls."""

    @sf.counting()
    def doubled(x: sf.Number) -> sf.Number:
        return x + x

    with sf.counting() as tally:
        doubled(doubled(sf.binary32(1.5)))

    assert {("addition", "binary32"): 2} == tally.calls


@pytest.mark.parametrize("make", [sf.environment, sf.counting])
def test_what_suspends_is_not_decorated(make: Callable[[], Any]) -> None:
    """A generator or coroutine function would run after the block, so decorating it is refused."""

    async def work() -> None:
        pass

    for function in (work, heights, waves, None):
        with pytest.raises(ConventionError, match=f"^{make.__name__} needs a function"):
            make()(function)
