"""A campaign's program: C of the library and what it is held against, compiled for the host or for CUDA."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

from softfloat_py.c_export import c_unit
from softfloat_py.engines.c.passing import identifier
from softfloat_py.engines.c.target import target_for
from softfloat_py.numbers.formats import Format
from softfloat_py.options import COMPLETE
from softfloat_py.uses import Use
from tests.campaigns.catalogue import Campaign, Function, Kind

HERE = Path(__file__).parent
WORD = 64
HOST_OPTIONS = ("-O2", "-std=c99", "-D_GNU_SOURCE", "-ffp-contract=off", "-fPIC", "-shared")
CUDA_OPTIONS = ("-O3", "-fmad=false", "-arch=native", "--compiler-options", "-fPIC", "--shared")
CUDA_PLACE = "/usr/local/cuda/bin"


@dataclass(frozen=True, slots=True)
class Routine:
    """C of a function with its header, both by file name; and the name of the function in it."""

    name: str
    files: dict[str, str]

    @property
    def source(self) -> str:
        """The name of the file that is no header."""
        (name,) = (name for name in self.files if name.endswith(".c"))
        return name


def routine(function: Function, fmt: Format) -> Routine:
    """A function with complete options, as the library emits it for words of 64 bits."""
    use = Use.named(function.name, fmt, COMPLETE)
    unit = c_unit([use], target_for(WORD, None), reentrant=True)
    files = {f"{unit.prefix}.h": unit.header(), f"{unit.prefix}.c": unit.source()}
    return Routine(identifier(f"{fmt.name}_{function.name}"), files)


def program_text(campaign: Campaign, ours: Routine, device: str) -> str:
    """The file to compile."""
    fmt, function = campaign.format, campaign.function
    number = f"(uint{fmt.width}_t)"
    second = {Kind.NUMBER: "", Kind.PAIR: f"{number}(y), ", Kind.WITH_INTEGER: "(int32_t)(int64_t)(y), "}
    place = "static __device__" if device == "cuda" else "static"
    lines = [
        f"#define SOFTFLOAT_PY_FUNCTION {place}",
        f"#define SOFTFLOAT_PY_TABLE {place} const",
        f'#include "{ours.source}"',
        f"#define PRECISION {fmt.precision}",
        f"#define EXPONENT_BITS {fmt.exponent_bits}",
        f"#define OPERANDS {campaign.operands.name}",
        f"#define ORDER ({function.order})",
        f"#define SYMMETRY ({function.symmetry})",
        f"#define EXPECTED expected_{function.name}",
        f"#define OURS(x, y, direction, flags) "
        f"{ours.name}({number}(x), {second[function.kind]}direction, flags)",
        f'#include "check.{"cu" if device == "cuda" else "c"}"',
    ]
    return "\n".join(lines) + "\n"


def digest(ours: Routine) -> str:
    """What stands for the texts that a result is about: the routine's, and those it is held against."""
    digested = hashlib.sha256()
    own = [*HERE.glob("*.h"), *HERE.glob("*.c"), *HERE.glob("*.cu"), HERE / "exact.py", HERE / "composed.py"]
    for text in (*ours.files.values(), *(path.read_text() for path in sorted(own))):
        digested.update(text.encode())
    return digested.hexdigest()[:12]


def compiler(device: str) -> str | None:
    """The path of the compiler for a device, if there is one."""
    if device == "cpu":
        return shutil.which("gcc") or shutil.which("cc")
    return shutil.which("nvcc") or shutil.which("nvcc", path=CUDA_PLACE)


def build(campaign: Campaign, ours: Routine, device: str, folder: Path) -> Path:
    """Compile a campaign's program into a shared object.

    Raises RuntimeError with what the compiler says.
    """
    for name, text in ours.files.items():
        (folder / name).write_text(text)
    source = folder / ("program.cu" if device == "cuda" else "program.c")
    source.write_text(program_text(campaign, ours, device))
    shared = folder / "program.so"
    command = compiler(device)
    assert command is not None
    options = CUDA_OPTIONS if device == "cuda" else HOST_OPTIONS
    libraries = [] if device == "cuda" else ["-lm"]
    arguments = [command, *options, f"-I{HERE}", "-o", str(shared), str(source), *libraries]
    built = subprocess.run(arguments, capture_output=True, text=True, check=False)
    if built.returncode:
        raise RuntimeError(f"{campaign.name} does not compile: {(built.stderr or built.stdout)[:2000]}")
    return shared
