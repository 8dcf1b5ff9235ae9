"""numpy's functions that have no row, and for each what to write instead, by topic.

Names are those under which the function's own module knows it; of numpy's main module they stand alone.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from softfloat_py.errors import NotEmulatedError

ANYTHING_ELSE = "the operations of the standard, such as addition, division or square_root"
OWN_SERIES = "a polynomial or a table of your own"
ENCODINGS = "integers: x.bits are the encodings, which from_bits and array_from_bits make numbers of"
REAL = "x itself, as emulated values are real; a complex number is two arrays, real and imaginary part"
TEXT = "none, as it works on text; str(x), repr(x) and format(x, …) make text of numbers"
DATES = "none, as it works on dates; emulated values are numbers"
RECORDS = "an array for each field, which nothing here puts into records"
FORMAT = "x.format, and convert_format or x.astype(format)"
MAKER = "constants, for example binary32.array(numpy.arange(8.0)), or zeros_like(x), full_like(x, value)"
SETS = "sort, and comparisons of neighbours"
FACTORS = "matrix products and elimination of your own, with matmul, division and square_root"
POLYNOMIALS = "Horner's rule, result = result * x + coefficient"
SAVING = "save_array and save_arrays, which load_array and load_arrays read"


def _in(module: str, names: str) -> str:
    return " ".join(f"{module}.{name}" for name in names.split())


_BY_TOPIC: dict[str, str] = {
    # Functions that are no operation of the standard, and those of complex results.
    "i0": OWN_SERIES,
    _in("lib.scimath", "log log2 log10 logn arccos arcsin arctanh power sqrt"):
        "the function of numpy's main module, which gives a NaN where the result is complex",
    # Integers and bits.
    "bitwise_and bitwise_or bitwise_xor bitwise_count invert packbits unpackbits": ENCODINGS,
    "left_shift right_shift": "scale_b, which multiplies by a power of two",
    "gcd lcm": "numpy's own on integers, which convert_to_integer makes of numbers",
    "bincount ravel_multi_index unravel_index ix_": "numpy's own on integers, made by convert_to_integer",
    # Complex numbers.
    "conjugate real imag iscomplex isreal iscomplexobj isrealobj real_if_close sort_complex": REAL,
    # What is not about numbers.
    "count endswith startswith find rfind index rindex str_len isalnum isalpha isdecimal isdigit": TEXT,
    "islower isnumeric isspace istitle isupper": TEXT,
    "array2string array_repr array_str": "str(x), repr(x) and format(x, …), which nothing counts",
    "isnat": "numpy.isnan",
    "busday_count busday_offset is_busday datetime_as_string": DATES,
    "save savez savez_compressed savetxt fromfile frombuffer": SAVING,
    "loadtxt genfromtxt fromstring fromiter": "numpy's own without like=, then binary32.array(values)",
    _in(
        "lib.recfunctions",
        "append_fields apply_along_fields assign_fields_by_name drop_fields find_duplicates join_by "
        "merge_arrays rec_append_fields rec_drop_fields rec_join recursive_fill_fields rename_fields "
        "repack_fields require_fields stack_arrays structured_to_unstructured unstructured_to_structured",
    ): RECORDS,
    "astype result_type can_cast common_type min_scalar_type": FORMAT,
    "may_share_memory shares_memory": "numpy's own on encodings, a.bits and b.bits",
    # Making arrays.
    "array asarray asanyarray ascontiguousarray asfortranarray require": "binary32.array(values), or stack",
    "arange zeros ones empty full eye identity tri fromfunction": MAKER,
    "linspace": "start + step * numpy.arange(n), or constants, binary32.array(numpy.linspace(a, b, n))",
    "geomspace logspace": "constants, for example binary32.array(numpy.geomspace(a, b, n))",
    "vander": "products, or x ** numpy.arange(n) on an axis of its own",
    # Order, sets and counting.
    "lexsort": "sort and argsort",
    "unique_all unique_counts unique_inverse unique_values": SETS,
    "intersect1d union1d setdiff1d setxor1d": SETS,
    "histogram2d histogramdd": "comparisons with the edges, then count_nonzero",
    # Statistics, and elements without NaNs.
    "nanpercentile nanquantile":
        "the function without nan, of x[~numpy.isnan(x)]",
    # Polynomials.
    _in("polynomial.polynomial", "polyval2d polygrid2d polyvalnd"): POLYNOMIALS,
    "poly polymul": "convolve",
    "polyadd polysub": "addition and subtraction of coefficients",
    "polyder polyint": "multiplication and division of coefficients by constants",
    "polydiv polyfit roots": FACTORS,
    # Linear algebra.
    "einsum_path": "einsum, which goes in index order",
    _in("linalg", "slogdet qr lstsq pinv"): "linalg.solve, or linalg.cholesky",
    _in("linalg", "cond matrix_rank svd svdvals"): FACTORS,
    _in("linalg", "eig eigh eigvals eigvalsh tensorinv tensorsolve"): FACTORS,
    # Transforms.
    _in("fft", "hfft ihfft fft2 ifft2 rfft2 irfft2 fftn ifftn rfftn irfftn"):
        "fft.fft along one axis at a time",
}  # fmt: skip
NEAREST = {name: nearest for names, nearest in _BY_TOPIC.items() for name in names.split()}

# What to write instead of the methods of an element-wise function that is emulated.
REDUCTIONS = "add.reduce, multiply.reduce, maximum.reduce"
REDUCED: dict[Any, str] = {np.logical_and: "numpy.all", np.logical_or: "numpy.any"}
METHODS = {
    "outer": "{} on arrays that broadcast",
    "at": "{} on the elements that the indices name, one by one where an index comes twice",
    "reduceat": "{}.reduce of each slice",
}


def qualified_name(function: Callable[..., Any]) -> str:
    """The name of a numpy function, its module before it."""
    module = getattr(function, "__module__", None) or "numpy"
    return f"{module}.{function.__name__}"


def refusal(function: Callable[..., Any]) -> NotEmulatedError:
    """The error for a function without a row, naming the nearest that has one."""
    name = qualified_name(function)
    short = name.removeprefix("numpy.")
    otherwise = TEXT if short.startswith(("strings.", "char.")) else ANYTHING_ELSE
    return NotEmulatedError(name, NEAREST.get(short, otherwise))


def method_refusal(ufunc: np.ufunc, method: str) -> NotEmulatedError:
    """The error for a method (reduce, outer, at …) of an element-wise function that is emulated."""
    name = f"numpy.{ufunc.__name__}"
    if method in METHODS:
        return NotEmulatedError(f"{name}.{method}", METHODS[method].format(name))
    return NotEmulatedError(f"{name}.{method}", REDUCED.get(ufunc, REDUCTIONS))
