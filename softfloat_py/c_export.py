"""Operations of a format as C: from rows of the table to a header and a source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from softfloat_py.engines.c.files import Function, Meaning, Unit, Value
from softfloat_py.engines.c.target import Target
from softfloat_py.errors import FormatError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import (
    Operation,
    Result,
    integer_format_of,
    program_of,
)
from softfloat_py.options import Options


class Wanted(NamedTuple):
    """An operation, and the format or integer that a conversion needs."""

    operation: Operation
    parameter: Format | IntegerFormat | None = None

    @property
    def name(self) -> str:
        """Its name in C, behind that of its format."""
        return (
            self.operation.name if self.parameter is None else f"{self.operation.name}_{self.parameter.name}"
        )


def c_unit(fmt: Format, options: Options, target: Target, wanted: Iterable[Wanted], made: str = "") -> Unit:
    """Operations of a format with options, for a target; `made` is a sentence on how they were made.

    Raises FormatError for two formats whose names are one in C.
    """
    prefix, different = identifier(fmt.name), tuple(dict.fromkeys(wanted))
    _check_names([fmt, *(one.parameter for one in different if isinstance(one.parameter, Format))])
    functions = tuple(_function(prefix, one, fmt, options) for one in different)
    return Unit(prefix, f"IEEE 754 arithmetic in {fmt.name}, {options.name}.", made, target, functions)


def _check_names(formats: Iterable[Format]) -> None:
    """FormatError if two formats have the same name in C, where macros make capitals of letters."""
    known: dict[str, Format] = {}
    for fmt in formats:
        other = known.setdefault(identifier(fmt.name).upper(), fmt)
        if other != fmt:
            raise FormatError(
                f"formats of one C unit must have names that differ in C, and {other!r} and {fmt!r} "
                f"are both {identifier(fmt.name)} there; give one another name"
            )


def _function(prefix: str, wanted: Wanted, fmt: Format, options: Options) -> Function:
    operation, parameter = wanted
    program = program_of(operation, fmt, options, parameter)
    operands = tuple((name, _operand(name, operation, fmt, parameter)) for name in operation.operands)
    return Function(
        identifier(f"{prefix}_{wanted.name}"),
        f"{operation.name} ({operation.source}): gives {_delivered(operation, parameter)}.",
        program,
        operands,
        tuple(_results(operation, fmt, parameter, program.result_widths[0])),
    )


def _operand(name: str, operation: Operation, fmt: Format, parameter: Any) -> Value:
    if name in operation.integer_operands:
        return _integer(integer_format_of(parameter))
    return _encoding(fmt)


def _results(operation: Operation, fmt: Format, parameter: Any, width: int) -> Iterator[Value]:
    match operation.result:
        case Result.CLASS:
            yield Value(width, Meaning.ENCODING, "class_number")
        case Result.TRUTH:
            yield Value(1, Meaning.TRUTH, "bool")
        case Result.TARGET_NUMBER:
            yield _encoding(parameter)
        case Result.INTEGER:
            yield _integer(integer_format_of(parameter))
        case _:
            yield from [_encoding(fmt)] * operation.results


def _delivered(operation: Operation, parameter: Any) -> str:
    if parameter is None or operation.result is Result.NUMBER:
        return operation.result.value
    return f"{'an integer' if operation.result is Result.INTEGER else 'a number'} of {parameter.name}"


def _encoding(fmt: Format) -> Value:
    return Value(fmt.width, Meaning.ENCODING, f"{identifier(fmt.name)}_encoding")


def _integer(integer: IntegerFormat) -> Value:
    meaning = Meaning.SIGNED if integer.signed else Meaning.ENCODING
    return Value(integer.width, meaning, f"{integer.name}_words")


def identifier(name: str) -> str:
    """A name as C takes it: of ASCII's letters, digits and underscores, and with a letter first."""
    legal = re.sub(r"\W", "_", name, flags=re.ASCII)
    return legal if legal[0].isalpha() else f"format_{legal}"
