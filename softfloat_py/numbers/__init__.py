"""What users hold and compute with: `Number`, `FloatArray`, and numpy's functions on them.

Reading order: constants (Python numbers become encodings), applying (the one gate to the engines), operands
(which mixtures are allowed, and the operators), number, calling, integer_functions, functions (what users
call), array_constants, array_methods, array, choosing, numpy_functions (a row for each of numpy's functions).

numpy's functions by topic: elementwise, reductions, statistics, ordering, truths, linear_algebra, solving,
norms, sequences, index_notation, transforms, real_transforms. Beside them makers (arrays of constants),
host_formats (to and from the host's dtypes) and saving (to and from files).

Complex values are pairs: complex_arithmetic (the formulas), complex_value (which mixtures are allowed, the
operators), complex_number, complex_array, complex_functions (numpy's), twiddles (constants of transforms).

Numbers as text: text_parsing and text_encoding (from text), text_specification, decimal_digits and
text_layout (to text), number_text, text_conversion (the standard's conversions).
"""
