"""A fitted cost model as text and HTML: what was fitted, and how close that comes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from softfloat_py.views.layout import Section, columns, counted, grouped, sections_html, sections_text
from softfloat_py.views.trust import code_in_words

if TYPE_CHECKING:
    from softfloat_py.pricing.calibration import Calibration

CAUTION = """\
The fit holds for kernels like those measured, on the same board with the same compiler and its options. It is
an estimate still, and no bound for safety-critical timing."""

_MEANINGS = {
    "moves_a_step": "moves a native step, beyond what follows from the program",
    "argument_passing": "cycles a call, for operands and result",
}


def text(calibration: Calibration) -> str:
    """What was fitted and what is left, with the caution."""
    return sections_text(_heading(calibration), _sections(calibration)) + f"\n\n{CAUTION}"


def html(calibration: Calibration) -> str:
    """The same for a notebook."""
    return sections_html(_heading(calibration), [*_sections(calibration), Section(CAUTION, [])])


def _heading(calibration: Calibration) -> list[str]:
    number = counted(len(calibration.measurements), "measurement")
    of_code = code_in_words(calibration.base)
    return [calibration.model.title, f"{calibration.base.name}, {of_code}, fitted to {number}"]


def _sections(calibration: Calibration) -> Iterator[Section]:
    yield Section("Figures fitted", list(_figure_lines(calibration)))
    yield Section("Cycles measured and estimated", columns(_rows(calibration), "<>>>>>"))


def _figure_lines(calibration: Calibration) -> Iterator[str]:
    rows = [(f"{value:.3g}", _MEANINGS[key]) for key, value in calibration.figures.items()]
    yield from columns(rows, "><")
    below = [cycles < 0 for cycles in calibration.residuals]
    if (
        all(below)
        and calibration.figures.get("moves_a_step") == calibration.base.compiler.moves_a_step.lowest
    ):
        yield "with nothing left to take away: the model's other figures are too high for what was measured"


def _rows(calibration: Calibration) -> Iterator[tuple[str, ...]]:
    yield "", "measured", "before", "fitted", "left over", ""
    rows = zip(
        calibration.measurements,
        calibration.estimates_before,
        calibration.estimates,
        calibration.residuals,
        strict=True,
    )
    for number, (measurement, before, fitted, left) in enumerate(rows, 1):
        share = f"{100 * left / measurement.cycles:+.1f} %"
        cells = map(grouped, (measurement.cycles, before, fitted, left))
        yield measurement.name or f"measurement {number}", *cells, share
