"""Kernel files: loaded as scripts are, run afresh each time, refused in one sentence."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import softfloat_py as sf
from softfloat_py.kernels import load_kernel_file

INPUTS = "\ndef inputs():\n    return (0.5,)\n"


@pytest.fixture
def written(tmp_path: Path) -> Callable[..., Path]:
    """Write a kernel file, and others beside it by name; gives the file's path."""

    def write(text: str, **beside: str) -> Path:
        for name, other in beside.items():
            path = tmp_path / f"{name.replace('__', '/')}.py"
            path.parent.mkdir(exist_ok=True)
            path.write_text(other, encoding="utf-8")
        path = tmp_path / "buoy.py"
        path.write_text(text, encoding="utf-8")
        return path

    return write


def result_of(path: Path) -> Any:
    """What a kernel file's kernel returns in binary32."""
    return load_kernel_file(path).counted_run(sf.binary32)[0]


def refusal_of(path: Path) -> str:
    """The sentence that a kernel file is refused with."""
    with pytest.raises(sf.KernelError) as refused:
        load_kernel_file(path).counted_run(sf.binary32)
    return str(refused.value)


def test_modules_beside_are_imported_early_and_late(written: Callable[..., Path]) -> None:
    """A file, a package and a relative import work early and late; their floats are emulated."""
    path = written(
        "import gains\ndef kernel(x):\n    from sensors.scale import scaled\n"
        "    return scaled(x) * gains.GAIN + gains.offset()\n" + INPUTS,
        gains="GAIN = 0.25\ndef offset():\n    return 0.125 + GAIN\n",
        sensors__scale="from .units import FACTOR\ndef scaled(x):\n    return x * FACTOR\n",
        sensors__units="FACTOR = 2.0\n",
    )
    result, tally = load_kernel_file(path).counted_run(sf.binary32)

    assert sf.binary32(0.625) == result
    # scaled, the product with GAIN, its sum; 0.125 + GAIN is a constant of the module.
    assert {("multiplication", "binary32"): 2, ("addition", "binary32"): 1} == tally.calls


def test_a_file_may_lie_beside_a_checkout_of_the_library(written: Callable[..., Path]) -> None:
    """What runs a kernel is not taken for a module of the kernel's, so there is one class of numbers."""
    path = written("def kernel(x):\n    return [v - 0.25 for v in x]\ndef inputs():\n    return ([0.5],)\n")
    library = Path(sf.__file__).parent
    (path.parent / library.name).symlink_to(library)

    assert [sf.binary32(0.25)] == result_of(path)


def test_nothing_is_left_in_the_program_that_runs_a_file(written: Callable[..., Path]) -> None:
    """The path and the names of modules are afterwards what they were, whatever was loaded before."""
    path = written(
        "import gains\ndef kernel(x):\n    return x * gains.GAIN\n" + INPUTS, gains="GAIN = 0.25\n"
    )
    before, modules = list(sys.path), set(sys.modules)
    other = type(sys)("gains")
    sys.modules["gains"] = other
    try:
        assert sf.binary32(0.125) == result_of(path)
        assert other is sys.modules["gains"]
    finally:
        del sys.modules["gains"]
    assert before == sys.path
    assert not {name for name in set(sys.modules) - modules if name in ("gains", "kernel_file", "buoy")}


def test_places_that_a_file_puts_on_the_path_are_searched(
    written: Callable[..., Path], tmp_path: Path
) -> None:
    """A folder that the file adds is the program's own as well, and its own folder stays."""
    path = written(
        f"import sys\nsys.path.insert(0, {str(tmp_path / 'shared')!r})\nimport limits\nimport gains\n"
        "def kernel(x):\n    import gains\n    return x * gains.GAIN * limits.LIMIT + limits.half(x)\n"
        + INPUTS,
        gains="GAIN = 0.25\n",
        shared__limits="LIMIT = 2.0\ndef half(x):\n    return x * 0.5\n",
    )
    before = list(sys.path)

    assert sf.binary32(0.5) == result_of(path)
    assert before == sys.path


def test_each_run_begins_with_the_file_as_it_was_loaded(written: Callable[..., Path]) -> None:
    """Globals, tables and classes that a kernel changes are new in the next run, in any format."""
    path = written(
        "COUNT = 0\nSTATE = [0.0]\ndef kernel(x):\n    global COUNT\n    COUNT += 1\n"
        "    STATE[0] = STATE[0] + x\n    return COUNT, STATE[0]\n" + INPUTS
    )
    kernel_file = load_kernel_file(path)

    assert (1, sf.binary32(0.5)) == kernel_file.counted_run(sf.binary32)[0]
    assert (1, sf.binary16(0.5)) == kernel_file.counted_run(sf.binary16)[0]


def test_inputs_and_the_module_level_run_on_the_host(written: Callable[..., Path]) -> None:
    """What inputs() computes, with functions that the kernel uses too, is the host's and counts nothing."""
    path = written(
        "import math\nimport numpy as np\ndef wave(t):\n    return 0.5 * math.sin(t) + np.zeros(1)[0]\n"
        "TABLE = [math.cos(k * 0.1) for k in range(4)]\n"
        "def kernel(x):\n    return x * TABLE[1]\n"
        "def inputs():\n    value = wave(1.0)\n    assert type(value) in (float, np.float64)\n"
        "    return (float(value),)\n"
    )
    _, tally = load_kernel_file(path).counted_run(sf.binary32)

    assert {("multiplication", "binary32"): 1} == tally.calls


def test_inputs_are_for_the_kernel_as_it_is_called(written: Callable[..., Path]) -> None:
    """A decorator may give arguments of its own: what it stands before is not what is called."""
    decorator = (
        "from functools import wraps\ndef amplified(kernel):\n    @wraps(kernel)\n    def called(x):\n"
        "        return kernel(x, 2.0)\n    return called\n"
    )
    path = written(f"{decorator}@amplified\ndef kernel(x, gain):\n    return x * gain\n" + INPUTS)

    assert sf.binary32(1.0) == result_of(path)


def test_ints_become_floats_at_the_users_line(written: Callable[..., Path]) -> None:
    """An int that is divided, or raised to a power, is counted where that stands in the user's file."""
    kernel = "def kernel(x):\n    n = len(x)\n    a = n / 4.0\n    b = n / x[0]\n    return a, b, n ** 0.5\n"
    path = written(kernel + "def inputs():\n    return ([0.5, 0.25],)\n")
    _, tally = load_kernel_file(path).counted_run(sf.binary32)

    assert {("buoy.py", 3), ("buoy.py", 4), ("buoy.py", 5)} == {
        (Path(line.file).name, line.number) for line in tally.steps_by_line
    }


def test_lines_are_those_of_the_users_file(written: Callable[..., Path]) -> None:
    """Errors and counts name the line that the user wrote."""
    counted = written("def kernel(x):\n    y = x\n    return y * 0.5\n" + INPUTS)
    _, tally = load_kernel_file(counted).counted_run(sf.binary32)
    assert [("buoy.py", 3)] == [(Path(line.file).name, line.number) for line in tally.steps_by_line]

    failing = written("def kernel(x):\n    y = x * 0.5\n    return y + 'a'\n" + INPUTS)
    assert "buoy.py, line 3, it raised OperandError" in refusal_of(failing)


@pytest.mark.parametrize(
    ("kernel", "given", "reason"),
    [
        ("return n + 1", "(1,)", "inputs() gave ints alone"),
        ("return sum(n)", "([],)", "gave nothing to compute with"),
        ("return n", "([0.5],)", "no operation met a number"),
    ],
)
def test_kernel_that_computes_nothing_is_told_why(
    written: Callable[..., Path], kernel: str, given: str, reason: str
) -> None:
    """A total of nothing is no answer: the sentence says what kept the kernel from computing."""
    path = written(f"def kernel(n):\n    {kernel}\ndef inputs():\n    return {given}\n")

    assert reason in refusal_of(path)


def test_kernel_whose_work_is_in_threads_is_told_so(written: Callable[..., Path]) -> None:
    """Threads that no tally counts are named as the reason."""
    path = written(
        "from concurrent.futures import ThreadPoolExecutor\n"
        "def work(v):\n    return v * 0.5\n"
        "def kernel(x):\n    pool = ThreadPoolExecutor(1)\n    return list(pool.map(work, [x, x]))\n" + INPUTS
    )

    assert "threads that no tally counts" in refusal_of(path)


def test_data_that_cannot_be_emulated_is_refused_where_it_enters(written: Callable[..., Path]) -> None:
    """Tables of other packages and masked arrays are answered with what to give instead."""
    table = "class Table:\n    def to_numpy(self):\n        return None\n"
    path = written(f"{table}def kernel(x):\n    return x\ndef inputs():\n    return (Table(),)\n")
    assert "with its to_numpy()" in refusal_of(path)

    masked = (
        "import numpy as np\ndef kernel(x):\n    return x\ndef inputs():\n    return (np.ma.array([0.5]),)\n"
    )
    assert "filled(value)" in refusal_of(written(masked))


def test_result_may_hold_itself(written: Callable[..., Path]) -> None:
    """A list that is its own element is returned as it is."""
    result = result_of(
        written("def kernel(x):\n    found = [x * 0.5]\n    found.append(found)\n    return found\n" + INPUTS)
    )

    assert result is result[1]


def test_errors_without_a_text_are_told(written: Callable[..., Path]) -> None:
    """An exception whose text cannot be made does not hide what happened."""
    path = written(
        "class Mute(Exception):\n    def __str__(self):\n        raise ValueError\n"
        "def kernel(x):\n    raise Mute\n" + INPUTS
    )

    assert "raised Mute: an error that cannot be shown" in refusal_of(path)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("def kernel(:\n", "line 1, it raised SyntaxError"),
        ("1 / 0\n", "line 1, it raised ZeroDivisionError"),
        ("def inputs():\n    return (1.0,)\n", "has no kernel"),
        ("def kernel(x):\n    return x\n", "has no inputs"),
        ("def kernel(x):\n    return x\ndef inputs():\n    return 0.5\n", "must return a tuple"),
        ("def kernel(x):\n    return x\ndef inputs():\n    raise OSError('no card')\n", "OSError: no card"),
        ("import sys\nsys.exit(3)\n", "raised SystemExit"),
    ],
)
def test_files_that_are_none_are_refused(written: Callable[..., Path], text: str, sentence: str) -> None:
    """What a kernel file lacks, and where it fails, is one sentence."""
    assert sentence in refusal_of(written(text))


def test_missing_file_is_refused(tmp_path: Path) -> None:
    """A path must lead to a file."""
    assert "must be a Python file that exists" in refusal_of(tmp_path / "none.py")
