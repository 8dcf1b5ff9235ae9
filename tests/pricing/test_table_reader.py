"""Cost models read from files: what is accepted, and how every fault of a file is reported at once."""

from __future__ import annotations

import pickle
import sys
from dataclasses import replace
from importlib.resources import as_file, files
from pathlib import Path
from shutil import copytree

import pytest

from softfloat_py.errors import CostModelError, NotInstalledError, UnknownNameError
from softfloat_py.pricing import table_reader
from softfloat_py.pricing.figures import Standing
from softfloat_py.pricing.table_reader import cost_model, cost_models, load_cost_model, usual_compiler

SEE_ALL = "python -m softfloat_py cpus lists all"

# A CPU invented for the tests.
BUOY = """
title = "The buoy's microcontroller"
about = "invented for tests"

[clock]
lowest_mhz = 1
highest_mhz = 32
default_mhz = 8
source = "bench"
standing = "measured"

[abilities]
word = 16
carry_flag = false
barrel_shifter = false
multiplier_bits = 8
leading_zero_count = false
immediate_bits = 4
source = "manual"
standing = "published"

[documents.manual]
title = "The microcontroller's manual"
revision = "B"
tables = "Table 7"

[documents.bench]
title = "Cycle counter readings"

[steps]
add = { cycles = 1, source = "manual", standing = "published" }
subtract = { cycles = 1, source = "manual", standing = "published" }
and = { cycles = 1, source = "manual", standing = "published" }
or = { cycles = 1, source = "manual", standing = "published" }
xor = { cycles = 1, source = "manual", standing = "published" }
not = { cycles = 1, source = "manual", standing = "published" }
shift_left = { cycles = 0, cycles_per_n = 1, source = "manual", standing = "published" }
shift_right = { cycles = 0, cycles_per_n = 1, source = "manual", standing = "published" }
compare = { cycles = 1, source = "manual", standing = "published" }
select = { cycles = 3, source = "manual", standing = "published", derivation = "a branch over a move" }
branch_taken = { cycles = 3, source = "bench", standing = "measured" }
branch_not_taken = { cycles = 1, source = "bench", standing = "measured" }
multiply = { cycles = 9, source = "manual", standing = "published" }
load_constant = { cycles = 2, source = "manual", standing = "published" }
move = { cycles = 1, source = "manual", standing = "published" }
load = { cycles = 6, source = "manual", standing = "published" }
store = { cycles = 7, source = "manual", standing = "published" }
call = { cycles = 5, source = "manual", standing = "published" }
return = { cycles = 4, source = "manual", standing = "published" }

[surrounding_code]
registers = { value = 6, source = "bench", standing = "memory" }
scratch_registers = { value = 3, source = "manual", standing = "published" }
overwrites = ["add", "xor"]
branches_compare = false
condition_as_value = { cycles = 8, source = "bench", standing = "memory" }
save_and_restore = { cycles = 1, cycles_per_n = 5, source = "manual", standing = "published" }
argument_passing = { cycles = 4, source = "bench", standing = "memory" }
moves_a_step = { value = 0.25, source = "bench", standing = "memory" }
"""

KNOWN = 'source = "manual", standing = "published"'
ADD = f"add = {{ cycles = 1, {KNOWN} }}\n"
CALL = 'call = { cycles = 5, source = "manual", standing = "published" }'
BRANCH = 'branch_taken = { cycles = 3, source = "bench", standing = "measured" }'
DOCUMENT = 'title = "The microcontroller\'s manual"'

COMPARED = """
[[compared_with_compiled_code]]
compiler = "a compiler"
operations = "addition"
lowest_ratio = 1.2
highest_ratio = 1.4
source = "manual"
standing = "measured"

"""

WITH_FPU = f"""
[with_fpu]
title = "the same with an FPU"
load = {{ cycles = 2, {KNOWN} }}
store = {{ cycles = 2, {KNOWN} }}
[with_fpu.operations.binary23]
addition = {{ cycles = 2, {KNOWN} }}
[with_fpu.operations.binary32]
adition = {{ cycles = 2, {KNOWN} }}
division = {{ cycles = -1, {KNOWN} }}

"""

# What is changed in BUOY, and every fault that must be reported for it.
WRONG: dict[str, tuple[list[tuple[str, str]], list[str]]] = {
    "missing key": (
        [("default_mhz = 8\n", ""), ("value = 6, ", "")],
        [
            "clock.default_mhz must be a number below 1e9, and is missing",
            "surrounding_code.registers.value must be a number below 1e9, and is missing",
        ],
    ),
    "missing step": (
        [(ADD, "")],
        ["steps.add must be priced for a CPU with these abilities, and is missing"],
    ),
    "unknown key": (
        [("barrel_shifter =", "barel_shifter ="), ("move =", "mov =")],
        [
            "abilities.barrel_shifter must be true or false, and is missing",
            "abilities.barel_shifter is not a key that belongs here; did you mean 'barrel_shifter'?",
            "steps.mov is not a key that belongs here; did you mean 'move'?",
        ],
    ),
    "negative": (
        [("cycles = 9", "cycles = -9"), ("value = 0.25", "value = -0.75")],
        [
            "surrounding_code.moves_a_step.value must be moves a step, from -0.5 to 10, not -0.75",
            "steps.multiply.cycles must be 0 or more, not -9",
        ],
    ),
    "wrong type": (
        [("cycles = 9", "cycles = 'nine'"), ("cycles = 2", "cycles = true"), (ADD, "add = 1\n")],
        [
            "steps.add must be a price { cycles = ... } or a list of prices, not 1",
            "steps.multiply.cycles must be a number below 1e9, not 'nine'",
            "steps.load_constant.cycles must be a number below 1e9, not True",
        ],
    ),
    "not finite": (
        [("cycles = 9", "cycles = nan"), ("cycles = 2", "cycles = inf")],
        [
            "steps.multiply.cycles must be a number below 1e9, not nan",
            "steps.load_constant.cycles must be a number below 1e9, not inf",
        ],
    ),
    "unknown source": (
        [('cycles = 9, source = "manual"', 'cycles = 9, source = "manuel"')],
        ["steps.multiply.source must be one of manual, bench, not 'manuel'; did you mean 'manual'?"],
    ),
    "unknown standing": (
        [(CALL, CALL.replace("published", "official"))],
        ["steps.call.standing must be one of published, measured, memory, not 'official'"],
    ),
    "published nowhere": (
        [(BRANCH, BRANCH.replace("measured", "published"))],
        [
            "steps.branch_taken.standing must not be 'published' for a document without revision and tables, "
            "as 'Cycle counter readings' is; state them, or say 'memory'"
        ],
    ),
    "contradictory ability": (
        [(ADD, ADD + ADD.replace("add", "add_with_carry")), ("multiplier_bits = 8", "multiplier_bits = 0")],
        [
            "steps.add_with_carry must not be priced while abilities.carry_flag is false; "
            "correct the ability, or leave the price out",
            "steps.multiply must not be priced while abilities.multiplier_bits is 0; "
            "correct the ability, or leave the price out",
        ],
    ),
    "impossible ability": (
        [("word = 16", "word = 12"), ("highest_mhz = 32", "highest_mhz = 4")],
        [
            "clock.default_mhz must lie between lowest_mhz (1) and highest_mhz (4), not be 8",
            "abilities.word must be one of 4, 8, 16, 32, 64 bits, not 12",
        ],
    ),
    "impossible immediates": (
        [("immediate_bits = 4\n", "immediate_bits = 4\nupper_immediate_bits = 20\n")],
        ["abilities.upper_immediate_bits must be a whole number from 0 to 16, the word, not 20"],
    ),
    "negative access to memory": (
        [
            (
                "branches_compare = false\n",
                f"branches_compare = false\nword_in_memory = {{ cycles = -3, {KNOWN} }}\n",
            )
        ],
        ["surrounding_code.word_in_memory.cycles must be 0 or more, not -3"],
    ),
    "another unit": (
        [
            ("lowest_mhz = 1\n", "lowest_mhz = 1000000\n"),
            ("highest_mhz = 32", "highest_mhz = 32000000"),
            ("value = 0.25", "value = 25"),
            ("word = 16", "word = 2"),
        ],
        [
            "clock.lowest_mhz must be in MHz, at most 10000, not 1000000",
            "clock.highest_mhz must be in MHz, at most 10000, not 32000000",
            "surrounding_code.moves_a_step.value must be moves a step, from -0.5 to 10, not 25",
            "abilities.word must be one of 4, 8, 16, 32, 64 bits, not 2",
        ],
    ),
    "out of range": (
        [
            ("lowest_mhz = 1\n", "lowest_mhz = 0\n"),
            ("multiplier_bits = 8", "multiplier_bits = 32"),
            ("value = 6, ", "value = 5.5, "),
        ],
        [
            "clock.lowest_mhz must be above 0, not 0",
            "abilities.multiplier_bits must be a whole number from 0 to 16, the word, not 32",
            "surrounding_code.registers.value must be a whole number, 0 or more, not 5.5",
        ],
    ),
    "surroundings of another shape": (
        [
            ('overwrites = ["add", "xor"]', 'overwrites = "add"'),
            ("branches_compare = false", "branches_compare = 0"),
            (
                "condition_as_value = { cycles = 8,",
                "condition_as_value = { cycles_per_n = 1, cycles = 8,",
            ),
        ],
        [
            "surrounding_code.overwrites must be a list of texts, not 'add'",
            "surrounding_code.branches_compare must be true or false, not 0",
            "surrounding_code.condition_as_value.cycles_per_n is not a key that belongs here; "
            "did you mean 'cycles'?",
        ],
    ),
    "a compiler of another shape": (
        [
            (
                "[surrounding_code]",
                "[compiler]\ncarries_between_words = 1\nput_away_bytes = 4\n"
                f"types = {{ bits = 32, {KNOWN} }}\nmoves_a_step = {{ lowest = 0, {KNOWN} }}\n"
                "moves_around_a_product = { value = 2 }\n[surrounding_code]",
            )
        ],
        [
            "compiler.types.bits must be a list of whole numbers, not 32",
            "compiler.moves_around_a_product.source must be a text that is not empty, and is missing",
            "compiler.moves_around_a_product.standing must be a text that is not empty, and is missing",
            "compiler.moves_a_step.highest must be a number below 1e9, and is missing",
            "compiler.carries_between_words must be true or false, not 1",
            "compiler.put_away_bytes is not a key that belongs here; did you mean 'put_away_bits'?",
        ],
    ),
    "a compiler that cannot be": (
        [
            (
                "[surrounding_code]",
                f"[compiler]\ntypes = {{ bits = [16, 8], {KNOWN} }}\n[surrounding_code]",
            )
        ],
        ["compiler.types.bits must be whole bytes, narrowest first, not [16, 8]"],
    ),
    "moves beyond what its own compiler may be ascribed, and another fault": (
        [
            (
                "[surrounding_code]",
                f"[compiler]\nmoves_a_step = {{ lowest = 0, highest = 0.1, {KNOWN} }}\n[surrounding_code]",
            ),
            ("value = 6, ", "value = 5.5, "),
        ],
        [
            "surrounding_code.moves_a_step.value must be moves a step, from 0 to 0.1, not 0.25",
            "surrounding_code.registers.value must be a whole number, 0 or more, not 5.5",
        ],
    ),
    "surroundings that cannot be": (
        [('["add", "xor"]', '["add", "exor"]'), ("value = 3, ", "value = 7, ")],
        [
            "surrounding_code.scratch_registers.value must be at most registers.value (6), not 7",
            "surrounding_code.overwrites must name kinds of step, not 'exor'",
        ],
    ),
    "old key": (
        [("scratch_registers =", "saved_registers =")],
        [
            "surrounding_code.scratch_registers must be a table, and is missing",
            "surrounding_code.saved_registers is not a key that belongs here; "
            "did you mean 'scratch_registers'?",
        ],
    ),
    "missing source": (
        [(ADD, "add = { cycles = 1 }\n"), (CALL, 'call = { cycles = 5, standing = "published" }')],
        [
            "steps.add.source must be a text that is not empty, and is missing",
            "steps.add.standing must be a text that is not empty, and is missing",
            "steps.call.source must be a text that is not empty, and is missing",
        ],
    ),
    "published without revision": (
        [
            ('revision = "B"\n', ""),
            ('standing = "published"', 'standing = "memory"'),
            (ADD.replace("published", "memory"), ADD),
        ],
        [
            "steps.add.standing must not be 'published' for a document without revision and tables, "
            "as \"The microcontroller's manual\" is; state them, or say 'memory'"
        ],
    ),
    "falling brackets": (
        [
            (
                ADD,
                f"add = [{{ up_to_width = 16, cycles = 2, {KNOWN} }},"
                f"       {{ up_to_width = 8, cycles = 1, {KNOWN} }}]\n",
            )
        ],
        ["steps.add must have its prices in rising order of up_to_width, not [16, 8]"],
    ),
    "no price in a list": (
        [(ADD, "add = []\n")],
        ["steps.add must be a price { cycles = ... } or a list of prices, not []"],
    ),
    "price by n without an n": (
        [
            (ADD, ADD.replace("cycles = 1", "cycles = 1, cycles_per_n = 1")),
            ("argument_passing = { cycles = 4,", "argument_passing = { cycles = 4, cycles_per_n = 1,"),
        ],
        [
            "steps.add must not have cycles_per_n: a step of this kind is counted without an n",
            "surrounding_code.argument_passing.cycles_per_n is not a key that belongs here; "
            "did you mean 'cycles'?",
        ],
    ),
    "quantity for a price": (
        [(CALL, CALL.replace("cycles", "value")), ("value = 6, ", "cycles = 6, ")],
        [
            "steps.call.cycles must be a number below 1e9, and is missing",
            "steps.call.value is not a key that belongs here",
            "surrounding_code.registers.value must be a number below 1e9, and is missing",
            "surrounding_code.registers.cycles is not a key that belongs here",
        ],
    ),
    "comparison that was not measured": (
        [
            (
                "[surrounding_code]",
                COMPARED.replace('"measured"', '"memory"').replace("1.4", "1.1") + "[surrounding_code]",
            )
        ],
        [
            "compared_with_compiled_code[0].highest_ratio must be at least lowest_ratio (1.2), not 1.1",
            "compared_with_compiled_code[0].standing must be 'measured', as a comparison is, not 'memory'",
        ],
    ),
    "FPU of unknown operations": (
        [("[surrounding_code]", WITH_FPU + "[surrounding_code]")],
        [
            "with_fpu.clock_note must be a text that is not empty, and is missing",
            "with_fpu.operations.binary23 is not a key that belongs here; did you mean 'binary32'?",
            "with_fpu.operations.binary32.adition is not a key that belongs here; did you mean 'addition'?",
            "with_fpu.operations.binary32.division.cycles must be 0 or more, not -1",
        ],
    ),
    "gap between brackets": (
        [(ADD, 'add = [{ up_to_width = 8, cycles = 1, source = "manual", standing = "published" }]\n')],
        ["steps.add must be priced up to 16 bits, not 8"],
    ),
    "fault in a list": (
        [(ADD, 'add = [{ up_to_width = 8.5, cycles = 1, source = "manual", standing = "published" }]\n')],
        ["steps.add[0].up_to_width must be a whole number, not 8.5"],
    ),
    "fault in the last bracket": (
        [
            (
                ADD,
                f"add = [{{ up_to_width = 8, cycles = 1, {KNOWN} }},"
                f"       {{ up_to_width = 16, cycle = 2, {KNOWN} }}]\n",
            )
        ],
        [
            "steps.add[1].cycles must be a number below 1e9, and is missing",
            "steps.add[1].cycle is not a key that belongs here; did you mean 'cycles'?",
        ],
    ),
    "operations compared with operands in memory": (
        [
            (
                "[surrounding_code]",
                COMPARED.replace("source", "in_memory = true\nsource") + "[surrounding_code]",
            )
        ],
        ["compared_with_compiled_code[0].in_memory must be false where no kernels were compared, not True"],
    ),
    "document with a fault": (
        [(DOCUMENT, "title = 7"), ("[surrounding_code]", COMPARED + "[surrounding_code]")],
        ["documents.manual.title must be a text that is not empty, not 7"],
    ),
    "unknown base beside other faults": (
        [
            ("about =", "based_on = 3\naboot ="),
            ('title = "The buoy\'s microcontroller"', "title = 7"),
            ("highest_mhz = 32\n", ""),
            ("leading_zero_count = false", "leading_zero_count = true"),
            ("cycles = 9", "cycles = 'nine'"),
            ('cycles = 2, source = "manual"', 'cycles = 2, source = "a document of the base"'),
            ("moves_a_step =", "moves_a_stop ="),
        ],
        [
            "based_on: a cost model must be the name of one, or of a core or chip that one is for, not 3; "
            f"{SEE_ALL}",
            "aboot is not a key that belongs here; did you mean 'about'?",
            "title must be a text that is not empty, not 7",
            "clock.highest_mhz must be a number below 1e9, and is missing",
            "steps.multiply.cycles must be a number below 1e9, not 'nine'",
            "surrounding_code.moves_a_stop is not a key that belongs here; did you mean 'moves_a_step'?",
        ],
    ),
    "aliases of another type": (
        [("about =", 'aliases = ["drifter", 2]\nabout =')],
        ["aliases must be a list of texts, not ['drifter', 2]"],
    ),
    "unknown base": (
        [("about =", 'based_on = "atmegaa"\nabout =')],
        [
            "based_on: a cost model must be the name of one, or of a core or chip that one is for, "
            f"not 'atmegaa'; did you mean 'atmega'? {SEE_ALL}"
        ],
    ),
}


def _written(folder: Path, text: str) -> Path:
    path = folder / "buoy.toml"
    path.write_text(text, encoding="utf-8")
    return path


def _faults(path: Path) -> tuple[str, ...]:
    with pytest.raises(CostModelError) as caught:
        load_cost_model(path)
    assert str(path) == caught.value.source
    return caught.value.faults


def test_compiler_of_a_file_is_the_usual_one_but_for_what_it_says(tmp_path: Path) -> None:
    """Without a table of its own a model has the compiler of all; with one, that with its own habits."""
    carries = BUOY.replace(
        "[surrounding_code]", "[compiler]\ncarries_between_words = false\n[surrounding_code]"
    )
    types = BUOY.replace(
        "[surrounding_code]", f"[compiler]\ntypes = {{ bits = [16, 32], {KNOWN} }}\n[surrounding_code]"
    )
    usual = usual_compiler()

    assert usual is load_cost_model(_written(tmp_path, BUOY)).compiler
    own = load_cost_model(_written(tmp_path, carries)).compiler
    assert replace(usual, carries_between_words=False) == own
    own = load_cost_model(_written(tmp_path, types)).compiler
    assert (16, 32) == own.types.bits
    assert replace(usual, types=own.types) == own


def test_models_are_listed_in_order() -> None:
    """The list of names is sorted, and holds the files of cost models whatever else lies beside them."""
    folder = files("softfloat_py.costmodels")
    tables = [entry.name.removesuffix(".toml") for entry in folder.iterdir() if entry.name.endswith(".toml")]

    assert sorted(tables) == cost_models()
    assert {"atmega", "cortex-m0plus", "mc68000"} <= set(cost_models())


@pytest.mark.parametrize("name", cost_models())
def test_committed_models_load(name: str) -> None:
    """Every committed file is a model under its own name, and is read once."""
    assert name == cost_model(name).name
    assert cost_model(name) is cost_model(name)


def test_unknown_model_gets_a_suggestion() -> None:
    """A name that is no model's raises with the closest name."""
    with pytest.raises(UnknownNameError, match=r", not 'atmegga'; did you mean 'atmega'\?"):
        cost_model("atmegga")


def test_model_is_found_by_the_name_of_a_chip() -> None:
    """A core, chip or board stands for its model, in a program and as a base; the model keeps its name."""
    assert cost_model("rp2040") is cost_model("Cortex-M0+") is cost_model("cortex-m0plus")
    assert "cortex-m0plus" == cost_model("Raspberry Pi Pico").name


def test_base_may_be_a_chip_and_keeps_its_names(tmp_path: Path) -> None:
    """A file based on a chip takes over its figures, not its names: those are the base's alone."""
    own = load_cost_model(_written(tmp_path, 'based_on = "RP2040"\naliases = ["drifter", "Drift 2*"]\n'))
    bare = load_cost_model(_written(tmp_path, 'based_on = "RP2040"\n'))

    assert cost_model("cortex-m0plus").steps == own.steps
    assert (("drifter", "Drift 2*"), ()) == (own.aliases, bare.aliases)
    assert "RP2040*" in cost_model("cortex-m0plus").aliases


def test_own_file_becomes_a_model(tmp_path: Path) -> None:
    """A file of one's own is read whole, and its figures keep their sources."""
    model = load_cost_model(_written(tmp_path, BUOY))

    assert "buoy" == model.name
    assert 5 == model.cycles("shift_left", 16, 5)
    assert 5 + 4 + 4 == model.cycles_around_a_call(words=3)
    assert 5 + 4 + 4 + (1 + 2 * 5) == model.cycles_around_a_call(words=5)
    assert ("add", "xor") == model.surrounding_code.overwrites
    assert "a branch over a move" == model.steps["select"][0].origin.derivation
    assert Standing.MEASURED is model.price("branch_taken", 1).origin.standing
    assert "Cycle counter readings" == model.price("branch_taken", 1).origin.document.title
    assert () == model.compared_with_compiled_code
    assert model.with_fpu is None


def test_comparisons_of_kernels_are_apart(tmp_path: Path) -> None:
    """Whole kernels are compared with either setting, and none of them is a comparison of operations."""
    entries = [
        COMPARED.replace("source", f"{more}source")
        for more in ("", "kernels = true\n", "kernels = true\nin_memory = true\n")
    ]
    model = load_cost_model(
        _written(tmp_path, BUOY.replace("[surrounding_code]", "".join(entries) + "[surrounding_code]", 1))
    )

    assert [(False, False), (True, False), (True, True)] == [
        (each.kernels, each.in_memory) for each in model.compared_with_compiled_code
    ]
    assert 1 == len(model.comparisons(elementary=False))
    assert [[False], [True]] == [
        [each.in_memory for each in model.kernel_comparisons(setting)] for setting in (False, True)
    ]


def test_path_may_be_a_string(tmp_path: Path) -> None:
    """A path is taken as text too."""
    path = _written(tmp_path, BUOY)

    assert load_cost_model(path).steps == load_cost_model(str(path)).steps


def test_based_on_takes_the_rest_from_a_model(tmp_path: Path) -> None:
    """A file that names a base changes what it gives, whole figures at a time, and nothing else."""
    own = """
    based_on = "cortex-m0plus"
    clock = { default_mhz = 16 }
    [documents.bench]
    title = "Cycle counter readings"
    [steps]
    multiply = { cycles = 4, source = "bench", standing = "measured" }
    """
    model, base = load_cost_model(_written(tmp_path, own)), cost_model("cortex-m0plus")

    assert (16, base.clock.highest_mhz) == (model.clock.default_mhz, model.clock.highest_mhz)
    assert {"multiply"} == {kind for kind in base.steps if base.steps[kind] != model.steps[kind]}
    assert "" == model.price("multiply", 16).origin.note
    assert base.title == model.title


@pytest.mark.parametrize("wrong", WRONG)
def test_wrong_file_gets_one_report_of_all_faults(wrong: str, tmp_path: Path) -> None:
    """Each kind of fault is reported with its key, what must hold and what came, and no other is invented."""
    changes, expected = WRONG[wrong]
    text = BUOY
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)

    assert sorted(expected) == sorted(_faults(_written(tmp_path, text)))


def test_unknown_base_may_have_what_is_missing(tmp_path: Path) -> None:
    """While it is unknown which base is meant, what a base may hold is not called missing or unknown."""
    own = """
    based_on = "cortx-m0plus"
    clock = { default_mhz = "16" }
    [documents.bench]
    title = "Cycle counter readings"
    [abilities]
    multiplier_bits = 0
    [steps]
    multiply = { cycles = 4, source = "trm", standing = "published" }
    """

    assert (
        "based_on: a cost model must be the name of one, or of a core or chip that one is for, "
        f"not 'cortx-m0plus'; did you mean 'cortex-m0plus'? {SEE_ALL}",
        "clock.default_mhz must be a number below 1e9, not '16'",
    ) == _faults(_written(tmp_path, own))


@pytest.fixture(name="tide_tables")
def _tide_tables(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder in place of the library's: two models based on each other, and one on itself."""
    folder = tmp_path / "tables"
    with as_file(files("softfloat_py.costmodels").joinpath("compilers")) as compilers:
        copytree(compilers, folder / "compilers")
    for name, base in (("ebb", "flood"), ("flood", "ebb"), ("slack", "slack")):
        (folder / f"{name}.toml").write_text(f'based_on = "{base}"\ntitel = "a tide"\n', encoding="utf-8")
    monkeypatch.setattr(table_reader, "_folder", lambda: folder)
    return folder


@pytest.mark.parametrize(("name", "circle"), [("ebb", "flood on ebb on flood"), ("slack", "slack on slack")])
@pytest.mark.usefixtures("tide_tables")
def test_bases_in_a_circle_are_one_fault(name: str, circle: str) -> None:
    """Models based on each other, or one on itself, are refused with their names and their other faults."""
    with pytest.raises(CostModelError) as caught:
        cost_model(name)

    assert f"{name}.toml" == caught.value.source
    assert (
        f"based_on must lead to a model that has no base, not in a circle: {circle}",
        "titel is not a key that belongs here; did you mean 'title'?",
    ) == caught.value.faults


@pytest.mark.usefixtures("tide_tables")
def test_own_file_on_a_circle_is_one_fault(tmp_path: Path) -> None:
    """A file of one's own whose base runs in a circle is refused; the circle is named without the file."""
    assert ("based_on must lead to a model that has no base, not in a circle: ebb on flood on ebb",) == (
        _faults(_written(tmp_path, 'based_on = "ebb"\n'))
    )


def test_own_file_may_have_the_name_of_its_base(tmp_path: Path) -> None:
    """A file named like the library's model that it is based on is no circle."""
    path = tmp_path / "atmega.toml"
    path.write_text('based_on = "atmega"\ntitle = "The buoy\'s ATmega"\n', encoding="utf-8")

    assert "The buoy's ATmega" == load_cost_model(path).title


def test_key_given_twice_is_one_fault_with_its_line(tmp_path: Path) -> None:
    """A key that comes twice in a table is reported with its line."""
    (fault,) = _faults(_written(tmp_path, BUOY.replace(ADD, ADD + ADD)))

    assert fault.startswith("the file must be TOML in UTF-8; ")
    assert f"line {BUOY[: BUOY.index(ADD)].count(chr(10)) + 2}, " in fault


def test_faults_of_all_kinds_come_together(tmp_path: Path) -> None:
    """A missing key, a negative price, an unknown source and a contradiction are one report."""
    text = BUOY.replace("highest_mhz = 32\n", "").replace("cycles = 9", "cycles = -9")
    text = text.replace(
        'moves_a_step = { value = 0.25, source = "bench"', 'moves_a_step = { value = 0.25, source = "x"'
    )
    text = text.replace("leading_zero_count = false", "leading_zero_count = true")

    keys = [fault.split()[0] for fault in _faults(_written(tmp_path, text))]

    assert [
        "clock.highest_mhz",
        "steps.count_leading_zeros",
        "steps.multiply.cycles",
        "surrounding_code.moves_a_step.source",
    ] == sorted(keys)


def test_missing_documents_are_one_fault(tmp_path: Path) -> None:
    """Without its documents a file is faulted for that once, not for every figure that names one."""
    text = BUOY.replace("[documents.manual]", "[papers.manual]").replace(
        "[documents.bench]", "[papers.bench]"
    )
    text = text.replace(CALL, CALL.replace('"manual"', "[]"))

    assert (
        "documents must be a table, and is missing",
        "steps.call.source must be a text that is not empty, not []",
        "papers is not a key that belongs here",
    ) == _faults(_written(tmp_path, text))


def test_report_counts_and_lists_the_faults(tmp_path: Path) -> None:
    """The error's text names the file, the number of faults, and one fault a line; it survives pickling."""
    path = _written(tmp_path, BUOY.replace(ADD, ""))
    with pytest.raises(CostModelError) as caught:
        load_cost_model(path)

    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)
    assert str(caught.value) == (
        f"cost table {path} has 1 fault:\n"
        "  steps.add must be priced for a CPU with these abilities, and is missing"
    )


def test_text_that_is_not_toml_is_one_fault_with_its_line(tmp_path: Path) -> None:
    """A slip of syntax is reported with line and column."""
    (fault,) = _faults(_written(tmp_path, 'title = "buoy"\nabout "no equals sign"\n'))

    assert fault.startswith("the file must be TOML in UTF-8; ")
    assert "line 2, column 7" in fault


def test_bytes_that_are_not_text_are_one_fault(tmp_path: Path) -> None:
    """A file in another encoding is refused in one sentence."""
    path = tmp_path / "buoy.toml"
    path.write_bytes('title = "Mär"'.encode("latin-1"))

    (fault,) = _faults(path)

    assert fault.startswith("the file must be TOML in UTF-8; ")


@pytest.mark.parametrize(
    "text",
    [
        "cycles = " + 5001 * "9",
        "cycles = " + 100_000 * "[",
        "cycles = " + 100_000 * "{ a = ",
        "\ufeff\ufeff" + BUOY,
    ],
)
def test_texts_beyond_the_reader_of_toml_are_one_fault(text: str, tmp_path: Path) -> None:
    """An integer too long for Python, tables in tables without end, and two marks are refused."""
    (fault,) = _faults(_written(tmp_path, text))

    assert fault.startswith("the file must be TOML in UTF-8; ")


def test_a_mark_at_the_beginning_is_left_out(tmp_path: Path) -> None:
    """A table that an editor saved with a byte order mark is the same table."""
    marked, plain = tmp_path / "marked.toml", tmp_path / "plain.toml"
    marked.write_bytes(b"\xef\xbb\xbf" + BUOY.encode())
    plain.write_bytes(BUOY.encode())

    assert load_cost_model(plain).steps == load_cost_model(marked).steps


def test_missing_file_is_one_fault(tmp_path: Path) -> None:
    """A path where no file is gives the same kind of report."""
    assert ("the file must be readable, not: No such file or directory",) == _faults(tmp_path / "none.toml")


def test_library_that_is_not_installed_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Run from its source folder alone, the library finds no tables, and says how they are found."""
    monkeypatch.setitem(sys.modules, "softfloat_py.costmodels", None)

    with pytest.raises(NotInstalledError, match=r"must be installed .*pip install --editable"):
        cost_models()
