"""Doubles, rounded by integers, must say of a function what MPFR says, or that they do not know."""

from __future__ import annotations

import ctypes
import struct
import subprocess
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from random import Random

import gmpy2  # type: ignore[import-untyped]
import pytest

from softfloat_py.environment import Flags, Rounding
from softfloat_py.numbers.formats import KNOWN_FORMATS, Format
from tests import tools
from tests.campaigns import exact
from tests.campaigns.building import HERE, HOST_OPTIONS
from tests.campaigns.catalogue import FUNCTIONS, Function, Kind, Operands
from tests.references import multiprecision, rational
from tests.references.exact_rounding import Destination

BINARY64 = KNOWN_FORMATS["binary64"]
FORMATS = ("binary32", "binary16", "bfloat16")
DRAWN = {
    Kind.NUMBER: Operands.DRAWN_NUMBER,
    Kind.PAIR: Operands.DRAWN_PAIR,
    Kind.WITH_INTEGER: Operands.DRAWN_WITH_INTEGERS,
}
FIXED, DOUBTFUL = 2, 1  # what a function of the driver returns

DRIVER = """
static int how;
#define OPERANDS how
#include "expected.h"
#include "operands.h"

void draw(int which, uint64_t number, uint64_t *x, uint64_t *y)
{
    how = which;
    find_operands(number, x, y);
}

int deliver(Expected found, uint64_t *bits, uint32_t *flags)
{
    int direction;
    for (direction = 0; direction < DIRECTIONS; direction++) {
        Outcome given = outcome_in(found, (unsigned)direction);
        bits[direction] = given.bits;
        flags[direction] = given.flags;
    }
    return found.is_fixed ? 2 : found.is_doubtful;
}

int claimed(double value, int way, uint64_t units, uint64_t *bits, uint32_t *flags)
{
    return deliver(rounded_as(claim(value, way, units)), bits, flags);
}
"""
EXPECTED = """
int expected_of_{name}(uint64_t x, uint64_t y, uint64_t *bits, uint32_t *flags)
{{
    return deliver(expected_{name}(x, y), bits, flags);
}}
"""


class Reference:
    """The C of one format, compiled for this machine."""

    def __init__(self, fmt: Format, folder: Path) -> None:
        self.fmt = fmt
        facts = f"#define PRECISION {fmt.precision}\n#define EXPONENT_BITS {fmt.exponent_bits}\n"
        source, shared = folder / f"{fmt.name}.c", folder / f"{fmt.name}.so"
        source.write_text(facts + DRIVER + "".join(EXPECTED.format(name=name) for name in FUNCTIONS))
        command = [tools.compiler("gcc", "gcc"), *HOST_OPTIONS, "-O0", "-Wall", "-Wextra", "-Werror"]
        built = subprocess.run(
            [*command, f"-I{HERE}", "-o", str(shared), str(source), "-lm"],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert built.stderr == ""
        self.library = ctypes.CDLL(str(shared))
        self.bits, self.flags = (ctypes.c_uint64 * 5)(), (ctypes.c_uint32 * 5)()

    def drawn(self, function: Function, number: int) -> tuple[int, int]:
        """Operands by number."""
        x, y = ctypes.c_uint64(), ctypes.c_uint64()
        which, where = list(Operands).index(DRAWN[function.kind]), (ctypes.byref(x), ctypes.byref(y))
        self.library.draw(which, ctypes.c_uint64(number), *where)
        return x.value, y.value

    def outcomes(self, name: str, x: int, y: int) -> tuple[int, tuple[exact.Outcome, ...]]:
        """How much is known of a function's result, and what it is in each direction."""
        call = self.library[f"expected_of_{name}"]
        known = call(ctypes.c_uint64(x), ctypes.c_uint64(y), self.bits, self.flags)
        return known, tuple(zip(self.bits, self.flags, strict=True))

    def claimed(self, value: float, way: int, units: int) -> tuple[bool, tuple[exact.Outcome, ...]]:
        """Whether a claim is doubtful, and what it is in each direction."""
        claim = ctypes.c_double(value), way, ctypes.c_uint64(units)
        doubtful = self.library.claimed(*claim, self.bits, self.flags)
        return bool(doubtful), tuple(zip(self.bits, self.flags, strict=True))


@pytest.fixture(scope="module")
def references(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Reference]:
    """The C of each format."""
    folder = tmp_path_factory.mktemp("references")
    return {name: Reference(KNOWN_FORMATS[name], folder) for name in FORMATS}


def doubles(fmt: Format, count: int) -> Iterator[float]:
    """Doubles of all exponents of a format and some beyond, many near its numbers or halfway between."""
    random = Random(fmt.width)
    for _ in range(count):
        exponent = random.randint(fmt.emin - fmt.precision - 4, fmt.emax + 3)
        bits = random.getrandbits(52)
        if random.random() < 0.7:
            bits = (bits >> (53 - fmt.precision - 2) << (53 - fmt.precision - 2)) + random.randint(-2, 2)
        if random.random() < 0.2:
            bits, exponent = random.randint(-3, 3), random.choice((fmt.emin, fmt.emax + 1, exponent))
        yield random.choice((1, -1)) * float(((1 << 52) + bits) * 2.0 ** (exponent - 52))


@pytest.mark.parametrize("name", FORMATS)
def test_a_double_is_rounded_as_mpfr_rounds_it(references: dict[str, Reference], name: str) -> None:
    """In MPFR's four directions and, by rational arithmetic, with ties away from zero; with all flags."""
    fmt = KNOWN_FORMATS[name]
    for value in doubles(fmt, 2000):
        encoded = int.from_bytes(struct.pack(">d", value))
        wanted = [
            rational.convert_format(BINARY64, fmt, direction, encoded)
            if direction is Rounding.TIES_TO_AWAY
            else multiprecision.convert_format(BINARY64, fmt, direction, encoded)
            for direction in Rounding
        ]
        assert (False, tuple(wanted)) == references[name].claimed(value, 0, 0), value
        numerator, denominator = value.as_integer_ratio()
        cut = exact.Cut(value < 0, abs(numerator), 1 - denominator.bit_length(), False)
        assert tuple(wanted) == exact.rounded(fmt, cut), value


@pytest.mark.parametrize("name", FORMATS)
def test_what_lies_beside_a_double_is_rounded_as_mpfr_rounds_it(
    references: dict[str, Reference], name: str
) -> None:
    """Above, below, or known to be near: then it is doubtful, or all that is as near rounds alike."""
    fmt = KNOWN_FORMATS[name]
    for value in doubles(fmt, 1000):
        lower, upper = (_beside(fmt, value, sign) for sign in (-1, 1))
        assert (False, upper) == references[name].claimed(value, 2, 0), value
        assert (False, lower) == references[name].claimed(value, 3, 0), value
        doubtful, outcomes = references[name].claimed(value, 1, 1)
        if not doubtful:
            assert lower == upper == outcomes, value


def _beside(fmt: Format, value: float, sign: int) -> tuple[exact.Outcome, ...]:
    """What lies beside a double by less than its last place."""
    moved = Fraction(value) + sign * abs(Fraction(value)) / 2**60
    return tuple(Destination(fmt, direction).round(moved) for direction in Rounding)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_what_doubles_know_is_what_mpfr_says(references: dict[str, Reference], name: str) -> None:
    """Of drawn operands, wherever it is not left as doubtful; which few are."""
    function = FUNCTIONS[name]
    for reference in references.values():
        doubtful = 0
        for number in range(100):
            x, y = reference.drawn(function, number)
            known, found = reference.outcomes(name, x, y)
            doubtful += known == DOUBTFUL
            if known not in (FIXED, DOUBTFUL):
                assert exact.outcomes(name, reference.fmt, x, y) == found, (hex(x), hex(y))
        assert doubtful <= 10


SPECIAL = (0.0, 1.0, 2.0, 3.0, 0.5, float("inf"))


@pytest.mark.parametrize("name", sorted(set(exact.NATIVE) - {"powr", "r_sqrt"}))
def test_special_values_are_those_of_mpfr(references: dict[str, Reference], name: str) -> None:
    """MPFR follows ISO C's annex F (its manual), which agrees with the standard in these functions; it has no
    powr, and its reciprocal square root of -0 is positive.
    """
    reference, function = references["binary32"], FUNCTIONS[name]
    values = [float("nan"), *SPECIAL, *(-value for value in SPECIAL)]
    seconds = {Kind.NUMBER: [0.0], Kind.PAIR: values, Kind.WITH_INTEGER: [-3.0, -2.0, 0.0, 1.0, 2.0, 3.0]}
    special = 0
    for x in values:
        for y in seconds[function.kind]:
            context = gmpy2.context(precision=24)
            wanted = exact.NATIVE[name](context, gmpy2.mpfr(x), gmpy2.mpfr(y))
            second = int(y) % (1 << 64) if function.kind is Kind.WITH_INTEGER else _encoded(y)
            known, found = reference.outcomes(name, _encoded(x), second)
            if known == FIXED:
                special += 1
                has_nan = x != x or y != y
                flags = Flags.DIVISION_BY_ZERO if context.divzero else Flags.NONE
                flags |= Flags.INVALID_OPERATION if gmpy2.is_nan(wanted) and not has_nan else Flags.NONE
                assert (_encoded(float(wanted)), flags) == found[0], (x, y)
                assert len(set(found)) == 1
    assert special >= 3


def _encoded(value: float) -> int:
    """A double with a number of binary32 for its value."""
    if value != value:
        return KNOWN_FORMATS["binary32"].quiet_nan
    return int.from_bytes(struct.pack(">f", value))


def test_a_signalling_nan_is_invalid_and_a_quiet_one_is_not(references: dict[str, Reference]) -> None:
    """But where the other operand decides the result, a quiet NaN is no NaN (clause 9.2.1)."""
    reference = references["binary32"]
    quiet, signaling, nan = 0x7FC12345, 0x7F812345, 0x7FC00000
    for name in FUNCTIONS:
        _, found = reference.outcomes(name, signaling, 0)
        assert ((nan, Flags.INVALID_OPERATION),) * 5 == found
        _, found = reference.outcomes(name, quiet, 1)
        assert ((nan, Flags.NONE),) * 5 == found
    for name in ("pow", "pown", "compound"):
        _, found = reference.outcomes(name, quiet, 0)
        assert ((0x3F800000, Flags.NONE),) * 5 == found
