"""A function of one's own on the target's numbers, without a kernel file."""

from __future__ import annotations

import functools
from collections.abc import Callable
from pathlib import Path
from typing import Any

from softfloat_py.errors import OperandError
from softfloat_py.kernels.twins import emulated_world
from softfloat_py.kernels.world import Program
from softfloat_py.numbers.making import MakesValues


def emulated(function: Callable[..., Any], fmt: MakesValues) -> Callable[..., Any]:
    """The function with every float in it, and in its module, a number of the format.

    What `python -m softfloat_py estimate` does to a kernel file: literals, defaults, constants of the module,
    numpy's makers, and the floats and arrays that a call is given are emulated; ints that meet them are
    converted and counted. The functions, classes and modules beside it that it uses are treated alike; the
    host's own stay as they are. What the program keeps in globals, it keeps from call to call.

    Raises OperandError for what is no Python function, KernelError where the text of one cannot be read.

    >>> from softfloat_py.numbers.formats import binary16
    >>> def mean_of_crests(heights):
    ...     return sum(heights) / len(heights)
    >>> emulated(mean_of_crests, binary16)([0.5, 0.25])
    binary16(0.375)
    """
    plain = getattr(function, "__func__", function)
    names = getattr(plain, "__globals__", None)
    if names is None:
        raise OperandError(f"emulated needs a function written in Python, not {function!r}")
    if not isinstance(fmt, MakesValues):
        raise OperandError(f"emulated needs a Format, such as binary32, not {fmt!r}")
    world = emulated_world(fmt, Program(names, _folders(names)))
    ours = world.twin(function)

    @functools.wraps(function)
    def called(*arguments: Any, **keywords: Any) -> Any:
        return ours(*world.taken_in(arguments), **world.taken_in(keywords))

    return called


def _folders(names: dict[str, Any]) -> tuple[str, ...]:
    """The folder that a module lies in, if it lies in one."""
    file = names.get("__file__")
    return (f"{Path(file).resolve().parent}/",) if file else ()
