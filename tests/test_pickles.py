"""What the library hands out can be sent to another process, and says the same there."""

from __future__ import annotations

import copy
import pickle
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.engines import plain, stepwise
from softfloat_py.numbers.formats import binary16
from softfloat_py.operations import OPERATIONS
from softfloat_py.options import COMPLETE
from softfloat_py.routines.steps import STEPS
from softfloat_py.uses import use_of

heave, sway = sf.binary32(1.5), sf.binary32(-0.1)


def estimate(*, each_call: bool) -> Any:
    """A kernel priced, with or without each call."""
    with sf.counting(each_call=each_call) as tally:
        heave * sway + heave
        sf.convert_to_integer(heave, width=16)
    return tally.estimate("cortex-m0plus", deadline=1e-3)


SENT: dict[str, Any] = {
    "estimate": estimate(each_call=False),
    "estimate of each call": estimate(each_call=True),
    "explanation": sf.explain("addition", heave, sway),
    "explanation of a loop": sf.explain("remainder", heave, sway),
    "bounds": sf.bounds("convert_format", sf.binary32, "atmega", target=binary16),
    "calibration": sf.calibrate("atmega", [sf.Measurement(estimate(each_call=False).tally, 500)]),
    "conversion in steps": sf.convert_in_steps(sf.binary64(0.1), sf.binary32, sf.binary16),
    "cost model": sf.cost_model("atmega"),
}


@pytest.mark.parametrize("what", SENT)
def test_what_is_sent_reads_the_same(what: str) -> None:
    """Pickled, copied and copied deeply, each prints as before; so does one that was printed first."""
    original = SENT[what]
    printed = str(original) if what != "cost model" else original.name
    for again in (pickle.loads(pickle.dumps(original)), copy.copy(original), copy.deepcopy(original)):
        assert type(again) is type(original)
        assert printed == (str(again) if what != "cost model" else again.name)


def test_kinds_of_steps_stay_the_only_ones() -> None:
    """A kind is one object a name, wherever it comes from."""
    for kind in STEPS.values():
        assert kind is pickle.loads(pickle.dumps(kind))
        assert kind is copy.deepcopy(kind)


def test_programs_run_after_the_journey() -> None:
    """A program's copy has the same steps, on both engines of single runs."""
    program = use_of(OPERATIONS["multiplication"], binary16, COMPLETE).program
    again = pickle.loads(pickle.dumps(program))
    arguments = (0x3E00, 0xC100, 0)
    assert plain.compiled(program).source == plain.compiled(again).source
    assert stepwise.run(program, arguments).counts == stepwise.run(again, arguments).counts
