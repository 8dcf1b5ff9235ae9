"""Numbers, arrays, tallies, prices and files take any number system, as one of the tests' own shows."""

from __future__ import annotations

import copy
import json
import pickle
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

import softfloat_py as sf
from softfloat_py.engines import stepwise
from softfloat_py.numbers.systems import add_kind
from softfloat_py.operations import OPERATIONS, Operation, Result
from softfloat_py.uses import use_of
from tests.numbers.sixteenths import ROWS, VOLTS, Sixteenths, addition, less

EVERY = np.arange(256, dtype=np.uint8)
FIRST, SECOND = (EVERY[:, np.newaxis] + 0 * EVERY).ravel(), (0 * EVERY[:, np.newaxis] + EVERY).ravel()


def test_every_sum_and_product_is_what_the_host_has() -> None:
    """All pairs of encodings as arrays, beside numpy's signed bytes and words."""
    x, y = VOLTS.array_from_bits(FIRST), VOLTS.array_from_bits(SECOND)
    signed, other = FIRST.view(np.int8).astype(np.int16), SECOND.view(np.int8).astype(np.int16)

    assert np.array_equal(FIRST + SECOND, (x + y).bits)
    assert np.array_equal((signed * other >> 4).astype(np.uint8), (x * y).bits)
    assert np.array_equal(signed < other, x < y)


@pytest.mark.parametrize("step", [1, 7, 13])
def test_numbers_compute_as_arrays_do(step: int) -> None:
    """The operators of single numbers deliver what those of arrays deliver, and are Numbers of the system."""
    x = VOLTS.array_from_bits(EVERY)
    y = VOLTS.array_from_bits(EVERY[::-1] * step)
    for first, second, total, product in zip(x, y, x + y, x * y, strict=True):
        assert (total, product) == (first + second, first * second)
        assert VOLTS == (first + second).format


def test_constants_and_functions_go_the_same_way() -> None:
    """A constant on either side, the function of the standard's name, numpy's, and a running sum."""
    cell, drop = VOLTS(3.0625), VOLTS(-0.25)

    assert VOLTS(4.5625) == cell + 1.5 == 1.5 + cell == sf.addition(cell, 1.5) == np.add(cell, 1.5)
    assert VOLTS(2.5625) == np.sum(VOLTS.array([cell, drop, drop])) == VOLTS.array([cell, drop, drop]).sum()
    assert VOLTS(-0.75) == np.dot(VOLTS.array([3]), VOLTS.array([drop]))


def mean_of(cells: list[float]) -> float:
    """A kernel that knows nothing of the system."""
    total = 0.0
    for cell in cells:
        total = total + 0.25 * cell
    return total


def test_kernels_run_in_the_system() -> None:
    """Literals and elements of lists are its numbers, and each operation is counted."""
    with sf.counting() as tally:
        mean = sf.emulated(mean_of, VOLTS)([3.0, 3.125, 2.875, 3.0])

    assert VOLTS(2.9375) == mean  # 0.25 * 2.875 is cut to 11 sixteenths, 0.25 * 3.125 to 12
    assert {("addition", "battery volts"): 4, ("multiplication", "battery volts"): 4} == tally.calls


def test_what_the_system_says_is_shown() -> None:
    """Texts, the host's float, hash and HTML are the system's."""
    cell = VOLTS(3.0625)

    assert ("3.0625", "battery volts(3.0625)", "3.06") == (str(cell), repr(cell), f"{cell:.2f}")
    assert (3.0625, 3, hash(Fraction(49, 16))) == (
        float(cell),
        cell.format.decode(cell.bits) // 1,
        hash(cell),
    )
    assert "<code>0001</code>" in cell._repr_html_()
    assert "battery volts.array([3.0625])" == repr(VOLTS.array([cell]))
    assert [3.0625] == VOLTS.array([cell]).to_numpy().tolist()
    assert cell == VOLTS.from_text("3.0625")


def test_what_the_system_does_not_have_is_refused() -> None:
    """Division is none of its operations, a NaN none of its numbers; both are said, nothing is computed."""
    cell = VOLTS(3)

    with pytest.raises(
        sf.NotEmulatedError, match=r"division of sixteenths numbers.*addition, multiplication"
    ):
        cell / 2
    with pytest.raises(sf.NotEmulatedError, match="square_root of sixteenths numbers"):
        np.sqrt(VOLTS.array([cell] * 200))
    with pytest.raises(sf.OperandError, match="from -8 to"):
        cell + float("nan")
    with pytest.raises(sf.NotEmulatedError, match="an infinity of battery volts"):
        np.isposinf(cell)


def test_systems_do_not_meet() -> None:
    """A number of another system is refused as one of another format is."""
    with pytest.raises(sf.MixedFormatsError):
        VOLTS(1) + sf.binary32(1)
    with pytest.raises(sf.MixedFormatsError):
        sf.binary32.array([1.0]) + VOLTS(1)
    assert VOLTS(1) != sf.binary32(1)


def used() -> sf.Tally:
    """What two sums, one of them of three elements, and a product leave behind."""
    with sf.counting() as tally:
        total = VOLTS(3) + VOLTS(0.5)
        VOLTS.array([1, 2, 3]) + total
        total * total
    return tally


def test_operations_are_counted_under_the_system() -> None:
    """Calls are filed under its name, and the steps are those the stepwise engine takes."""
    tally = used()

    assert {("addition", "battery volts"): 4, ("multiplication", "battery volts"): 1} == tally.calls
    with sf.counting() as one:
        VOLTS(3) + VOLTS(0.5)
    counted = stepwise.run(use_of(OPERATIONS["addition"], VOLTS).program, (48, 8)).counts
    assert {(entry.phase, entry.kind): n for entry, n in (+counted).items()} == {
        (entry.phase, entry.kind): n for _, entry, n in one.cells()
    }


@pytest.mark.parametrize("cpu", ["attiny", "cortex-m0plus"])
def test_operations_are_priced(cpu: str) -> None:
    """The program of a sum has one way: four cost four times what one typically does, within the bounds."""
    sums = sf.bounds("addition", VOLTS, cpu)
    with sf.counting() as tally:
        VOLTS.array([1, 2, 3, 4]) + VOLTS(0.5)

    assert 4 * sums.typical == pytest.approx(tally.estimate(cpu).cycles)
    assert 0 < sums.best <= sums.typical <= sums.worst
    assert "battery volts" in used().estimate(cpu).details()


def test_tallies_of_the_system_are_saved(tmp_path: Path) -> None:
    """A tally comes back with the same calls and the same price, and is added to the one that was saved."""
    tally, path = used(), tmp_path / "volts.json"
    tally.save(path)
    again = sf.Tally.load(path)

    assert tally.calls == again.calls
    assert tally.estimate("attiny").cycles == again.estimate("attiny").cycles
    assert {key: 2 * n for key, n in tally.calls.items()} == (tally + again).calls


def test_a_file_of_an_unknown_kind_is_refused(tmp_path: Path) -> None:
    """A number system that this program does not know cannot be read."""
    path = tmp_path / "volts.json"
    used().save(path)
    path.write_text(path.read_text().replace('"sixteenths"', '"of elsewhere"'))

    with pytest.raises(sf.TallyFileError, match="of elsewhere"):
        sf.Tally.load(path)


def test_arrays_of_the_system_are_saved(tmp_path: Path) -> None:
    """Encodings and system come back from a file, and through a pickle."""
    path, cells = tmp_path / "cells.npz", VOLTS.array([3.0625, -0.25])
    sf.save_arrays(path, cells=cells, first=cells[0])
    again = sf.load_arrays(path)

    assert (VOLTS, cells.bits.tolist()) == (again["cells"].format, again["cells"].bits.tolist())
    assert cells[0] == again["first"]
    for other in (pickle.loads(pickle.dumps(cells[0])), copy.copy(cells[0])):
        assert cells[0] == other


def test_an_operation_delivers_what_its_name_delivers_elsewhere() -> None:
    """A table with a comparison that gives a number is refused."""
    wrong = Operation("compare_signaling_less", "1", less, ("x", "y"), Result.NUMBER)
    with pytest.raises(ValueError, match="must deliver one bit"):
        add_kind("wrong", Sixteenths, [wrong])


def test_formats_are_written_to_files_as_ever(tmp_path: Path) -> None:
    """A binary format is its five parameters, without a kind."""
    path = tmp_path / "heave.json"
    with sf.counting() as tally:
        sf.binary16(1.5) + sf.binary16(0.25)
    tally.save(path)

    (entry,) = json.loads(path.read_text())["usages"]
    assert {
        "name": "binary16", "exponent_bits": 5, "precision": 11,
        "explicit_leading_bit": False, "has_infinity": True,
    } == entry["format"]  # fmt: skip


def test_the_rows_are_found_by_their_names() -> None:
    """What + is in the system is its own row, which has its own routine."""
    assert ROWS[0] is use_of(OPERATIONS["addition"], VOLTS).operation
    assert addition is use_of(OPERATIONS["addition"], VOLTS).operation.routine
    assert OPERATIONS["addition"] is use_of(OPERATIONS["addition"], sf.binary32).operation
