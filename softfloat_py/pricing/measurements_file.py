"""Files of measurements: what a program on a board prints, and its owner completes, read and written.

A file is read to its end before anything is refused, so that one MeasurementsError lists all its faults, each
with its key path. `python -m softfloat_py guide measure` explains the keys.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from softfloat_py.errors import MeasurementsError, UnknownNameError
from softfloat_py.numbers.formats import KNOWN_FORMATS
from softfloat_py.operations import operation_named
from softfloat_py.options import NAMED_OPTIONS
from softfloat_py.pricing.figures import HIGHEST_MHZ
from softfloat_py.pricing.measured_sets import MeasuredSet, Reading
from softfloat_py.pricing.table_sections import NUMBER, TEXT, WHOLE, Section, Shape
from softfloat_py.pricing.toml_files import read_toml
from softfloat_py.uses import Use, use_of

CLOCK = Shape(
    f"a clock in MHz, above 0 and at most {HIGHEST_MHZ}",
    lambda value: NUMBER.holds(value) and 0 < value <= HIGHEST_MHZ,
)
ABOVE_0 = Shape("a number above 0", lambda value: NUMBER.holds(value) and value > 0)
AT_LEAST_1 = Shape("a whole number, 1 or more", lambda value: WHOLE.holds(value) and value > 0)
DAY = Shape("a day, such as '2026-03-31'", lambda value: TEXT.holds(value) and _is_day(value))
READINGS = "operations"  # the key of the list of readings
ARITHMETIC = "arithmetic"  # the key of the named set of options


def load_measurements(path: str | os.PathLike[str]) -> MeasuredSet:
    """The measurements in a file; MeasurementsError listing every fault of it."""
    root = Section(read_toml(path, MeasurementsError), "", faults=[])
    measured = read_measurements(root)
    root.refuse_unknown_keys()
    if measured is None or root.faults:
        raise MeasurementsError(str(Path(path)), root.faults)
    return measured


def read_measurements(section: Section) -> MeasuredSet | None:
    """The measurements in a table; what is wrong with them is noted."""
    arithmetic = section.choose(ARITHMETIC, NAMED_OPTIONS)
    texts = ("who", "board", "cpu", "compiler", "compiler_options", "timer", "emitted_for")
    return section.build(
        MeasuredSet,
        **{key: section.take(key, TEXT) for key in texts},
        clock_mhz=section.take("clock_mhz", CLOCK),
        date=section.take("date", DAY),
        cycles_per_tick=section.take("cycles_per_tick", ABOVE_0),
        repeats=section.take("repeats", AT_LEAST_1),
        readings=section.read_list(READINGS, lambda part: _read_reading(part, arithmetic)),
    )


def _read_reading(section: Section, arithmetic: str | None) -> Reading | None:
    """A reading, nothing where it is not known what it is of."""
    use = _read_use(section, arithmetic)
    parts = {key: section.take(key, NUMBER) for key in ("mean", "lowest", "highest")}
    parts |= {key: section.take(key, WHOLE) for key in ("calls", "checksum")}
    return None if use is None else section.build(Reading, use=use, **parts)


def _read_use(section: Section, arithmetic: str | None) -> Use | None:
    name = section.take("operation", TEXT)
    fmt = section.choose("format", KNOWN_FORMATS)
    if not TEXT.holds(name):
        return None
    try:
        operation = operation_named(name)
    except UnknownNameError as error:
        section.note("operation:", str(error))
        return None
    if operation.parameters:
        section.note("operation", f"must be one that needs no more than its name, not {name!r}")
        return None
    if fmt is None or arithmetic is None:
        return None
    return use_of(operation, KNOWN_FORMATS[fmt], NAMED_OPTIONS[arithmetic])


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def measurements_toml(measured: MeasuredSet, path: str = "") -> Iterator[str]:
    """The lines of a table that `read_measurements` reads; `path` is that of a list in a greater file."""
    if path:
        yield f"[[{path}]]"
    for key in MeasuredSet.__dataclass_fields__:
        if key != "readings":
            yield f"{key} = {json.dumps(getattr(measured, key), ensure_ascii=False)}"
    yield f'{ARITHMETIC} = "{measured.readings[0].use.options.name}"'
    for reading in measured.readings:
        yield from ("", f"[[{path}.{READINGS}]]" if path else f"[[{READINGS}]]")
        yield f'operation = "{reading.use.operation.name}"'
        yield f'format = "{reading.use.format.name}"'
        yield from (f"{key} = {getattr(reading, key)!r}" for key in ("calls", "mean", "lowest", "highest"))
        yield f"checksum = {reading.checksum:#010x}"
