"""What is kept between two estimates: prices with their model, everything else in bounded numbers."""

from __future__ import annotations

import gc
import importlib
import pickle
import pkgutil
import weakref
from collections.abc import Iterator
from types import ModuleType

import pytest

import softfloat_py as sf
from softfloat_py import integer_form, lowering, pricing
from softfloat_py.pricing import program_price as module
from softfloat_py.pricing.program_price import program_price
from softfloat_py.uses import Use
from tests.pricing.invented_cpu import invented_cpu

CALIBRATIONS = 20


def drift() -> sf.Tally:
    """One step of a drift filter of the buoy's."""
    with sf.counting() as tally:
        velocity, sample = sf.binary16(0.5), sf.binary16(-0.25)
        velocity + sf.binary16(0.25) * sample
    return tally


def test_prices_go_with_their_model() -> None:
    """After twenty calibrations of one kernel, nothing that was priced for them is left."""
    tally = drift()
    found = [sf.calibrate("cortex-m0plus", [sf.Measurement(tally, 1000 + n)]) for n in range(CALIBRATIONS)]
    assert [2] * CALIBRATIONS == [len(each.model.prices) for each in found if each.estimates]
    prices = [weakref.ref(price) for each in found for price in each.model.prices.values()]
    models = [weakref.ref(each.model) for each in found]

    del found
    gc.collect()

    assert [] == [left for left in (*prices, *models) if left() is not None]


def test_prices_stay_with_their_model() -> None:
    """What another process is sent of a model is the same after an estimate, and prices alike there."""
    model, tally = invented_cpu(), drift()
    before = pickle.dumps(model)
    cycles = tally.estimate(model).cycles

    assert before == pickle.dumps(model)
    assert cycles == tally.estimate(pickle.loads(before)).cycles


def test_a_model_keeps_the_prices_of_the_last_programs(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beyond so many programs the oldest price goes; asked for again, it is the same."""
    monkeypatch.setattr(module, "MOST_PROGRAMS", 2)
    model = invented_cpu()
    programs = [Use.named(name, sf.binary16).program for name in ("negate", "absolute", "copy")]
    first = program_price(model, programs[0])
    assert first is program_price(model, programs[0])

    for program in programs[1:]:
        program_price(model, program)

    assert programs[1:] == list(model.prices)
    assert first.stretches == program_price(model, programs[0]).stretches


def modules() -> Iterator[ModuleType]:
    """All modules of the rooms that a price comes from."""
    for room in (integer_form, lowering, pricing):
        for found in pkgutil.iter_modules(room.__path__, f"{room.__name__}."):
            yield importlib.import_module(found.name)


def test_every_cache_is_bounded() -> None:
    """No function keeps more results than it says: a session may price whatever it likes."""
    bounds = {
        f"{each.__name__}.{name}": value.cache_parameters()["maxsize"]
        for each in modules()
        for name, value in vars(each).items()
        if hasattr(value, "cache_parameters") and value.__module__ == each.__name__
    }

    assert len(bounds) > 10
    assert [] == [name for name, most in bounds.items() if most is None]
