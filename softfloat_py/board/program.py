"""The text of measure.c: for each operation its operands in constant arrays, and a loop over them.

A loop calls an operation and a function that does nothing by the same pointer, one after the other, and reads
the timer around each: both calls are one and the same code, so that their difference is the operation alone.
The pointer is volatile, so that a compiler neither takes the calls for its own nor leaves any away; and so is
what counts the two, lest it writes their code twice.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from pathlib import Path
from textwrap import wrap

from softfloat_py.c_export import c_unit
from softfloat_py.engines.c.files import Function, Unit, comment
from softfloat_py.engines.c.passing import Passed, Passing
from softfloat_py.engines.c.placement import ENTRY, TABLE, TABLE_MACROS
from softfloat_py.engines.c.spellings import number
from softfloat_py.engines.c.target import Target
from softfloat_py.lowering.words import count_words
from softfloat_py.pricing.measured_calls import MeasuredCalls, measured_calls, result_bytes
from softfloat_py.uses import Use
from softfloat_py.whole_files import write_text

LINE = 100  # characters of a line of numbers
ABOUT = (
    "Measures operations on a board: prints a file of measurements, whose first lines its reader completes. "
    "Compile it with the source of the operations, a timer of measure.h, and the compiler's options that the "
    "program has which is to be estimated."
)


@dataclass(frozen=True)
class Program:
    """Operations of one format with the same options, to be measured; `made` says how it was made."""

    uses: Sequence[Use]
    target: Target
    calls: int
    made: str

    @cached_property
    def unit(self) -> Unit:
        """The operations as C."""
        return c_unit(self.uses, self.target, self.made)

    def save(self, folder: Path) -> list[Path]:
        """Write all files into a folder, made if it is not there; gives their paths."""
        header, source = self.unit.save(folder)
        board, main = folder / "measure.h", folder / "measure.c"
        write_text(board, _text_of("measure.h"), "ascii")
        write_text(main, self.text, "ascii")
        return [header, source, board, main]

    @property
    def text(self) -> str:
        """The text of measure.c."""
        fmt, options = self.uses[0].format.name, self.uses[0].options.name
        lines = [
            *comment(ABOUT, "", self.made),
            f'#include "{self.unit.prefix}.h"',
            '#include "measure.h"',
            "",
            *TABLE_MACROS,
            "",
            f'#define FORMAT "{fmt}"',
            _text_of("beginning.c"),
        ]
        for number_of_shape, function in self.shapes.items():
            lines += [*_Shape(number_of_shape, self.unit.passing(function)).lines(), ""]
        for definition, name in self.arrays.items():
            lines += [definition % name, ""]
        lines += self.main(f'arithmetic = \\"{options}\\"\\nemitted_for = \\"{self.target}\\"\\n')
        return "\n".join([*lines, ""])

    def calls_of(self, use: Use) -> MeasuredCalls:
        """The calls of an operation that are measured."""
        return measured_calls(use, self.calls)

    @cached_property
    def shapes(self) -> dict[int, Function]:
        """The ways in which operands and results are passed, by number: the first function of each."""
        first: dict[str, Function] = {}
        for function in self.unit.functions:
            first.setdefault(self._type(function), function)
        return dict(enumerate(first.values(), 1))

    def _type(self, function: Function) -> str:
        """The type of a function, as a text that is the same for two of one type."""
        return self.unit.passing(function).declaration("")

    def _shape_of(self, function: Function) -> int:
        kind = self._type(function)
        return next(place for place, first in self.shapes.items() if self._type(first) == kind)

    def operands_of(self, use: Use, function: Function) -> list[str]:
        """The definitions of the arrays that an operation's operands are in, without their names."""
        columns = zip(*self.calls_of(use).operands, strict=True)
        operands = self.unit.passing(function).operands
        return [_array(operand, column) for operand, column in zip(operands, columns, strict=True)]

    @cached_property
    def arrays(self) -> dict[str, str]:
        """The arrays by their definitions: operations that have the same operands share them."""
        pairs = zip(self.uses, self.unit.functions, strict=True)
        every = dict.fromkeys(each for pair in pairs for each in self.operands_of(*pair))
        return {definition: f"operands_{place}" for place, definition in enumerate(every, 1)}

    def main(self, heading: str) -> Iterator[str]:
        """The function `main`."""
        yield from ("int main(void)", "{", "    START_BOARD();", "    START_TIMER();", "    put_heading();")
        yield f'    put("{heading}");'
        for use, function in zip(self.uses, self.unit.functions, strict=True):
            name = use.operation.name
            arrays = "".join(f", {self.arrays[each]}" for each in self.operands_of(use, function))
            calls = len(self.calls_of(use))
            yield f'    measure_{self._shape_of(function)}("{name}", {function.name}, {calls}{arrays});'
        yield from ("    return 0;", "}")


@dataclass(frozen=True)
class _Shape:
    """The loop over calls of functions that take their operands and give their results in one way."""

    number: int
    passing: Passing

    def lines(self) -> Iterator[str]:
        """The type of the functions, one that does nothing, and the loop."""
        operands, results, passing = self.passing.operands, self.passing.results, self.passing
        yield f"typedef {passing.declaration(f'operation_{self.number}')};"
        yield from ("", f"static {passing.declaration(f'nothing_{self.number}')}", "{")
        yield from (f"    (void){operand.name};" for operand in operands)
        if passing.by_address:
            yield from (f"    (void){result.name};" for result in results)
        else:
            returned = operands[0].name if results[0].type == operands[0].type else 0
            yield f"    return {returned};"
        yield from ("}", "")
        arrays = "".join(f", uint{_bits(o)}_t const {_parameter(o)}" for o in operands)
        yield f"static void measure_{self.number}(char const *operation, operation_{self.number} *function,"
        yield f"                      uint8_t calls{arrays})"
        yield from ("{", f"    operation_{self.number} *volatile called;")
        yield from (f"    {operand.type} {operand.name};" for operand in operands)
        # A compiler does not see that the loop is run, and warns of results that it takes for not computed.
        at_first = "" if passing.by_address else " = 0"
        yield from (f"    {result.type} {result.name}{at_first};" for result in results)
        yield from ("    uint32_t before, ticks[2];", "    uint16_t run;", "    uint8_t call;")
        yield from ("    uint8_t volatile which;", "")
        yield from ("    begin_operation();", "    for (call = 0; call < calls; call++) {")
        yield from (f"        {line}" for operand in operands for line in _loads(operand))
        yield "        for (which = 0; which < 2; which++) {"
        yield f"            called = which ? function : nothing_{self.number};"
        yield "            before = READ_TIMER();"
        yield "            for (run = 0; run < REPEATS; run++) {"
        yield from (f"                {self._call()}", "            }")
        yield "            ticks[which] = (READ_TIMER() - before) & TIMER_MASK;"
        yield from ("        }", "        note_call(ticks[0], ticks[1]);")
        yield from (f"        {line}" for result in results for line in _noted(result))
        yield from ("    }", "    put_operation(operation, calls);", "}")

    def _call(self) -> str:
        arguments = [f"{'&' if o.bits is None else ''}{o.name}" for o in self.passing.operands]
        if self.passing.by_address:
            return f"called({', '.join([*arguments, *(f'&{r.name}' for r in self.passing.results)])});"
        return f"{self.passing.results[0].name} = called({', '.join(arguments)});"


def _bits(value: Passed) -> int:
    """The bits of what an array has of it: of the value, or of a word of it."""
    return value.target.widest if value.bits is None else value.bits


def _words(value: Passed) -> int:
    return count_words(value.value.width, _bits(value)) if value.bits is None else 1


def _parameter(operand: Passed) -> str:
    """The parameter of a loop that is the array of an operand."""
    return f"*all_{operand.name}" if operand.bits is not None else f"(*all_{operand.name})[{_words(operand)}]"


def _loads(operand: Passed) -> Iterator[str]:
    """Bring an operand from its array."""
    name, bits = operand.name, _bits(operand)
    if operand.bits is not None:
        yield f"{name} = ({operand.type}){ENTRY}_{bits}(all_{name}[call]);"
        return
    for word in range(_words(operand)):
        yield f"{name}.word[{word}] = {ENTRY}_{bits}(all_{name}[call][{word}]);"


def _noted(result: Passed) -> Iterator[str]:
    """Bring a result into the checksum, 32 bits at a time at the most."""
    left, bits = result_bytes(result.value.width), _bits(result)
    for word in range(_words(result)):
        term = f"{result.name}.word[{word}]" if result.bits is None else result.name
        for shift in range(0, bits, 32):
            if left > 0:
                shifted = f"({term} >> {shift})" if shift else term
                yield f"note_result((uint32_t){shifted}, {min(left, bits // 8, 4)});"
                left -= 4


def _array(operand: Passed, column: Sequence[int]) -> str:
    """The definition of an array of operands, with a place for its name."""
    bits, words = _bits(operand), _words(operand)
    sizes = f"[{len(column)}]" + (f"[{words}]" if operand.bits is None else "")
    entries = ", ".join(_entry(value, operand, words, bits) for value in column)
    lines = wrap(entries, LINE, initial_indent="    ", subsequent_indent="    ")
    return "\n".join([f"{TABLE} uint{bits}_t %s{sizes} = {{", *lines, "};"])


def _entry(value: int, operand: Passed, words: int, bits: int) -> str:
    if operand.bits is not None:
        return number(value, bits)
    parts = (value >> bits * place & (1 << bits) - 1 for place in range(words))
    return "{" + ", ".join(number(part, bits) for part in parts) + "}"


def _text_of(name: str) -> str:
    return (files("softfloat_py.board") / name).read_text(encoding="ascii")
