"""How much of numpy there is: every function that can be overridden is in one class, and answers."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.numbers.numpy_calls.coverage import coverage, overridable
from softfloat_py.numbers.numpy_calls.dispatching import (
    FUNCTIONS,
    UFUNCS,
    UNCOUNTED,
    call_function,
    call_ufunc,
)
from softfloat_py.numbers.numpy_calls.refusals import NEAREST, qualified_name

FUNCTIONS_OF_NUMPY = {qualified_name(function): function for function in overridable()}
x: Any = sf.binary32(1.5)


def test_every_function_is_in_one_class() -> None:
    """The classes are disjoint, and together they are what numpy says can be overridden."""
    emulated, moved, refused = coverage()
    public = {name for name in FUNCTIONS_OF_NUMPY if not name.rpartition(".")[2].startswith("_")}
    assert public == emulated | moved | refused
    assert len(public) == len(emulated) + len(moved) + len(refused)
    assert min(len(emulated), len(moved), len(refused)) > 50


def test_numbers_are_said_in_a_sentence() -> None:
    """The text has the total and the three numbers."""
    words = r"(\d+) functions of numpy \S+: (\d+) emulated, (\d+) moved by numpy, (\d+) refused"
    said = re.fullmatch(words, str(coverage()))
    assert said is not None
    total, *numbers = map(int, said.groups())
    assert (total, numbers) == (sum(numbers), [len(names) for names in coverage()])


def test_rows_can_be_reached() -> None:
    """There is no row for a function that numpy does not let others override."""
    assert set(FUNCTIONS) | set(UFUNCS) <= overridable()
    assert set(UNCOUNTED) <= set(FUNCTIONS)


def called(function: Any) -> Any:
    """What numpy does when a function is called with emulated values."""
    if isinstance(function, np.ufunc):
        return call_ufunc(function, "__call__", (x,) * function.nin, {})
    return call_function(function, (x,), {})


@pytest.mark.parametrize("name", sorted(coverage().refused))
def test_each_refusal_has_its_own_advice(name: str) -> None:
    """A refused function names itself and what to write instead of it."""
    function: Any = FUNCTIONS_OF_NUMPY[name]
    with pytest.raises(sf.NotEmulatedError) as caught:
        called(function)
    assert name == caught.value.function
    assert NEAREST[name.removeprefix("numpy.")] == caught.value.nearest


@pytest.mark.parametrize("function", [np.strings.isalpha, np.strings.upper])
def test_functions_on_text_say_that_they_are(function: Any) -> None:
    """They are in no class, and refused with the way to a number's text."""
    assert function not in overridable()
    with pytest.raises(sf.NotEmulatedError, match=r"none, as it works on text; str\(x\)"):
        called(function)
