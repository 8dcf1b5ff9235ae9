"""What users hold and compute with: `Number`, `FloatArray`, and numpy's functions on them.

Reading order: constants (Python numbers become encodings), applying (the one gate to the engines), operands
(which mixtures are allowed, and the operators), number, array, numpy_functions, functions (what users call).
"""
