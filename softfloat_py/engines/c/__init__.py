"""C from the integer form.

Reading order: target (a word and a multiplier), lowering with picking, rewriting, ranges and routines (the
steps that C has), planning, writer and spellings (text), files (the header and the source around it).
"""
