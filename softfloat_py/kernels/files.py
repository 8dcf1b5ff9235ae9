"""Kernel files: a Python file with `kernel`, the computation, and `inputs`, which returns its arguments.

The file is written for host numbers and runs on the host as any script does, `inputs` too. The kernel is run
on its emulated side (`world`), where every float is one of the chosen format.
"""

from __future__ import annotations

import inspect
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

from softfloat_py.errors import KernelError, SoftFloatError
from softfloat_py.kernels.reasons import reason
from softfloat_py.kernels.surroundings import NAME, Surroundings
from softfloat_py.kernels.twins import emulated_world
from softfloat_py.kernels.values import for_host
from softfloat_py.kernels.world import Program
from softfloat_py.numbers.making import MakesValues
from softfloat_py.tally.tally import Tally, counting


@dataclass(frozen=True, slots=True)
class KernelFile:
    """A kernel file that has been loaded."""

    path: Path
    module: ModuleType
    surroundings: Surroundings

    def counted_run(self, fmt: MakesValues) -> tuple[Any, Tally]:
        """What the kernel returns for its inputs in a format, and the tally of that.

        Each run begins with the file as it was loaded. Raises KernelError, with the line at fault, where the
        file raises, and where nothing was emulated, saying why.
        """
        with self.surroundings.in_force():
            given = self._inputs()
            self._check_that_kernel_takes(given)
            kernel, arguments = self._emulated(fmt, given)
            with _faults_of(self.path, "kernel"), counting() as tally:
                returned = kernel(*arguments)
        if not tally.total_calls:
            raise KernelError(
                f"kernel of {self.path} must compute with emulated numbers, but {reason(given, tally)}"
            )
        return for_host(returned), tally

    def _inputs(self) -> tuple[Any, ...]:
        with _faults_of(self.path, "inputs()"):
            values = self.module.inputs()
        if not isinstance(values, tuple):
            raise KernelError(
                f"inputs() of {self.path} must return a tuple of the kernel's arguments, "
                f"not {type(values).__name__}; a single one is written (value,)"
            )
        return values

    def _check_that_kernel_takes(self, given: tuple[Any, ...]) -> None:
        """KernelError where `inputs` gives more or fewer arguments than the kernel has."""
        try:
            signature = inspect.signature(self.module.kernel, follow_wrapped=False)
        except (TypeError, ValueError):  # it has none; the call will tell
            return
        try:
            signature.bind(*given)
        except TypeError as error:
            raise KernelError(
                f"inputs() of {self.path} must return the arguments that kernel{_without_types(signature)} "
                f"takes, not {len(given)}: {error}"
            ) from None

    def _emulated(
        self, fmt: MakesValues, given: tuple[Any, ...]
    ) -> tuple[Callable[..., Any], tuple[Any, ...]]:
        """The kernel and its arguments on the emulated side."""
        world = emulated_world(fmt, Program(vars(self.module), self.surroundings.folders))
        try:
            return world.twin(self.module.kernel), world.twin(given)
        except SoftFloatError as error:
            raise KernelError(f"{self.path} must be of what can be emulated: {error}") from error


def load_kernel_file(path: str | Path) -> KernelFile:
    """Run a file's definitions and find `kernel` and `inputs`; KernelError where that fails.

    Files beside it can be imported, as when it is run as a script, also from within its functions.
    """
    place = Path(path)
    if not place.is_file():
        raise KernelError(f"a kernel file must be a Python file that exists, not {str(path)!r}")
    surroundings = Surroundings(place.resolve().parent)
    with surroundings.in_force(), _faults_of(place, "the file"):
        module = _executed(place)
    for name in ("kernel", "inputs"):
        if not callable(getattr(module, name, None)):
            raise KernelError(
                f"{place} must define the functions kernel(...) and inputs(), but has no {name}; "
                "inputs() returns the tuple of arguments that kernel is called with"
            )
    return KernelFile(place, module, surroundings)


def _without_types(signature: inspect.Signature) -> inspect.Signature:
    named = [each.replace(annotation=each.empty) for each in signature.parameters.values()]
    return signature.replace(parameters=named, return_annotation=signature.empty)


def _executed(path: Path) -> ModuleType:
    spec = spec_from_file_location(NAME, path.absolute())
    if spec is None or spec.loader is None:
        raise KernelError(f"a kernel file must be a Python file, its name ending in .py, not {str(path)!r}")
    module = module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up there
    spec.loader.exec_module(module)
    return module


# -- what can go wrong --------------------------------------------------------------------------------


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
            f"{what} must run to its end, but at {place}, it raised {type(error).__name__}: {_said(error)}"
        ) from error


def _said(error: BaseException) -> str:
    try:
        return str(error)
    except Exception:
        return "an error that cannot be shown as text"


def _line_at_fault(error: BaseException, path: Path) -> int | None:
    """The innermost line of the file that an error came through."""
    file = str(path.absolute())
    if isinstance(error, SyntaxError) and error.filename == file:
        return error.lineno
    lines = [frame.lineno for frame in traceback.extract_tb(error.__traceback__) if frame.filename == file]
    return lines[-1] if lines else None
