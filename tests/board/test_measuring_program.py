"""The program for a board, run here with a timer that is made up: what it prints is read, and true."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from softfloat_py.errors import MeasurementsError
from softfloat_py.numbers.formats import Format, binary16, binary32, binary64, extended80
from softfloat_py.options import COMPLETE, LEAN, Options
from softfloat_py.pricing.measured_sets import MeasuredSet
from softfloat_py.pricing.measurements_file import load_measurements
from tests.board.benches import filled_in, printed, program_of, run
from tests.engines.compiled_c import need_gcc

FIVE = ("addition", "subtraction", "multiplication", "division", "square_root")
# Of one, two and three operands, of an integer; that give a truth, a class, an integer, two numbers.
ALL_WAYS = (
    "square_root", "addition", "fused_multiply_add", "scale_b",
    "compare_quiet_less", "classify", "log_b", "augmented_addition",
)  # fmt: skip


def read(text: str, folder: Path) -> MeasuredSet:
    """The measurements in what a program printed, completed."""
    path = folder / "measurements.toml"
    path.write_text(filled_in(text), encoding="utf-8")
    return load_measurements(path)


@pytest.mark.parametrize(
    ("fmt", "word", "options"),
    [
        (binary32, 32, LEAN), (binary32, 8, LEAN), (binary32, 32, COMPLETE), (binary16, 16, LEAN),
        (binary64, 64, LEAN), (binary64, 32, LEAN), (binary64, 16, LEAN),
        (extended80, 64, LEAN), (extended80, 32, LEAN), (extended80, 8, LEAN),
    ],
)  # fmt: skip
def test_what_is_printed_is_read(fmt: Format, word: int, options: Options, tmp_path: Path) -> None:
    """However C passes operands and results, a file comes out whose checksums are those of the operations."""
    measured = read(printed(program_of(fmt, ALL_WAYS, word, options=options), tmp_path), tmp_path)

    assert [f"{name} {fmt.name}" for name in ALL_WAYS] == [each.name for each in measured.readings]
    assert {options} == {each.use.options for each in measured.readings}


def test_readings_are_differences(tmp_path: Path) -> None:
    """What a function that does nothing takes is off: 100 ticks to 149, though the timer begins anew."""
    measured = read(printed(program_of(binary32, FIVE, calls=50), tmp_path), tmp_path)

    assert 5 * [(50, 124.5, 100, 149)] == [
        (each.calls, each.mean, each.lowest, each.highest) for each in measured.readings
    ]
    assert ("made up", 1, 1) == (measured.timer, measured.cycles_per_tick, measured.repeats)
    assert "--word 32 --multiplier 16" == measured.emitted_for
    assert measured.compiler.startswith(("GCC ", "Apple", "Clang"))


def test_means_are_rounded_down_to_hundredths(tmp_path: Path) -> None:
    """Of 100, 101 and 102 ticks the mean is 101.00; of 100 to 105, 102.50: both digits are printed."""
    three = printed(program_of(binary32, ["addition"], calls=3), tmp_path / "three")
    six = printed(program_of(binary32, ["addition"], calls=6), tmp_path / "six")

    assert "mean = 101.00\nlowest = 100\nhighest = 102\n" in three
    assert "mean = 102.50\n" in six


def test_units_are_those_of_the_board(tmp_path: Path) -> None:
    """What a tick is, and how often a call is run between readings, is printed as it was compiled."""
    program = program_of(binary32, ["addition"])
    measured = read(printed(program, tmp_path, "-DREPEATS=4", "-DCYCLES_PER_TICK=0.5"), tmp_path)

    assert (0.5, 4) == (measured.cycles_per_tick, measured.repeats)


def test_wrong_results_are_refused(tmp_path: Path) -> None:
    """A board whose additions subtract is told so, whatever cycles it took."""
    program = program_of(binary32, ["addition", "subtraction"])
    program.save(tmp_path)
    main = tmp_path / "measure.c"
    main.write_text(
        main.read_text().replace('"addition", binary32_addition', '"addition", binary32_subtraction')
    )
    text = run(tmp_path, program.unit.prefix, "-DCALLS=10u")
    with pytest.raises(MeasurementsError) as caught:
        read(text, tmp_path)

    (fault,) = caught.value.faults
    assert fault.startswith("operations[0].checksum must be ")
    assert "the board computed something else" in fault


def test_timer_that_stands_still_is_refused(tmp_path: Path) -> None:
    """A timer too slow to tell an operation from nothing gives 0 ticks, which nobody takes for cycles."""
    with pytest.raises(MeasurementsError) as caught:
        read(printed(program_of(binary32, ["addition"]), tmp_path, "-DSTANDING_STILL"), tmp_path)

    (fault,) = caught.value.faults
    assert fault.startswith("operations[0].lowest must be at least 1 tick, not 0: ")


def test_without_a_timer_nothing_is_compiled(tmp_path: Path) -> None:
    """The compiler says what is missing, and what to define."""
    program_of(binary32, ["addition"]).save(tmp_path)
    built = subprocess.run(
        [need_gcc(), "-c", "measure.c"], cwd=tmp_path, capture_output=True, text=True, check=False
    )

    assert built.returncode != 0
    assert "measure.h needs a timer: define TIMER_SYSTICK or another name it has" in built.stderr


def test_operations_share_their_operands(tmp_path: Path) -> None:
    """Four operations that have the same operands have them once, so that small boards hold them."""
    program = program_of(binary32, FIVE)

    assert 3 == len(program.arrays)  # x and y of four, and x of the square root, which are positive
