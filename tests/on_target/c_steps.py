"""What a C compiler makes of each operation: cycles by width, measured in a simulator.

python -m tests.on_target.c_steps --cpu 6502

Operands and results are local variables, as in emitted C; two operands of 32 bits stay in use beside them.
A function does a statement six times, or nothing if it is told so; a sixth of the difference is a figure,
so that entry and exit are in none. No statement can be left out or made of an earlier one: each works on
what another gave, or on a pair of variables of its own, or stands behind a condition of its own, which is
subtracted. A figure holds a sixth of what six statements need together: of values that change registers,
and of the jump over them, a cycle or two.
"""

from __future__ import annotations

import argparse
import re
import tempfile
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from pathlib import Path

import numpy as np

from tests.on_target.cpus import CPUS, OTHER_PLACES, Cpu, Simulator
from tests.on_target.images import linked, object_of

EVERY_CPU = (*CPUS, *OTHER_PLACES)
TIMES = 6  # that a function has the statement
WIDTHS = (8, 16, 32)
Operands = Sequence[tuple[int, int]]

# In a statement {x}, {y} and {z} take turns at a to e; {p} and {q} are a pair, {v} is one of their six; {f}
# is a flag; {r} is r or t; g is a pointer; {T} is the type and {W} the one of twice its width; {k} and {m}
# are constants.
TURNS = ("abc", "ead", "bce", "cda", "deb", "aec")  # no result is an operand at once
PAIRS = ("p0 q0", "p1 q1", "p2 q2", "p0 q1", "p1 q2", "p2 q0")
SINGLES = ("p0", "q0", "p1", "q1", "p2", "q2")
CONSTANTS = {8: "0x3f", 16: "0x3f5a", 32: "0x3f5a3b1du"}
MASKS = {8: "0x1f", 16: "0x7ff", 32: "0x7fffffu"}
# What variables are at first, and their type. Only the caller knows that x and y are below 2 to the 31.
OPAQUE = ("x", "y", "x + (y >> 31)", "y + (x >> 31)", "x - (y >> 31)", "y - (x >> 31)")
VARIABLES = (
    {name: ("{T}", start) for name, start in zip("abcde", OPAQUE, strict=False)}
    | {f"w{name}": ("{W}", start) for name, start in zip("abcde", OPAQUE, strict=False)}
    | {name: ("{T}", start) for name, start in zip(SINGLES, OPAQUE, strict=True)}
    | {f"f{number}": ("uint8_t", start) for number, start in enumerate(OPAQUE)}
    | {f"r{width}": (f"uint{width}_t", "x") for width in WIDTHS[1:]}
    | {"g": ("{T} *", "probe_data")}
    | {"r": ("uint8_t", "x"), "t": ("uint8_t", OPAQUE[2]), "s": ("uint8_t", "y")}
)
VALUE = {"g": "(uintptr_t)g"}
HEAD = """#include <stdint.h>
#ifdef __GNUC__ /* a compiler that knows what variables hold and what functions do is made to forget it */
#define FORGET(v) __asm__ volatile ("" : "+r"(v))
#define APART __attribute__((noinline, noclone))
#else
#define FORGET(v)
#define APART
#endif
"""

OF_VALUES = {
    "add": "{x} + {y}",
    "subtract": "{x} - {y}",
    "and": "{x} & {y}",
    "or": "{x} | {y}",
    "xor": "{x} ^ {y}",
    "not": "~{x}",
    "add, a constant": "{x} + {k}",
    "subtract, a constant": "{x} - {k}",
    "and, a constant": "{x} & {k}",
    "and, a mask of the lower bits": "{x} & {m}",
    "or, a constant": "{x} | {k}",
    "xor, a constant": "{x} ^ {k}",
    "add; xor, in one expression": "({x} + {y}) ^ {x}",
}
BEHIND_A_FLAG = {
    "move": "{x}",
    "load_constant": "{k}",
    "load_from_table": "probe_table[{f}]",
    "conversion of 8 bits": "{f}",
    "conversion of 16 bits": "r16",
    "conversion of 32 bits": "r32",
}
THROUGH_A_POINTER = {"load": "{z} = *g++;", "store": "*g++ = {x};"}
LESS, MORE = 0x12121212, 0x65656565  # in order in every width
IN_ORDER, OUT_OF_ORDER, SAME = ((LESS, MORE),), ((MORE, LESS),), ((LESS, LESS),)
ZERO = ((0, 0),)
# Conditions, with operands for which they hold, and do not.
CONDITIONS: dict[str, tuple[str, Operands, Operands]] = {
    "compare": ("{p} < {q}", IN_ORDER, OUT_OF_ORDER),
    "compare, whether equal": ("{p} == {q}", SAME, IN_ORDER),
    "compare, with a constant": ("{v} < {k}", SAME, ((MORE, MORE),)),
    "compare, with zero": ("{v} == 0", ZERO, SAME),
}
ADDED, XORED = "{r} = (uint8_t)({r} + s);", "{r} = (uint8_t)({r} ^ s);"
LOCALS = (0, 2, 4, 8, 16)


class Compiler:
    """A CPU with its compiler: how many cycles it makes statements take."""

    def __init__(self, cpu: Cpu, folder: Path) -> None:
        self.cpu, self.folder, self.programs = cpu, folder, 0
        self.cycles = cache(self._cycles)

    def simulator(self, functions: str) -> Simulator:
        """The CPU with functions in C."""
        self.programs += 1
        source = self.folder / str(self.programs) / "probe.c"
        source.parent.mkdir()
        source.write_text(HEAD + functions, encoding="ascii")
        objects = [object_of(self.cpu.toolchain, source)]
        return self.cpu.simulator(linked(self.cpu.toolchain, objects, "probe_run", "probe", 32))

    def _cycles(self, statement: str, width: int, operands: Operands = IN_ORDER, before: str = "") -> float:
        """Cycles of a statement, the mean over the operands."""
        simulator = self.simulator(before + function(statement, width))
        difference = sum(
            simulator.call("run", (x, y, 1))[1] - simulator.call("run", (x, y, 0))[1] for x, y in operands
        )
        return difference / TIMES / len(operands)

    def of_values(self, expression: str, width: int, operands: Operands = IN_ORDER) -> float:
        """One value made of others."""
        return self.cycles(f"{{z}} = ({{T}})({expression});", width, operands)

    def shift(self, sign: str, width: int, distance: int) -> float:
        """A shift by a constant."""
        return self.of_values(f"{{x}} {sign} {distance}", width)

    def shift_variable(self, sign: str, width: int, distance: int) -> float:
        """A shift by a variable of 8 bits."""
        return self.of_values(f"{{x}} {sign} s", width, ((LESS, distance),))

    def branch(self, taken: bool) -> float:
        """A branch on a flag of 8 bits; not taken, it comes to what stands behind the condition."""
        if taken:
            return self.cycles("if ({f}) " + ADDED, 8, ZERO)
        return self.cycles("if ({f}) " + ADDED, 8, SAME) - self.cycles(ADDED, 8)

    def compared(self, name: str, width: int, taken: bool) -> float:
        """A comparison and its branch."""
        condition, holds, fails = CONDITIONS[name]
        if taken:
            return self.cycles(f"if ({condition}) " + ADDED, width, fails)
        return self.cycles(f"if ({condition}) " + ADDED, width, holds) - self.cycles(ADDED, 8)

    def kept(self, name: str, width: int) -> float:
        """A comparison whose outcome, 0 or 1, goes on into logic; the mean of both."""
        condition, holds, fails = CONDITIONS[name]
        whole = self.cycles(f"{{r}} = (uint8_t)({{r}} ^ ({condition}));", width, (*holds, *fails))
        return whole - self.cycles(XORED, 8)

    def select(self, width: int) -> float:
        """One of two values by a comparison of two others; the mean of both."""
        return self.of_values("{p} < {q} ? {x} : {y}", width, (*IN_ORDER, *OUT_OF_ORDER))

    def behind_a_flag(self, expression: str, width: int) -> float:
        """An assignment of which the compiler cannot know whether it is done."""
        table = f"const uint{width}_t probe_table[32] = {{{', '.join(map(str, range(3, 99, 3)))}}};\n"
        before = table if "table" in expression else ""
        return self.cycles(f"if ({{f}}) {{z}} = ({{T}}){expression};", width, SAME, before) - self.branch(
            False
        )

    def through_a_pointer(self, statement: str, width: int) -> float:
        """A value from or to memory, by a pointer that moves on."""
        return self.cycles(statement, width, IN_ORDER, f"uint{width}_t probe_data[8];\n")

    def multiply(self, width: int) -> float:
        """A product of twice the width; the mean over operands drawn at random, whose flags are set."""
        pairs = np.random.default_rng(1).integers(0, 1 << 31, (16, 2)) | 1
        operands = tuple((int(x), int(y)) for x, y in pairs)
        return self.cycles("if ({f}) w{z} = ({W})(({W}){x} * {y});", width, operands) - self.branch(False)

    def call(self) -> tuple[float, int]:
        """A call with two operands of 32 bits and a result: what the caller takes, and a callee that gives
        its first operand back.
        """
        callee = "APART uint32_t probe_callee(uint32_t x, uint32_t y) { (void)y; return x; }\n"
        whole = self.cycles("{z} = probe_callee({x}, {y});", 32, IN_ORDER, callee)
        least = self.simulator(callee + function(ADDED, 8)).call("callee", IN_ORDER[0])[1]
        return whole - least, least

    def entered_and_left(self, variables: int) -> int:
        """Entry to return of a function that leaves early, with so many variables of 32 bits."""
        names = [f"v{number}" for number in range(variables)]
        sums = [
            f"    {name} = {before} + (x ^ y);" for name, before in zip(names, ["x", *names], strict=False)
        ]
        declared = [f"    uint32_t {', '.join(names)};"] if names else []
        mixed = "".join(f"({name} ^ (y - " for name in names) + "x" + "))" * variables
        body = [*declared, "    if (x == 0) return y;", *sums, f"    return {mixed};"]
        text = "\n".join(["uint32_t probe_run(uint32_t x, uint32_t y)", "{", *body, "}\n"])
        return self.simulator(text).call("run", (0, LESS))[1]


def function(statement: str, width: int) -> str:
    """A function with a statement, several times, and the variables that it needs."""
    types = {"T": f"uint{width}_t", "W": f"uint{2 * width}_t"}
    statements = []
    for turn, pair, single, number in zip(TURNS, PAIRS, SINGLES, range(TIMES), strict=True):
        names = dict(zip("xyz", turn, strict=True)) | dict(zip("pq", pair.split(), strict=True))
        constants = {"k": CONSTANTS[width], "m": MASKS[width]}
        statements.append(
            statement.format(**names, **types, **constants, v=single, f=f"f{number}", r="rt"[number % 2])
        )
    used = [name for name in VARIABLES if re.search(rf"\b{name}\b", " ".join(statements))]
    lines = [f"    {VARIABLES[name][0]} {name};".format(**types) for name in used]
    lines += [f"    {name} = ({VARIABLES[name][0]})({VARIABLES[name][1]});".format(**types) for name in used]
    lines += [forgotten(used), "    if (todo == 0) goto end;"]
    for each in statements:
        lines += [f"    {each}", forgotten(re.findall(r"(\w+) = ", each) + re.findall(r"\br\d+", each))]
    result = " ^ ".join(["x", "y", *(f"(uint32_t){VALUE.get(name, name)}" for name in used)])
    body = "\n".join([*lines, f"end:\n    return {result};"])
    return f"uint32_t probe_run(uint32_t x, uint32_t y, uint32_t todo)\n{{\n{body}\n}}\n"


def forgotten(names: Iterable[str]) -> str:
    """Variables whose values a compiler must not know from here on."""
    return "    " + " ".join(f"FORGET({name});" for name in names)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.on_target.c_steps", description=__doc__)
    parser.add_argument("--cpu", required=True, choices=[cpu.name for cpu in EVERY_CPU], metavar="NAME")
    cpu = next(cpu for cpu in EVERY_CPU if cpu.name == parser.parse_args().cpu)
    with tempfile.TemporaryDirectory() as folder:
        print_all(Compiler(cpu, Path(folder)))


def print_all(made: Compiler) -> None:
    """The table of a CPU and its compiler."""
    print(
        f"{made.cpu.name}: {made.cpu.toolchain.command}\n{'cycles of':40}"
        + "".join(f"{w:>8}" for w in WIDTHS)
    )
    for kind, expression in OF_VALUES.items():
        row(kind, lambda width, text=expression: made.of_values(text, width))  # type: ignore[misc]
    for kind, text in BEHIND_A_FLAG.items():
        widths = [width for width in WIDTHS if f" {width} " not in kind]
        row(kind, lambda width, text=text: made.behind_a_flag(text, width), widths)  # type: ignore[misc]
    for kind, text in THROUGH_A_POINTER.items():
        row(
            f"{kind}, through a pointer that moves on",
            lambda width, text=text: made.through_a_pointer(text, width),  # type: ignore[misc]
        )
    if made.cpu.toolchain.multiplier:
        row("multiply, to twice the width", made.multiply, (8, 16))
    for taken, kind in ((False, "branch_not_taken"), (True, "branch_taken")):
        row(f"{kind}, on a flag", lambda _, taken=taken: made.branch(taken), (8,))  # type: ignore[misc]
        for name in CONDITIONS:
            row(f"{name}; {kind}", lambda w, n=name, t=taken: made.compared(n, w, t))  # type: ignore[misc]
    for name in CONDITIONS:
        row(f"{name}; kept as 0 or 1", lambda width, name=name: made.kept(name, width))  # type: ignore[misc]
    row("compare; select", made.select)
    caller, callee = made.call()
    print(f"call, two operands and result of 32 bits: {caller:.1f}; to return the first at once: {callee}")
    print("entered and left early, variables of 32 bits:", end="")
    print("".join(f"  {count}: {made.entered_and_left(count)}" for count in LOCALS))
    for kind, sign, shift in (
        ("shift_left", "<<", made.shift),
        ("shift_right", ">>", made.shift),
        ("shift_left_variable", "<<", made.shift_variable),
        ("shift_right_variable", ">>", made.shift_variable),
    ):
        for width in WIDTHS:
            distances = range(0 if "variable" in kind else 1, width)
            print_shifts(f"{kind}, {width} bits", {n: shift(sign, width, n) for n in distances})


def row(kind: str, cycles: Callable[[int], float], widths: Iterable[int] = WIDTHS) -> None:
    """A line with a figure for each width."""
    figures = [f"{cycles(width):8.1f}" if width in widths else " " * 8 for width in WIDTHS]
    print(f"{kind:40}" + "".join(figures), flush=True)


def print_shifts(kind: str, by_distance: dict[int, float]) -> None:
    """The cycles of each distance, and the straight line nearest to them."""
    distances, cycles = np.array(list(by_distance)), np.array(list(by_distance.values()))
    slope, start = np.polyfit(distances, cycles, 1)
    off = np.abs(start + slope * distances - cycles).max()
    print(f"{kind}: {start:.1f} + {slope:.1f} n, off by {off:.1f} at the most")
    print("   ", " ".join(f"{n}:{taken:.0f}" for n, taken in by_distance.items()), flush=True)


if __name__ == "__main__":
    main()
