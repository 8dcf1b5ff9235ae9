"""What users hold and compute with: `Number`, `FloatArray`, and numpy's functions on them.

Reading order: constants (Python numbers become encodings), gates (a use ready to run, generated), applying
(the one gate to the engines), operands (which mixtures are allowed), operators (those of numbers, generated),
number, calling, integer_functions, functions (what users
call), array_constants, array_methods, array. Beside them makers (arrays of constants), host_formats (to and
from the host's dtypes) and saving (to and from files).

Rooms: `numpy_calls` (what numpy's functions do with these values), `complex` (pairs), `text` (numbers as
text, and back).
"""
