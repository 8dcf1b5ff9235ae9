"""Estimates and tallies with figures that are easily recognised, for tests of the views."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from softfloat_py.numbers.formats import binary32
from softfloat_py.options import LEAN
from softfloat_py.pricing.compiler import CompiledBy
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.estimate import Spread
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.pricing.measured_calls import measured_calls
from softfloat_py.pricing.measured_sets import MeasuredSet, Reading
from softfloat_py.pricing.table_reader import cost_model
from softfloat_py.tally.tally import Birth, Departure, Line
from softfloat_py.uses import Use

ADD, SQUARE, ROOT = ("addition", "binary32"), ("multiplication", "binary32"), ("square_root", "binary64")


@dataclass(frozen=True)
class Noted:
    """What the views read of a tally beside an estimate: notes of what was not counted, and of births."""

    left: dict[Departure, int] = field(default_factory=dict)
    born: dict[Birth, int] = field(default_factory=dict)


@dataclass(frozen=True)
class MadeUp:
    """What the views read of an estimate, with figures that are easily recognised."""

    cpu: CostModel = field(default_factory=lambda: cost_model("cortex-m0plus"))
    clock_hz: float = 16e6
    deadline: float | None = 0.25
    calls: dict[tuple[str, str], int] = field(default_factory=lambda: {ADD: 4000, SQUARE: 1000, ROOT: 1})
    cycles: float = 800_000.0
    cycles_by_hand: float | None = None
    seconds: float = 0.05
    by_operation: dict[tuple[str, str], float] = field(
        default_factory=lambda: {SQUARE: 199_600.0, ADD: 600_000.0, ROOT: 400.0}
    )
    by_phase: dict[tuple[str, str], float] = field(
        default_factory=lambda: {("addition", "align"): 320_000.0, ("addition", "round"): 480_000.0}
    )
    by_step: dict[str, float] = field(
        default_factory=lambda: {"add": 500_000.0, "call": 0.0, "moves and spills": 300_000.0}
    )
    by_line: dict[Line, float] = field(default_factory=lambda: {Line("somewhere/buoy.py", 7): 800_000.0})
    around: dict[str, float] = field(default_factory=lambda: {"moves and spills": 300_000.0})
    options: tuple[str, ...] = ("lean",)
    in_memory: bool | None = False
    each_call: dict[tuple[str, str], Spread] = field(default_factory=dict)
    by_calls: dict[tuple[str, str], float] = field(default_factory=dict)
    calls_without_figure: dict[tuple[str, str], int] = field(default_factory=dict)
    fpu_cycles: float | None = 8_000.0
    fpu_missing: dict[tuple[str, str], int] = field(default_factory=lambda: {ROOT: 1})
    fpu_software_cycles: float = 400.0
    deadline_share: float | None = 0.2
    holds_deadline: bool | None = True
    slowest_clock_hz: float | None = 3.2e6
    is_clock_of_parts_sold: bool = True
    needs_faster_part: bool = False
    tally: Noted = field(default_factory=Noted)


def made_up(**changes: Any) -> Any:
    """An estimate with some figures changed."""
    return replace(MadeUp(), **changes)


def code_of(compiler: str, cpu: str, *, compared: bool) -> CostModel:
    """A CPU as described for a compiler, whose code it has been compared with or not."""
    every = compared_twice().compared_with_compiled_code if compared else ()
    by = CompiledBy(compiler, "the buoy's compiler", "made for this test")
    return replace(cost_model(cpu), compiled_by=by, compared_with_compiled_code=every, described={})


def compared_twice() -> CostModel:
    """A CPU with two comparisons with compiled code that have one note."""
    origin = Origin(Document("a bench"), Standing.MEASURED, note="made for this test")
    compared = (
        CompiledCode("the buoy's compiler, old version", "addition", 2.0, 3.0, origin),
        CompiledCode("the buoy's compiler", "square_root", 0.75, 1.5, origin),
    )
    return replace(cost_model("cortex-m0plus"), compared_with_compiled_code=compared)


def compared_with_kernels() -> CostModel:
    """The same CPU, on which whole kernels have been compared as well, in both settings."""
    model = compared_twice()
    origin = Origin(Document("a bench"), Standing.MEASURED, note="with many loops")
    kernels = [
        CompiledCode("the buoy's compiler", "waves", *ratios, origin, kernels=True, in_memory=in_memory)
        for in_memory, ratios in ((False, (1.5, 3.25)), (True, (1.0, 2.25)))
    ]
    return replace(model, compared_with_compiled_code=(*model.compared_with_compiled_code, *kernels))


def measured_on_a_board() -> CostModel:
    """A CPU with readings of a board: 3 additions took 150 ticks on average, of 2 cycles each."""
    addition = Use.named("addition", binary32, LEAN)
    checksum = measured_calls(addition, 3).checksum
    reading = Reading(addition, 3, mean=150, lowest=100, highest=200.5, checksum=checksum)
    measured = MeasuredSet(
        who="the crew", board="the bench", cpu="RP2040", clock_mhz=12, compiler="the buoy's compiler",
        compiler_options="-O2", date="2026-03-31", timer="a made-up timer", cycles_per_tick=2, repeats=1,
        emitted_for="--word 32", readings=(reading,),
    )  # fmt: skip
    return replace(cost_model("cortex-m0plus"), measured_on_silicon=(measured,))


def compared_with_functions() -> CostModel:
    """The same CPU, on which elementary functions have been compared as well."""
    model = compared_twice()
    origin = Origin(Document("a bench"), Standing.MEASURED, note="with few registers")
    functions = CompiledCode("the buoy's compiler", "exp", 1.25, 2.5, origin, elementary=True)
    return replace(model, compared_with_compiled_code=(*model.compared_with_compiled_code, functions))
