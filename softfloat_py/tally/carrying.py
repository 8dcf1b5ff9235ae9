"""Work in other threads under the conventions, and for the tally, of the code that gives it to them."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from threading import Lock
from typing import ParamSpec, TypeVar

from softfloat_py.blocks import refuse_suspending
from softfloat_py.environment import Environment, current, environment
from softfloat_py.tally.tally import Tally, begin_counting, counting_now, end_counting

P = ParamSpec("P")
T = TypeVar("T")

_PASSING_ON = Lock()


def carrying(function: Callable[P, T]) -> Callable[P, T]:
    """A function that does the same wherever it is called as where this was: in any thread, or in several.

    It runs under the rounding direction and options in force here, and is counted by the tally that is
    counting here, if one is. Each call has an environment and a tally of its own; when it returns or raises,
    its flags are raised here and its counts are added here. So wait for the calls before the block ends: what
    comes later reaches the tally of this block, but not those of the blocks around it.

    Raises ConventionError for what is no function, and for a coroutine or generator function: a task made
    inside a block works under it by itself. Nothing is carried to other processes.

    >>> from concurrent.futures import ThreadPoolExecutor
    >>> from softfloat_py import binary32, counting
    >>> with counting() as tally, ThreadPoolExecutor() as pool:
    ...     squares = list(pool.map(carrying(lambda x: x * x), [binary32(1.5), binary32(2)]))
    >>> squares, tally.total_calls
    ([binary32(2.25), binary32(4.0)], 2)
    """
    refuse_suspending("carrying", function)
    outer, tally = current.get(), counting_now.get()

    @wraps(function)
    def carried(*arguments: P.args, **keywords: P.kwargs) -> T:
        with environment(rounding=outer.rounding, options=outer.options) as own:
            try:
                return _counted_for(tally, lambda: function(*arguments, **keywords))
            finally:
                _pass_on(own, outer)

    return carried


def _counted_for(tally: Tally | None, compute: Callable[[], T]) -> T:
    """What `compute` gives, counted for a tally of any thread."""
    if tally is None:
        return compute()
    own = Tally(each_call=tally.each_call)
    begin_counting(own, tally)
    try:
        return compute()
    finally:
        end_counting(own)


def _pass_on(own: Environment, outer: Environment) -> None:
    with _PASSING_ON:
        outer.carried |= int(own.flags)
