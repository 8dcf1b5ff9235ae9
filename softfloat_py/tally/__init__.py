"""What ran, and how many steps of which kind it took.

Reading order: tally; origins (where steps come from), counts (how runs are noted), notes (what left the
emulation, which NaNs and infinities were born); files, format_names, carrying (into other threads).

Each call leaves a *record*; equal ones of a line are counted, and become one *usage* of their program when
somebody asks. Usages are added, saved and priced; `counting(each_call=True)` keeps the records too. What is
shown as steps are cells: (phase, kind, width, feature) and how often, for an operation, format, options and
line. Notes are taken at the gate (`numbers.applying`), where every result is looked at for a birth: in a
directed rounding, infinity and the largest finite number come out of one way through a program, so a look at
new records alone would miss some.
"""
