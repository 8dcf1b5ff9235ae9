"""What users hold and compute with: `Number`, `FloatArray`, and numpy's functions on them.

Reading order: constants (Python numbers become encodings), applying (the one gate to the engines), operands
(which mixtures are allowed, and the operators), number, calling, integer_functions, functions (what users
call), array_constants, array_methods, array, choosing, numpy_functions (a row for each of numpy's functions).

numpy's functions by topic: elementwise, reductions, statistics, ordering, truths, linear_algebra, sequences,
index_notation. Beside them host_formats (to and from the host's dtypes) and saving (to and from files).

Numbers as text: text_parsing and text_encoding (from text), text_specification, decimal_digits and
text_layout (to text), number_text, text_conversion (the standard's conversions).
"""
