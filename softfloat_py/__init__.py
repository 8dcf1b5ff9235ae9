"""IEEE 754 arithmetic done with integers only, every step counted and priced for CPUs without an FPU.

How data flows, one room a stage:

    formats, options, environment   what a number is, what is provided, which way is rounded
    routines                        the arithmetic, as text one can read; start with routines/addition.py
    integer_form, lowering          the same as typed steps, of any width and in words of a CPU
    engines                         ways to run it: direct, plain, arrays, stepwise; and C to take it away
    operations, uses                the table of operations, and one in a format with options
    numbers                         what one computes with: Number, FloatArray, functions
    tally                           what ran
    kernels                         a program of one's own, run on the target's numbers
    pricing                         what that costs on a CPU
    studies, teaching               questions over many operands, and what one operation consists of
    views                           tables, listings and worksheets to look at
    commands, guide                 the command line, and the reference: python -m softfloat_py guide
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from softfloat_py.environment import Environment, Flags, Rounding, environment
from softfloat_py.errors import (
    ArrayFileError,
    ConventionError,
    CostModelError,
    FormatError,
    HostFloatError,
    KernelError,
    MeasurementsError,
    MixedFormatsError,
    NotEmulatedError,
    NotInstalledError,
    OperandError,
    QuantityError,
    RoutineError,
    SoftFloatError,
    TallyFileError,
    TextError,
    UnknownNameError,
    WidthError,
)
from softfloat_py.numbers import functions
from softfloat_py.numbers.formats import (
    Format,
    bfloat16,
    binary16,
    binary32,
    binary64,
    binary128,
    extended80,
    ofp8_e4m3,
    ofp8_e5m2,
)
from softfloat_py.numbers.functions import *  # noqa: F403
from softfloat_py.numbers.number import Number
from softfloat_py.operations import ELEMENTARY
from softfloat_py.options import (
    COMPLETE,
    LEAN,
    Division,
    Elementary,
    ElementaryRounding,
    IntegerOverflow,
    LeadingZeros,
    NaNResult,
    Options,
    Payload,
    Product,
    SquareRoot,
    Tables,
    Tininess,
)
from softfloat_py.routines.sign_and_class import FloatClass
from softfloat_py.tally.carrying import carrying
from softfloat_py.tally.tally import Tally, counting

if TYPE_CHECKING:
    from softfloat_py.kernels.calls import emulated
    from softfloat_py.numbers import elementary_functions
    from softfloat_py.numbers.array import FloatArray
    from softfloat_py.numbers.complex.complex_array import ComplexArray
    from softfloat_py.numbers.complex.complex_number import ComplexNumber
    from softfloat_py.numbers.elementary_functions import *  # noqa: F403
    from softfloat_py.numbers.saving import load_array, load_arrays, save_array, save_arrays
    from softfloat_py.numbers.text.text_conversion import (
        convert_from_decimal_character,
        convert_from_hex_character,
        convert_to_decimal_character,
        convert_to_hex_character,
    )
    from softfloat_py.pricing.bounds import bounds
    from softfloat_py.pricing.calibration import Measurement, calibrate
    from softfloat_py.pricing.table_reader import cost_model, cost_models, load_cost_model
    from softfloat_py.studies.comparing import compare_with_host
    from softfloat_py.studies.double_rounding import convert_in_steps
    from softfloat_py.teaching.explanation import explain

__all__ = [  # noqa: RUF022
    "Format", "binary16", "bfloat16", "binary32", "binary64", "binary128", "extended80",
    "ofp8_e4m3", "ofp8_e5m2", "Number", "FloatArray", "ComplexNumber", "ComplexArray",
    "environment", "Environment", "Rounding", "Flags", "Options", "COMPLETE", "LEAN",
    "NaNResult", "Payload", "Tininess", "IntegerOverflow", "FloatClass",
    "LeadingZeros", "Product", "Division", "SquareRoot", "Elementary", "Tables", "ElementaryRounding",
    "counting", "carrying", "Tally",
    "convert_from_decimal_character", "convert_from_hex_character",
    "convert_to_decimal_character", "convert_to_hex_character",
    "cost_models", "cost_model", "load_cost_model", "bounds", "calibrate", "Measurement",
    "explain", "compare_with_host", "emulated", "convert_in_steps",
    "save_array", "load_array", "save_arrays", "load_arrays",
    "SoftFloatError", "ArrayFileError", "ConventionError", "CostModelError", "FormatError",
    "HostFloatError", "KernelError", "MeasurementsError", "MixedFormatsError", "NotEmulatedError",
    "NotInstalledError", "OperandError", "QuantityError", "RoutineError",
    "TallyFileError", "TextError", "UnknownNameError", "WidthError",
]  # fmt: skip
__all__ += functions.__all__
if TYPE_CHECKING:
    __all__ += elementary_functions.__all__
else:
    __all__ += ELEMENTARY

# What is loaded when it is first asked for, to keep the import light: numpy, elementary functions, cost
# tables, views.
_LATER = {
    **dict.fromkeys(ELEMENTARY, "numbers.elementary_functions"),
    "FloatArray": "numbers.array",
    **dict.fromkeys(
        (
            "convert_from_decimal_character",
            "convert_from_hex_character",
            "convert_to_decimal_character",
            "convert_to_hex_character",
        ),
        "numbers.text.text_conversion",
    ),
    "ComplexArray": "numbers.complex.complex_array",
    "ComplexNumber": "numbers.complex.complex_number",
    "cost_models": "pricing.table_reader",
    "cost_model": "pricing.table_reader",
    "load_cost_model": "pricing.table_reader",
    "bounds": "pricing.bounds",
    "calibrate": "pricing.calibration",
    "Measurement": "pricing.calibration",
    "explain": "teaching.explanation",
    "compare_with_host": "studies.comparing",
    "convert_in_steps": "studies.double_rounding",
    "emulated": "kernels.calls",
    "save_array": "numbers.saving",
    "load_array": "numbers.saving",
    "save_arrays": "numbers.saving",
    "load_arrays": "numbers.saving",
}


def __getattr__(name: str) -> Any:
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = value = getattr(importlib.import_module(f"{__name__}.{_LATER[name]}"), name)
    return value
