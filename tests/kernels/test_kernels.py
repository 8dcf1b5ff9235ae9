"""A kernel file runs unchanged, and what it is counted to do is what its hand-emulated version does."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file
from tests.kernels.kernel_runs import (
    NAMES,
    by_hand,
    calls_with_widths,
    exactly,
    kernel_path,
    nearly,
    on_host,
    plain_module,
    singles,
)


@cache
def loaded(name: str) -> tuple[Any, sf.Tally]:
    """What the kernel file returns in lean binary32, with the tally of it."""
    with sf.environment(options=sf.LEAN):
        result, tally = load_kernel_file(kernel_path(name)).counted_run(sf.binary32)
    return result, tally


@pytest.mark.parametrize("name", NAMES)
def test_tally_has_the_calls_of_the_version_by_hand(name: str) -> None:
    """No operation more and none less, each in the format asked for."""
    assert by_hand(name)[1].calls == loaded(name)[1].calls


@pytest.mark.parametrize("name", NAMES)
def test_integers_are_converted_in_the_width_they_have(name: str) -> None:
    """An array's integers in the width of its dtype, Python's in 32 bits."""
    assert calls_with_widths(by_hand(name)[1]) == calls_with_widths(loaded(name)[1])


@pytest.mark.parametrize("name", NAMES)
def test_result_is_that_of_the_version_by_hand_to_the_last_bit(name: str) -> None:
    """All floats are emulated, those the kernel has as literals too; the other values keep their type."""
    assert exactly(by_hand(name)[0]) == exactly(loaded(name)[0])


@pytest.mark.parametrize("name", NAMES)
def test_nothing_left_the_emulation(name: str) -> None:
    """The tally is complete, and says so."""
    assert {} == dict(loaded(name)[1].left)


@pytest.mark.parametrize("name", NAMES)
def test_emulated_binary64_is_the_host(name: str) -> None:
    """In the host's own format the result is the host's, but for the order of its sums and its powers."""
    with sf.environment(options=sf.LEAN):
        result, _ = load_kernel_file(kernel_path(name)).counted_run(sf.binary64)
    assert nearly(on_host(name), 1e-12) == singles(result)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_leaks_out_of_the_loader(name: str) -> None:
    """After an emulated run, the file and the modules beside it are plain Python to others, as before."""
    loaded(name)
    with plain_module(kernel_path(name)) as module:
        result = module.kernel(*module.inputs())
    assert exactly(on_host(name)) == exactly(result)
