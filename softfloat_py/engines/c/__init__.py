"""C from the integer form.

Reading order: target (a word and a multiplier), lowering with picking, rewriting, ranges and routines (the
steps that C has), planning, writer and spellings (text), tables (constant arrays), callees (static
functions), files (the header and the source around it).

A program is rewritten in the steps that C has for a target: by `picking` first, for CPUs of narrow words,
then by the same lowering that prices CPUs, then by `rewriting` with the routines of `routines`. `ranges`
finds masks that lose nothing and comparisons with one outcome alone; `planning` says which values get
variables, and shares them. A table that functions read stands once, as an array, in front of them. Options
are not seen here: they were decided before. Flags and direction are two variables.
"""
