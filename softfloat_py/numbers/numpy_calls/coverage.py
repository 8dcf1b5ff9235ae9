"""How much of numpy there is for emulated values, by numpy's own list of what it leaves to others."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from importlib import import_module
from types import ModuleType
from typing import Any, NamedTuple

import numpy as np

from softfloat_py.numbers.numpy_calls.dispatching import FUNCTIONS, UFUNCS, UNCOUNTED
from softfloat_py.numbers.numpy_calls.refusals import qualified_name

# What numpy loads when it is first asked for, and lists only then.
LATE_MODULES = ("numpy.fft", "numpy.lib.recfunctions", "numpy.linalg", "numpy.polynomial")
TEXT_MODULES = ("numpy.strings", "numpy.char")


class Coverage(NamedTuple):
    """The names of numpy's public functions that an emulated value can reach, in three classes."""

    emulated: frozenset[str]
    moved: frozenset[str]
    refused: frozenset[str]

    def __str__(self) -> str:
        emulated, moved, refused = map(len, self)
        return (
            f"{emulated + moved + refused} functions of numpy {np.__version__}: {emulated} emulated, "
            f"{moved} moved by numpy, {refused} refused"
        )


def coverage() -> Coverage:
    """Which of the functions that numpy lets others override are emulated, moved by numpy, and refused.

    Element-wise functions and all others alike, by the names of their modules. A function of two names counts
    once; one that numpy keeps to itself (its name begins with an underscore) and one on text not at all.
    """
    emulated = _names(set(UFUNCS) | set(FUNCTIONS) - set(UNCOUNTED))
    moved = _names(UNCOUNTED)
    return Coverage(emulated, moved, _names(overridable()) - emulated - moved)


def overridable() -> set[Callable[..., Any]]:
    """What numpy says can be overridden, but for its functions on text."""
    for module in LATE_MODULES + TEXT_MODULES:
        import_module(module)
    from numpy.testing import overrides

    of_text = set(_functions(np.strings)) - set(_functions(np))
    ufuncs = overrides.get_overridable_numpy_ufuncs() - of_text
    functions = overrides.get_overridable_numpy_array_functions() - of_text
    return ufuncs | {function for function in functions if function.__module__ not in TEXT_MODULES}


def _functions(module: ModuleType) -> Iterator[Any]:
    return (value for value in vars(module).values() if callable(value))


def _names(functions: Iterable[Callable[..., Any]]) -> frozenset[str]:
    names = map(qualified_name, functions)
    return frozenset(name for name in names if not name.rpartition(".")[2].startswith("_"))
