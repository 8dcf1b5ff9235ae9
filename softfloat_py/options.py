"""What a routine is asked to provide, fixed before it runs.

Each option is something real run-time code leaves out, chooses, or has prescribed by an ISA manual, so that
its cost can be seen by estimating a kernel with and without it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import Enum

from softfloat_py.errors import ConventionError
from softfloat_py.formats import BinaryFormat
from softfloat_py.keeping import HashedOnce, hashed_once


class NaNResult(Enum):
    """Which NaN an operation on NaNs delivers (IEEE 754-2019, clause 6.2.3, recommends an operand's)."""

    # RISC-V ISA manual, "NaN Generation and Propagation"; Arm with FPSCR.DN set. From memory, both.
    CANONICAL = "the default NaN"
    # Intel 64 and IA-32 SDM, volume 1, table 4-7, for SSE instructions. From memory.
    FIRST_OPERAND = "the first operand that is a NaN, made quiet"
    # The same table for x87 instructions. From memory.
    LARGER_PAYLOAD = "the operand with the larger payload, made quiet"


class Payload(Enum):
    """The payload of the default NaN."""

    # Arm, x86, RISC-V, Power (their manuals, from memory).
    ZERO = "payload zero"
    # MC68881/MC68882 User's Manual; SPARC Architecture Manual V8, section on untrapped results. From memory.
    ONES = "payload of all ones"


class Tininess(Enum):
    """When a result counts as tiny (IEEE 754-2019, clause 7.5)."""

    # x86 SSE and x87, RISC-V, MIPS (their manuals, from memory).
    AFTER_ROUNDING = "underflow detected after rounding"
    # Arm, Power (their manuals, from memory).
    BEFORE_ROUNDING = "underflow detected before rounding"


class IntegerOverflow(Enum):
    """What a conversion to an integer delivers where there is no such integer."""

    # Arm's FCVT instructions, RISC-V's FCVT apart from NaNs (their manuals, from memory).
    SATURATE = "the nearest integer, 0 for a NaN"
    # Intel 64 and IA-32 SDM, volume 1, "integer indefinite"; from memory.
    INDEFINITE = "only the top bit set"


class LeadingZeros(Enum):
    """How leading zeros are counted."""

    STEP = "as one step"
    HALVING = "by a binary search"


class Product(Enum):
    """How significands are multiplied."""

    NATIVE = "as one product"
    PARTIAL = "by partial products of halves"


class Division(Enum):
    """How division finds the digits of its result; all are correctly rounded."""

    RADIX_2 = "digit by digit in radix 2"
    RADIX_4 = "digit by digit in radix 4"
    RECIPROCAL = "by reciprocal"
    BY_DIVIDER = "by a divider, from leading bits"


class SquareRoot(Enum):
    """How square root finds the digits of its result; both are correctly rounded."""

    DIGIT_BY_DIGIT = "digit by digit"
    RECIPROCAL = "by reciprocal root"


class Elementary(Enum):
    """How elementary functions compute what is left of their argument."""

    POLYNOMIAL = "by polynomials"
    SHIFT_AND_ADD = "by shifts and additions"


class Tables(Enum):
    """Which tables elementary functions may have: larger ones leave less to be computed."""

    NONE = "no tables"
    SMALL = "small tables"
    LARGE = "large tables"


class ElementaryRounding(Enum):
    """How elementary functions are rounded."""

    CORRECT = "correct"
    # To one of the two numbers next to the exact value; common practice, no source.
    FAITHFUL = "faithful"


@dataclass(frozen=True, slots=True)
class Options(HashedOnce):
    """Fixed properties of the arithmetic; the defaults are the complete one.

    What is provided:

    - `all_directions`: the rounding direction is chosen at run time (otherwise ties to even only).
    - `flags`: the five exceptions are recorded.
    - `in_memory`: operands are loaded from memory and results stored, and this is counted (otherwise they are
      in registers).
    - `special`: infinities and NaNs are expected as operands (otherwise the caller promises there are none).

    Conventions, in which targets differ:

    - `subnormal_operands`: subnormal operands are computed with (otherwise read as zeros of their sign, as
      x86 SSE with MXCSR.DAZ set and Arm with FPSCR.FZ set do; their manuals, from memory).
    - `subnormal_results`: results may be subnormal (otherwise they become zeros of their sign, as x86 SSE
      with MXCSR.FTZ set and Arm with FPSCR.FZ set have it; their manuals, from memory).
    - `tininess`: when a result counts as tiny, for the underflow flag.
    - `nan`: which NaN comes out; `negative_nan`, `nan_payload`: sign and payload of the default NaN
      (negative: Intel 64 and IA-32 SDM, volume 1, "QNaN floating-point indefinite"; from memory).
    - `integer_overflow`: what a conversion to an integer delivers where there is no such integer.
    - `saturate`: overflow delivers the largest finite number in every direction, and conversion of an
      infinity does (the saturating mode of the OFP8 specification).

    - `elementary_rounding`: elementary functions are rounded correctly, or faithfully: by their fast phase
      alone, which is less code, and wrong only where the exact value is a hundredth of a unit in the last
      place or less from where rounding changes. There a function that can be exact, as a power can, is taken
      to be, and signals no inexact.

    Algorithms, which all give the same bits: `leading_zeros`, `product`, `division`, `square_root`; for
    elementary functions `elementary` and `tables`.

    Raises ConventionError with a line for each field of the wrong kind.
    """

    all_directions: bool = True
    flags: bool = True
    special: bool = True
    in_memory: bool = False
    subnormal_operands: bool = True
    subnormal_results: bool = True
    tininess: Tininess = Tininess.AFTER_ROUNDING
    nan: NaNResult = NaNResult.CANONICAL
    negative_nan: bool = False
    nan_payload: Payload = Payload.ZERO
    integer_overflow: IntegerOverflow = IntegerOverflow.SATURATE
    saturate: bool = False
    leading_zeros: LeadingZeros = LeadingZeros.STEP
    product: Product = Product.NATIVE
    division: Division = Division.RADIX_2
    square_root: SquareRoot = SquareRoot.DIGIT_BY_DIGIT
    elementary: Elementary = Elementary.POLYNOMIAL
    tables: Tables = Tables.SMALL
    elementary_rounding: ElementaryRounding = ElementaryRounding.CORRECT

    __hash__ = hashed_once

    def __post_init__(self) -> None:
        faults = []
        for field in fields(self):
            value, kind = getattr(self, field.name), type(field.default)
            if type(value) is not kind:
                legal = "True or False" if kind is bool else f"a member of {kind.__name__}"
                faults.append(f"{field.name} must be {legal}, not {value!r}")
        if faults:
            raise ConventionError("\n".join(faults))

    @property
    def name(self) -> str:
        """'complete', 'lean', or the differences from complete."""
        for name, options in NAMED_OPTIONS.items():
            if self == options:
                return name
        differences = []
        for field in fields(self):
            value = getattr(self, field.name)
            if value != field.default:
                said = _SAID[field.name]
                differences.append(said.format(value.value) if isinstance(value, Enum) else said)
        return "complete, " + ", ".join(differences)

    def default_nan(self, fmt: BinaryFormat) -> int:
        """Encoding of the default NaN in a format; a format without infinities has but one of each sign."""
        payload = fmt.quiet_bit - 1 if self.nan_payload is Payload.ONES else 0
        return fmt.quiet_nan | payload | (fmt.sign_bit if self.negative_nan else 0)


# How each departure from the complete set is worded in reports.
_SAID = {
    "all_directions": "ties to even only",
    "flags": "no flags",
    "special": "no special operands",
    "in_memory": "operands and results in memory",
    "subnormal_operands": "subnormal operands flushed",
    "subnormal_results": "subnormal results flushed",
    "tininess": "{}",
    "nan": "NaN results: {}",
    "negative_nan": "negative default NaN",
    "nan_payload": "default NaN with {}",
    "integer_overflow": "integer overflow: {}",
    "saturate": "overflow saturates",
    "leading_zeros": "leading zeros {}",
    "product": "multiplication {}",
    "division": "division {}",
    "square_root": "square root {}",
    "elementary": "elementary functions {}",
    "tables": "elementary functions with {}",
    "elementary_rounding": "elementary functions with {} rounding",
}

COMPLETE = Options()
LEAN = Options(all_directions=False, flags=False)
NAMED_OPTIONS = {"complete": COMPLETE, "lean": LEAN}
