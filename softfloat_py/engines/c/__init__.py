"""C from the integer form.

Reading order: target (a word and a multiplier), lowering with picking, rewriting, ranges, routines and unseen
(the steps that C has), planning with sharing, writer and spellings (text), tables (constant arrays), passing
(types of operands and results), surroundings (direction and flags), placement (macros before definitions),
callees and definitions (functions), files (the header and the source).

A program is rewritten in the steps that C has for a target: by `picking` first, for CPUs of narrow words,
then by the same lowering that prices CPUs, then by `rewriting` with the routines of `routines`. `ranges`
finds masks that lose nothing and comparisons with one outcome alone, `unseen` leaves out what no bit is
looked at of; `planning` says what is written for each value, `sharing` which of them share a variable. A
table that functions read stands once, as an array, in front of them. Options are not seen here: they were
decided before. Flags and direction are two variables, or, in the re-entrant form, parameters.
"""
