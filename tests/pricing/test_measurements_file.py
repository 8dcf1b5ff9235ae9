"""Files of measurements: what is accepted, and how every fault of a file is reported at once."""

from __future__ import annotations

from pathlib import Path

import pytest

import softfloat_py as sf
from softfloat_py.errors import CostModelError, MeasurementsError
from softfloat_py.guide import page
from softfloat_py.pricing.measurements_file import load_measurements, measurements_toml
from softfloat_py.pricing.table_layers import Layers
from tests.pricing.measured_board import BOARD, changed

# What is changed in BOARD, and every fault that must be reported for it.
WRONG: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    "as the board prints it": (
        [
            ('who = "the buoy\'s crew"', 'who = ""'),
            ('cpu = "RP2040"', 'cpu = ""'),
            ("clock_mhz = 12", "clock_mhz = 0"),
            ('date = "2026-03-31"', 'date = ""'),
        ],
        [
            "who must be a text that is not empty, not ''",
            "cpu must be a text that is not empty, not ''",
            "clock_mhz must be a clock in MHz, above 0 and at most 10000, not 0",
            "date must be a day, such as '2026-03-31', not ''",
        ],
    ),
    "clock and day": (
        [("clock_mhz = 12", "clock_mhz = 12_000_000"), ("2026-03-31", "31.3.2026")],
        [
            "clock_mhz must be a clock in MHz, above 0 and at most 10000, not 12000000",
            "date must be a day, such as '2026-03-31', not '31.3.2026'",
        ],
    ),
    "nothing read": (
        [("lowest = 61", "lowest = 0"), ("mean = 90.5", "mean = 0.5")],
        [
            "operations[0].lowest must be at least 1 tick, not 0: an operation takes more than a function "
            "that does nothing; let the timer count faster, or define REPEATS to be more",
        ],
    ),
    "order": (
        [("mean = 90.5", "mean = 128"), ("highest = 441", "highest = 380")],
        [
            "operations[0].mean must lie between lowest (61) and highest (127), not be 128",
            "operations[1].highest must be at least lowest (390), not 380",
        ],
    ),
    "names": (
        [('"addition"', '"adition"'), ('"binary32"', '"binary23"'), ('"division"', '"divission"')],
        [
            "operations[0].format must be one of binary16, binary32, binary64, binary128, bfloat16, "
            "extended80, ofp8_e4m3, ofp8_e5m2, not 'binary23'; did you mean 'binary32'?",
            "operations[0].operation: an operation must be named as IEEE 754-2019 names it, in snake case, "
            "not 'adition'; did you mean 'addition'?",
            "operations[1].operation: an operation must be named as IEEE 754-2019 names it, in snake case, "
            "not 'divission'; did you mean 'division'?",
        ],
    ),
    "conversion": (
        [('"addition"', '"convert_format"')],
        ["operations[0].operation must be one that needs no more than its name, not 'convert_format'"],
    ),
    "checksum": (
        [("0xb5c9bcf8", "0xb5c9bcf9")],
        [
            "operations[0].checksum must be 0xb5c9bcf8, that of addition binary32 on these operands, not "
            "0xb5c9bcf9: the board computed something else, so its cycles are not those of this operation; "
            "write the C anew, and see that the compiler is told no unsafe options",
        ],
    ),
    "calls": (
        [("calls = 50", "calls = 101")],
        ["operations[0].calls must be from 1 to 100, not 101"],
    ),
    "units": (
        [("repeats = 1", "repeats = 0"), ("tick = 1", "tick = -1")],
        [
            "cycles_per_tick must be a number above 0, not -1",
            "repeats must be a whole number, 1 or more, not 0",
        ],
    ),
    "arithmetic": (
        [('"lean"', '"leen"'), ("mean = 90.5", "means = 90.5")],
        [
            "arithmetic must be one of complete, lean, not 'leen'; did you mean 'lean'?",
            "operations[0].mean must be a number below 1e9, and is missing",
            "operations[0].means is not a key that belongs here; did you mean 'mean'?",
        ],
    ),
    "nothing measured": (
        [(BOARD[BOARD.index("[[") :], "")],
        ["operations must be at least one, not []"],
    ),
    "twice": (
        [(BOARD[BOARD.rindex("[[") :], BOARD[BOARD.index("[[") : BOARD.rindex("[[")])],
        ["operations must be different ones, and have addition binary32 twice"],
    ),
}


def written(text: str, folder: Path) -> Path:
    """A file of this text."""
    path = folder / "measurements.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_file_is_read(tmp_path: Path) -> None:
    """Who, where, with what and when come out, and the readings as they are."""
    measured = load_measurements(written(BOARD, tmp_path))
    addition, division = measured.readings

    assert "the buoy's board, second revision, by the buoy's crew, 2026-03-31" == measured.made
    assert "GCC 12.2.0, -O2 -mcpu=cortex-m0plus" == measured.build
    assert ("addition binary32", 50, 90.5, 61, 127) == (
        addition.name, addition.calls, addition.mean, addition.lowest, addition.highest,
    )  # fmt: skip
    assert sf.LEAN is division.use.options


def test_ticks_become_cycles(tmp_path: Path) -> None:
    """A tick of 8 cycles, and readings of 16 runs of a call: a tick is half a cycle of a call."""
    text = changed(("cycles_per_tick = 1", "cycles_per_tick = 8"), ("repeats = 1", "repeats = 16"))

    assert 45.25 == load_measurements(written(text, tmp_path)).cycles(90.5)


@pytest.mark.parametrize("case", WRONG)
def test_every_fault_is_reported(case: str, tmp_path: Path) -> None:
    """All faults of a file come at once, each with its key, what it must be and what it is."""
    changes, faults = WRONG[case]
    path = written(changed(*changes), tmp_path)
    with pytest.raises(MeasurementsError) as caught:
        load_measurements(path)

    assert faults == list(caught.value.faults)
    assert str(caught.value).startswith(f"file of measurements {path} has {len(faults)} fault")


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("who = ", "the file must be TOML in UTF-8; invalid value (at end of document)"),
        (None, "the file must be readable, not: No such file or directory"),
    ],
)
def test_what_cannot_be_read_is_refused(text: str | None, fault: str, tmp_path: Path) -> None:
    """A file that is not there, or is no TOML, is refused in one sentence."""
    path = tmp_path / "none.toml" if text is None else written(text, tmp_path)
    with pytest.raises(MeasurementsError) as caught:
        load_measurements(path)

    assert (fault,) == caught.value.faults


def test_what_is_written_is_read_back(tmp_path: Path) -> None:
    """A set that was read, written and read again is the same."""
    measured = load_measurements(written(BOARD, tmp_path))

    assert measured == load_measurements(written("\n".join(measurements_toml(measured)), tmp_path))


def table(entry: str, folder: Path) -> Path:
    """A cost table that is based on a model, with measurements of a board."""
    path = folder / "buoy.toml"
    entry = entry.replace("[[operations]]", "[[measured_on_silicon.operations]]")
    path.write_text(f'based_on = "cortex-m0plus"\n[[measured_on_silicon]]\n{entry}', encoding="utf-8")
    return path


def test_cost_table_carries_measurements(tmp_path: Path) -> None:
    """A table has the same keys for a board as its file, and the same set comes out."""
    model = sf.load_cost_model(table(BOARD, tmp_path))

    assert (load_measurements(written(BOARD, tmp_path)),) == model.measured_on_silicon


def test_faults_of_measurements_are_faults_of_the_table(tmp_path: Path) -> None:
    """What a file of measurements must not have, a table must not have either, in all of its entries."""
    wrong = changed(
        ("0xb5c9bcf8", "0"), ("mean = 420.25", "mean = 4202.5"), ("clock_mhz = 12", "clock_mhz = -1")
    )
    with pytest.raises(CostModelError) as caught:
        sf.load_cost_model(table(wrong, tmp_path))

    keys = ["clock_mhz", "operations[0].checksum", "operations[1].mean"]
    assert keys == [
        fault.removeprefix("measured_on_silicon[0].").split(" ")[0] for fault in caught.value.faults
    ]


def test_measurements_are_of_the_code_of_one_compiler() -> None:
    """What was measured of a file's default compiler is not said of another that the file describes."""
    file = {"default_compiler": "gcc-O2", "measured_on_silicon": ["of GCC"], "compilers": {"clang-O2": {}}}
    layers = Layers([file])

    assert ["of GCC"] == layers.table("gcc-O2")["measured_on_silicon"]
    assert [] == layers.table("clang-O2")["measured_on_silicon"]


def test_no_board_is_invented() -> None:
    """As long as the guide says that nobody has measured on silicon, no table that comes says otherwise."""
    assert "Nobody has measured on silicon yet" in page("measure")
    assert [] == [name for name in sf.cost_models() if sf.cost_model(name).measured_on_silicon]
