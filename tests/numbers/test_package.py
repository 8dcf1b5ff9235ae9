"""The package as a user imports it: what it names, and what it leaves for later."""

from __future__ import annotations

import subprocess
import sys

import pytest

import softfloat_py as sf
from softfloat_py import errors

LATE = ["numpy", "tomllib", "softfloat_py.engines.arrays", "softfloat_py.pricing", "softfloat_py.views"]


def test_every_public_name_is_there() -> None:
    """__all__ has no name twice and none that cannot be had, and it has every error."""
    assert len(set(sf.__all__)) == len(sf.__all__)
    for name in sf.__all__:
        assert getattr(sf, name) is not None
    kinds = {
        name
        for name, value in vars(errors).items()
        if isinstance(value, type) and value.__module__ == errors.__name__
    }
    assert kinds <= set(sf.__all__)


def test_other_names_raise() -> None:
    """An unknown name is an AttributeError, as in any module."""
    with pytest.raises(AttributeError, match=r"^module 'softfloat_py' has no attribute 'binary33'$"):
        _ = sf.binary33


def test_importing_is_light() -> None:
    """Importing the package and computing with Numbers loads neither numpy nor cost tables nor views."""
    program = (
        "import sys, softfloat_py as sf\n"
        "x = sf.binary32(1.5) * 2 + sf.square_root(sf.binary32(2))\n"
        f"print([name for name in {LATE!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60
    )
    assert "[]\n" == done.stdout
