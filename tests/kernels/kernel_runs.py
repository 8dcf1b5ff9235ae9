"""Ways to run a kernel of this folder: as plain Python, and by hand; and what two runs have to agree in."""

from __future__ import annotations

import importlib
import re
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf

HERE = Path(__file__).parent
NAMES = sorted(path.stem for path in (HERE / "by_hand").glob("*.py"))


def kernel_path(name: str) -> Path:
    """The kernel file of a name."""
    return HERE / "files" / f"{name}.py"


@contextmanager
def plain_module(path: Path) -> Iterator[ModuleType]:
    """A kernel file as Python itself runs it; what it imports from beside it is forgotten in the end."""
    spec = spec_from_file_location(f"plain_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    known = set(sys.modules)
    sys.modules[spec.name] = module  # dataclasses look their module up there
    sys.path.insert(0, str(path.parent))
    try:
        spec.loader.exec_module(module)
        yield module
    finally:
        sys.path.remove(str(path.parent))
        for name in set(sys.modules) - known:
            if (getattr(sys.modules[name], "__file__", None) or "").startswith(str(path.parent)):
                del sys.modules[name]


@cache
def on_host(name: str) -> Any:
    """What the kernel returns as plain Python."""
    with plain_module(kernel_path(name)) as module:
        return module.kernel(*module.inputs())


@cache
def by_hand(name: str) -> tuple[Any, sf.Tally]:
    """What the hand-emulated version returns in lean binary32, with the tally of it."""
    version = importlib.import_module(f"tests.kernels.by_hand.{name}")
    with plain_module(kernel_path(name)) as module:
        arguments = module.inputs()
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        result = version.kernel(*arguments)
    return result, tally


def exactly(value: Any) -> Any:
    """Encodings in place of emulated values, in lists where arrays were; all else as it is, with its type."""
    if isinstance(value, Mapping):
        return {key: exactly(element) for key, element in value.items()}
    if isinstance(value, sf.FloatArray | np.ndarray | np.generic):
        return exactly(value.tolist())
    if isinstance(value, list | tuple):
        return [exactly(element) for element in value]
    if isinstance(value, sf.Number):
        return value.format.name, value.bits
    return type(value).__name__, value


def singles(value: Any) -> list[tuple[type, Any]]:
    """The single values of a result with their types, emulated ones as the host's floats."""
    if isinstance(value, Mapping):
        value = list(value.items())
    if isinstance(value, sf.FloatArray | np.ndarray | np.generic):
        value = value.tolist()
    if isinstance(value, list | tuple):
        return [single for element in value for single in singles(element)]
    if isinstance(value, sf.Number):
        value = float(value)
    return [(type(value), value)]


def nearly(value: Any, relative: float) -> list[tuple[type, Any]]:
    """The single values of a result, floats such that they equal what comes near them."""
    return [
        (kind, pytest.approx(single, rel=relative, abs=relative / 10) if kind is float else single)
        for kind, single in singles(value)
    ]


def calls_with_widths(tally: sf.Tally) -> Counter[tuple[str, str, int | None]]:
    """Calls by operation, format and the width of the integer, where the operation has one."""
    calls: Counter[tuple[str, str, int | None]] = Counter()
    for (work, _), usage in tally.usages().items():
        calls[work.operation.name, work.format.name, getattr(work.parameter, "width", None)] += usage.calls
    return calls


def names_line(refusal: sf.KernelError, path: Path, line: int) -> bool:
    """Whether a refusal says that it is about this line of a file."""
    return re.search(rf"{re.escape(path.name)}(:|, line ){line}\b", str(refusal)) is not None
