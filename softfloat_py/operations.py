"""The table of operations: what there is, by the standard's names. Numbers, arrays, the command line, the
documentation and the test matrix are all read from it, so a new operation is one routine and one row.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Any

from softfloat_py.environment import Rounding
from softfloat_py.errors import NotEmulatedError, UnknownNameError
from softfloat_py.formats import BinaryFormat
from softfloat_py.routines import (
    addition,
    augmented,
    comparison,
    division,
    format_conversion,
    fused_multiply_add,
    integer_conversion,
    minimum_maximum,
    multiplication,
    next_number,
    remainder,
    round_to_integral,
    scaling,
    sign_and_class,
    square_root,
    total_order,
)
from softfloat_py.routines.comparison import Predicate
from softfloat_py.routines.language import Routine
from softfloat_py.suggestions import families, names_with, nearest_names


class Result(Enum):
    """What an operation delivers; a format stands for any number system."""

    NUMBER = "a number of the operands' format"
    PAIR = "a number of the operands' format and its error, which is one too"
    TRUTH = "one bit"
    TARGET_NUMBER = "a number of the target format"
    INTEGER = "an integer, of 32 bits and two's complement if no parameter states its kind"
    CLASS = "the number of one of the ten classes"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a routine is, which is imported when somebody asks for it: most programs want few of the
    elementary functions, and these have many files.
    """

    module: str
    name: str

    @property
    def routine(self) -> Routine:
        """The routine itself."""
        routine: Routine = getattr(importlib.import_module(self.module), self.name)
        return routine


@dataclass(frozen=True, slots=True, eq=False)
class Operation:
    """One operation of the standard.

    `text` is its routine, or says where that is; `operands` are the routine's parameters that are values,
    encodings but for those named in `integer_operands`; `rounds` says that it also takes a direction; `fixed`
    are further parameters that are always the same, `parameters` the names of those that each use fixes (a
    target format, an integer format). `operator` is Python's method, `ufunc` numpy's function, `symbol` the
    sign in reports and on the command line. `clause` is a clause of the document that defines it, `standard`.
    """

    name: str
    clause: str
    text: Routine | Place
    operands: tuple[str, ...]
    result: Result = Result.NUMBER
    integer_operands: tuple[str, ...] = ()
    rounds: bool = False
    fixed: Mapping[str, Any] = field(default_factory=dict)
    parameters: tuple[str, ...] = ()
    operator: str | None = None
    ufunc: str | None = None
    symbol: str | None = None
    standard: str = "IEEE 754-2019"

    @property
    def routine(self) -> Routine:
        """What it does, as text in the language of routines."""
        return self.text.routine if isinstance(self.text, Place) else self.text

    @property
    def source(self) -> str:
        """Where it is defined: a document and its clause."""
        return f"{self.standard}, clause {self.clause}"

    @property
    def elementary(self) -> bool:
        """Whether it is an elementary function: the standard recommends those, and requires none."""
        return self.clause == "9.2"

    @property
    def arity(self) -> int:
        """How many operands it takes."""
        return len(self.operands)

    @property
    def results(self) -> int:
        """How many values it delivers."""
        return 2 if self.result is Result.PAIR else 1


def _rounded(name: str, routine: Routine, symbol: str, operator: str | None, ufunc: str) -> Operation:
    operands = ("x",) if symbol == "sqrt" else ("x", "y")
    return Operation(
        name, "5.4.1", routine, operands, rounds=True, operator=operator, ufunc=ufunc, symbol=symbol
    )


def _augmented(name: str, routine: Routine) -> Operation:
    return Operation(name, "9.5", routine, ("x", "y"), Result.PAIR)


def _comparison(
    name: str, relations: str, operator: str = "", ufunc: str = "", symbol: str = ""
) -> Operation:
    """A predicate of clause 5.6.1: true for the relations named, signalling if its name says so."""
    predicate = Predicate(**dict.fromkeys(relations.split(), True), signaling="signaling" in name)
    return Operation(
        name, "5.6.1", comparison.compare, ("x", "y"), Result.TRUTH, fixed={"predicate": predicate},
        operator=operator or None, ufunc=ufunc or None, symbol=symbol or None,
    )  # fmt: skip


def _elementary(
    module: str, name: str, ufunc: str | None = None, operands: tuple[str, ...] = ("x",)
) -> Operation:
    integers = ("n",) if "n" in operands else ()
    place = Place(f"softfloat_py.routines.elementary.{module}", name)
    return Operation(name, "9.2", place, operands, integer_operands=integers, rounds=True, ufunc=ufunc)


def _class_question(name: str, routine: Routine, ufunc: str | None = None) -> Operation:
    return Operation(name, "5.7.2", routine, ("x",), Result.TRUTH, ufunc=ufunc)


def _extreme(routine: Routine, ufunc: str | None = None) -> Operation:
    return Operation(routine.__name__, "9.6", routine, ("x", "y"), ufunc=ufunc)


def _integral(rounding: Rounding, ufunc: str | None = None) -> Operation:
    name = f"round_to_integral_{rounding.name.lower()}"
    routine = round_to_integral.round_to_integral
    return Operation(name, "5.3.1", routine, ("x",), fixed={"rounding": rounding}, ufunc=ufunc)


_ROWS = (
    _rounded("addition", addition.addition, "+", "__add__", "add"),
    _rounded("subtraction", addition.subtraction, "-", "__sub__", "subtract"),
    _rounded("multiplication", multiplication.multiplication, "*", "__mul__", "multiply"),
    _rounded("division", division.division, "/", "__truediv__", "divide"),
    _rounded("square_root", square_root.square_root, "sqrt", None, "sqrt"),
    Operation(
        "fused_multiply_add", "5.4.1", fused_multiply_add.fused_multiply_add, ("x", "y", "z"), rounds=True
    ),
    Operation("remainder", "5.3.1", remainder.remainder, ("x", "y")),
    # C's fmod; IEEE 754 has no such operation.
    Operation(
        "remainder_truncated", "7.12.10.1", remainder.remainder_truncated, ("x", "y"),
        standard="ISO/IEC 9899 (C)",
    ),
    _augmented("augmented_addition", augmented.augmented_addition),
    _augmented("augmented_subtraction", augmented.augmented_subtraction),
    _augmented("augmented_multiplication", augmented.augmented_multiplication),
    _elementary("exponential", "exp", "exp"),
    _elementary("exponential", "exp2", "exp2"),
    _elementary("exponential", "exp10"),
    _elementary("exponential_less_one", "expm1", "expm1"),
    _elementary("exponential_less_one", "exp2m1"),
    _elementary("exponential_less_one", "exp10m1"),
    _elementary("logarithm", "log", "log"),
    _elementary("logarithm", "log2", "log2"),
    _elementary("logarithm", "log10", "log10"),
    _elementary("logarithm_plus_one", "logp1", "log1p"),
    _elementary("logarithm_plus_one", "log2p1"),
    _elementary("logarithm_plus_one", "log10p1"),
    _elementary("trigonometric", "sin", "sin"),
    _elementary("trigonometric", "cos", "cos"),
    _elementary("trigonometric", "tan", "tan"),
    _elementary("trigonometric_pi", "sin_pi"),
    _elementary("trigonometric_pi", "cos_pi"),
    _elementary("trigonometric_pi", "tan_pi"),
    _elementary("arc_tangent", "atan", "arctan"),
    _elementary("arc_tangent", "atan_pi"),
    _elementary("arc_sine", "asin", "arcsin"),
    _elementary("arc_sine", "asin_pi"),
    _elementary("arc_sine", "acos", "arccos"),
    _elementary("arc_sine", "acos_pi"),
    _elementary("point_angle", "atan2", "arctan2", ("y", "x")),
    _elementary("point_angle", "atan2_pi", operands=("y", "x")),
    _elementary("r_sqrt", "r_sqrt"),
    _elementary("hypot", "hypot", "hypot", ("x", "y")),
    _elementary("hyperbolic", "sinh", "sinh"),
    _elementary("hyperbolic", "cosh", "cosh"),
    _elementary("hyperbolic", "tanh", "tanh"),
    _elementary("inverse_hyperbolic_sine", "asinh", "arcsinh"),
    _elementary("inverse_hyperbolic_cosine", "acosh", "arccosh"),
    _elementary("inverse_hyperbolic_tangent", "atanh", "arctanh"),
    _elementary("power", "pow", operands=("x", "y")),
    _elementary("power", "powr", operands=("x", "y")),
    _elementary("whole_power", "pown", operands=("x", "n")),
    _elementary("compound", "compound", operands=("x", "n")),
    _elementary("rootn", "rootn", operands=("x", "n")),
    # Table 5.1 to 5.3 of the standard; Python's and numpy's signs as table 5.2 and common practice have them.
    _comparison("compare_quiet_equal", "equal", "__eq__", "equal", "=="),
    _comparison("compare_quiet_not_equal", "less greater unordered", "__ne__", "not_equal", "!="),
    _comparison("compare_signaling_equal", "equal"),
    _comparison("compare_signaling_greater", "greater", "__gt__", "greater", ">"),
    _comparison("compare_signaling_greater_equal", "greater equal", "__ge__", "greater_equal", ">="),
    _comparison("compare_signaling_less", "less", "__lt__", "less", "<"),
    _comparison("compare_signaling_less_equal", "less equal", "__le__", "less_equal", "<="),
    _comparison("compare_signaling_not_equal", "less greater unordered"),
    _comparison("compare_signaling_not_greater", "less equal unordered"),
    _comparison("compare_signaling_less_unordered", "less unordered"),
    _comparison("compare_signaling_not_less", "greater equal unordered"),
    _comparison("compare_signaling_greater_unordered", "greater unordered"),
    _comparison("compare_quiet_greater", "greater"),
    _comparison("compare_quiet_greater_equal", "greater equal"),
    _comparison("compare_quiet_less", "less"),
    _comparison("compare_quiet_less_equal", "less equal"),
    _comparison("compare_quiet_unordered", "unordered"),
    _comparison("compare_quiet_not_greater", "less equal unordered"),
    _comparison("compare_quiet_less_unordered", "less unordered"),
    _comparison("compare_quiet_not_less", "greater equal unordered"),
    _comparison("compare_quiet_greater_unordered", "greater unordered"),
    _comparison("compare_quiet_ordered", "less equal greater"),
    Operation("total_order", "5.10", total_order.total_order, ("x", "y"), Result.TRUTH),
    Operation("total_order_magnitude", "5.10", total_order.total_order_magnitude, ("x", "y"), Result.TRUTH),
    _extreme(minimum_maximum.maximum, "maximum"),
    _extreme(minimum_maximum.minimum, "minimum"),
    _extreme(minimum_maximum.maximum_number),
    _extreme(minimum_maximum.minimum_number),
    _extreme(minimum_maximum.maximum_magnitude),
    _extreme(minimum_maximum.minimum_magnitude),
    _extreme(minimum_maximum.maximum_magnitude_number),
    _extreme(minimum_maximum.minimum_magnitude_number),
    _integral(Rounding.TIES_TO_EVEN),
    _integral(Rounding.TIES_TO_AWAY),
    _integral(Rounding.TOWARD_ZERO, "trunc"),
    _integral(Rounding.TOWARD_POSITIVE, "ceil"),
    _integral(Rounding.TOWARD_NEGATIVE, "floor"),
    Operation(
        "round_to_integral_exact", "5.3.1", round_to_integral.round_to_integral_exact, ("x",),
        rounds=True, ufunc="rint",
    ),
    Operation("next_up", "5.3.1", next_number.next_up, ("x",)),
    Operation("next_down", "5.3.1", next_number.next_down, ("x",)),
    Operation("scale_b", "5.3.3", scaling.scale_b, ("x", "n"), integer_operands=("n",), rounds=True),
    Operation("log_b", "5.3.3", scaling.log_b, ("x",), Result.INTEGER),
    Operation("copy", "5.5.1", sign_and_class.copy, ("x",)),
    Operation("negate", "5.5.1", sign_and_class.negate, ("x",), operator="__neg__", ufunc="negative"),
    Operation("absolute", "5.5.1", sign_and_class.absolute, ("x",), operator="__abs__", ufunc="absolute"),
    Operation("copy_sign", "5.5.1", sign_and_class.copy_sign, ("x", "y"), ufunc="copysign"),
    _class_question("is_sign_minus", sign_and_class.is_sign_minus, "signbit"),
    _class_question("is_normal", sign_and_class.is_normal),
    _class_question("is_finite", sign_and_class.is_finite, "isfinite"),
    _class_question("is_zero", sign_and_class.is_zero),
    _class_question("is_subnormal", sign_and_class.is_subnormal),
    _class_question("is_infinite", sign_and_class.is_infinite, "isinf"),
    _class_question("is_nan", sign_and_class.is_nan, "isnan"),
    _class_question("is_signaling", sign_and_class.is_signaling),
    Operation("classify", "5.7.2", sign_and_class.classify, ("x",), Result.CLASS),
    Operation(
        "convert_format", "5.4.2", format_conversion.convert_format, ("x",), Result.TARGET_NUMBER,
        rounds=True, parameters=("target",),
    ),
    Operation(
        "convert_to_integer", "5.8", integer_conversion.convert_to_integer, ("x",), Result.INTEGER,
        rounds=True, parameters=("integer",),
    ),
    Operation(
        "convert_to_integer_exact", "5.8", integer_conversion.convert_to_integer_exact, ("x",),
        Result.INTEGER, rounds=True, parameters=("integer",),
    ),
    Operation(
        "convert_to_integer_toward_zero", "5.8", integer_conversion.convert_to_integer_toward_zero, ("x",),
        Result.INTEGER, parameters=("integer",),
    ),
    Operation(
        "convert_from_integer", "5.4.1", integer_conversion.convert_from_integer, ("value",),
        integer_operands=("value",), rounds=True, parameters=("integer",),
    ),
)  # fmt: skip

OPERATIONS: dict[str, Operation] = {row.name: row for row in _ROWS}
ELEMENTARY = tuple(row.name for row in _ROWS if row.elementary)
# The operations of each kind of number system, by the same names: what `+` and the functions do in a system
# is the operation of its table that has the name of the one here. `add_table` adds a kind.
TABLES: dict[str, Mapping[str, Operation]] = {BinaryFormat.kind: OPERATIONS}


def add_table(kind: str, rows: Iterable[Operation]) -> None:
    """Say what there is in a kind of number system.

    Raises ValueError for an operation that does not deliver what the one of its name does elsewhere.
    """
    table = {row.name: row for row in rows}
    for name, row in table.items():
        if name in OPERATIONS and OPERATIONS[name].result is not row.result:
            raise ValueError(f"{name} must deliver {OPERATIONS[name].result.value} in {kind} too")
    TABLES[kind] = table


def operation_of(kind: str, name: str) -> Operation:
    """The operation of this name in a kind of number system.

    Raises NotEmulatedError where the kind has none of this name, UnknownNameError where no other has.
    """
    table = TABLES[kind]
    if name in table:
        return table[name]
    if name in OPERATIONS:
        raise NotEmulatedError(f"{name} of {kind} numbers", ", ".join(table))
    raise unknown_operation("an operation", name, table)


def operation_named(name: str) -> Operation:
    """The operation of this name; UnknownNameError, with those near or the families, where there is none."""
    if name not in OPERATIONS:
        raise unknown_operation("an operation", name, OPERATIONS)
    return OPERATIONS[name]


def unknown_operation(what: str, name: str, known: Iterable[str]) -> UnknownNameError:
    """The error for a name that is none of many operations: it shows those near, or else the families."""
    names = list(known)
    near = nearest_names(name, names)
    kinds = families(names_with(name, names) or names)
    listed = f"there are {', '.join(kinds)}; python -m softfloat_py explain --help lists all"
    required = "named as IEEE 754-2019 names it, in snake case"
    return UnknownNameError(what, name, names, near, required, "" if near else listed)
