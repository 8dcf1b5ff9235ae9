"""Tallies as JSON files: for each program its usage, and enough to find the program again.

A usage speaks of a program's stretches by their numbers, so a file also has a fingerprint of each program: it
can be read by any version of the library whose routines are the same. The steps that follow are written
beside it, for other readers.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from enum import Enum
from hashlib import sha256
from pathlib import Path
from typing import Any

from softfloat_py.errors import SoftFloatError, TallyFileError
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.counting import Usage, bill_of
from softfloat_py.integer_form.grammar import Program
from softfloat_py.integer_form.plausible import MOST, fault_of
from softfloat_py.integer_form.printing import printed
from softfloat_py.keeping import kept
from softfloat_py.numbers.systems import system_of
from softfloat_py.operations import operation_of
from softfloat_py.options import COMPLETE, Options
from softfloat_py.tally.tally import Birth, Line, Tally
from softfloat_py.uses import Parameter, Use, use_of
from softfloat_py.whole_files import write_text

LAYOUT = "softfloat_py tally 2"


def save(tally: Tally, path: str | Path) -> None:
    """Write a tally to a file."""
    content = {
        "layout": LAYOUT,
        "usages": [_entry(use, line, usage) for (use, line), usage in tally.usages().items()],
        "left_emulation": [departure.record(values) for departure, values in tally.left.items()],
        "births": [birth.record(times) for birth, times in tally.born.items()],
    }
    write_text(path, json.dumps(content))


def load(path: str | Path) -> Tally:
    """Read a tally that `save` wrote; TallyFileError where the file is not one."""
    try:
        content = json.loads(Path(path).read_text(encoding="utf-8"))
        layout = content["layout"]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise TallyFileError(f"{path} must be a tally saved by Tally.save, but is not: {error!r}") from None
    if layout != LAYOUT:
        raise TallyFileError(f"{path} must have the layout {LAYOUT!r}, not {layout!r}; count again")
    tally = Tally()
    try:
        for entry in content["usages"]:
            _read(tally, entry, path)
        # Files of earlier versions have no notes.
        for entry in content.get("left_emulation", []):
            tally.note_departure(_read_line(entry), str(entry["how"]), _whole(entry["values"]))
        for entry in content.get("births", []):
            tally.notes.birth(_read_birth(entry), _whole(entry["times"]))
    except TallyFileError:
        raise
    except (SoftFloatError, AttributeError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise TallyFileError(f"{path} must list usages as Tally.save does, but has {error!r}") from None
    return tally


@kept
def fingerprint(program: Program) -> str:
    """What tells programs apart: a digest of all their steps."""
    return sha256(printed(program).encode()).hexdigest()[:16]


def _entry(use: Use, line: Line, usage: Usage) -> dict[str, Any]:
    return {
        "operation": use.operation.name,
        "format": use.format.parameters_to_save(),
        "options": _saved_options(use.options),
        "parameter": _saved_parameter(use.parameter),
        "program": fingerprint(use.program),
        "file": line.file,
        "line": line.number,
        **_saved_usage(usage),
        "steps": _saved_steps(usage, use.program),
    }


def _saved_usage(usage: Usage) -> dict[str, Any]:
    """A usage; with those of called programs, in the order of `Program.callees`, where there are any."""
    saved: dict[str, Any] = {
        "calls": usage.calls,
        "runs": list(usage.runs),
        "features": [sorted(histogram.items()) for histogram in usage.features],
    }
    if usage.callees:
        saved["callees"] = [_saved_usage(called) for called in usage.callees]
    return saved


def _read(tally: Tally, entry: Mapping[str, Any], path: str | Path) -> None:
    system = system_of(entry["format"])
    use = use_of(
        operation_of(system.kind, entry["operation"]),
        system,
        _read_options(entry["options"]),
        _read_parameter(entry["parameter"]),
    )
    if entry["program"] != fingerprint(use.program):
        raise TallyFileError(
            f"{path} must have been counted with this version's {use.operation.name}, "
            "and was with another's; count again"
        )
    tally.note_usage(use, _read_usage(entry, use.program), _read_line(entry))


def _read_birth(entry: Mapping[str, Any]) -> Birth:
    operands = tuple(map(str, entry["operands"]))
    return Birth(_read_line(entry), str(entry["kind"]), str(entry["operation"]), operands)


def _whole(number: Any) -> int:
    if type(number) is not int or number < 1:
        raise ValueError(f"a count that is no whole number from 1 up: {number!r}")
    return number


def _read_usage(entry: Mapping[str, Any], program: Program) -> Usage:
    """A usage that runs of the program may have left, with the steps that it says; ValueError for another."""
    usage = _usage_in(entry)
    if (fault := fault_of(usage, program)) is not None:
        raise ValueError(fault)
    counted = _saved_steps(usage, program)
    if Counter(map(tuple, entry.get("steps", counted))) != Counter(map(tuple, counted)):
        raise ValueError("steps beside a usage that are not those of the usage")
    return usage


def _usage_in(entry: Mapping[str, Any]) -> Usage:
    features = [_read_histogram(met) for met in entry["features"]]
    callees = tuple(map(_usage_in, entry.get("callees", [])))
    return Usage(entry["calls"], list(entry["runs"]), features, callees)


def _read_histogram(met: Sequence[tuple[int, int]]) -> dict[int, int]:
    histogram = dict(met)
    if len(histogram) != len(met):
        raise ValueError("a feature that is listed twice")
    return histogram


def _read_line(entry: Mapping[str, Any]) -> Line:
    file, number = entry["file"], entry["line"]
    if not isinstance(file, str) or type(number) is not int or not 0 <= number <= MOST:
        raise ValueError(f"a line of a file that is none: {file!r}, {number!r}")
    return Line(file, number)


def _saved_steps(usage: Usage, program: Program) -> list[list[Any]]:
    return [[*step, count] for step, count in bill_of(program).total(usage).items() if count]


def _saved_options(options: Options) -> dict[str, Any]:
    """The fields that differ from the complete set; a member of an enumeration by its name."""
    given = {field.name: getattr(options, field.name) for field in fields(options)}
    changed = {name: value for name, value in given.items() if value != getattr(COMPLETE, name)}
    return {name: value.name if isinstance(value, Enum) else value for name, value in changed.items()}


def _read_options(saved: Mapping[str, Any]) -> Options:
    given: dict[str, Any] = {}
    for name, value in saved.items():
        usual = getattr(COMPLETE, name)
        given[name] = type(usual)[value] if isinstance(usual, Enum) else value
    return Options(**given)


def _saved_parameter(parameter: Parameter) -> dict[str, Any] | None:
    if parameter is None:
        return None
    return asdict(parameter) if isinstance(parameter, IntegerFormat) else parameter.parameters_to_save()


def _read_parameter(saved: Mapping[str, Any] | None) -> Parameter:
    if saved is None:
        return None
    return system_of(saved) if "name" in saved else IntegerFormat(**saved)
