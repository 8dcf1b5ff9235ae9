"""Numbers as text, and back; nothing here is counted.

Reading order: text_parsing and text_encoding (from text), text_specification, decimal_digits and text_layout
(to text), number_text, text_conversion (the standard's conversions).
"""
