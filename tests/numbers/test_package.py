"""The package as a user imports it: what it names."""

from __future__ import annotations

import pytest

import softfloat_py as sf
from softfloat_py import errors


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
