"""The examples: the sea is the one its generator makes, and the buoy measures it as the host does."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file

EXAMPLES = Path(__file__).parent.parent / "examples"
KERNEL_FILE = load_kernel_file(EXAMPLES / "wave_height.py")


def generator() -> ModuleType:
    """The sea generator, which is a script beside its data."""
    spec = importlib.util.spec_from_file_location("sea_generator", EXAMPLES / "sea_generator.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("example", sorted(EXAMPLES.glob("*.py")), ids=lambda path: path.stem)
def test_examples_that_print_end_with_their_reader(example: Path) -> None:
    """Each example that prints is run by what lets it end quietly where nobody reads on."""
    text = example.read_text(encoding="utf-8")

    assert ("print(" not in text) or text.endswith("    from quiet_pipe import run\n\n    run(main)\n")


def test_reader_that_stops_is_no_error() -> None:
    """An example that nobody reads, as behind `head`, says nothing of it and has the status 0."""
    reading, writing = os.pipe()
    os.close(reading)
    run = subprocess.run(
        [sys.executable, EXAMPLES / "one_addition.py"], stdout=writing, stderr=subprocess.PIPE, check=False
    )
    os.close(writing)

    assert (b"", 0) == (run.stderr, run.returncode)


def test_sea_is_the_one_the_generator_makes() -> None:
    """The committed record is reproduced byte for byte."""
    assert generator().csv_text().encode() == (EXAMPLES / "sea.csv").read_bytes()


def by_host() -> float:
    """The wave height on the host's numbers."""
    return float(KERNEL_FILE.module.kernel(*KERNEL_FILE.module.inputs()))


def emulated(fmt: sf.Format) -> float:
    """The wave height on emulated numbers."""
    return float(KERNEL_FILE.counted_run(fmt)[0])


def test_host_measures_the_sea_that_was_made() -> None:
    """On host numbers the kernel comes within four per cent of the spectrum's significant wave height."""
    assert generator().HEIGHT == pytest.approx(by_host(), rel=0.04)


def test_emulated_binary64_is_the_host_to_the_last_bit() -> None:
    """The same kernel, unchanged, gives the host's own result in emulated binary64."""
    assert by_host() == emulated(sf.binary64)


def test_binary32_is_good_to_a_hundredth_of_a_millimetre() -> None:
    """Binary32 is accurate enough for the buoy by orders of magnitude."""
    assert by_host() == pytest.approx(emulated(sf.binary32), abs=1e-5)
