"""What explanations consist of, from the record of the stepwise engine: data, and no text.

Reading order: explanation (an operation and its record), rounded_sum (the step that rounded), provenance
(where a value came from).
"""
