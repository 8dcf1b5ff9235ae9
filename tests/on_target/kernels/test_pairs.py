"""The two sides of a kernel, Python and C, are one computation: on the host, where C hands over to Python."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, binary128
from tests.on_target.kernels.on_host import host_run
from tests.on_target.kernels.pairs import NAMES, python_run


@pytest.mark.parametrize("fmt", [binary16, binary32, binary64, binary128], ids=lambda fmt: fmt.name)
@pytest.mark.parametrize("name", NAMES)
def test_c_is_the_kernel(name: str, fmt: Format, tmp_path: Path) -> None:
    """Both deliver the same bits by as many calls of each operation."""
    python, c = python_run(name, fmt), host_run(name, fmt, tmp_path)

    assert python.outputs == c.outputs
    assert python.calls == Counter(call.use for call in c.calls)
