"""The elementary functions, by the standard's names in snake case: a function for each row of the table.

They are as those of `functions`; they stand apart, since what they are made of takes a while to import.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol, TypeVar, overload

from softfloat_py.environment import Rounding
from softfloat_py.numbers.constants import Constant
from softfloat_py.numbers.emulated import Emulated
from softfloat_py.numbers.functions import RoundedBinary, RoundedUnary, documentation, function_of
from softfloat_py.numbers.integer_functions import with_integer
from softfloat_py.numbers.number import Number
from softfloat_py.operations import OPERATIONS

if TYPE_CHECKING:
    from softfloat_py.numbers.array import FloatArray

__all__ = [  # noqa: RUF022
    "exp", "exp2", "exp10", "expm1", "exp2m1", "exp10m1",
    "log", "log2", "log10", "logp1", "log2p1", "log10p1",
    "sin", "cos", "tan", "sin_pi", "cos_pi", "tan_pi",
    "asin", "acos", "atan", "atan2", "asin_pi", "acos_pi", "atan_pi", "atan2_pi",
    "sinh", "cosh", "tanh", "asinh", "acosh", "atanh",
    "r_sqrt", "hypot", "pow", "powr", "pown", "compound", "rootn",
]  # fmt: skip

T = TypeVar("T", bound=Emulated)


class RoundedOfPoint(Protocol):
    """A function of a point that rounds: of its y and its x, in the standard's order."""

    @overload
    def __call__(self, y: Number, x: Number | Constant, *, rounding: Rounding | None = None) -> Number: ...
    @overload
    def __call__(self, y: Constant, x: T, *, rounding: Rounding | None = None) -> T: ...
    @overload
    def __call__(self, y: FloatArray, x: Any, *, rounding: Rounding | None = None) -> FloatArray: ...
    @overload
    def __call__(self, y: Any, x: Any, *, rounding: Rounding | None = None) -> Any: ...


class RoundedWithInteger(Protocol):
    """A function of a value and an integer of 32 bits, or a host array of them, that rounds."""

    @overload
    def __call__(self, x: Number, n: int, *, rounding: Rounding | None = None) -> Number: ...
    @overload
    def __call__(self, x: FloatArray, n: Any, *, rounding: Rounding | None = None) -> FloatArray: ...
    @overload
    def __call__(self, x: Any, n: Any, *, rounding: Rounding | None = None) -> Any: ...


def _function_with_integer(name: str) -> Any:
    """The function of a row of the table that takes a value and an integer."""
    operation = OPERATIONS[name]

    def function(x: Any, n: Any, *, rounding: Rounding | None = None) -> Any:
        return with_integer(operation, x, n, rounding)

    function.__name__ = function.__qualname__ = name
    function.__doc__ = documentation(operation)
    return function


exp: RoundedUnary = function_of("exp")
exp2: RoundedUnary = function_of("exp2")
exp10: RoundedUnary = function_of("exp10")
expm1: RoundedUnary = function_of("expm1")
exp2m1: RoundedUnary = function_of("exp2m1")
exp10m1: RoundedUnary = function_of("exp10m1")

log: RoundedUnary = function_of("log")
log2: RoundedUnary = function_of("log2")
log10: RoundedUnary = function_of("log10")
logp1: RoundedUnary = function_of("logp1")
log2p1: RoundedUnary = function_of("log2p1")
log10p1: RoundedUnary = function_of("log10p1")

sinh: RoundedUnary = function_of("sinh")
cosh: RoundedUnary = function_of("cosh")
tanh: RoundedUnary = function_of("tanh")

sin: RoundedUnary = function_of("sin")
cos: RoundedUnary = function_of("cos")
tan: RoundedUnary = function_of("tan")
sin_pi: RoundedUnary = function_of("sin_pi")
cos_pi: RoundedUnary = function_of("cos_pi")
tan_pi: RoundedUnary = function_of("tan_pi")

asin: RoundedUnary = function_of("asin")
acos: RoundedUnary = function_of("acos")
asin_pi: RoundedUnary = function_of("asin_pi")
acos_pi: RoundedUnary = function_of("acos_pi")
atan: RoundedUnary = function_of("atan")
atan_pi: RoundedUnary = function_of("atan_pi")
atan2: RoundedOfPoint = function_of("atan2")
atan2_pi: RoundedOfPoint = function_of("atan2_pi")

r_sqrt: RoundedUnary = function_of("r_sqrt")
hypot: RoundedBinary = function_of("hypot")

asinh: RoundedUnary = function_of("asinh")
acosh: RoundedUnary = function_of("acosh")
atanh: RoundedUnary = function_of("atanh")

pow: RoundedBinary = function_of("pow")
powr: RoundedBinary = function_of("powr")
pown: RoundedWithInteger = _function_with_integer("pown")
compound: RoundedWithInteger = _function_with_integer("compound")
rootn: RoundedWithInteger = _function_with_integer("rootn")
