"""What notebooks show: names that come out of files stand there as text, and are never run."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.tally.tally import Tally

SCRIPT = "<script>alert('buoy')</script>"
hostile = sf.Format(SCRIPT, exponent_bits=5, precision=9)
heave: Any = hostile(1.5)


def tally() -> Tally:
    """A kernel of the hostile format, counted."""
    with sf.counting() as counted:
        heave + heave
    return counted


cpu = replace(sf.cost_model("cortex-m0plus"), name=SCRIPT, title=SCRIPT)
VIEWS = {
    "number": heave,
    "array": hostile.array([1.5]),
    "complex number": hostile.complex_number(1.5, 0.25),
    "complex array": hostile.complex_array([1.5], [0.25]),
    "conversion": sf.convert_in_steps(sf.binary64(0.1), sf.binary32, hostile),
    "explanation": sf.explain("addition", heave, heave),
    "estimate": tally().estimate(cpu),
    "bounds": sf.bounds("addition", hostile, cpu),
    "calibration": sf.calibrate(cpu, [sf.Measurement(tally(), 100, name=SCRIPT)]),
}


@pytest.mark.parametrize("name", VIEWS)
def test_names_are_text_and_never_markup(name: str) -> None:
    """A format, a CPU and a measurement with markup for a name put no element of their own on the page."""
    html = VIEWS[name]._repr_html_()
    assert "<script" not in html
    assert "&lt;script&gt;" in html


def test_every_class_that_notebooks_show_is_tried() -> None:
    """The views above are all there are, but for the comparison with the host, whose formats are three."""
    shown = {type(view).__name__ for view in VIEWS.values()}
    package = Path(sf.__file__).parent
    classes = (
        node
        for path in package.rglob("*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
    )
    known = {
        node.name for node in classes if "_repr_html_" in {getattr(part, "name", "") for part in node.body}
    }
    assert shown | {"HostComparison"} == known
