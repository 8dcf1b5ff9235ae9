"""The conventions in force for a block of code: rounding direction, options, and the flags raised in it.

The current environment is a context variable, so threads and asynchronous tasks each have their own
(IEEE 754-2019, clauses 4.1 and 7.1).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from enum import IntEnum, IntFlag

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


class Environment:
    """One set of conventions, and the flags its operations have raised so far.

    `flags` only grows; assign `Flags.NONE` to lower all of them (the standard's lowerFlags). `direction` and
    `raised` are the rounding direction and the flags as plain ints, which every operation reads and writes.
    """

    __slots__ = ("direction", "options", "raised")

    def __init__(self, rounding: Rounding = Rounding.TIES_TO_EVEN, options: Options = COMPLETE) -> None:
        if not isinstance(rounding, Rounding):
            raise ConventionError(f"rounding must be a member of Rounding, not {rounding!r}")
        _check_options(options)
        if rounding is not Rounding.TIES_TO_EVEN and not options.all_directions:
            raise ConventionError(
                f"options {options.name!r} round ties to even only, not {rounding.name}; "
                "use options with all_directions=True"
            )
        self.direction = int(rounding)
        self.options = options
        self.raised = 0

    @property
    def rounding(self) -> Rounding:
        """The rounding direction."""
        return Rounding(self.direction)

    @property
    def flags(self) -> Flags:
        """The flags raised so far."""
        return Flags(self.raised)

    @flags.setter
    def flags(self, flags: Flags) -> None:
        self.raised = int(flags)

    def __repr__(self) -> str:
        return (
            f"Environment(rounding={self.rounding.name}, options={self.options.name!r}, flags={self.flags!s})"
        )


def _check_options(options: object) -> None:
    if not isinstance(options, Options):
        raise ConventionError(f"options must be an Options, not {options!r}")


# The default environment belongs to the module: flags raised outside any block gather there.
_DEFAULT = Environment()
current: ContextVar[Environment] = ContextVar("environment", default=_DEFAULT)


@contextmanager
def environment(*, rounding: Rounding | None = None, options: Options | None = None) -> Iterator[Environment]:
    """Put conventions in force for a block of code; what is not given stays as it was.

    The environment starts with all flags lowered, and its flags are not passed on to the outer one. Raises
    ConventionError for a direction that the options leave out, and for what is no direction or options.

    >>> with environment(rounding=Rounding.TOWARD_ZERO) as env:
    ...     env.flags
    <Flags.NONE: 0>
    """
    outer = current.get()
    options = outer.options if options is None else options
    _check_options(options)
    if rounding is None:
        rounding = outer.rounding if options.all_directions else Rounding.TIES_TO_EVEN
    inner = Environment(rounding, options)
    token = current.set(inner)
    try:
        yield inner
    finally:
        current.reset(token)
