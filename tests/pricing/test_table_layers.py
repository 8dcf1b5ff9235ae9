"""A CPU's file that describes code of several compilers: which figures are of which, and every fault."""

from __future__ import annotations

import pickle
from dataclasses import replace
from pathlib import Path

import pytest

import softfloat_py as sf
from softfloat_py.errors import CostModelError, UnknownNameError
from softfloat_py.pricing.calibration import Measurement, calibrate
from softfloat_py.pricing.cost_model import CostModel
from softfloat_py.pricing.table_layers import Layers
from softfloat_py.pricing.table_reader import compilers, cost_model, load_cost_model
from tests.pricing.test_table_reader import ADD, BUOY, CALL, COMPARED, KNOWN

# The buoy's microcontroller as three compilers and a hand use it. GCC's code is what the file's own tables
# are about; Clang finds fewer registers free, and was compared by itself; of GCC for size no more is known.
GCC = f'default_compiler = "gcc-O2"\n{BUOY}{COMPARED}'
CLANG = f"""
[compilers.clang-O2]
steps = {{ move = {{ cycles = 2, {KNOWN} }} }}
surrounding_code = {{ registers = {{ value = 5, {KNOWN} }} }}
compiler = {{ carries_between_words = false }}

[[compilers.clang-O2.compared_with_compiled_code]]
compiler = "another compiler"
operations = "addition"
lowest_ratio = 2.5
highest_ratio = 3.5
source = "manual"
standing = "measured"
"""
LAYERED = f"{GCC}{CLANG}\n[compilers.gcc-Os]\n\n[compilers.hand-scheduled]\n"


# A board of the buoy's that is priced like an ATmega, for which GCC's code is described, and two more.
BOARD = """
based_on = "atmega"
[compilers.clang-O2]
[compilers.hand-scheduled]
"""


def _read(folder: Path, text: str, name: str = "buoy.toml") -> CostModel:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return load_cost_model(path)


def _faults(folder: Path, text: str) -> tuple[str, ...]:
    with pytest.raises(CostModelError) as caught:
        _read(folder, text)
    return caught.value.faults


@pytest.fixture(name="buoy")
def _buoy(tmp_path: Path) -> CostModel:
    return _read(tmp_path, LAYERED)


def test_a_file_that_names_no_compiler_describes_c_in_general(tmp_path: Path) -> None:
    """Without a default compiler, a table is of C in general, and of nothing else."""
    model = _read(tmp_path, BUOY)

    assert ("c", ["c"]) == (model.compiled_by.id, list(model.described))
    assert model is model.made_by("c")


def test_a_file_is_read_for_its_default_compiler(buoy: CostModel) -> None:
    """Where nobody names a compiler the default one is meant; all others are at hand, each knowing all."""
    assert "gcc-O2" == buoy.compiled_by.id
    assert ["gcc-O2", "clang-O2", "gcc-Os", "hand-scheduled"] == list(buoy.described)
    for name, model in buoy.described.items():
        assert name == model.compiled_by.id
        assert buoy is model.made_by("gcc-O2")


def test_a_layer_lies_over_the_tables_of_its_cpu(buoy: CostModel) -> None:
    """What a compiler's layer gives is of its code alone; all else is the CPU's, whatever the compiler."""
    clang = buoy.made_by("clang-O2")

    assert (1, 2) == (buoy.cycles("move", 16, None), clang.cycles("move", 16, None))
    assert {"move"} == {kind for kind in buoy.steps if buoy.steps[kind] != clang.steps[kind]}
    registers = [model.surrounding_code.registers.value for model in (buoy, clang)]
    assert [6, 5] == registers
    assert buoy.surrounding_code.scratch_registers == clang.surrounding_code.scratch_registers
    assert (True, False) == (buoy.compiler.carries_between_words, clang.compiler.carries_between_words)


def test_an_empty_layer_has_the_habits_of_its_compiler_alone(buoy: CostModel) -> None:
    """A compiler that a file only names differs by what is said of it for all CPUs: a hand knows no types."""
    size, by_hand = buoy.made_by("gcc-Os"), buoy.made_by("hand-scheduled")

    assert (buoy.steps, buoy.surrounding_code) == (size.steps, size.surrounding_code)
    assert (buoy.steps, buoy.surrounding_code) == (by_hand.steps, by_hand.surrounding_code)
    assert ((8, 16, 32), ()) == (size.compiler.types.bits, by_hand.compiler.types.bits)


def test_what_was_measured_of_one_compiler_is_said_of_no_other(buoy: CostModel) -> None:
    """A file's comparisons are its default compiler's; another has those of its layer, or none."""
    ratios = {name: model.compiled_ratios(elementary=False) for name, model in buoy.described.items()}

    assert {"gcc-O2": (1.2, 1.4), "clang-O2": (2.5, 3.5), "gcc-Os": None, "hand-scheduled": None} == ratios


def test_a_layer_may_take_away_what_was_compared(tmp_path: Path) -> None:
    """The default compiler has a layer too, which stands over the tables of its file."""
    none = GCC + "[compilers.gcc-O2]\ncompared_with_compiled_code = []\n"

    assert () == _read(tmp_path, none).compared_with_compiled_code


BASE = {
    "default_compiler": "gcc-O2",
    "steps": {"move": 1, "add": 1},
    "compared_with_compiled_code": ["of GCC"],
    "compilers": {"clang-O2": {"steps": {"move": 2}, "compared_with_compiled_code": ["of Clang"]}},
}


def test_a_file_stands_over_the_layers_of_its_base() -> None:
    """What a file says whatever the compiler is said of each, and what its base says of one is kept beside
    it.
    """
    layers = Layers([BASE, {"based_on": "base", "steps": {"add": 3}}])

    assert ["gcc-O2", "clang-O2"] == layers.compilers
    assert {"move": 1, "add": 3} == layers.table("gcc-O2")["steps"]
    assert {"move": 2, "add": 3} == layers.table("clang-O2")["steps"]
    assert 4 == Layers([BASE, {"steps": {"move": 4}}]).table("clang-O2")["steps"]["move"]


def test_comparisons_of_a_base_are_taken_away_for_all_compilers() -> None:
    """A file that changes prices and says that nothing was compared says so of each compiler; one that says
    nothing keeps what its base has.
    """
    kept, none = Layers([BASE, {}]), Layers([BASE, {"compared_with_compiled_code": []}])

    for compiler, compared in (("gcc-O2", ["of GCC"]), ("clang-O2", ["of Clang"])):
        assert compared == kept.table(compiler)["compared_with_compiled_code"]
        assert [] == none.table(compiler)["compared_with_compiled_code"]


def test_another_default_compiler_does_not_take_over_comparisons() -> None:
    """Comparisons are those of the compiler that was the default of the file that has them."""
    layers = Layers([BASE, {"default_compiler": "gcc-Os"}])

    assert ["gcc-Os", "clang-O2"] == layers.compilers
    assert [] == layers.table("gcc-Os")["compared_with_compiled_code"]


# What is changed in the file of several compilers, and every fault that must be reported for it.
WRONG: dict[str, tuple[str, str, list[str]]] = {
    "no compiler that there is": (
        'default_compiler = "gcc-O2"',
        'default_compiler = "clang-02"',
        [
            f"default_compiler must be one of {', '.join(compilers())}, not 'clang-02'; "
            "did you mean 'clang-O2'?"
        ],
    ),
    "a hand before a compiler": (
        'default_compiler = "gcc-O2"',
        'default_compiler = "hand-scheduled"',
        ["default_compiler must be a compiler where one is described, not 'hand-scheduled'"],
    ),
    "layers without a default": (
        'default_compiler = "gcc-O2"\n',
        "",
        [
            "default_compiler must be the compiler that the other tables are about, one of "
            f"{', '.join(compilers())}, and is missing"
        ],
    ),
    "a layer of no compiler": (
        "[compilers.gcc-Os]",
        "[compilers.gcc-Oss]",
        ["compilers.gcc-Oss is not a key that belongs here; did you mean 'gcc-Os'?"],
    ),
    "a layer of another shape": (
        "[compilers.gcc-Os]",
        "[compilers]\ngcc-Os = 3",
        ["compilers.gcc-Os must be a table, not 3"],
    ),
    "a key that belongs to the CPU": (
        "[compilers.gcc-Os]",
        "[compilers.gcc-Os]\nstep = {}\nclock = {}",
        [
            "compilers.gcc-Os.step is not a key that belongs here; did you mean 'steps'?",
            "compilers.gcc-Os.clock is not a key that belongs here",
        ],
    ),
    "a fault in a layer": (
        "move = { cycles = 2,",
        "move = { cycles = -2,",
        ["compilers.clang-O2.steps.move.cycles must be 0 or more, not -2"],
    ),
    "a comparison in a layer that was not measured": (
        "lowest_ratio = 2.5",
        "lowest_ratio = 4.5",
        [
            "compilers.clang-O2.compared_with_compiled_code[0].highest_ratio must be at least lowest_ratio "
            "(4.5), not 3.5"
        ],
    ),
    "a fault of the CPU, which all layers have": (
        ADD,
        "",
        ["steps.add must be priced for a CPU with these abilities, and is missing"],
    ),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_each_fault_of_a_layer_is_reported_once_under_its_key(wrong: str, tmp_path: Path) -> None:
    """Faults of a layer are named by its compiler, those of the CPU once for all, and none is invented."""
    old, new, expected = WRONG[wrong]
    assert old in LAYERED

    assert sorted(expected) == sorted(_faults(tmp_path, LAYERED.replace(old, new)))


def test_faults_of_layers_and_of_their_cpu_come_together(tmp_path: Path) -> None:
    """A file is read to its end for each compiler before anything is refused."""
    text = LAYERED.replace("cycles = 2, source", "cycles = -2, source").replace(CALL, CALL.replace("5", "-5"))

    assert [
        "compilers.clang-O2.steps.move.cycles",
        "steps.call.cycles",
        "steps.load_constant.cycles",
    ] == sorted(fault.split()[0] for fault in _faults(tmp_path, text))


def test_a_base_that_is_unknown_may_name_the_default_compiler(tmp_path: Path) -> None:
    """While it is unknown which base is meant, a file with a layer needs no default compiler."""
    (fault,) = _faults(tmp_path, 'based_on = "atmegaa"\n[compilers.gcc-Os]\n')

    assert fault.startswith("based_on: ")


def test_a_compiler_that_is_not_described_is_refused(buoy: CostModel) -> None:
    """The error says which compilers the CPU's table describes, and that of others nothing is known."""
    with pytest.raises(UnknownNameError) as caught:
        buoy.made_by("sdcc")

    assert str(caught.value) == (
        "the compiler of code on buoy must be one of gcc-O2, clang-O2, gcc-Os, hand-scheduled, not 'sdcc'; "
        "others are not described for this CPU"
    )


def test_a_compiler_is_named_wherever_a_model_is(tmp_path: Path) -> None:
    """A name or a file, an estimate, bounds and a calibration take a compiler, and a wrong one is refused."""
    with sf.counting() as tally:
        sf.binary32(0.25) + sf.binary32(1.5)
    board = _read(tmp_path, BOARD)
    clang = board.made_by("clang-O2")

    assert "gcc-O2" == cost_model("RP2040", compiler="gcc-O2").compiled_by.id
    assert "clang-O2" == load_cost_model(tmp_path / "buoy.toml", compiler="clang-O2").compiled_by.id
    assert clang is tally.estimate(board, compiler="clang-O2").cpu
    assert clang is sf.bounds("addition", sf.binary32, board, compiler="clang-O2").cpu
    assert clang is calibrate(board, [Measurement(tally, 900)], compiler="clang-O2").base
    for refused in (
        lambda: cost_model("RP2040", compiler="cc65"),
        lambda: load_cost_model(tmp_path / "buoy.toml", compiler="cc65"),
        lambda: tally.estimate("RP2040", compiler="cc65"),
        lambda: sf.bounds("addition", sf.binary32, board, compiler="cc65"),
    ):
        with pytest.raises(UnknownNameError, match=r", not 'cc65'; others are not described for this CPU$"):
            refused()


def test_code_scheduled_by_hand_takes_its_own_cycles(tmp_path: Path) -> None:
    """An estimate for a compiler knows what code scheduled by hand takes, where the table describes it."""
    with sf.counting() as tally:
        sf.binary64(0.25) * sf.binary64(1.5)
    board = _read(tmp_path, BOARD)
    estimate, by_hand = tally.estimate(board), tally.estimate(board, compiler="hand-scheduled")

    assert by_hand.cycles == estimate.cycles_by_hand
    assert by_hand.cycles < estimate.cycles
    assert by_hand.cycles_by_hand is None
    assert tally.estimate(replace(board, described={})).cycles_by_hand is None


def test_a_calibration_is_of_the_code_that_was_measured(tmp_path: Path) -> None:
    """What is fitted to one compiler's code is saved in its layer, and says nothing of another's."""
    with sf.counting() as tally:
        sf.binary32(0.25) + sf.binary32(1.5)
    calibration = calibrate("cortex-m0plus", [Measurement(tally, 300)])
    calibration.save(tmp_path / "board.toml")
    layers = load_cost_model(tmp_path / "board.toml")

    assert "[compilers.gcc-O2.surrounding_code.moves_a_step]" in calibration.toml.splitlines()
    assert pytest.approx(300) == tally.estimate(layers).cycles
    assert () == layers.compared_with_compiled_code
    assert {} == calibration.model.described


def test_a_copy_has_all_compilers(buoy: CostModel) -> None:
    """A model that was sent to another process knows those for the other compilers there."""
    copy = pickle.loads(pickle.dumps(buoy))

    assert list(buoy.described) == list(copy.described)
    assert copy is copy.made_by("clang-O2").made_by("gcc-O2")


@pytest.mark.parametrize("name", compilers())
def test_every_compiler_can_be_described(name: str, tmp_path: Path) -> None:
    """Each compiler that there is says what it is called and about, and can be the default of a table."""
    model = _read(tmp_path, f'default_compiler = "{name}"\n{BUOY}')

    assert name == model.compiled_by.id
    assert "" not in (model.compiled_by.title.strip(), model.compiled_by.about.strip())
