"""Calibration: known figures come back from made-up measurements, and never more than these can tell."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.errors import (
    CostModelError,
    MeasurementsError,
    OperandError,
    QuantityError,
    UnknownNameError,
)
from softfloat_py.pricing.calibration import Calibration, Measurement, not_negative_least_squares
from softfloat_py.pricing.cost_model import CompiledCode, CostModel
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.pricing.measured_calls import measured_calls
from softfloat_py.tally.tally import Tally
from softfloat_py.uses import Use
from tests.pricing.measured_board import BOARD, changed

CPU = "cortex-m0plus"


def tally_of(operation: Callable[..., object], calls: int, operands: int = 2) -> Tally:
    """A tally of so many calls on the buoy's accelerations."""
    with sf.environment(options=sf.LEAN), sf.counting() as tally:
        for n in range(calls):
            operation(*(sf.binary32(0.3 + n + place) for place in range(operands)))
    return tally


SUMS = tally_of(sf.addition, 40)
RATIOS = tally_of(sf.division, 10)
SIGNS = tally_of(sf.negate, 500, operands=1)


def with_figures(moves: float, passing: float, base: str = CPU) -> CostModel:
    """A model of the library whose two calibration figures are others."""
    model = sf.cost_model(base)
    code = model.surrounding_code
    code = replace(
        code,
        moves_a_step=replace(code.moves_a_step, value=moves),
        argument_passing=replace(code.argument_passing, cycles=passing),
    )
    return replace(model, surrounding_code=code)


def measured(model: CostModel, *tallies: Tally) -> list[Measurement]:
    """Measurements of a board that behaves like a model."""
    return [Measurement(tally, tally.estimate(model).cycles) for tally in tallies]


# -- what comes back -----------------------------------------------------------------------------------


def test_two_figures_come_back_from_measurements_of_different_kernels() -> None:
    """Divisions have many steps a call, negations few: both figures can be told."""
    found = sf.calibrate(CPU, measured(with_figures(0.21, 9.5), SUMS, RATIOS, SIGNS))

    assert {"moves_a_step": 0.21, "argument_passing": 9.5} == pytest.approx(found.figures)
    assert [0, 0, 0] == pytest.approx(list(found.residuals), abs=1)


def test_one_measurement_fits_one_figure() -> None:
    """The share of moves is fitted so that the one measurement is met; arguments stay as they were."""
    passing = sf.cost_model(CPU).surrounding_code.argument_passing
    found = sf.calibrate(CPU, measured(with_figures(0.4, passing.cycles), RATIOS))

    assert {"moves_a_step": 0.4} == pytest.approx(found.figures)
    assert passing is found.model.surrounding_code.argument_passing
    assert [0] == pytest.approx(list(found.residuals), abs=1)


def test_calibrating_twice_finds_the_same() -> None:
    """A calibration leaves nothing behind that another would find."""
    measurements = measured(with_figures(0.21, 9.5), SUMS, RATIOS, SIGNS)
    first, second = sf.calibrate(CPU, measurements), sf.calibrate(CPU, measurements)

    assert {"moves_a_step": 0.21, "argument_passing": 9.5} == pytest.approx(first.figures)
    assert first.figures == second.figures
    assert first.residuals == second.residuals
    assert measurements[0].cycles == pytest.approx(SUMS.estimate(second.model).cycles, abs=1)


def test_equal_kernels_fit_one_figure() -> None:
    """The same work ten times over tells no more than once."""
    found = sf.calibrate(CPU, measured(with_figures(0.4, 9.5), RATIOS, tally_of(sf.division, 100)))

    assert ["moves_a_step"] == list(found.figures)


def test_readings_that_scatter_leave_residuals() -> None:
    """Two readings of one kernel, 10 % either way of what the model has, are met in the middle."""
    cycles = SUMS.estimate(with_figures(0.5, 2)).cycles
    base = with_figures(0.1, 2)
    found = sf.calibrate(base, [Measurement(SUMS, 0.9 * cycles), Measurement(SUMS, 1.1 * cycles)])
    low, high = found.residuals

    # The squares of 1 - e / 0.9c and 1 - e / 1.1c together are least where their derivative by e is 0.
    best = (1 / 0.9 + 1 / 1.1) / (1 / 0.81 + 1 / 1.21) * cycles
    assert (0.9 * cycles - best, 1.1 * cycles - best) == pytest.approx((low, high), rel=1e-3)


def test_no_figure_falls_below_its_least() -> None:
    """A board quicker than the model with the fewest moves leaves the figure there, and a residual."""
    least = SUMS.estimate(
        with_figures(-0.5, sf.cost_model(CPU).surrounding_code.argument_passing.cycles)
    ).cycles
    found = sf.calibrate(CPU, [Measurement(SUMS, least - 100)])

    assert {"moves_a_step": -0.5} == found.figures
    assert [-100] == pytest.approx(list(found.residuals))
    assert "the model's other figures are too high for what was measured" in str(found)


def test_least_squares_without_negative_factors() -> None:
    """Where plain least squares would go below 0, the best on the other columns is taken.

    [1, 1] and [0, 1] make [2, 1] as 2 and -1; on the first alone, 3/2 is best (the mean of 2 and 1); on the
    second, 1.
    """
    columns = np.array([[1.0, 0.0], [1.0, 1.0]])

    assert [1.5, 0] == pytest.approx(list(not_negative_least_squares(columns, np.array([2.0, 1.0]))))
    assert [2, 1] == pytest.approx(list(not_negative_least_squares(columns, np.array([2.0, 3.0]))))
    assert [0, 0] == list(not_negative_least_squares(columns, np.array([-2.0, -3.0])))


# -- the new model -------------------------------------------------------------------------------------


def test_new_model_says_where_its_figures_come_from() -> None:
    """Fitted figures are measured ones; comparisons with compiled code, made before, are left out."""
    origin = Origin(Document("an invented measurement"), Standing.MEASURED)
    ratio = CompiledCode("a compiler", "additions", 0.8, 1.2, origin)
    base = replace(sf.cost_model(CPU), compared_with_compiled_code=(ratio,))
    model = sf.calibrate(base, measured(with_figures(0.21, 9.5), SUMS, RATIOS, SIGNS)).model
    moves = model.surrounding_code.moves_a_step

    assert Standing.MEASURED is moves.origin.standing
    assert "fitted to 3 measurements" == moves.origin.derivation
    assert "cycles measured by the user" == moves.origin.document.title
    assert () == model.compared_with_compiled_code
    assert base.steps == model.steps
    assert f"{CPU}-calibrated" == model.name


@pytest.mark.parametrize("tallies", [(SUMS,), (SUMS, RATIOS, SIGNS)])
def test_saved_model_is_read_back(tallies: tuple[Tally, ...], tmp_path: Path) -> None:
    """The file has but what changed, and the model in it prices as the fitted one."""
    found = sf.calibrate(CPU, measured(with_figures(0.21, 9.5), *tallies))
    path = tmp_path / "buoy.toml"
    found.save(path)
    read = sf.load_cost_model(path)

    assert found.model.surrounding_code == read.surrounding_code
    assert RATIOS.estimate(found.model).cycles == RATIOS.estimate(read).cycles
    assert found.model.title == read.title
    assert "steps" not in path.read_text(encoding="utf-8")


def test_copy_of_a_calibration_is_saved_alike(tmp_path: Path) -> None:
    """A copy, as another process gets it, is based on a model of the library as well."""
    found = sf.calibrate(CPU, [Measurement(SUMS, 4000)])
    found.save(tmp_path / "buoy.toml")
    pickle.loads(pickle.dumps(found)).save(tmp_path / "copy.toml")

    assert (tmp_path / "buoy.toml").read_text() == (tmp_path / "copy.toml").read_text()


def test_only_models_of_the_library_are_based_on(tmp_path: Path) -> None:
    """A file of one's own cannot be a base; its owner is told which lines to put into it."""
    base = with_figures(0.1, 2)
    found = sf.calibrate(base, measured(with_figures(0.4, 2), RATIOS))
    with pytest.raises(CostModelError) as caught:
        found.save(tmp_path / "buoy.toml")

    assert "based_on must be a model of the library, and the calibrated one is not" in str(caught.value)
    assert found.toml in str(caught.value)
    assert [] == list(tmp_path.iterdir())


# -- what is shown -------------------------------------------------------------------------------------


def test_report_lists_figures_and_measurements() -> None:
    """Each measurement has its line: measured, estimated before and after, and what is left over."""
    cycles = SUMS.estimate(with_figures(0.4, 2)).cycles
    found = sf.calibrate(with_figures(0.1, 2), [Measurement(SUMS, cycles, "drift filter")])
    before = SUMS.estimate(with_figures(0.1, 2)).cycles
    (line,) = [line for line in str(found).splitlines() if "drift filter" in line]

    grouped = [f"{amount:,.0f}".replace(",", " ") for amount in (cycles, before, cycles)]
    assert ["drift filter", *grouped] == [part.strip() for part in line.split("  ") if part][:4]
    assert "0.4  moves a native step, beyond what follows from the program" in str(found)
    assert "no bound for safety-critical timing" in " ".join(str(found).split())
    assert "drift filter" in found._repr_html_()
    assert "<Calibration of cortex-m0plus: moves_a_step 0.4>" == repr(found)
    assert isinstance(found, Calibration)


# -- what is given -------------------------------------------------------------------------------------


def test_measurements_there_must_be() -> None:
    """Nothing can be fitted to nothing."""
    with pytest.raises(QuantityError) as caught:
        sf.calibrate(CPU, [])

    assert "measurements must be at least one, not ()" == str(caught.value)


@pytest.mark.parametrize(
    "cycles", [0, -5, 1e-300, float("nan"), float("inf"), 2**64, 1e300, 10**400, True, "5000"]
)
def test_cycles_are_those_of_a_counter(cycles: object) -> None:
    """A reading of no cycles, or of more than a counter shows, is refused at once."""
    with pytest.raises(QuantityError) as caught:
        Measurement(SUMS, cycles)  # type: ignore[arg-type]

    assert f"cycles must be a number from 1 to below 2**64, not {cycles!r}" == str(caught.value)


def test_tally_must_have_calls() -> None:
    """A kernel without arithmetic says nothing about arithmetic."""
    with pytest.raises(QuantityError) as caught:
        sf.calibrate(CPU, [Measurement(SUMS, 5000), Measurement(Tally(), 5000)])

    assert "calls of a tally that was measured must be at least 1, not 0" == str(caught.value)


def test_cycles_beyond_all_figures_are_refused() -> None:
    """Cycles of another unit, or of more than the arithmetic, are not explained by any number of moves."""
    with pytest.raises(QuantityError) as caught:
        sf.calibrate(CPU, [Measurement(SUMS, 4e7)])

    assert "together on cortex-m0plus" in str(caught.value)
    assert str(caught.value).endswith("not 40000000.0")


def test_what_is_no_measurement_is_refused() -> None:
    """Tallies, measurements and models are asked for by name."""
    with pytest.raises(OperandError, match="a measurement needs the tally of what was measured, not 40"):
        Measurement(40, 5000)  # type: ignore[arg-type]
    with pytest.raises(OperandError, match=r"a calibration needs Measurement\(tally, cycles\), not 5000"):
        sf.calibrate(CPU, [5000])  # type: ignore[list-item]
    with pytest.raises(OperandError, match="a calibration needs a cost model or the name of one, not 3"):
        sf.calibrate(3, [Measurement(SUMS, 5000)])  # type: ignore[arg-type]
    with pytest.raises(UnknownNameError, match="did you mean 'atmega'"):
        sf.calibrate("atmegga", [Measurement(SUMS, 5000)])


# -- from a file that a board printed ------------------------------------------------------------------


@pytest.fixture
def board(tmp_path: Path) -> Path:
    """The file of measurements of the buoy's board."""
    path = tmp_path / "measurements.toml"
    path.write_text(BOARD, encoding="utf-8")
    return path


def of_body(model: CostModel, tally: Tally) -> float:
    """Cycles of a call less those of calling what does nothing."""
    price = model.steps["call"][0].cycles + model.steps["return"][0].cycles
    nothing = price + model.surrounding_code.argument_passing.cycles
    return tally.estimate(model).cycles / tally.total_calls - nothing


def test_file_of_a_board_that_behaves_like_a_model(board: Path) -> None:
    """The share of moves comes back that the cycles in a file were made with; arguments, which were left out
    of them, stay as they were.
    """
    model = with_figures(0.4, 2)
    calls = [Use.named(name, sf.binary32, sf.LEAN) for name in ("addition", "division")]
    addition, division = (of_body(model, measured_calls(use, 50).tally) for use in calls)
    text = changed(
        ("mean = 90.5\nlowest = 61\nhighest = 127", f"mean = {addition}\nlowest = 1\nhighest = 1000"),
        ("mean = 420.25\nlowest = 390\nhighest = 441", f"mean = {division}\nlowest = 1\nhighest = 1000"),
    )
    board.write_text(text, encoding="utf-8")
    found = sf.calibrate(with_figures(0.1, 2), board)

    assert {"moves_a_step": 0.4} == pytest.approx(found.figures, rel=1e-5)
    assert [0, 0] == pytest.approx(list(found.residuals), abs=0.1)


def test_residuals_are_those_of_each_operation(board: Path) -> None:
    """Beside the fit stands what is left of each operation, by its name."""
    found = sf.calibrate(CPU, str(board))

    assert ["addition binary32", "division binary32"] == [each.name for each in found.measurements]
    assert [50 * 90.5, 50 * 420.25] == [each.cycles for each in found.measurements]
    for measurement, residual in zip(found.measurements, found.residuals, strict=True):
        estimated = 50 * of_body(found.model, measurement.tally)
        assert measurement.cycles - estimated == pytest.approx(residual)
        assert f"{measurement.name}" in str(found)


def test_fitted_model_says_to_which_board(board: Path) -> None:
    """Estimates name the board, who measured and when, and how far operations there are from the model."""
    found = sf.calibrate(CPU, board)
    text = str(RATIOS.estimate(found.model))
    made = "the buoy's board, second revision, by the buoy's crew, 2026-03-31"
    ratios = [
        1 / (1 - left / each.cycles) for each, left in zip(found.measurements, found.residuals, strict=True)
    ]

    assert text.startswith(f"{sf.cost_model(CPU).title}, fitted to {made} ({CPU}-calibrated) at ")
    assert f"2 operations took {min(ratios):.2f} to {max(ratios):.2f} times the estimate on {made}" in text
    origin = found.model.surrounding_code.moves_a_step.origin
    assert f"cycles measured on {made}" == origin.document.title
    assert "GCC 12.2.0, -O2 -mcpu=cortex-m0plus; SysTick" == origin.document.note


def test_saved_model_keeps_what_the_board_measured(board: Path, tmp_path: Path) -> None:
    """A table carries the measurements that it was fitted to, and its estimates show them."""
    found = sf.calibrate(CPU, board)
    found.save(tmp_path / "buoy.toml")
    read = sf.load_cost_model(tmp_path / "buoy.toml")

    assert found.model.measured_on_silicon == read.measured_on_silicon
    assert found.model.surrounding_code == read.surrounding_code
    assert str(RATIOS.estimate(found.model)).replace(f"{CPU}-calibrated", "buoy") == str(
        RATIOS.estimate(read)
    )


@pytest.mark.parametrize(
    ("cpu", "fault"),
    [
        ("ATmega328P", "cpu must be cortex-m0plus, which is calibrated, not 'ATmega328P'"),
        (
            "RP2O4O",
            "cpu: a cost model must be the name of one, or of a core or chip that one is for, not 'RP2O4O'",
        ),
    ],
)
def test_file_of_another_cpu_is_refused(cpu: str, fault: str, board: Path) -> None:
    """A model of the library is fitted to a board with its CPU only."""
    board.write_text(changed(("RP2040", cpu)), encoding="utf-8")
    with pytest.raises(MeasurementsError) as caught:
        sf.calibrate(CPU, board)

    assert caught.value.faults[0].startswith(fault)


def test_model_of_ones_own_takes_any_board(board: Path, tmp_path: Path) -> None:
    """Which boards a table of one's own is for, its owner knows."""
    (tmp_path / "own.toml").write_text(f'based_on = "{CPU}"\n', encoding="utf-8")
    board.write_text(changed(("RP2040", "the chip of our own")), encoding="utf-8")
    found = sf.calibrate(sf.load_cost_model(tmp_path / "own.toml"), board)

    assert ["moves_a_step"] == list(found.figures)
