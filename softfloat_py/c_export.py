"""Operations of a format as C: from rows of the table to a header and a source."""

from __future__ import annotations

from collections.abc import Iterable

from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.passing import identifier
from softfloat_py.engines.c.target import Target
from softfloat_py.errors import FormatError
from softfloat_py.number_systems import NumberSystem
from softfloat_py.operations import Result
from softfloat_py.uses import Use


def c_unit(uses: Iterable[Use], target: Target, made: str = "", *, reentrant: bool = False) -> Unit:
    """Operations of one format with the same options, for a target; `made` is a sentence on how they were
    made. Functions that are `reentrant` take rounding direction and flags as parameters, not from variables.

    Raises FormatError for two formats whose names are one in C.
    """
    different = tuple(dict.fromkeys(uses))
    fmt, options = different[0].format, different[0].options
    prefix = identifier(fmt.name)
    _check_names([fmt, *(use.delivered for use in different if use.delivered is not None)])
    functions = tuple(_function(prefix, use) for use in different)
    about = f"IEEE 754 arithmetic in {fmt.name}, {options.name}."
    return Unit(prefix, about, made, target, functions, reentrant)


def _check_names(formats: Iterable[NumberSystem]) -> None:
    """FormatError if two formats have the same name in C, where macros make capitals of letters."""
    known: dict[str, NumberSystem] = {}
    for fmt in formats:
        other = known.setdefault(identifier(fmt.name).upper(), fmt)
        if other != fmt:
            raise FormatError(
                f"formats of one C unit must have names that differ in C, and {other!r} and {fmt!r} "
                f"are both {identifier(fmt.name)} there; give one another name"
            )


def _function(prefix: str, use: Use) -> Function:
    operation, parameter = use.operation, use.parameter
    name = operation.name if parameter is None else f"{operation.name}_{parameter.name}"
    return Function(
        identifier(f"{prefix}_{name}"),
        f"{operation.name} ({operation.source}): gives {_delivered(use)}.",
        use.program,
        use.signature,
    )


def _delivered(use: Use) -> str:
    operation, parameter = use.operation, use.parameter
    if parameter is None or operation.result is Result.NUMBER:
        return operation.result.value
    return f"{'an integer' if operation.result is Result.INTEGER else 'a number'} of {parameter.name}"
