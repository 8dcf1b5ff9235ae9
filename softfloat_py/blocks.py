"""Blocks of code that put something in force: an environment, a tally.

What is in force is the value of a context variable, so a thread starts with nothing, and a task made inside
a block works under it. A generator may suspend inside a block and be finished by somebody else, in another
order and in another context than it began. So a block that ends does not put back what was in force before.
It marks its value as ended, and whoever looks next, in the context where the block began, takes it out of
force. In a copy of that context, which a task made inside the block has, it stays in force.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable
from contextvars import ContextVar, Token
from functools import wraps
from typing import Any, Generic, ParamSpec, Protocol, Self, TypeVar

from softfloat_py.errors import ConventionError

P = ParamSpec("P")
T = TypeVar("T")


class BlockValue(Protocol):
    """What a block puts in force, as far as the block needs to know it."""

    ended: bool
    token: Any  # of the context variable, where the block began


V = TypeVar("V", bound=BlockValue)


class InForce(Generic[V]):
    """What is in force here and now: in this thread, in this task.

    Code that runs for every operation reads `variable` by itself, and asks `get` only where that has nothing
    or something that has ended.
    """

    def __init__(self, name: str) -> None:
        self.variable: ContextVar[V | None] = ContextVar(name, default=None)

    def get(self) -> V | None:
        """The value in force, or None; what has ended and began in this context is taken out."""
        value = self.variable.get()
        while value is not None and value.ended and self._taken_out(value):
            value = self.variable.get()
        return value

    def begin(self, value: V) -> None:
        """Put a value in force."""
        value.token = self.variable.set(value)

    def end(self, value: V) -> None:
        """Take a value out of force: at once if nothing was put over it, else when that has ended too."""
        value.ended = True
        self.get()

    def _taken_out(self, value: V) -> bool:
        token: Token[V | None] = value.token
        try:
            self.variable.reset(token)
        except (RuntimeError, ValueError):  # the token is used up, or of a context that this one is a copy of
            return False
        return True


class Block(Generic[V]):
    """The object of one `with` statement; as a decorator, of one for each call of the function.

    It can be entered once: ConventionError for the second time, and for decorating a function that suspends,
    whose code would run when the block has ended.
    """

    name = "block"

    def __init__(self) -> None:
        self._value: V | None = None

    def begin(self) -> V:
        """Put a new value in force."""
        raise NotImplementedError

    def end(self, value: V) -> None:
        """Take it out of force."""
        raise NotImplementedError

    def anew(self) -> Self:
        """Another block like this one, not entered yet."""
        raise NotImplementedError

    def __enter__(self) -> V:
        if self._value is not None:
            raise ConventionError(
                f"what {self.name}() returned must be entered once, and was before; "
                f"write `with {self.name}(…)` for each block"
            )
        self._value = self.begin()
        return self._value

    def __exit__(self, *error: object) -> None:
        if self._value is not None:
            self.end(self._value)

    def __call__(self, function: Callable[P, T]) -> Callable[P, T]:
        """A function that runs in a block of its own each time it is called."""
        refuse_suspending(self.name, function)

        @wraps(function)
        def inside(*arguments: P.args, **keywords: P.kwargs) -> T:
            with self.anew():
                return function(*arguments, **keywords)

        return inside


def refuse_suspending(name: str, function: object) -> None:
    """ConventionError for what `name` cannot wrap, since its code runs after the call has returned."""
    if not callable(function):
        raise ConventionError(f"{name} needs a function, not {function!r}")
    kinds = inspect.iscoroutinefunction, inspect.isgeneratorfunction, inspect.isasyncgenfunction
    if any(is_kind(function) for is_kind in kinds):
        raise ConventionError(
            f"{name} needs a function that has run when a call of it returns, not the coroutine or generator "
            f"function {getattr(function, '__name__', function)}; write a `with` statement inside it"
        )
