"""Which numbers are constants of a program, and their encodings: converted once, not counted."""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction
from functools import lru_cache
from numbers import Rational, Real
from typing import Any, TypeAlias

from softfloat_py.environment import Rounding, current
from softfloat_py.errors import OperandError
from softfloat_py.numbers.value_system import ValueSystem
from softfloat_py.options import Options

# A constant of the program, as Python has it.
Constant: TypeAlias = int | float | Fraction
# What to write instead of a kind of number that has no place here.
ADVICE = {
    "bool": "convert it first, for example int(value)",
    "complex": "make a value of the format of it: {name}.complex_number(value)",
    "str": "write {name}.from_text(text)",
    "Decimal": "convert it first: Fraction(value) is exact",
    **dict.fromkeys(("list", "tuple", "ndarray"), "write {name}.array(values)"),
}


def refusal(what: str, system: str, value: object) -> OperandError:
    """The error for an operand that is no constant of a format, by its name; `what` needs it."""
    kind = type(value).__name__.rstrip("_")
    advice = f"; {ADVICE[kind].format(name=system)}" if kind in ADVICE else ""
    shown = f"{value!r} ({type(value).__name__})"
    if hasattr(value, "to_numpy"):  # a table of another library, of many lines
        shown, advice = f"a {kind}", f"; write {system}.array(values.to_numpy())"
    return OperandError(f"{what} of {system} needs an int, a float or a Fraction, not {shown}{advice}")


def exactly(value: Any) -> Fraction:
    """The value of a finite number that `is_real`."""
    ratio = (value.numerator, value.denominator) if isinstance(value, Rational) else value.as_integer_ratio()
    return Fraction(*map(int, ratio))


def is_real(value: object) -> bool:
    """Whether a value is a Python or numpy int or float or a Fraction, a bool being none of them.

    A single value of a dtype that another package registered with numpy, such as ml_dtypes' bfloat16, is one.
    """
    if isinstance(value, bool):
        return False
    if hasattr(value, "dtype"):
        return isinstance(value, Real) or _is_registered(value)
    return isinstance(value, int | float | Fraction)


def _is_registered(value: Any) -> bool:
    # numpy calls dtypes "builtin" by number: 2 are those that others registered.
    dtype = value.dtype
    return getattr(dtype, "isbuiltin", None) == 2 and isinstance(value, dtype.type)


def with_ratio(value: Any) -> Any:
    """A real number as one that knows its ratio; of the short formats that others registered, the double."""
    return value if isinstance(value, Real) else float(value)


@lru_cache(maxsize=4096)
def _nonzero_constant(fmt: ValueSystem, kind: Hashable, value: Any, direction: int, options: Options) -> int:
    return fmt.encode(value, Rounding(direction), options=options)[0]


def constant(fmt: ValueSystem, value: Any) -> int:
    """The encoding of what `is_real`, rounded in the current environment, remembered for the next time.

    Zeros are not remembered: 0.0 and -0.0 are equal and would be taken for each other.
    """
    kind: Any = type(value)
    if kind is not float and kind is not int:
        value = with_ratio(value)
    if value == 0:
        return fmt.encode(value)[0]
    environment = current.conventions()
    return _nonzero_constant(fmt, kind, value, environment.direction, environment.options)
