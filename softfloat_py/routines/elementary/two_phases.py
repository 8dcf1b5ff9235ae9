"""From a function's kernel to a significand that may be rounded: a fast phase, and an accurate one if needed.

A *kernel* computes a function of operands in parts with a plan. It delivers an `Approximation`: a significand
of plan.bits + 1 bits with its leading one, at most plan.error units of its last place away from the exact
value.

Why rounding it is right. A boundary of rounding is a number of p bits or the middle between two: a multiple
of 2^(k - 1), with k bits after the p-th. If none lies within the error of the significand, the exact value
lies between the same two boundaries as it does, and every direction rounds both alike. The sticky bit is set,
since the exact value lies on no boundary. If one does, the accurate phase decides in the same way. Nothing
decides there: its precision is that with which no boundary is so near (`precisions`), unless a function may
*be* on one, as a power may (`may_be_exact`): then what is within the error of a boundary is taken to be on
it.

A kernel that finds its plan too short for its operands delivers a power of two: a boundary, which is
uncertain. The plan of the last phase must be long enough for all operands.

A result below the normal range is rounded further up. Its boundaries are multiples of larger powers of two,
so they are among those that were looked for.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, Protocol

from softfloat_py.formats import BinaryFormat
from softfloat_py.options import Options
from softfloat_py.routines.elementary.precisions import Precision, precision_of
from softfloat_py.routines.language import Bits, Routine, add_modulo, field, phase, resize


class Plan(Protocol):
    """What every plan says."""

    @property
    def bits(self) -> int:
        """Bits of the significand after its leading one."""

    @property
    def error(self) -> int:
        """How far off it is at most, in units of the last of them."""


class Approximation(NamedTuple):
    """A result before rounding: its sign, biased exponent less one, a two's complement number, and
    significand with a leading one.
    """

    sign: Bits
    exponent_less_one: Bits
    significand: Bits


def approximated(
    kernel: Routine,
    operands: tuple[Bits, ...],
    plan_of: Callable[..., Plan],
    of: Any,
    fmt: BinaryFormat,
    options: Options,
    may_be_exact: bool,
) -> Approximation:
    """The value of a function of one number, which may be rounded to the format as if it were the exact one.

    kernel(operands, plan, fmt, options) computes; plan_of(bits, of, fmt, options) gives its plans, where `of`
    says what the kernel is to compute: a base, say.
    """
    precision = precision_of(fmt, options)
    return approximated_to(precision, kernel, operands, plan_of, of, fmt, options, may_be_exact, None)


def approximated_to(
    precision: Precision,
    kernel: Routine,
    operands: tuple[Bits, ...],
    plan_of: Callable[..., Plan],
    of: Any,
    fmt: BinaryFormat,
    options: Options,
    may_be_exact: bool,
    is_exact: Routine | None,
) -> Approximation:
    """As `approximated`, with a precision: that of several operands, say. A function that may be exact may
    come with is_exact(operands, fmt, options), which says where it is known to be.
    """
    fast = plan_of(precision.fast, of, fmt, options)
    value = kernel(operands, fast, fmt, options)
    if not precision.accurate:
        return settled(value, fast, fast.bits, fmt, may_be_exact)
    phase("certain")
    if is_uncertain(value.significand, fast, fmt):
        accurate = plan_of(precision.accurate, of, fmt, options)
        value = decided(value, fast, kernel, operands, accurate, fmt, options, may_be_exact, is_exact)
    else:
        value = Approximation(value.sign, value.exponent_less_one, value.significand | 1)
    return value


def decided(
    value: Approximation,
    fast: Plan,
    kernel: Routine,
    operands: tuple[Bits, ...],
    accurate: Plan,
    fmt: BinaryFormat,
    options: Options,
    may_be_exact: bool,
    is_exact: Routine | None,
) -> Approximation:
    """What an uncertain value stands for: where it is known to be exact, the boundary that the fast phase
    finds; else the accurate phase tells.
    """
    if is_exact is not None:
        if is_exact(operands, fmt, options):
            return on_boundary(value, fast, fast.bits, fmt)
    return settled(kernel(operands, accurate, fmt, options), accurate, fast.bits, fmt, may_be_exact)


def is_uncertain(significand: Bits, plan: Plan, fmt: BinaryFormat) -> Bits:
    """Whether a multiple of half a unit in the last place of the format lies within the error of a plan."""
    behind = plan.bits - fmt.precision  # bits behind the half
    return add_modulo(field(significand, 0, behind), plan.error, behind) <= 2 * plan.error


def settled(
    value: Approximation, plan: Plan, bits: int, fmt: BinaryFormat, may_be_exact: bool
) -> Approximation:
    """A value of which nothing more will be known, with so many bits after its leading one, the last of them
    the sticky bit.
    """
    left_out = plan.bits - bits
    if may_be_exact:
        if is_uncertain(value.significand, plan, fmt):
            return on_boundary(value, plan, bits, fmt)
    return Approximation(value.sign, value.exponent_less_one, (value.significand >> left_out) | 1)


def on_boundary(value: Approximation, plan: Plan, bits: int, fmt: BinaryFormat) -> Approximation:
    """The boundary of rounding within the error of a value, which may be the next power of two."""
    behind = plan.bits - fmt.precision
    raised = value.significand + plan.error
    boundary = (raised >> behind) << (bits - fmt.precision)
    exponent_less_one = value.exponent_less_one
    if field(boundary, bits + 1, 1):
        exponent_less_one = add_modulo(exponent_less_one, 1, exponent_less_one.width)
        boundary = resize(boundary >> 1, bits + 1)
    else:
        boundary = resize(boundary, bits + 1)
    return Approximation(value.sign, exponent_less_one, boundary)
