"""What a tally files runs under: the operation as it was built, and the user's line."""

from __future__ import annotations

import linecache
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

from softfloat_py.formats import BinaryFormat
from softfloat_py.integer_form.grammar import Program
from softfloat_py.operations import Operation, operation_named, program_of
from softfloat_py.options import Options


class Line(NamedTuple):
    """A line of the user's source."""

    file: str
    number: int

    @classmethod
    def of(cls, frame: FrameType) -> Line:
        """The line that a frame is at."""
        return cls(frame.f_code.co_filename, frame.f_lineno)

    @property
    def place(self) -> str:
        """The name of the file, without its folders, and the number."""
        return f"{Path(self.file).name}:{self.number}"

    @property
    def text(self) -> str:
        """The line itself, without indentation; empty where the file cannot be read."""
        return linecache.getline(self.file, self.number).strip()


class Origin(NamedTuple):
    """Where steps come from: an operation in a format, the options it was built with, the user's line."""

    operation: str
    format: str
    options: str
    line: Line


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """What the runs of one program are filed under: an operation in a format with options.

    `parameter` is a target format or an integer format. There is one of each (`work_of`), so that it is found
    by its identity: to compare options field by field takes long.
    """

    operation: Operation
    format: BinaryFormat
    options: Options
    parameter: Any = None

    @property
    def program(self) -> Program:
        """The program that ran."""
        return program_of(self.operation, self.format, self.options, self.parameter)

    def __reduce__(self) -> tuple[Any, ...]:
        """A copy, or what another process reads, is again the one of its kind."""
        return _work_named, (self.operation.name, self.format, self.options, self.parameter)

    def origin(self, line: Line, names: Mapping[BinaryFormat, str]) -> Origin:
        """Its runs from a line, as reports name them, with the names that formats have there."""
        return Origin(self.operation.name, names[self.format], self.options.name, line)


@cache
def work_of(operation: Operation, fmt: BinaryFormat, options: Options, parameter: Any = None) -> Work:
    """The one `Work` of an operation in a format with options."""
    return Work(operation, fmt, options, parameter)


def _work_named(name: str, fmt: BinaryFormat, options: Options, parameter: Any) -> Work:
    return work_of(operation_named(name), fmt, options, parameter)
