"""Emitted C compiled for a CPU: commands, and what is in the file that comes out."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from softfloat_py.c_export import c_unit
from softfloat_py.engines.c.files import Function, Unit
from softfloat_py.engines.c.target import target_for
from softfloat_py.engines.signature import Meaning, Signature, Value
from softfloat_py.integer_form.reader import read
from softfloat_py.numbers.formats import Format
from softfloat_py.options import Options
from softfloat_py.routines.language import Routine
from softfloat_py.uses import Use
from tests import tools

START = 0x10000  # where programs are put whose CPU has no place of its own for them


@dataclass(frozen=True)
class Toolchain:
    """A compiler with its options, and the word and multiplier that C is emitted for.

    `link` says how to name what is linked beside the source; `package` where Debian has the compiler. If the
    compiler cannot link, `linker` does.
    """

    word: int
    multiplier: int
    compiler: str
    options: tuple[str, ...]
    package: str
    link: tuple[str, ...] = ()
    main: bool = False
    linker: Toolchain | None = None

    @property
    def name(self) -> str:
        """The compiler and its level of optimisation: gcc-O2."""
        levels = [option for option in self.options if re.fullmatch("-O.", option)]
        return "".join([self.compiler.rpartition("-")[2], *levels])

    def at(self, level: str) -> Toolchain:
        """The same compiler at another level of optimisation."""
        options = [level if re.fullmatch("-O.", option) else option for option in self.options]
        return replace(self, options=tuple(options))

    @property
    def command(self) -> str:
        """The compiler with its options, as reports show it."""
        return " ".join((self.compiler, *self.options))

    def find(self) -> str:
        """The compiler's path; the end of a test where there is none."""
        return tools.compiler(self.compiler, self.package)


@dataclass(frozen=True)
class Image:
    """A compiled program: where its functions start, and what stands where in memory."""

    path: Path
    functions: Mapping[str, int]
    segments: Sequence[tuple[int, bytes]]
    width: int
    prefix: str

    def address(self, operation: str) -> int:
        """Where an operation starts."""
        return self.functions[f"{self.prefix}_{operation}"]


def unit_for(chain: Toolchain, fmt: Format, options: Options, operations: Iterable[str]) -> Unit:
    """The C of operations for a toolchain."""
    target = target_for(chain.word, chain.multiplier)
    return c_unit([Use.named(name, fmt, options) for name in operations], target)


def compiled(chain: Toolchain, fmt: Format, options: Options, operation: str, folder: Path) -> Image:
    """Emit the C of one operation for a toolchain, compile it and read the result."""
    return compiled_unit(chain, unit_for(chain, fmt, options, [operation]), fmt.width, folder)


def unit_of_routine(chain: Toolchain, routine: Routine) -> Unit:
    """The C of a routine of one's own that makes 32 bits of x, 32 bits, for a toolchain: `buoy_routine`."""
    program = read(routine, {"x": 32}, {})
    operand, result = (Value(name, 32, Meaning.UNSIGNED) for name in ("x", "result"))
    signature = Signature((operand,), (result,), takes_direction=False, keeps_flags=False)
    target = target_for(chain.word, chain.multiplier)
    function = Function("buoy_routine", "A routine.", program, signature)
    return Unit("buoy", "For the tests.", "", target, (function,))


def compiled_unit(chain: Toolchain, unit: Unit, width: int, folder: Path) -> Image:
    """Compile C for a toolchain, whose operands and results have `width` bits, and read the result."""
    unit.save(folder)
    (folder / "main.c").write_text("int main(void) { return 0; }\n", encoding="ascii")
    if chain.compiler == "sdcc":
        return _compiled_by_sdcc(chain, unit, width, folder)
    output, source = folder / "image.elf", f"{unit.prefix}.c"
    linker = chain.linker or chain
    if chain.linker:
        _run([chain.find(), *chain.options, "-c", source, "-o", "unit.o"], folder)
        source = "unit.o"
    start = ["main.c"] if chain.main else [f"-Wl,-e,{unit.functions[0].name}", "-Wl,--build-id=none"]
    _run([linker.find(), *linker.options, "-o", output.name, source, *start, *linker.link], folder)
    return _read_elf(output, unit, width)


def _run(command: Sequence[str], folder: Path) -> None:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[:2000]


def _read_elf(path: Path, unit: Unit, width: int) -> Image:
    elffile = tools.simulator("elftools.elf.elffile", "pyelftools")
    with path.open("rb") as stream:
        elf = elffile.ELFFile(stream)
        symbols = elf.get_section_by_name(".symtab").iter_symbols()
        functions = {symbol.name: symbol["st_value"] & ~1 for symbol in symbols if symbol.name}
        loaded = [s for s in elf.iter_segments() if s["p_type"] == "PT_LOAD"]
        segments = [(segment["p_paddr"], segment.data()) for segment in loaded]
    return Image(path, functions, segments, width, unit.prefix)


def _compiled_by_sdcc(chain: Toolchain, unit: Unit, width: int, folder: Path) -> Image:
    sdcc = chain.find()
    for source in (unit.prefix, "main"):
        _run([sdcc, *chain.options, "-c", f"{source}.c"], folder)
    _run([sdcc, *chain.options, *chain.link, "main.rel", f"{unit.prefix}.rel", "-o", "image.ihx"], folder)
    names = re.findall(r"^DEF _(\w+) 0x([0-9A-Fa-f]+)", (folder / "image.noi").read_text(), re.MULTILINE)
    path = folder / "image.ihx"
    functions = {name: int(address, 16) for name, address in names}
    return Image(path, functions, list(_intel_records(path.read_text())), width, unit.prefix)


def _intel_records(text: str) -> Iterator[tuple[int, bytes]]:
    """The data records of Intel's hexadecimal format."""
    for line in text.split():
        record = bytes.fromhex(line[1:])
        if record[3] == 0:
            yield int.from_bytes(record[1:3], "big"), record[4:-1]
