"""An operation as it is used: in a format or with one, with options, and what a conversion is to or from.

A use leads to all that is made of an operation: how its routine is called, its program, and what engines make
of that. There is one object of each use, so that whatever is filed under it is found by its identity.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from threading import RLock
from typing import Any, TypeAlias, cast
from weakref import WeakValueDictionary

from softfloat_py.engines.signature import RESULTS, Meaning, Signature, Value
from softfloat_py.environment import DIRECTION_BITS
from softfloat_py.errors import OperandError
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.grammar import Constant, Program
from softfloat_py.integer_form.reader import read
from softfloat_py.keeping import Keeper
from softfloat_py.number_systems import NumberSystem
from softfloat_py.operations import Operation, Result, operation_named, operation_of
from softfloat_py.options import COMPLETE, Options
from softfloat_py.routines.doors import Door
from softfloat_py.routines.explicit_leading_bit import with_leading_bit, without_leading_bit
from softfloat_py.routines.memory import loaded, stored

Parameter: TypeAlias = NumberSystem | IntegerFormat | None
INTEGER_BITS = 32  # of an integer whose width no parameter states
LATEST = 512  # uses that are kept although nobody has them, lest their programs be read again


@dataclass(frozen=True, slots=True, eq=False)
class RoutineCall:
    """How the routine of an operation is called.

    `widths` are those of the routine's run-time parameters in bits, `fixed` its other arguments; operands go
    through the doors of `entering`, results through those of `leaving`: to and from memory, and where a
    format stores the leading bit.
    """

    widths: Mapping[str, int]
    fixed: Mapping[str, Any]
    entering: Mapping[str, Sequence[Door]]
    leaving: Sequence[Door]


@dataclass(frozen=True, eq=False)
class Use(Keeper):
    """An operation in a format with options; `parameter` is the target format or the integer format of an
    operation that has one.

    `use_of` gives the one object of its kind; none is made by the class itself.
    """

    operation: Operation
    format: NumberSystem
    options: Options
    parameter: Parameter = None

    @classmethod
    def named(
        cls,
        name: str,
        fmt: NumberSystem,
        options: Options = COMPLETE,
        *,
        target: NumberSystem | None = None,
        width: int = 32,
        signed: bool = True,
    ) -> Use:
        """The use of an operation by the standard's name.

        `target` is the format of the result of `convert_format`; `width` and `signed` say which integers a
        conversion is about; all are ignored where an operation has no use for them. Raises UnknownNameError
        for an operation that there is not, OperandError for a missing target, FormatError for a width that no
        integers have.
        """
        operation = operation_named(name)
        parameter: Parameter = None
        if "target" in operation.parameters:
            parameter = given(target, operation)
        elif operation.parameters:
            parameter = IntegerFormat(width, signed)
        return use_of(operation, fmt, options, parameter)

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy, or what another process reads, is again the one of its kind."""
        return _again, (self.operation.name, self.format, self.options, self.parameter)

    @cached_property
    def widths(self) -> tuple[int, ...]:
        """The widths of the operands in bits."""
        return tuple(self.call.widths[name] for name in self.operation.operands)

    @property
    def takes_direction(self) -> bool:
        """Whether its program has the rounding direction as its last parameter."""
        return self.operation.rounds and self.options.all_directions

    def arguments(self, operands: Iterable[int], direction: int) -> tuple[int, ...]:
        """What its program is run on."""
        return (*operands, direction) if self.takes_direction else tuple(operands)

    @property
    def delivered(self) -> NumberSystem | None:
        """The format of its results; None where they are no numbers."""
        match self.operation.result:
            case Result.NUMBER | Result.PAIR:
                return self.format
            case Result.TARGET_NUMBER:
                return cast(NumberSystem, self.parameter)
        return None

    @property
    def integer(self) -> IntegerFormat:
        """What its integers are, if it has any: those that its parameter states, or those of 32 bits."""
        return self.parameter if isinstance(self.parameter, IntegerFormat) else IntegerFormat(INTEGER_BITS)

    @property
    def signature(self) -> Signature:
        """What its program takes and delivers."""
        operation = self.operation
        operands = tuple(
            _integer(name, self.integer) if name in operation.integer_operands else _number(name, self.format)
            for name in operation.operands
        )
        results = tuple(self._result(name) for name in RESULTS[: operation.results])
        return Signature(operands, results, self.takes_direction, self.options.flags)

    def _result(self, name: str) -> Value:
        match self.operation.result:
            case Result.TRUTH:
                return Value(name, 1, Meaning.TRUTH)
            case Result.CLASS:
                return Value(name, self.program.result_widths[0], Meaning.UNSIGNED)
            case Result.INTEGER:
                return _integer(name, self.integer)
        assert self.delivered is not None
        return _number(name, self.delivered)

    @cached_property
    def call(self) -> RoutineCall:
        """How the routine is called."""
        operation = self.operation
        widths = {
            name: self.integer.width if name in operation.integer_operands else self.format.width
            for name in operation.operands
        }
        if self.takes_direction:
            widths["direction"] = DIRECTION_BITS
        fixed: dict[str, Any] = {"fmt": self.format.twin, "options": self.options, **operation.fixed}
        for name in operation.parameters:
            fixed[name] = self.parameter
        if operation.result is Result.TARGET_NUMBER:
            fixed["target"] = cast(NumberSystem, self.parameter).twin
        entering = {name: self._into_registers(name) for name in operation.operands}
        return RoutineCall(widths, fixed, entering, self._out_of_registers())

    @cached_property
    def program(self) -> Program:
        """The integer form.

        Parameters: the operands, then the direction if it is chosen at run time. Results: the encodings (or
        truth, or integer), then the flags raised if they are kept.
        """
        call, fixed = self.call, dict(self.call.fixed)
        if self.operation.rounds and not self.takes_direction:
            fixed["direction"] = Constant(0, DIRECTION_BITS)
        return read(
            self.operation.routine,
            call.widths,
            fixed,
            uniform=("direction",),
            keep_flags=self.options.flags,
            entering=call.entering,
            leaving=call.leaving,
        )

    def _into_registers(self, operand: str) -> list[Door]:
        """What an operand goes through before the routine has it."""
        doors = [Door(loaded, {})] if self.options.in_memory else []
        if self.format.twin is not self.format and operand not in self.operation.integer_operands:
            doors.append(Door(without_leading_bit, {"fmt": self.format, "options": self.options}))
        return doors

    def _out_of_registers(self) -> list[Door]:
        """What a result goes through before it is delivered."""
        doors, delivered = [], self.delivered
        if delivered is not None and delivered.twin is not delivered:
            doors.append(Door(with_leading_bit, {"fmt": delivered, "options": self.options}))
        if self.options.in_memory and self.operation.result is not Result.TRUTH:
            doors.append(Door(stored, {}))
        return doors


def _number(name: str, fmt: NumberSystem) -> Value:
    return Value(name, fmt.width, Meaning.NUMBER, fmt.name)


def _integer(name: str, integer: IntegerFormat) -> Value:
    return Value(name, integer.width, Meaning.SIGNED if integer.signed else Meaning.UNSIGNED, integer.name)


def given(target: object, operation: Operation) -> NumberSystem:
    """The target format of an operation that needs one; OperandError where there is none."""
    if not isinstance(target, NumberSystem):
        raise OperandError(f"{operation.name} needs the format of its result, for example target=binary16")
    return target


# All there are, while somebody has them; made by one thread at a time.
_USES: WeakValueDictionary[tuple[Operation, NumberSystem, Options, Parameter], Use] = WeakValueDictionary()
_MAKING = RLock()


@lru_cache(LATEST)
def use_of(
    operation: Operation, fmt: NumberSystem, options: Options = COMPLETE, parameter: Parameter = None
) -> Use:
    """The one `Use` of an operation in a number system with options.

    It is the system's own operation of this name: its table says which one that is. Raises NotEmulatedError
    where there is none.
    """
    key = operation_of(fmt.kind, operation.name), fmt, options, parameter
    with _MAKING:
        return _USES.setdefault(key, Use(*key))


def _again(name: str, fmt: NumberSystem, options: Options, parameter: Parameter) -> Use:
    return use_of(operation_of(fmt.kind, name), fmt, options, parameter)
