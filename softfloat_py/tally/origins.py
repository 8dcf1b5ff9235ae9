"""Where steps come from: the user's line, and the operation as it was built."""

from __future__ import annotations

import linecache
from collections.abc import Mapping
from pathlib import Path
from types import FrameType
from typing import NamedTuple

from softfloat_py.number_systems import NumberSystem
from softfloat_py.uses import Use


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

    @classmethod
    def of(cls, use: Use, line: Line, names: Mapping[NumberSystem, str]) -> Origin:
        """The origin of a use's runs from a line, with the names that formats have in a report."""
        return cls(use.operation.name, names[use.format], use.options.name, line)
