"""Kernels with functions that are not emulated yet are refused: never computed by the host."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file
from tests.kernels.kernel_runs import HERE, names_line

REFUSED = sorted((HERE / "refused").glob("*.py"))


def function_and_line(path: Path) -> tuple[str, int]:
    """The function that the file's comment says is refused, and its line."""
    for number, line in enumerate(path.read_text().splitlines(), 1):
        if found := re.search(r"# refused: (\w+)", line):
            return found[1], number
    raise AssertionError(f"{path} does not say what is refused")


@pytest.mark.parametrize("path", REFUSED, ids=lambda path: path.stem)
def test_refusal_names_the_function_and_the_line(path: Path) -> None:
    """One sentence says which function is not emulated, and where the kernel calls it."""
    function, line = function_and_line(path)
    with sf.environment(options=sf.LEAN), pytest.raises(sf.KernelError) as refusal:
        load_kernel_file(path).counted_run(sf.binary32)
    assert re.search(rf"\b{function}\b", str(refusal.value))
    assert names_line(refusal.value, path, line)
