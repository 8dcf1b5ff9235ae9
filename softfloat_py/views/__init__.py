"""What people look at: text and HTML of estimates, cost models, studies and explanations. Nothing is computed
here.

Reading order: layout (how numbers, bits and tables are written), remarks (what a tally noted beside its
counts), estimate_table, estimate_comparison, estimate_data, bounds_table, calibration_table, cpu_table,
host_comparison, conversion_in_steps, returned, waiting, then the parts of an explanation: encodings,
worksheet, rounding_words, listing, explanation.
"""
