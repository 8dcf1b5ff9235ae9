"""The hand-emulated kernels: there is one for each kernel file, and it computes what the kernel computes."""

from __future__ import annotations

import pytest

from tests.kernels.kernel_runs import HERE, NAMES, by_hand, kernel_path, nearly, on_host, singles


def test_every_kernel_has_a_version_by_hand() -> None:
    """No kernel file is left out: what has no version by hand is a module that kernels import."""
    kernels = [path.stem for path in (HERE / "files").glob("*.py") if "def kernel(" in path.read_text()]
    assert sorted(kernels) == NAMES
    assert len(NAMES) > 21


@pytest.mark.parametrize("name", NAMES)
def test_kernel_knows_nothing_of_the_library(name: str) -> None:
    """A kernel file is its owner's: it does not speak of emulation."""
    assert "softfloat" not in kernel_path(name).read_text()


@pytest.mark.parametrize("name", NAMES)
def test_hand_version_computes_what_plain_python_does(name: str) -> None:
    """Floats of binary32 come near the host's; whole numbers, truths and texts are equal."""
    assert nearly(on_host(name), 2e-5) == singles(by_hand(name)[0])
