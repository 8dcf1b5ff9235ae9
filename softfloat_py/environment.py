"""The conventions in force for a block of code: rounding direction, options, and the flags raised in it.

Inside blocks the environment of the innermost is in force, in tasks made there too. Outside any block each
thread and each asynchronous task has a default one of its own (IEEE 754-2019, clauses 4.1 and 7.1).
"""

from __future__ import annotations

import threading
from enum import IntEnum, IntFlag
from functools import lru_cache
from sys import modules
from typing import Any
from weakref import WeakKeyDictionary

from softfloat_py.blocks import Block, InForce
from softfloat_py.errors import ConventionError
from softfloat_py.options import COMPLETE, Options


class Rounding(IntEnum):
    """Rounding-direction attributes (IEEE 754-2019, clause 4.3)."""

    TIES_TO_EVEN = 0
    TIES_TO_AWAY = 1
    TOWARD_POSITIVE = 2
    TOWARD_NEGATIVE = 3
    TOWARD_ZERO = 4


DIRECTION_BITS = max(Rounding).bit_length()


class Flags(IntFlag):
    """Status flags of the five exceptions (IEEE 754-2019, clause 7), as a set.

    >>> Flags.INEXACT in Flags.INEXACT | Flags.OVERFLOW
    True
    >>> (Flags.INEXACT | Flags.OVERFLOW).overflow
    True
    """

    NONE = 0
    INVALID_OPERATION = 1
    DIVISION_BY_ZERO = 2
    OVERFLOW = 4
    UNDERFLOW = 8
    INEXACT = 16

    @property
    def invalid_operation(self) -> bool:
        """No usefully definable result (clause 7.2)."""
        return bool(self & Flags.INVALID_OPERATION)

    @property
    def division_by_zero(self) -> bool:
        """An exact infinite result from finite operands (clause 7.3)."""
        return bool(self & Flags.DIVISION_BY_ZERO)

    @property
    def overflow(self) -> bool:
        """The rounded result would exceed the largest finite number (clause 7.4)."""
        return bool(self & Flags.OVERFLOW)

    @property
    def underflow(self) -> bool:
        """An inexact result that is tiny, after or before rounding by `Options.tininess` (clause 7.5)."""
        return bool(self & Flags.UNDERFLOW)

    @property
    def inexact(self) -> bool:
        """The rounded result differs from the exact one (clause 7.6)."""
        return bool(self & Flags.INEXACT)

    def __str__(self) -> str:
        names = [flag.name.lower() for flag in Flags if flag and flag in self and flag.name]
        return ", ".join(names) if names else "none"


_ALL_FLAGS = sum(Flags)


@lru_cache
def _one_of_each(options: Options) -> Options:
    """The options that were the first of their kind: what is made for some is looked up by their identity."""
    return options


class Environment:
    """One set of conventions, and the flags its operations have raised so far.

    `flags` only grows; assign `Flags.NONE` to lower all of them (the standard's lowerFlags). `direction` and
    `raised` are the rounding direction and the flags as plain ints, which every operation reads and writes;
    `carried` are flags from other threads, kept apart since both may write at the same time.
    """

    __slots__ = ("carried", "direction", "ended", "options", "raised", "token")

    def __init__(self, rounding: Rounding = Rounding.TIES_TO_EVEN, options: Options = COMPLETE) -> None:
        _check_rounding(rounding)
        _check_options(options)
        if rounding is not Rounding.TIES_TO_EVEN and not options.all_directions:
            raise ConventionError(
                f"options {options.name!r} round ties to even only, not {rounding.name}; "
                "use options with all_directions=True"
            )
        self.direction = int(rounding)
        self.options = _one_of_each(options)
        self.raised = self.carried = 0
        self.ended, self.token = False, None

    @property
    def rounding(self) -> Rounding:
        """The rounding direction."""
        return Rounding(self.direction)

    @property
    def flags(self) -> Flags:
        """The flags raised so far."""
        return Flags(self.raised | self.carried)

    @flags.setter
    def flags(self, flags: Flags) -> None:
        self.raised, self.carried = int(_checked_flags(flags)), 0

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy has the same conventions and flags, and is in force nowhere."""
        return _restored, (self.rounding, self.options, self.flags)

    def __repr__(self) -> str:
        return (
            f"Environment(rounding={self.rounding.name}, options={self.options.name!r}, flags={self.flags!s})"
        )


def _restored(rounding: Rounding, options: Options, flags: Flags) -> Environment:
    """An environment that was copied or pickled."""
    environment = Environment(rounding, options)
    environment.flags = flags
    return environment


def _check_rounding(rounding: object) -> None:
    if not isinstance(rounding, Rounding):
        raise ConventionError(f"rounding must be a member of Rounding, not {rounding!r}")


def _check_options(options: object) -> None:
    if not isinstance(options, Options):
        raise ConventionError(f"options must be an Options, not {options!r}")


def _checked_flags(flags: object) -> Flags:
    if isinstance(flags, Flags) and 0 <= int(flags) <= _ALL_FLAGS:
        return flags
    raise ConventionError(f"flags must be a set of Flags, not {flags!r}; Flags.NONE lowers all of them")


# The conventions outside any block. Flags are raised in the default environment that is one's own.
OUTSIDE = Environment()


class _DefaultOfThread(threading.local):
    """In each thread, the environment in force outside any block and any task."""

    def __init__(self) -> None:
        self.environment = Environment()


_of_thread = _DefaultOfThread()
_of_tasks: WeakKeyDictionary[Any, Environment] = WeakKeyDictionary()


def default_environment() -> Environment:
    """The environment in force outside any block: that of this task or, if there is none, of this thread."""
    if "asyncio" not in modules or (task := _current_task()) is None:
        return _of_thread.environment
    if task not in _of_tasks:
        _of_tasks[task] = Environment()
    return _of_tasks[task]


def _current_task() -> Any:
    asyncio = modules["asyncio"]
    # To ask for the task where no loop is running would raise an error, which takes long.
    return None if asyncio._get_running_loop() is None else asyncio.current_task()


class _Current(InForce[Environment]):
    """The environment in force here and now; there always is one."""

    def get(self) -> Environment:
        value = self.variable.get()
        if value is not None and not value.ended:
            return value
        return super().get() or default_environment()

    def conventions(self) -> Environment:
        """As `get`, at less cost, for who does not look at the flags and raises them by `raise_flags`."""
        value = self.variable.get()
        if value is None:
            return OUTSIDE
        return self.get() if value.ended else value


def raise_flags(environment: Environment, raised: int) -> None:
    """Raise flags in an environment that `conventions` gave."""
    if environment is OUTSIDE:
        environment = default_environment()
    environment.raised |= raised


current = _Current("environment")


class EnvironmentBlock(Block[Environment]):
    """What `environment` returns, for one `with` statement or as a decorator."""

    name = "environment"

    def __init__(self, rounding: Rounding | None, options: Options | None) -> None:
        super().__init__()
        self._rounding, self._options = rounding, options

    def begin(self) -> Environment:
        """Put the conventions in force; what is not given stays as it is."""
        outer = current.get()
        options, rounding = self._options or outer.options, self._rounding
        if rounding is None:
            rounding = outer.rounding if options.all_directions else Rounding.TIES_TO_EVEN
        inner = Environment(rounding, options)
        current.begin(inner)
        return inner

    def end(self, value: Environment) -> None:
        """Take them out of force."""
        current.end(value)

    def anew(self) -> EnvironmentBlock:
        """Another block with these conventions."""
        return EnvironmentBlock(self._rounding, self._options)


def environment(*, rounding: Rounding | None = None, options: Options | None = None) -> EnvironmentBlock:
    """Put conventions in force for a block of code; what is not given stays as it was.

    The environment starts with all flags lowered, and its flags are not passed on to the outer one. It can
    also decorate a function, which then runs in a block of its own each time. Raises ConventionError for what
    is no direction or options, for entering a second time what this returned and, where the block begins, for
    a direction that the options in force leave out.

    A generator that suspends in a block leaves its conventions in force until it goes on or is closed.

    >>> with environment(rounding=Rounding.TOWARD_ZERO) as env:
    ...     env.flags
    <Flags.NONE: 0>
    """
    if rounding is not None:
        _check_rounding(rounding)
    if options is not None:
        _check_options(options)
    if rounding is not None and options is not None:
        Environment(rounding, options)  # which refuses what contradicts itself
    return EnvironmentBlock(rounding, options)
