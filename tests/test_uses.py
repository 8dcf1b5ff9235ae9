"""Operations as they are used: one object of each kind."""

from __future__ import annotations

import copy
import gc
import pickle
import weakref

import pytest

from softfloat_py import OperandError
from softfloat_py.formats import IntegerFormat
from softfloat_py.numbers.formats import Format, binary16, binary32
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.uses import LATEST, Use, use_of


def test_there_is_one_of_each() -> None:
    """However it is asked for, copied or sent, a use is the same object."""
    use = use_of(OPERATIONS["convert_format"], binary32, LEAN, binary16)

    assert use is Use.named(
        "convert_format", binary32, Options(all_directions=False, flags=False), target=binary16
    )
    assert use is copy.deepcopy(use)
    assert use is pickle.loads(pickle.dumps(use))
    assert use is not Use.named("convert_format", binary32, COMPLETE, target=binary16)


def test_parameters_are_chosen_by_what_the_operation_needs() -> None:
    """A target, an integer format, or nothing; a missing target is an error."""
    assert (
        IntegerFormat(8, False) == Use.named("convert_to_integer", binary32, width=8, signed=False).parameter
    )
    assert Use.named("addition", binary32, width=8).parameter is None
    with pytest.raises(OperandError, match="convert_format needs the format of its result"):
        Use.named("convert_format", binary32)


def test_uses_that_nobody_has_go() -> None:
    """Only the latest are kept for nothing."""
    first = weakref.ref(Use.named("negate", Format("first of many", exponent_bits=5, precision=7)))
    for number in range(LATEST + 1):
        Use.named("negate", Format(f"drift {number}", exponent_bits=5, precision=7))
    gc.collect()

    assert first() is None
