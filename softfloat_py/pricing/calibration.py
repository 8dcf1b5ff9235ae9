"""A cost model fitted to cycles that somebody measured on a board.

Most figures of a model are facts: an instruction takes so many cycles, the CPU has so many registers. Two are
there because no manual states them, and those are fitted:

- `moves_a_step`, what compiled code has beyond what follows from the program, in register moves for each
  native step (below 0 where a compiler makes one of several steps): what grows with the steps;
- `argument_passing`, what bringing operands and a result to their places takes: what grows with the calls.

Both enter an estimate linearly. They are found by least squares of the relative deviations, none below the
least that a table may have; and never more of them than the measurements can tell apart: `argument_passing`
stays as it was with one measurement, with several whose calls and steps stand in the same proportion, and
where calls were left out of what was measured.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from itertools import combinations
from numbers import Real

import numpy as np
from numpy.typing import NDArray

from softfloat_py.errors import (
    CostModelError,
    MeasurementsError,
    OperandError,
    QuantityError,
    UnknownNameError,
)
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.estimate import model_of
from softfloat_py.pricing.figures import Document, Origin, Standing
from softfloat_py.pricing.measured_sets import MeasuredSet
from softfloat_py.pricing.measurements_file import load_measurements, measurements_toml
from softfloat_py.pricing.table_layers import MEASURED
from softfloat_py.pricing.table_reader import cost_model, cost_models
from softfloat_py.tally.tally import Tally
from softfloat_py.whole_files import write_text

# In the order in which they are taken up; each is a part of [surrounding_code], with the key of its number.
FIGURES = {"moves_a_step": "value", "argument_passing": "cycles"}
# Columns whose directions differ by less than this share cannot be told apart: noise would decide.
TOLD_APART = 0.01
# What a figure adds to an estimate, as a share of the cycles, where it adds nothing but errors of rounding.
NOTHING = 1e-9
COUNTER_END = 1 << 64  # cycles are read from a counter, and none is wider
DOCUMENT = Document("cycles measured by the user", note="read from a counter on the target")
DOCUMENT_ID = "own-measurements"

Numbers = NDArray[np.float64]


# -- what users call -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Measurement:
    """A kernel's cycles, read from a counter on the target, and the tally of this kernel on the same data.

    The cycles are those of the arithmetic as the model is to predict it: what the kernel does besides (its
    loops, its loads and stores) is best subtracted, for example by a run with the arithmetic left out. `name`
    is what reports call it. With `calls_left_out`, what was subtracted called a function that does nothing in
    place of each operation: call, return and passing of operands are not in the cycles. Raises OperandError
    for what is no tally, QuantityError for cycles that a counter of 64 bits does not show: less than 1, or
    2**64 and more.
    """

    tally: Tally
    cycles: float
    name: str = ""
    calls_left_out: bool = False

    def __post_init__(self) -> None:
        if not isinstance(self.tally, Tally):
            raise OperandError(f"a measurement needs the tally of what was measured, not {self.tally!r}")
        number = isinstance(self.cycles, Real) and not isinstance(self.cycles, bool)
        if not (number and 1 <= self.cycles < COUNTER_END):
            raise QuantityError("cycles", "a number from 1 to below 2**64", self.cycles)

    def estimated(self, model: CostModel) -> float:
        """Cycles by a model, of what was measured."""
        calls = self.tally.total_calls * model.cycles_of_an_empty_call if self.calls_left_out else 0.0
        return self.tally.estimate(model).cycles - calls


def calibrate(
    model: str | CostModel,
    measurements: str | os.PathLike[str] | Iterable[Measurement],
    *,
    compiler: str | None = None,
) -> Calibration:
    """A cost model with its calibration figures fitted to measurements: those in a file that a board's
    program printed (`python -m softfloat_py guide measure`), given by its path, or some of one's own.

    The measurements are of code by one compiler, which is `compiler`, or the first that the model describes.
    With one measurement one figure is fitted, with more at most two; see the module. The model's comparisons
    with compiled code are left out of the new model: they were made with the old figures.

    Raises UnknownNameError (also for a compiler that is not described) or OperandError for what is no cost
    model or measurement, QuantityError for no measurements at all, a tally without calls, and cycles beyond
    all that the figures can explain, MeasurementsError for a file with faults, or of another CPU.
    """
    base = model_of(model, "a calibration", compiler)
    measured = None
    if isinstance(measurements, str | os.PathLike):
        measured = load_measurements(measurements)
        _refuse_another_cpu(base, measured, os.fspath(measurements))
        measurements = _of_readings(measured)
    given = tuple(measurements)
    if not given:
        raise QuantityError("measurements", "at least one", given)
    for measurement in given:
        if not isinstance(measurement, Measurement):
            raise OperandError(f"a calibration needs Measurement(tally, cycles), not {measurement!r}")
        if not measurement.tally.total_calls:
            raise QuantityError("calls of a tally that was measured", "at least 1", 0)
    figures = _fitted(base, given)
    if figures.get("moves_a_step", 0) > base.compiler.moves_a_step.highest:
        raise _beyond_the_figures(base, figures, given)
    return Calibration(base, _calibrated(base, figures, len(given), measured), figures, given, measured)


def _of_readings(measured: MeasuredSet) -> list[Measurement]:
    """A measurement for each reading in a file."""
    return [
        Measurement(
            reading.measured_calls.tally,
            measured.cycles(reading.mean) * reading.calls,
            reading.name,
            calls_left_out=True,
        )
        for reading in measured.readings
    ]


def _refuse_another_cpu(base: CostModel, measured: MeasuredSet, source: str) -> None:
    """MeasurementsError where a model of the library is to be fitted to a board with another CPU."""
    if base.name not in cost_models():
        return
    try:
        model = cost_model(measured.cpu).name
    except UnknownNameError as error:
        raise MeasurementsError(source, [f"cpu: {error}"]) from None
    if model != base.name:
        raise MeasurementsError(
            source, [f"cpu must be {base.name}, which is calibrated, not {measured.cpu!r}"]
        )


def _beyond_the_figures(
    base: CostModel, figures: dict[str, float], measurements: Sequence[Measurement]
) -> QuantityError:
    model = _with_figures(base, figures | {"moves_a_step": base.compiler.moves_a_step.highest})
    most = sum(_cycles(model, measurements))
    required = f"at most {most:.0f} together on {base.name} (is it its clock, its memory, that work alone?)"
    return QuantityError("cycles", required, sum(measurement.cycles for measurement in measurements))


@dataclass(frozen=True, eq=False, repr=False)
class Calibration:
    """A fitted model, what was fitted, and what is left. `print` it, or show it in a notebook.

    `figures` are those fitted, by their key in [surrounding_code]: moves for each native step, cycles for
    each call. `measured` is what the file had, if the measurements came from one.
    """

    base: CostModel
    model: CostModel
    figures: dict[str, float]
    measurements: tuple[Measurement, ...]
    measured: MeasuredSet | None = None

    @cached_property
    def estimates(self) -> tuple[float, ...]:
        """Cycles by the fitted model, a figure for each measurement."""
        return tuple(_cycles(self.model, self.measurements))

    @cached_property
    def estimates_before(self) -> tuple[float, ...]:
        """Cycles by the model as it was, a figure for each measurement."""
        return tuple(_cycles(self.base, self.measurements))

    @property
    def residuals(self) -> tuple[float, ...]:
        """Measured less estimated cycles, a figure for each measurement: what the fit could not explain."""
        return tuple(m.cycles - cycles for m, cycles in zip(self.measurements, self.estimates, strict=True))

    def save(self, path: str | os.PathLike[str]) -> None:
        """Write the figures that changed to a TOML file, to be read by `load_cost_model`.

        It is based on the library's model; CostModelError where the fitted model was another, whose own file
        then needs the figures: `toml` has them.
        """
        name = self.base.name
        if name not in cost_models() or not any(
            _is_the_same(self.base, model) for model in cost_model(name).described.values()
        ):
            raise CostModelError(
                str(path),
                [
                    "based_on must be a model of the library, and the calibrated one is not: put the figures "
                    f"of [surrounding_code] into its own file:\n{self.toml}"
                ],
            )
        write_text(path, f"based_on = {_text(name)}\n{self.toml}")

    @property
    def toml(self) -> str:
        """All that changed, as a cost table has it: in the layer of the compiler that was measured."""
        code, compiler = self.model.surrounding_code, self.model.compiled_by.id
        layer, document = f"compilers.{compiler}", _document(self.measured)
        lines = [
            f"title = {_text(self.model.title)}",
            f"default_compiler = {_text(compiler)}",
            "",
            f"[{layer}]",
            "compared_with_compiled_code = []",
            "",
            f"[documents.{DOCUMENT_ID}]",
            f"title = {_text(document.title)}",
            f"note = {_text(document.note)}",
        ]
        for key, value in self.figures.items():
            lines += [
                "",
                f"[{layer}.surrounding_code.{key}]",
                f"{FIGURES[key]} = {value!r}",
                f"source = {_text(DOCUMENT_ID)}",
                f"standing = {_text(Standing.MEASURED.value)}",
                f"derivation = {_text(getattr(code, key).origin.derivation)}",
            ]
        for measured in self.model.measured_on_silicon:
            lines += ["", *measurements_toml(measured, f"{layer}.{MEASURED}")]
        return "\n".join([*lines, ""])

    def __repr__(self) -> str:
        fitted = ", ".join(f"{key} {value:g}" for key, value in self.figures.items())
        return f"<Calibration of {self.base.name}: {fitted}>"

    def __str__(self) -> str:
        from softfloat_py.views.calibration_table import text

        return text(self)

    def _repr_html_(self) -> str:
        from softfloat_py.views.calibration_table import html

        return html(self)


# -- the fit -------------------------------------------------------------------------------------------


def _fitted(base: CostModel, measurements: Sequence[Measurement]) -> dict[str, float]:
    """The figures that explain the measurements best."""
    measured = np.array([measurement.cycles for measurement in measurements], dtype=np.float64)
    nothing = dict.fromkeys(FIGURES, 0.0)
    without = np.array(_cycles(_with_figures(base, nothing), measurements))
    columns = {
        key: (np.array(_cycles(_with_figures(base, nothing | {key: 1.0}), measurements)) - without) / measured
        for key in FIGURES
    }
    fitted = _independent(columns)
    unchanged = _unchanged(base, fitted)
    wanted = 1 - without / measured
    least = {"moves_a_step": base.compiler.moves_a_step.lowest, "argument_passing": 0.0}
    for key, value in (unchanged | {key: least[key] for key in fitted}).items():
        wanted -= columns[key] * value
    above = not_negative_least_squares(np.column_stack([columns[key] for key in fitted]), wanted)
    return {key: float(f"{least[key] + value:.6g}") for key, value in zip(fitted, above, strict=True)}


def _independent(columns: dict[str, Numbers]) -> list[str]:
    """The figures, in their order, that measurements can tell from those before."""
    chosen: list[str] = []
    for key, column in columns.items():
        if np.abs(column).max() < NOTHING:
            continue
        directions = np.column_stack([columns[k] / np.linalg.norm(columns[k]) for k in [*chosen, key]])
        if np.linalg.matrix_rank(directions, tol=TOLD_APART) > len(chosen):
            chosen.append(key)
    return chosen


def _unchanged(base: CostModel, fitted: Sequence[str]) -> dict[str, float]:
    """The figures that stay as they are."""
    code = base.surrounding_code
    return {key: getattr(getattr(code, key), FIGURES[key]) for key in FIGURES if key not in fitted}


def not_negative_least_squares(columns: Numbers, wanted: Numbers) -> Numbers:
    """The factors, none below 0, with which columns come closest to what is wanted.

    The best of all choices of columns: with the few that there are, none has to be found by descent. A factor
    that would have to be negative is 0, and the others are then best without it (Lawson and Hanson, "Solving
    Least Squares Problems", chapter 23: the optimum is a least-squares solution on some of the columns; from
    memory).
    """
    best, least = np.zeros(columns.shape[1]), float(wanted @ wanted)
    for size in range(1, columns.shape[1] + 1):
        for chosen in combinations(range(columns.shape[1]), size):
            factors = np.zeros(columns.shape[1])
            factors[list(chosen)] = np.linalg.lstsq(columns[:, chosen], wanted, rcond=None)[0]
            deviation = columns @ factors - wanted
            if factors.min() >= 0 and (squares := float(deviation @ deviation)) < least:
                best, least = factors, squares
    return best


def _cycles(model: CostModel, measurements: Iterable[Measurement]) -> list[float]:
    return [measurement.estimated(model) for measurement in measurements]


# -- the fitted model ----------------------------------------------------------------------------------


def _with_figures(base: CostModel, figures: dict[str, float], origin: Origin | None = None) -> CostModel:
    """A model with other figures, and with their origin if that is another too."""
    code = base.surrounding_code
    changes = {}
    for key, value in figures.items():
        old = getattr(code, key)
        changes[key] = replace(old, **{FIGURES[key]: value, "origin": origin or old.origin})
    return replace(base, surrounding_code=replace(code, **changes))


def _calibrated(
    base: CostModel, figures: dict[str, float], measurements: int, measured: MeasuredSet | None
) -> CostModel:
    counted = "1 measurement" if measurements == 1 else f"{measurements} measurements"
    origin = Origin(_document(measured), Standing.MEASURED, derivation=f"fitted to {counted}")
    fitted = "calibrated" if measured is None else f"fitted to {measured.made}"
    return replace(
        _with_figures(base, figures, origin),
        name=f"{base.name}-calibrated",
        title=f"{base.title}, {fitted}",
        compared_with_compiled_code=(),
        measured_on_silicon=base.measured_on_silicon + (() if measured is None else (measured,)),
        described={},
    )


def _document(measured: MeasuredSet | None) -> Document:
    """Where fitted figures come from: the board that a file is of, or whatever the user measured on."""
    if measured is None:
        return DOCUMENT
    return Document(f"cycles measured on {measured.made}", note=f"{measured.build}; {measured.timer}")


def _text(text: str) -> str:
    """A text as TOML writes it; its escapes are those of JSON."""
    return json.dumps(text, ensure_ascii=False)


def _is_the_same(one: CostModel, other: CostModel) -> bool:
    """Whether all of two models is alike, as of one and its copy; but for the models that each is among."""
    parts = [each.name for each in fields(CostModel) if each.name != "described"]
    return all(getattr(one, part) == getattr(other, part) for part in parts)
