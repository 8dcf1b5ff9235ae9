"""What `estimate` refuses: names, cost tables, kernel files, arguments; each in one sentence."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from softfloat_py.__main__ import main


def test_unknown_cpu(drift: str, refusal: Callable[..., str]) -> None:
    """An unknown CPU is refused with what is near, and with how to see all."""
    required = "a cost model must be the name of one, or of a core or chip that one is for"
    all_of_them = "python -m softfloat_py cpus lists all"

    assert f"{required}, not 'atmegga'; did you mean 'atmega'? {all_of_them}" == refusal(
        "estimate", drift, "--cpu", "atmegga"
    )
    assert f"{required}, not 'tideway'; {all_of_them}" == refusal("estimate", drift, "--cpu", "tideway")


def test_unknown_format_and_options(drift: str, refusal: Callable[..., str]) -> None:
    """An unknown format, order or set of options is refused with those that are known and the nearest one."""
    assert refusal("estimate", drift, "--format", "binary23") == (
        "the format must be one of binary16, binary32, binary64, binary128, bfloat16, extended80, "
        "ofp8_e4m3, ofp8_e5m2, half, float16, single, float, float32, double, float64, quadruple, "
        "not 'binary23'; did you mean 'binary32'?"
    )
    assert refusal("estimate", drift, "--sort", "speed") == (
        "the order must be one of name, cycles, time, not 'speed'"
    )
    assert refusal("estimate", drift, "--options", "leen") == (
        "the options must be one of complete, lean, not 'leen'; did you mean 'lean'?"
    )


def test_compiler_that_is_not_described(drift: str, refusal: Callable[..., str]) -> None:
    """A compiler is refused where the CPU's table does not describe it, and where no table does."""
    refused = refusal("estimate", drift, "--cpu", "z80", "--compiler", "clang-O2")

    assert refused.startswith("the compiler of code on z80 must be one of sdcc")
    assert refused.endswith(", not 'clang-O2'; others are not described for this CPU")
    assert refusal("estimate", drift, "--compiler", "gcc-O3").startswith("the compiler must be one of c, ")


def test_broken_cost_table(drift: str, tmp_path: Path, refusal: Callable[..., str]) -> None:
    """A cost table with faults is refused with its faults."""
    broken = tmp_path / "broken.toml"
    broken.write_text('based_on = "cortex-m0plus"\ntitel = "x"\n', encoding="utf-8")

    assert refusal("estimate", drift, "--cpu", str(broken)) == (
        f"cost table {broken} has 1 fault:\n  titel is not a key that belongs here; did you mean 'title'?"
    )


MISSHAPEN = {
    "no kernel": (
        "def inputs():\n    return ()\n",
        "{path} must define the functions kernel(...) and inputs(), but has no kernel; "
        "inputs() returns the tuple of arguments that kernel is called with",
    ),
    "no inputs": (
        "def kernel():\n    return 0\n",
        "{path} must define the functions kernel(...) and inputs(), but has no inputs; "
        "inputs() returns the tuple of arguments that kernel is called with",
    ),
    "inputs are no tuple": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return 1.5\n",
        "inputs() of {path} must return a tuple of the kernel's arguments, not float; "
        "a single one is written (value,)",
    ),
    "kernel raises": (
        "def kernel(x):\n    return 1 // x\n\ndef inputs():\n    return (0,)\n",
        "kernel must run to its end, but at {path}, line 2, it raised "
        "ZeroDivisionError: integer division or modulo by zero",
    ),
    "inputs raise": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return open('no such file')\n",
        "inputs() must run to its end, but at {path}, line 5, it raised "
        "FileNotFoundError: [Errno 2] No such file or directory: 'no such file'",
    ),
    "wrong arguments": (
        "def kernel(x):\n    return x\n\ndef inputs():\n    return (1.0, 2.0)\n",
        "inputs() of {path} must return the arguments that kernel(x) takes, not 2: "
        "too many positional arguments",
    ),
    "too few arguments": (
        "def kernel(x: float, gain=1.0, *, bias: float) -> float:\n    return x\n\n"
        "def inputs():\n    return ()\n",
        "inputs() of {path} must return the arguments that kernel(x, gain=1.0, *, bias) takes, not 0: "
        "missing a required argument: 'x'",
    ),
    "nothing emulated": (
        "def kernel(n):\n    return sum(n)\n\ndef inputs():\n    return ([1, 2],)\n",
        "kernel of {path} must compute with emulated numbers, but inputs() gave ints alone and nothing made "
        "a number of them; arithmetic of ints is the program's own, which nothing counts",
    ),
    "no Python": (
        "def kernel(:\n",
        "the file must run to its end, but at {path}, line 1, it raised "
        "SyntaxError: invalid syntax (wave.py, line 1)",
    ),
    "not emulated": (
        "import numpy as np\n\ndef kernel(x):\n    return np.i0(x)\n\n"
        "def inputs():\n    return (np.ones(2),)\n",
        "kernel must run to its end, but at {path}, line 4, it raised NotEmulatedError: ",
    ),
}


@pytest.mark.parametrize("name", MISSHAPEN)
def test_misshapen_kernel_file(name: str, tmp_path: Path, refusal: Callable[..., str]) -> None:
    """A file that cannot be run as a kernel is refused with what is wrong and where."""
    text, message = MISSHAPEN[name]
    path = tmp_path / "wave.py"
    path.write_text(text, encoding="utf-8")
    expected = message.format(path=path)
    said = refusal("estimate", str(path))

    assert said.startswith(expected) if expected.endswith(": ") else said == expected


def test_line_at_fault_of_a_relative_path(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, refusal: Callable[..., str]
) -> None:
    """The line at fault is named too where the file is given beside the current folder."""
    monkeypatch.chdir(tmp_path)
    for name in ("kernel raises", "no Python"):
        text, message = MISSHAPEN[name]
        Path("wave.py").write_text(text, encoding="utf-8")

        assert message.format(path="wave.py") == refusal("estimate", "./wave.py")


def test_missing_kernel_file(refusal: Callable[..., str]) -> None:
    """A file that is not there is refused."""
    assert (
        refusal("estimate", "nowhere.py")
        == "a kernel file must be a Python file that exists, not 'nowhere.py'"
    )


CLOCK = "a clock from 1 Hz up, such as 16MHz, 32.768kHz or 16 (MHz)"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["--deadline", "3 weeks"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '3 weeks'",
        ),
        (
            ["--deadline", "-3"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '-3'",
        ),
        (
            ["--deadline", "0ms"],
            "argument --deadline: must be a time above 0, such as 250ms, 0.25s, 20min or 1200 (seconds), "
            "not '0ms'",
        ),
        (["--clock", "-8"], f"argument --clock: must be {CLOCK}, not '-8'"),
        (["--clock", "inf"], f"argument --clock: must be {CLOCK}, not 'inf'"),
        (["--clock", "abc"], f"argument --clock: must be {CLOCK}, not 'abc'"),
        (["--clock", "16 Mhertz"], f"argument --clock: must be {CLOCK}, not '16 Mhertz'"),
        (["--clock", "0"], f"argument --clock: must be {CLOCK}, not '0'"),
        (["--clock", "1e-320"], f"argument --clock: must be {CLOCK}, not '1e-320'"),
        (["--clock", "1e400GHz"], f"argument --clock: must be {CLOCK}, not '1e400GHz'"),
        (
            ["--clock", "16000000"],
            "argument --clock: must be a clock in MHz, or one with its unit, not '16000000'; "
            "did you mean 16MHz or 16000000MHz?",
        ),
        (["--clock", "8", "--clock", "16"], "argument --clock: must be given once, not twice"),
        (
            ["--format", "half", "--cpu", "z80", "--format", "half"],
            "argument --format: must be given once, not twice",
        ),
        (["--clok", "8"], "unrecognized arguments: --clok 8"),
        (["another.py", "-3"], "unrecognized arguments: another.py -3"),
    ],
)
def test_misshapen_arguments(
    arguments: list[str], message: str, drift: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Arguments that cannot be read are refused in one sentence that points to the help of the command."""
    with pytest.raises(SystemExit) as caught:
        main(["estimate", drift, *arguments])

    assert 2 == caught.value.code
    assert f"{message}; see python -m softfloat_py estimate --help\n" == capsys.readouterr().err
