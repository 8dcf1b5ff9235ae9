"""What ran, and how many steps of which kind it took.

Reading order: tally; origins (where steps come from), logs and counts (how runs are noted and counted), notes
(what left the emulation, which NaNs and infinities were born); files, format_names, carrying (into other
threads).

A run is noted by its operands, in the *log* of its line, which takes less time than to count it. When
somebody asks, or a log is full, the runs in it are done again, and become one *usage* of their program: on
the plain engine, which leaves a *record* of each, or all at once on the array engine, as soon as that is
worth its code.
Usages are added, saved and priced; `counting(each_call=True)` keeps the records too. What is shown as steps
are cells: (phase, kind, width, feature) and how often, for an operation, format, options and line. Notes are
taken at the gate (`numbers.applying`), when a run is done: a birth is found by the result and its flags.
"""
