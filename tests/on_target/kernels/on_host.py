"""A kernel's C compiled for this machine, where each of its operations is handed to Python: which calls there
are, on which operands, and what comes out, in any format and without an emitted function.
"""

from __future__ import annotations

import ctypes
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

from softfloat_py.engines import plain
from softfloat_py.engines.signature import Meaning
from softfloat_py.numbers.formats import Format
from softfloat_py.operations import Result
from softfloat_py.uses import Use
from tests import tools
from tests.on_target.kernels.c_side import PREFIX, Numbers, name_of
from tests.on_target.kernels.pairs import FILES, constants, inputs, python_run

HOST = "host"


class Call(NamedTuple):
    """An operation, its operands and its result, encodings or integers."""

    use: Use
    operands: tuple[int, ...]
    result: int


@dataclass(frozen=True)
class HostRun:
    """What the C delivered, as encodings, and the calls that it made, in order."""

    outputs: tuple[int, ...]
    calls: Sequence[Call]


def host_run(name: str, fmt: Format, folder: Path) -> HostRun:
    """A kernel's C run here."""
    numbers = Numbers(fmt, HOST, by_address=True)
    run = python_run(name, fmt)
    uses = list(run.calls)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / f"{HOST}.h").write_text(_declarations(numbers, uses), encoding="ascii")
    (folder / "numbers.h").write_text(numbers.header(uses, constants(name)), encoding="ascii")
    (folder / "caller.c").write_text(numbers.caller(inputs(name), len(run.outputs)), encoding="ascii")
    gcc = tools.compiler("gcc", "gcc")
    sources = [str(FILES / f"{name}.c"), "caller.c"]
    command = [gcc, "-std=c99", "-Wall", "-Werror", "-fcommon", "-shared", "-fPIC", f"-I{folder}"]
    done = subprocess.run([*command, "-o", "kernel.so", *sources], cwd=folder, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    library = ctypes.CDLL(str(folder / "kernel.so"))
    calls: list[Call] = []
    answers = [_answered(numbers, use, calls) for use in uses]
    for use, answer in zip(uses, answers, strict=True):
        ctypes.c_void_p.in_dll(library, f"{HOST}_{name_of(use)}").value = ctypes.cast(
            answer, ctypes.c_void_p
        ).value
    word = getattr(library, f"{PREFIX}_word")
    word.restype = ctypes.c_uint32
    getattr(library, f"{PREFIX}_kernel")(0)
    return HostRun(
        tuple(outputs_from(lambda place: int(word(place)), numbers.words, len(run.outputs))), calls
    )


def outputs_from(word: Callable[[int], int], words: int, outputs: int) -> list[int]:
    """Encodings put together from their words."""
    return [sum(word(words * i + n) << (32 * n) for n in range(words)) for i in range(outputs)]


def _declarations(numbers: Numbers, uses: Sequence[Use]) -> str:
    """A header in which each operation is a pointer to a function, which Python sets."""
    lines = [
        "#include <stdint.h>",
        f"typedef struct {{ uint32_t word[{numbers.words}]; }} {numbers.type};",
    ]
    for use in uses:
        kinds = [
            f"{numbers.type} const *" if operand.meaning is Meaning.NUMBER else f"int{operand.width}_t"
            for operand in use.signature.operands
        ]
        if use.operation.result is not Result.TRUTH:
            kinds.append(f"{numbers.type} *")
        lines.append(f"int (*{HOST}_{name_of(use)})({', '.join(kinds)});")
    return "\n".join(lines) + "\n"


def _answered(numbers: Numbers, use: Use, calls: list[Call]) -> Any:
    """What C calls for an operation: the plain engine, which notes the call."""
    run = plain.compiled(use.program).run
    structure = ctypes.c_uint32 * numbers.words
    operands = use.signature.operands
    is_number = [operand.meaning is Meaning.NUMBER for operand in operands]
    gives_truth = use.operation.result is Result.TRUTH

    def answer(*given: Any) -> int:
        values = tuple(
            sum(word << (32 * n) for n, word in enumerate(structure.from_address(one)))
            if number
            else one & ((1 << operand.width) - 1)
            for one, number, operand in zip(given, is_number, operands, strict=False)
        )
        result = int(run(*values)[0])
        calls.append(Call(use, values, result))
        if not gives_truth:
            structure.from_address(given[-1])[:] = [
                result >> (32 * n) & 0xFFFFFFFF for n in range(numbers.words)
            ]
        return result if gives_truth else 0

    kinds: list[Any] = [
        ctypes.c_void_p if number else ctypes.c_int64 if operand.width > 32 else ctypes.c_int32
        for number, operand in zip(is_number, operands, strict=True)
    ]
    return ctypes.CFUNCTYPE(ctypes.c_int, *kinds, *([] if gives_truth else [ctypes.c_void_p]))(answer)
