"""What stands on the command line, and what it stands for: numbers, times, names, operations."""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

from softfloat_py.errors import UnknownNameError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import FORMAT_NAMES, Format
from softfloat_py.operations import OPERATIONS, Result, operation_named
from softfloat_py.options import Options
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.figures import HIGHEST_MHZ
from softfloat_py.pricing.table_reader import cost_model, cost_models, load_cost_model
from softfloat_py.suggestions import nearest_names
from softfloat_py.uses import Use, use_of

T = TypeVar("T")
NUMBER = re.compile(r"[+-]?(\d|\.\d|inf|nan)", re.IGNORECASE)
HERTZ = {"": 1e6, "hz": 1.0, "khz": 1e3, "mhz": 1e6, "ghz": 1e9}
SLOWEST_CLOCK = 1.0  # Hz; what is slower is a slip, and no time
TIMES = {"us": 1e-6, "µs": 1e-6, "ms": 1e-3, "s": 1.0, "min": 60.0, "h": 3600.0, "": 1.0}
INTEGERS = {
    integer.name: integer
    for width in (8, 16, 32, 64)
    for integer in (IntegerFormat(width), IntegerFormat(width, False))
}


def shielded(argument: str) -> str:
    """A negative number with a space before it, which keeps the parser from taking it for an option."""
    return f" {argument}" if argument.startswith("-") and NUMBER.match(argument) else argument


def clock_in_hertz(text: str) -> float:
    """A clock in Hz, from a number of MHz or one with its unit.

    A bare number beyond all clocks there are, as one in Hz is, is asked about.
    """
    hertz = _demanded(text, "a clock from 1 Hz up, such as 16MHz, 32.768kHz or 16 (MHz)", _hertz, _ticks)
    if hertz > HIGHEST_MHZ * 1e6 and text.strip()[-1].isdigit():
        in_hertz = hertz / 1e12
        raise argparse.ArgumentTypeError(
            f"must be a clock in MHz, or one with its unit, not {text.strip()!r}; "
            f"did you mean {in_hertz:.12g}MHz or {text.strip()}MHz?"
        )
    return hertz


def whole(text: str) -> int:
    """A whole number, 0 or more."""
    return _demanded(text, "a whole number, 0 or more", int, lambda value: value >= 0)


def time_in_seconds(text: str) -> float:
    """A time in seconds."""
    required = "a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds)"
    return _demanded(text, required, _seconds, _is_positive)


def _demanded(text: str, required: str, read: Callable[[str], T], holds: Callable[[T], bool]) -> T:
    """What a text stands for, or one sentence; it quotes the text without the space of `shielded`."""
    try:
        value = read(text)
        if holds(value):
            return value
    except ValueError:
        pass
    raise argparse.ArgumentTypeError(f"must be {required}, not {text.strip()!r}")


def _is_positive(value: float) -> bool:
    return 0 < value < math.inf


def _ticks(hertz: float) -> bool:
    return SLOWEST_CLOCK <= hertz < math.inf


def _hertz(text: str) -> float:
    parts = re.fullmatch(r"\s*([\d.]+(?:e[+-]?\d+)?)\s*([a-z]*)\s*", text.casefold())
    if parts is None or parts[2] not in HERTZ:
        raise ValueError(text)
    return float(parts[1]) * HERTZ[parts[2]]


def _seconds(text: str) -> float:
    parts = re.fullmatch(r"\s*(\d+\.?\d*|\.\d+)\s*([a-zµ]*)", text)
    if parts is None or parts[2] not in TIMES:
        raise ValueError(text)
    return float(parts[1]) * TIMES[parts[2]]


def chosen(what: str, name: str, known: Mapping[str, T]) -> T:
    """What a name stands for; UnknownNameError, with a suggestion, where it is not known."""
    if name not in known:
        raise UnknownNameError(f"the {what}", name, list(known), nearest_names(name, known, 1))
    return known[name]


def model_named(name: str, compiler: str | None = None) -> CostModel:
    """A cost model by its name or that of a core or chip, or from a file of one's own, for a compiler."""
    read = load_cost_model if name.endswith(".toml") else cost_model
    return read(name, compiler=compiler)


def models_named(names: Sequence[str] | None, compiler: str | None) -> list[CostModel]:
    """Cost models by name, each once; without names, all that describe the compiler.

    Raises UnknownNameError for a compiler that one of those named, or none at all, describes.
    """
    if names is not None:
        return list(dict.fromkeys(model_named(name, compiler) for name in names))
    models = [cost_model(name) for name in cost_models()]
    if compiler is None:
        return models
    known = sorted({each for model in models for each in model.described})
    chosen("compiler", compiler, dict.fromkeys(known))
    return [model.made_by(compiler) for model in models if compiler in model.described]


def uses_asked_for(names: str | None, fmt: Format, options: Options) -> list[Use]:
    """Uses of operations by names joined by commas, each once; without names, all that need no more than
    theirs.

    Raises UnknownNameError for an operation that there is not.
    """
    if not names:
        return [use_of(row, fmt, options) for row in OPERATIONS.values() if not row.parameters]
    return list(dict.fromkeys(wanted(name, fmt, options) for name in names.split(",")))


def wanted(text: str, fmt: Format, options: Options) -> Use:
    """What a text such as addition, convert_format:binary64 or convert_to_integer:int32 asks for.

    Raises UnknownNameError for a name that is not in its list, or missing.
    """
    name, _, parameter = text.partition(":")
    operation = operation_named(name)
    if not operation.parameters:
        known: dict[str, Any] = {"": None}
    else:
        known = dict(FORMAT_NAMES if operation.result is Result.TARGET_NUMBER else INTEGERS)
    if parameter.casefold() not in known:
        shown = [f"{name}:{each}" if each else name for each in known]
        raise UnknownNameError("an operation", text, shown, nearest_names(text, shown))
    return use_of(operation, fmt, options, known[parameter.casefold()])
