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
from tests import tools
from tests.on_target.asked import use_asked_for

START = 0x10000  # where programs are put whose CPU has no place of its own for them
CC65_START, CC65_HEADER = 0x200, 12  # where cc65 puts a program, and bytes before it in its file


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
        """The compiler and its level of optimisation, or its model of memory: gcc-O2, sdcc-large."""
        levels = [option for option in self.options if re.fullmatch("-O.", option)]
        levels += ["-large"] * ("--model-large" in self.options)
        compiler = self.compiler.rpartition("-")[2].replace("cl65", "cc65")  # which is run by cl65
        return "".join([compiler, *levels])

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
    """A compiled program: where its functions start, what stands where in memory, and what is copied to where
    when it starts up. Operands have `width` bits, results as many, or `of_result`.
    """

    path: Path
    functions: Mapping[str, int]
    segments: Sequence[tuple[int, bytes]]
    width: int
    prefix: str
    copied_at_start: Sequence[tuple[int, bytes]] = ()
    of_result: int | None = None

    @property
    def result_width(self) -> int:
        """The bits of a result that are defined: 1 for a truth, which C gives in a byte."""
        return self.width if self.of_result is None else self.of_result

    @property
    def result_bytes(self) -> int:
        """The bytes that C gives a result in."""
        return max(self.result_width // 8, 1)

    def defined(self, result: int) -> int:
        """Those bits of what a register holds."""
        return result & (1 << self.result_width) - 1

    def address(self, operation: str) -> int:
        """Where an operation starts."""
        return self.functions[f"{self.prefix}_{operation}"]


def unit_for(chain: Toolchain, fmt: Format, options: Options, operations: Iterable[str]) -> Unit:
    """The C of operations for a toolchain."""
    target = target_for(chain.word, chain.multiplier)
    return c_unit([use_asked_for(name, fmt, options) for name in operations], target)


def compiled(chain: Toolchain, fmt: Format, options: Options, operation: str, folder: Path) -> Image:
    """Emit the C of one operation for a toolchain, compile it and read the result."""
    use = use_asked_for(operation, fmt, options)
    image = compiled_unit(chain, unit_for(chain, fmt, options, [operation]), use.widths[0], folder)
    return replace(image, of_result=use.signature.results[0].width)


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
    _, source = unit.save(folder)
    return linked(chain, [object_of(chain, source)], unit.functions[0].name, unit.prefix, width)


def object_of(chain: Toolchain, source: Path) -> Path:
    """A source of C compiled by itself, beside it."""
    output = source.with_suffix(".rel" if chain.compiler == "sdcc" else ".o")
    for_both = [option for option in chain.link if option.startswith("-f")]  # they are the compiler's as well
    _run([chain.find(), *chain.options, *for_both, "-c", source.name, "-o", output.name], source.parent)
    return output


def linked(chain: Toolchain, objects: Sequence[Path], entry: str, prefix: str, width: int) -> Image:
    """An image in the folder of the first object, whose functions named after the prefix take `width` bits;
    `entry` is one that has to be in it.
    """
    folder = objects[0].parent
    names = [str(each) for each in objects]
    (folder / "main.c").write_text("int main(void) { return 0; }\n", encoding="ascii")
    if chain.compiler == "sdcc":
        start = object_of(chain, folder / "main.c")
        return _linked_by_sdcc(chain, [str(start), *names], prefix, width, folder)
    if chain.compiler == "cl65":
        return _linked_by_cc65(chain, [*names, "main.c"], prefix, width, folder)
    output = folder / "image.elf"
    start_up = ["main.c"] if chain.main else [f"-Wl,-e,{entry}", "-Wl,--build-id=none"]
    linker = chain.linker or chain
    _run([linker.find(), *linker.options, "-o", output.name, *names, *start_up, *linker.link], folder)
    return _read_elf(output, prefix, width)


def _run(command: Sequence[str], folder: Path) -> None:
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[:2000]


def _read_elf(path: Path, prefix: str, width: int) -> Image:
    elffile = tools.simulator("elftools.elf.elffile", "pyelftools")
    with path.open("rb") as stream:
        elf = elffile.ELFFile(stream)
        symbols = elf.get_section_by_name(".symtab").iter_symbols()
        functions = {symbol.name: symbol["st_value"] & ~1 for symbol in symbols if symbol.name}
        loaded = [s for s in elf.iter_segments() if s["p_type"] == "PT_LOAD" and s["p_filesz"]]
        segments = [(segment["p_paddr"], segment.data()) for segment in loaded]
        moved = [s for s in loaded if s["p_vaddr"] != s["p_paddr"]]
        at_start = [(segment["p_vaddr"], segment.data()) for segment in moved]
    return Image(path, functions, segments, width, prefix, at_start)


def _linked_by_sdcc(chain: Toolchain, objects: Sequence[str], prefix: str, width: int, folder: Path) -> Image:
    _run([chain.find(), *chain.options, *chain.link, *objects, "-o", "image.ihx"], folder)
    names = re.findall(r"^DEF _(\w+) 0x([0-9A-Fa-f]+)", (folder / "image.noi").read_text(), re.MULTILINE)
    path = folder / "image.ihx"
    functions = {name: int(address, 16) for name, address in names}
    return Image(path, functions, list(_intel_records(path.read_text())), width, prefix)


def _linked_by_cc65(chain: Toolchain, objects: Sequence[str], prefix: str, width: int, folder: Path) -> Image:
    path, labels = folder / "image", folder / "image.lbl"
    _run([chain.find(), *chain.options, "-Ln", labels.name, "-o", path.name, *objects], folder)
    names = re.findall(r"^al (\w+) \._?(\w+)", labels.read_text(), re.MULTILINE)
    functions = {name: int(address, 16) for address, name in names}
    return Image(path, functions, [(CC65_START, path.read_bytes()[CC65_HEADER:])], width, prefix)


def _intel_records(text: str) -> Iterator[tuple[int, bytes]]:
    """The data records of Intel's hexadecimal format."""
    for line in text.split():
        record = bytes.fromhex(line[1:])
        if record[3] == 0:
            yield int.from_bytes(record[1:3], "big"), record[4:-1]
