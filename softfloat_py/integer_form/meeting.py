"""Where control flow meets: what a name is after an `if`, and what a loop carries from round to round."""

from __future__ import annotations

from typing import Any

from softfloat_py.integer_form.builder import Builder, Fault, Noted, as_operand
from softfloat_py.integer_form.grammar import Carried, Constant, Join, Variable


class Mismatch:
    """What a name is after an `if` whose sides disagree about it; an error only where it is used."""

    def __init__(self, reason: str) -> None:
        self.reason = reason

    @property
    def fault(self) -> Fault:
        """What its use is."""
        return Fault(self.reason)


class _Poison(Mismatch):
    """The value of a name whose assignment had a fault, which is reported once, there."""

    @property
    def fault(self) -> Fault:
        return Noted()


POISON = _Poison("its assignment has a fault")


def usable(value: Any) -> Any:
    """A value as it is; raises the fault of one that sides disagree about."""
    if isinstance(value, Mismatch):
        raise value.fault
    return value


def meet(
    builder: Builder,
    name: str,
    then: dict[str, Any],
    otherwise: dict[str, Any],
    ended: list[bool],
    joins: list[Join],
) -> Any:
    """What a name is after an `if`."""
    if ended[0] and name in otherwise:
        return join_one(builder, name, otherwise[name], joins, True)
    if ended[1] and name in then:
        return join_one(builder, name, then[name], joins, False)
    if any(ended) or name not in then or name not in otherwise:
        return Mismatch(f"{name} is assigned on one side of an if only")
    return join(builder, name, then[name], otherwise[name], joins)


def join_one(builder: Builder, name: str, value: Any, joins: list[Join], from_else: bool) -> Any:
    """A value that can only come from one side, the other having returned."""
    if isinstance(value, tuple):
        return rebuilt(value, [join_one(builder, name, part, joins, from_else) for part in value])
    if not isinstance(value, Variable):
        return value
    target = builder.variable(name, value.width)
    joins.append(Join(target, None, value) if from_else else Join(target, value, None))
    return target


def join(builder: Builder, name: str, first: Any, second: Any, joins: list[Join]) -> Any:
    """A value that comes from either side."""
    if isinstance(first, Mismatch) or isinstance(second, Mismatch):
        return first if isinstance(first, Mismatch) else second
    if isinstance(first, tuple) and type(first) is type(second) and len(first) == len(second):
        parts = [join(builder, name, a, b, joins) for a, b in zip(first, second, strict=True)]
        return rebuilt(first, parts)
    if not isinstance(first, Variable | Constant) and not isinstance(second, Variable | Constant):
        return first if first == second else Mismatch(f"{name} is {first!r} or {second!r} after an if")
    if first == second:
        return first
    try:
        sides = as_operand(first), as_operand(second)
    except Fault as fault:
        return Mismatch(f"{name} differs after an if: {fault}")
    if sides[0].width != sides[1].width:
        return Mismatch(
            f"{name} is {sides[0].width} bits wide on one side of an if and {sides[1].width} on the "
            "other; even them out with resize"
        )
    target = builder.variable(name, sides[0].width)
    joins.append(Join(target, *sides))
    return target


def fresh(builder: Builder, name: str, value: Any) -> Any:
    """New variables for a value's parts."""
    if isinstance(value, tuple):
        return rebuilt(value, [fresh(builder, name, part) for part in value])
    return builder.variable(name, value.width)


def carry(variable: Any, initial: Any, following: Any, carried: list[Carried]) -> None:
    """Note what a carried variable, or each of a tuple, starts and goes on with."""
    following = usable(following)
    if isinstance(variable, tuple):
        if not isinstance(following, tuple) or len(following) != len(variable):
            raise Fault("a tuple must keep its length from one round to the next")
        for parts in zip(variable, initial, following, strict=True):
            carry(*parts, carried)
        return
    if not isinstance(following, Variable | Constant) or following.width != variable.width:
        raise Fault(f"{variable.name} must keep its {variable.width} bits from one round to the next")
    carried.append(Carried(variable, initial, following))


def holds_operands(value: Any) -> bool:
    """Whether a value is bits, or a tuple of nothing else."""
    if isinstance(value, tuple):
        return bool(value) and all(holds_operands(part) for part in value)
    return isinstance(value, Variable | Constant)


def rebuilt(original: tuple[Any, ...], parts: list[Any]) -> tuple[Any, ...]:
    """A tuple of the same type with other parts."""
    return type(original)(*parts) if hasattr(original, "_fields") else tuple(parts)
