"""Bounds: extremes worked out by hand on small routines, and no call of real operations outside them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import product

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.engines import plain
from softfloat_py.errors import ConventionError, FormatError, OperandError, UnknownNameError
from softfloat_py.formats import IntegerFormat
from softfloat_py.integer_form.grammar import Program
from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from softfloat_py.operations import operation_named
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.pricing.bounds import Bounds, Cycles, extremes
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.figures import Document, Origin, Price, Standing
from softfloat_py.pricing.program_price import program_price
from softfloat_py.pricing.typical_operands import typical_operands
from softfloat_py.routines.language import Bits, constant, field
from softfloat_py.uses import use_of
from softfloat_py.views.bounds_table import html, text
from tests.engines.c_cases import NOT_ELEMENTARY, SOME_ELEMENTARY
from tests.engines.running import run_generated
from tests.integer_form import small_routines
from tests.integer_form.small_routines import program
from tests.pricing.invented_cpu import INVENTED, invented_cpu
from tests.strategies import corner_encodings

# What surrounds each call on the invented CPU: a call of 11 and a return of 13 cycles.
AROUND = 11 + 13


# -- by hand -------------------------------------------------------------------------------------------


def warned(height: Bits, limit: Bits) -> Bits:
    """A way that returns a constant at once, and one with a step more."""
    if height > limit:
        return constant(255, 8)
    return height ^ limit


def in_three_rounds(height: Bits, swell: Bits) -> Bits:
    """A loop whose rounds have a short and a long side."""
    for _ in range(3):
        if field(height, 0, 1):
            height = ~height ^ swell
    return height


def in_either_way(height: Bits, limit: Bits) -> Bits:
    """Two conditions that exclude each other, each with a side of three steps."""
    if height > limit:
        height = (~height ^ limit) & limit
    if height < limit:
        height = (~height ^ limit) | limit
    return height


def aligned(height: Bits, distance: Bits) -> Bits:
    """A shift by a distance that only a run knows."""
    return height >> distance


def scaled(height: Bits, gain: Bits) -> Bits:
    """A product."""
    return height * gain


def price_grows(kind: str, cycles: float, cycles_per_n: float) -> CostModel:
    """The invented CPU with a price of one kind of step that grows with the step's n."""
    cpu = invented_cpu()
    return replace(cpu, steps={**cpu.steps, kind: (Price(cycles, INVENTED, cycles_per_n),)})


def extremes_on(cpu: CostModel, routine: Callable[..., object], **widths: int) -> Cycles:
    """The extremes of a small routine."""
    form = program(routine, **widths)
    return extremes(program_price(cpu, form), form)


def test_early_return_ends_a_way() -> None:
    """One way compares 1, jumps 3 and loads a result 1000; the other compares 1, passes by 2, has a step."""
    found = extremes_on(invented_cpu(), warned, height=8, limit=8)

    assert (AROUND + 1 + 2 + 1, AROUND + 1 + 3 + 1000) == found


def test_loop_has_its_rounds_at_the_extremes() -> None:
    """A round masks 1, subtracts 1 and jumps back 3. It jumps over its `if`, 3 after a compare of 1, or falls
    through, 2 after the compare, to two steps. The counter is set by a move of 10; at last no jump, 2 for 3.
    """
    low, high = 1 + 1 + 3 + (1 + 3), 1 + 1 + 3 + (1 + 2 + 2)
    outside = AROUND + 10 + 2 - 3

    found = extremes_on(invented_cpu(), in_three_rounds, height=8, swell=8)

    assert (outside + 3 * low, outside + 3 * high) == found


def test_loop_of_variable_length_makes_none_to_all_rounds() -> None:
    """A counter of 3 bits makes up to 7 rounds: enter 2, shift 1, subtract 1, jump back 3; leave by 3."""
    found = extremes_on(invented_cpu(), small_routines.shifted_by, x=6, distance=3)

    assert (AROUND + 3, AROUND + 3 + 7 * (2 + 1 + 1 + 3)) == found


def test_ways_that_nothing_leads_to_count_too() -> None:
    """Both long sides count, though no height is above and below the limit: 1 + 2 + 3 each, or 1 + 3."""
    found = extremes_on(invented_cpu(), in_either_way, height=8, limit=8)

    assert (AROUND + 2 * (1 + 3), AROUND + 2 * (1 + 2 + 3)) == found


@pytest.mark.parametrize(("distance", "largest"), [(2, 3), (3, 7), (5, 7)])
def test_distance_is_as_widths_allow(distance: int, largest: int) -> None:
    """A distance is what its bits hold, and less than the width of what is shifted, 8."""
    cpu = price_grows("shift_right_variable", cycles=5, cycles_per_n=2)

    assert (AROUND + 5, AROUND + 5 + 2 * largest) == extremes_on(cpu, aligned, height=8, distance=distance)


def test_multiplier_has_no_more_set_bits_than_bits() -> None:
    """A product by 4 bits has 0 to 4 set bits."""
    cpu = price_grows("multiply", cycles=5, cycles_per_n=2)

    assert (AROUND + 5, AROUND + 5 + 2 * 4) == extremes_on(cpu, scaled, height=4, gain=4)


def prices_of_all_runs(cpu: CostModel, form: Program) -> list[float]:
    """What each run of a small program costs, over all operands."""
    compiled, price = plain.compiled(form), program_price(cpu, form)
    arguments = product(*(range(1 << parameter.width) for parameter in form.parameters))
    records = {run_generated(compiled, each)[1] for each in arguments}
    return [price.total(compiled.usage([record])) for record in records]


@pytest.mark.parametrize(
    ("routine", "widths"),
    [
        (warned, {"height": 8, "limit": 8}),
        (small_routines.with_early, {"x": 8}),
        (small_routines.clamped, {"height": 6, "limit": 6}),
        (small_routines.reversed_bits, {"x": 6}),
        (small_routines.shifted_by, {"x": 6, "distance": 3}),
        (aligned, {"height": 8, "distance": 3}),
        (scaled, {"height": 4, "gain": 4}),
    ],
)
def test_extremes_are_met_where_every_way_can_be_gone(
    routine: Callable[..., object], widths: dict[str, int]
) -> None:
    """Of all operands there are, some meet the lowest and some the highest cycles."""
    cpu = price_grows("shift_right_variable", cycles=5, cycles_per_n=2)
    prices = prices_of_all_runs(cpu, program(routine, **widths))

    assert (min(prices), max(prices)) == pytest.approx(extremes_on(cpu, routine, **widths))


# -- of real operations --------------------------------------------------------------------------------

CPUS = ("cortex-m0plus", "rv32imc-ibex", "atmega", "mc68000", "6502")
SAMPLES = 2000
ARITHMETIC = {"addition": 2, "multiplication": 2, "division": 2, "square_root": 1}


def random_operands(fmt: Format, arity: int) -> Iterator[sf.FloatArray]:
    """Any encodings, a third of them corners: zeros, subnormals, infinities, NaNs, ends of ranges."""
    draw = np.random.default_rng(7)
    for _ in range(arity):
        bits = draw.integers(0, 1 << fmt.width, SAMPLES, dtype=np.uint64)
        corners = draw.choice(np.array(corner_encodings(fmt), dtype=np.uint64), SAMPLES)
        yield fmt.array_from_bits(np.where(draw.random(SAMPLES) < 1 / 3, corners, bits))


@pytest.mark.parametrize("options", [LEAN, COMPLETE], ids=["lean", "complete"])
@pytest.mark.parametrize("fmt", [sf.binary16, sf.binary32], ids=str)
@pytest.mark.parametrize("name", ARITHMETIC)
def test_no_call_is_outside_its_bounds(name: str, fmt: Format, options: Options) -> None:
    """Each of 2000 calls, priced by itself on five CPUs, lies between the lowest and the highest estimate."""
    with sf.environment(options=options), sf.counting(each_call=True) as tally:
        getattr(sf, name)(*random_operands(fmt, ARITHMETIC[name]))

    for cpu in CPUS:
        found = sf.bounds(name, fmt, cpu, options=options).estimated
        met = tally.estimate(cpu).each_call[name, fmt.name]
        assert SAMPLES == tally.total_calls
        assert found.lowest <= met.lowest + 1e-6
        assert met.highest <= found.highest + 1e-6


@pytest.mark.parametrize("name", [*NOT_ELEMENTARY, *SOME_ELEMENTARY])
def test_every_operation_is_bounded(name: str) -> None:
    """Typical calls of any operation lie between its best and its worst; of elementary functions, one of each
    way in which they are computed.
    """
    found = sf.bounds(name, sf.binary16, "cortex-m0plus", options=COMPLETE)

    assert 0 < found.estimated.lowest
    assert found.estimated.lowest <= found.typical + 1e-6
    assert found.typical <= found.estimated.highest + 1e-6


# -- what is typical -----------------------------------------------------------------------------------


@pytest.mark.parametrize("fmt", KNOWN_FORMATS.values(), ids=str)
def test_typical_operands_are_normal_and_near_one(fmt: Format) -> None:
    """All are normal, from 2^-8 to below 2^9 in magnitude, of both signs; and the same each time."""
    work = use_of(operation_named("addition"), fmt, LEAN)
    operands = list(typical_operands(work))
    values = [fmt.decode(bits) for pair in operands for bits in pair]

    assert 1000 == len(operands)
    assert all(2.0**-8 <= abs(value) < 2**9 for value in values)
    assert all(abs(value) >= fmt.decode(fmt.smallest_normal) for value in values)
    assert min(values) < 0 < max(values)
    assert operands == list(typical_operands(work))


@pytest.mark.parametrize(
    ("name", "parameter"),
    [("square_root", None), ("convert_to_integer", IntegerFormat(16, signed=False))],
)
def test_typical_operands_are_positive_where_others_are_invalid(
    name: str, parameter: IntegerFormat | None
) -> None:
    """A root, and a conversion to an unsigned integer, are of positive numbers."""
    work = use_of(operation_named(name), sf.binary32, LEAN, parameter)

    assert all(sf.binary32.decode(x) > 0 for (x,) in typical_operands(work))


def test_typical_is_the_mean_of_calls() -> None:
    """It is the estimate of all typical calls, divided by their number."""
    work = use_of(operation_named("addition"), sf.binary32, LEAN)
    with sf.environment(options=LEAN), sf.counting() as tally:
        for x, y in typical_operands(work):
            sf.addition(sf.binary32.from_bits(x), sf.binary32.from_bits(y))

    mean = tally.estimate("atmega").cycles / 1000

    assert mean == pytest.approx(sf.bounds("addition", sf.binary32, "atmega", options=LEAN).typical)


# -- measured ratios -----------------------------------------------------------------------------------


def compared(*ratios: tuple[float, float]) -> CostModel:
    """A CPU on which estimates were compared with compiled code."""
    origin = Origin(Document("an invented measurement"), Standing.MEASURED)
    comparisons = tuple(CompiledCode("a compiler", "additions", low, high, origin) for low, high in ratios)
    return replace(sf.cost_model("cortex-m0plus"), compared_with_compiled_code=comparisons)


def test_measured_ratios_widen_the_bounds() -> None:
    """Best is multiplied by the lowest ratio of all comparisons, worst by the highest; typical stays."""
    plainly = sf.bounds("addition", sf.binary32, compared(), options=LEAN)
    widened = sf.bounds("addition", sf.binary32, compared((0.8, 1.1), (0.9, 1.5)), options=LEAN)

    assert plainly.estimated == (plainly.best, plainly.worst)
    assert plainly.estimated == widened.estimated
    assert (0.8 * plainly.best, 1.5 * plainly.worst) == (widened.best, widened.worst)
    assert plainly.typical == widened.typical


def test_ratios_of_elementary_functions_widen_their_bounds_alone() -> None:
    """A sum has the ratios of the other operations, an exponential those of elementary functions."""
    cpu = compared((0.8, 1.1))
    functions = replace(
        cpu.compared_with_compiled_code[0], lowest_ratio=0.5, highest_ratio=2, elementary=True
    )
    both = replace(cpu, compared_with_compiled_code=(*cpu.compared_with_compiled_code, functions))

    assert (0.8, 1.1) == sf.bounds("addition", sf.binary32, both, options=LEAN).compiled_ratios
    assert (0.5, 2) == sf.bounds("exp", sf.binary32, both, options=LEAN).compiled_ratios
    assert sf.bounds("exp", sf.binary32, cpu, options=LEAN).compiled_ratios is None


def test_ratios_of_whole_kernels_widen_no_bounds() -> None:
    """What loops, loads and stores make of a kernel says nothing of a single operation."""
    cpu = compared((0.8, 1.1))
    kernels = replace(cpu.compared_with_compiled_code[0], lowest_ratio=0.5, highest_ratio=2, kernels=True)
    both = replace(cpu, compared_with_compiled_code=(*cpu.compared_with_compiled_code, kernels))

    assert (0.8, 1.1) == sf.bounds("addition", sf.binary32, both, options=LEAN).compiled_ratios


# -- what is given -------------------------------------------------------------------------------------


def test_options_are_those_in_force_unless_given() -> None:
    """Inside a block with options, bounds are those of these options."""
    with sf.environment(options=LEAN):
        inside = sf.bounds("division", sf.binary16, "atmega")

    assert LEAN is inside.use.options
    assert COMPLETE is sf.bounds("division", sf.binary16, "atmega").use.options


def test_conversions_say_what_they_are_between() -> None:
    """Their names have both formats, in the order of the conversion."""
    narrowing = sf.bounds("convert_format", sf.binary32, "atmega", target=sf.binary16)
    reading = sf.bounds("convert_from_integer", sf.binary32, "atmega", width=16, signed=False)

    assert "convert_format binary32 to binary16" == narrowing.name
    assert "convert_from_integer uint16 to binary32" == reading.name


def test_unknown_operation_is_named_with_a_suggestion() -> None:
    """An operation that there is not is one clear sentence."""
    with pytest.raises(UnknownNameError, match="not 'adition'; did you mean 'addition'"):
        sf.bounds("adition", sf.binary32, "atmega")


@pytest.mark.parametrize(
    ("wrong", "error", "sentence"),
    [
        ({"fmt": "binary32"}, FormatError, "bounds of convert_format need a format, such as binary32, not '"),
        ({"cpu": 3}, OperandError, "a bound needs a cost model or the name of one, not 3; load_cost_model"),
        ({"options": "lean"}, ConventionError, "options must be an Options, not 'lean'"),
        (
            {"target": None},
            OperandError,
            "convert_format needs the format of its result, for example target=",
        ),
    ],
)
def test_wrong_arguments_are_refused(wrong: dict[str, object], error: type[Exception], sentence: str) -> None:
    """What is no format, CPU or options, and a missing target, are one clear sentence each."""
    given: dict[str, object] = {"fmt": sf.binary32, "cpu": "atmega", "options": LEAN, "target": sf.binary16}
    with pytest.raises(error) as caught:
        sf.bounds("convert_format", **given | wrong)  # type: ignore[arg-type]

    assert str(caught.value).startswith(sentence)


def test_bound_shows_itself() -> None:
    """Printed, and in a notebook, it is the table of one operation with its caution."""
    found = sf.bounds("addition", sf.binary32, "atmega", options=LEAN)

    assert text([found]) == str(found)
    assert html([found]) == found._repr_html_()


def test_repr_says_it_in_a_line() -> None:
    """In a session, a bound is one line."""
    found = sf.bounds("addition", sf.binary32, "atmega", options=LEAN)
    best, typical, worst = (round(cycles) for cycles in (found.best, found.typical, found.worst))

    assert isinstance(found, Bounds)
    assert f"<Bounds of addition binary32 on atmega: {best} to {worst} cycles, typically {typical}>" == repr(
        found
    )
