"""Complex values: pairs of numbers of one format.

Reading order: complex_arithmetic (the formulas), complex_value (which mixtures are allowed, the operators),
complex_number, complex_array, complex_functions (numpy's).
"""
