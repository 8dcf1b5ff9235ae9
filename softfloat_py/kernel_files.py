"""Kernel files: a Python file with `kernel`, the computation, and `inputs`, which returns its arguments.

The kernel is written for host numbers. Before it is called, floats and float arrays among its arguments
become numbers and arrays of the chosen format; integers, texts, lists and all else stay as they are.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np

from softfloat_py.errors import KernelError
from softfloat_py.formats import Format
from softfloat_py.tally import Tally, counting


@dataclass(frozen=True, slots=True)
class KernelFile:
    """A kernel file that has been loaded."""

    path: Path
    kernel: Callable[..., Any]
    inputs: Callable[[], Any]

    def arguments(self, fmt: Format) -> tuple[Any, ...]:
        """The kernel's arguments in a format; KernelError where `inputs` raises or returns no tuple."""
        with _faults_of(self.path, "inputs()"):
            values = self.inputs()
        if not isinstance(values, tuple):
            raise KernelError(
                f"inputs() of {self.path} must return a tuple of the kernel's arguments, "
                f"not {type(values).__name__}; a single one is written (value,)"
            )
        return tuple(emulated(value, fmt) for value in values)

    def run(self, arguments: tuple[Any, ...]) -> Any:
        """What the kernel returns; KernelError, with the line at fault, where it raises."""
        with _faults_of(self.path, "kernel"):
            return self.kernel(*arguments)

    def counted_run(self, arguments: tuple[Any, ...]) -> tuple[Any, Tally]:
        """As `run`, with the tally of it; KernelError where nothing in it was emulated."""
        with counting() as tally:
            returned = self.run(arguments)
        if not tally.total_calls:
            raise KernelError(
                f"kernel of {self.path} must compute with emulated numbers, but did so not once; "
                "floats and float arrays that inputs() returns are emulated, "
                "those inside lists and other objects are not"
            )
        return returned, tally


def load_kernel_file(path: str | Path) -> KernelFile:
    """Run a file's definitions and find `kernel` and `inputs`; KernelError where that fails.

    Files beside it can be imported, as when it is run as a script.
    """
    place = Path(path)
    if not place.is_file():
        raise KernelError(f"a kernel file must be a Python file that exists, not {str(path)!r}")
    with _faults_of(place, "the file"):
        module = _executed(place)
    for name in ("kernel", "inputs"):
        if not callable(getattr(module, name, None)):
            raise KernelError(
                f"{place} must define the functions kernel(...) and inputs(), but has no {name}; "
                "inputs() returns the tuple of arguments that kernel is called with"
            )
    return KernelFile(place, module.kernel, module.inputs)


def emulated(value: Any, fmt: Format) -> Any:
    """A float or float array in a format, anything else as it is."""
    if isinstance(value, np.ndarray) and value.dtype.kind == "f":
        return fmt.array(value)
    if isinstance(value, float | np.floating):
        return fmt(value)
    return value


def holds_host_floats(value: Any) -> bool:
    """Whether a value is a host float or float array, or a tuple, list or dictionary with one in it."""
    if isinstance(value, tuple | list):
        return any(map(holds_host_floats, value))
    if isinstance(value, dict):
        return any(map(holds_host_floats, value.values()))
    return isinstance(value, float | np.floating) or (
        isinstance(value, np.ndarray) and value.dtype.kind == "f"
    )


def _executed(path: Path) -> ModuleType:
    # A name that is not "__main__" keeps the file's own main from running.
    spec = spec_from_file_location("kernel_file", path.absolute())
    if spec is None or spec.loader is None:
        raise KernelError(f"a kernel file must be a Python file, its name ending in .py, not {str(path)!r}")
    module = module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up there
    sys.path.insert(0, str(path.resolve().parent))
    try:
        spec.loader.exec_module(module)
    finally:
        sys.path.pop(0)
    return module


@contextmanager
def _faults_of(path: Path, what: str) -> Iterator[None]:
    """Turn whatever the user's code raises into a KernelError that says where."""
    try:
        yield
    except KernelError:
        raise
    except (Exception, SystemExit) as error:
        line = _line_at_fault(error, path)
        place = f"{path}, line {line}" if line else str(path)
        raise KernelError(
            f"{what} must run to its end, but at {place}, it raised {type(error).__name__}: {error}"
        ) from error


def _line_at_fault(error: BaseException, path: Path) -> int | None:
    """The innermost line of the file that an error came through."""
    file = str(path.absolute())
    if isinstance(error, SyntaxError) and error.filename == file:
        return error.lineno
    lines = [frame.lineno for frame in traceback.extract_tb(error.__traceback__) if frame.filename == file]
    return lines[-1] if lines else None
