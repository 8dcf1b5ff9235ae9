"""Carrying: a function that works in other threads as where it was carried from."""

from __future__ import annotations

import asyncio
import contextvars
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.environment import Flags, Rounding, current
from softfloat_py.errors import ConventionError
from softfloat_py.options import LEAN
from softfloat_py.tally.tally import counting_now

HEIGHTS = [0.25 * place for place in range(1, 41)]


def energy(height: float) -> sf.Number:
    """A wave's energy and a bit, in two operations, with different features for different heights."""
    x = sf.binary32(height)
    return x * x + x


@pytest.fixture
def restless() -> Iterator[None]:
    """Threads take turns as often as Python lets them, so that what is not guarded gets lost."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(usual)


@pytest.mark.usefixtures("restless")
def test_counts_are_exact_under_contention() -> None:
    """Many calls at once in several threads, and one here, count as much as the same one by one."""
    with sf.counting() as alone:
        for height in HEIGHTS * 6:
            energy(height)
            energy(height)
    with sf.counting() as tally, ThreadPoolExecutor(8) as pool:
        results = [pool.submit(sf.carrying(energy), height) for height in HEIGHTS * 6]
        for height in HEIGHTS * 6:
            energy(height)
        for result in results:
            result.result()

    assert ({}, {("multiplication", "binary32"): 480, ("addition", "binary32"): 480}) == (
        tally.left,
        tally.calls,
    )
    assert (alone.steps, alone.features) == (tally.steps, tally.features)


@pytest.mark.usefixtures("restless")
def test_array_counts_are_exact_under_contention() -> None:
    """The same for arrays, whose usage is added at once."""
    heights = sf.binary32.array(HEIGHTS * 5)
    with sf.counting() as tally, ThreadPoolExecutor(8) as pool:
        carried = sf.carrying(lambda: heights * heights)
        for result in [pool.submit(carried) for _ in range(32)]:
            result.result()

    assert {("multiplication", "binary32"): 32 * 200} == tally.calls


def test_conventions_are_carried() -> None:
    """Direction and options are those of where the function was made, not of where it is called."""

    def seen() -> tuple[Rounding, str]:
        return current.get().rounding, current.get().options.name

    with ThreadPoolExecutor(1) as pool, sf.environment(rounding=Rounding.TOWARD_ZERO):
        assert (Rounding.TOWARD_ZERO, "complete") == pool.submit(sf.carrying(seen)).result()
        with sf.environment(options=LEAN):
            carried = sf.carrying(seen)
        assert (Rounding.TIES_TO_EVEN, "lean") == carried()
        assert (Rounding.TIES_TO_EVEN, "complete") == pool.submit(seen).result()


def test_flags_are_passed_on() -> None:
    """Flags raised in a thread show where the function was made, join those there, and can be lowered."""
    with sf.environment() as env, ThreadPoolExecutor(2) as pool:
        sf.binary32(1) / sf.binary32(3)
        pool.submit(sf.carrying(lambda: sf.binary32(1) / sf.binary32(0))).result()
        assert Flags.DIVISION_BY_ZERO | Flags.INEXACT == env.flags
        env.flags = Flags.NONE
        assert Flags.NONE == env.flags


def test_flags_and_counts_come_with_an_error_too() -> None:
    """What a call did before it raised is counted, and its flags are raised."""

    def failing() -> None:
        sf.binary32(1) / sf.binary32(0)
        raise ZeroDivisionError

    with sf.environment() as env, sf.counting() as tally, pytest.raises(ZeroDivisionError):
        sf.carrying(failing)()

    assert (Flags.DIVISION_BY_ZERO, 1) == (env.flags, tally.total_calls)


def test_a_call_in_the_same_thread_counts_once() -> None:
    """Carried to where it is already, a function is counted once, by the tally of where it was made."""
    with sf.counting() as tally:
        carried = sf.carrying(energy)
        carried(1.5)
        with sf.counting() as inner:
            carried(1.5)

    assert (4, 0) == (tally.total_calls, inner.total_calls)


def test_without_a_tally_the_thread_keeps_its_own() -> None:
    """Where nothing was counting, what counts in the calling thread goes on counting."""
    carried = sf.carrying(energy)
    with sf.counting() as tally:
        carried(1.5)

    assert 2 == tally.total_calls


def test_a_task_in_a_thread_is_carried() -> None:
    """Beside asyncio's own way to a thread, which copies the context, counts are exact and once."""

    async def measure() -> dict[Any, int]:
        with sf.counting() as tally:
            carried = sf.carrying(energy)
            await asyncio.gather(*(asyncio.to_thread(carried, height) for height in HEIGHTS))
        return tally.calls

    assert {("multiplication", "binary32"): 40, ("addition", "binary32"): 40} == asyncio.run(measure())


@pytest.mark.usefixtures("restless")
@pytest.mark.parametrize("asked", [False, True])
def test_threads_in_copies_of_a_context_count_all(asked: bool) -> None:
    """What works in threads under a tally, without being carried, is counted, also while somebody asks."""
    for _ in range(100):
        with sf.counting() as tally:
            begin = threading.Barrier(4)

            def work(begin: threading.Barrier = begin) -> None:
                begin.wait()
                for height in HEIGHTS[:8]:
                    energy(height)

            inside = [contextvars.copy_context() for _ in range(4)]
            threads = [threading.Thread(target=context.run, args=(work,)) for context in inside]
            for thread in threads:
                thread.start()
            while asked and any(thread.is_alive() for thread in threads):
                assert tally.total_steps >= 0
            for thread in threads:
                thread.join()

        assert {("multiplication", "binary32"): 32, ("addition", "binary32"): 32} == tally.calls


@pytest.mark.usefixtures("restless")
def test_a_tally_is_read_in_another_thread_while_it_counts() -> None:
    """Who looks how far a kernel is finds a whole tally, while new formats and lines come into it."""
    ended = threading.Event()

    def look(tally: sf.Tally) -> int:
        seen = 0
        while not ended.is_set():
            seen = sum(tally.calls_by_origin.values())
        return seen

    with ThreadPoolExecutor(1) as pool, sf.counting() as tally:
        looking = pool.submit(look, tally)
        for precision in range(3, 103):
            heave = sf.Format("heave", exponent_bits=5, precision=precision)(1.5)
            exec("heave + heave\n" * 5, {"heave": heave})
        ended.set()
        assert 500 >= looking.result()

    assert 500 == tally.total_calls


def test_each_call_is_kept_apart_in_threads_too() -> None:
    """A tally that tells calls apart does so for those in threads."""
    with sf.counting(each_call=True) as tally, ThreadPoolExecutor(2) as pool:
        list(pool.map(sf.carrying(energy), [1.5, 1.5, 0.1]))

    assert 6 == sum(records.total() for records in tally.records().values())


def test_a_host_operand_that_changes_from_call_to_call_is_seen() -> None:
    """What stands beside an emulated value in each of the calls is one operand, though each has a tally."""

    def scaled(factor: float) -> sf.Number:
        return sf.binary32(1.5) * factor

    def halved(_: float) -> sf.Number:
        return sf.binary32(1.5) * 0.5

    with sf.counting() as tally, ThreadPoolExecutor(2) as pool:
        list(pool.map(sf.carrying(scaled), [0.5, 0.25, 0.125]))
        list(pool.map(sf.carrying(halved), [0.5, 0.25, 0.125]))

    assert [("host operand", 3)] == [(departure.how, n) for departure, n in tally.left.items()]


def test_the_thread_is_left_as_it_was() -> None:
    """After a call nothing of it is in force in the thread."""
    seen: list[object] = []
    with sf.environment(rounding=Rounding.TOWARD_ZERO), sf.counting():
        carried = sf.carrying(energy)

    def work() -> None:
        carried(1.5)
        seen.extend([current.variable.get(), counting_now.variable.get()])

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()

    assert [None, None] == seen


def test_what_is_no_function_is_not_carried() -> None:
    """A coroutine function, whose code runs after its call, and what cannot be called are refused."""

    async def work() -> None:
        pass

    for given in (work, 1.5):
        with pytest.raises(ConventionError, match=r"^carrying needs a function"):
            sf.carrying(given)  # type: ignore[arg-type]
