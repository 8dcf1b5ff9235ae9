"""Kernels with elementary functions: each operation's value is MPFR's, to the last bit.

The version by hand is computed a second time, every operation of it by the references of the tests, which are
rational arithmetic and MPFR. What a kernel returns rests on all of them, as each goes on from the last.
"""

from __future__ import annotations

import importlib
import re
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file
from softfloat_py.operations import OPERATIONS, Result
from tests.engines.running import reference, used
from tests.kernels.kernel_runs import HERE, NAMES, exactly, kernel_path, plain_module

ELEMENTARY = [name for name, operation in OPERATIONS.items() if operation.clause == "9.2"]
CALL = re.compile(rf"\bsf\.({'|'.join(ELEMENTARY)})\(")
KERNELS = [name for name in NAMES if CALL.search((HERE / "by_hand" / f"{name}.py").read_text())]


class References:
    """Stands for the library: operations are those of the references, and all else is its own."""

    def __init__(self) -> None:
        self.calls: Counter[str] = Counter()

    def __getattr__(self, name: str) -> Any:
        return self._operation(name) if name in OPERATIONS else getattr(sf, name)

    def _operation(self, name: str) -> Callable[..., Any]:
        operation = OPERATIONS[name]

        def computed(*operands: Any) -> Any:
            self.calls[name] += 1
            fmt = next(value.format for value in operands if isinstance(value, sf.Number))
            bits = tuple(value.bits if isinstance(value, sf.Number) else value for value in operands)
            result, _ = reference(used(name, fmt, sf.LEAN), sf.Rounding.TIES_TO_EVEN, bits)
            return result == 1 if operation.result is Result.TRUTH else sf.Number.from_bits(fmt, result)

        return computed


def test_there_are_kernels_of_every_kind() -> None:
    """Logarithms, exponentials, sines, arctangents, roots and powers are among them."""
    texts = "".join((HERE / "by_hand" / f"{name}.py").read_text() for name in KERNELS)
    assert len(KERNELS) > 8
    assert {"exp", "log", "log10", "sin", "cos", "atan2", "hypot", "pow", "rootn"} <= set(CALL.findall(texts))


@pytest.mark.parametrize("name", KERNELS)
def test_every_operation_has_the_value_of_the_reference(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The kernel file's result is that of its operations done by the references, in lean binary32."""
    references, version = References(), importlib.import_module(f"tests.kernels.by_hand.{name}")
    with plain_module(kernel_path(name)) as module:
        arguments = module.inputs()
    with sf.environment(options=sf.LEAN):
        result, tally = load_kernel_file(kernel_path(name)).counted_run(sf.binary32)
        monkeypatch.setattr(version, "sf", references)
        expected = version.kernel(*arguments)
    assert exactly(expected) == exactly(result)
    elementary = {
        operation: calls for operation, calls in references.calls.items() if operation in ELEMENTARY
    }
    assert elementary == {
        operation: n for (operation, _), n in tally.calls.items() if operation in ELEMENTARY
    }
