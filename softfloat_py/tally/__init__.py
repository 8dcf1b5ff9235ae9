"""What ran, and how many steps of which kind it took.

Reading order: tally; origins (where steps come from), counts (how runs are noted), notes (what left the
emulation, which NaNs and infinities were born); files, format_names, carrying (into other threads).
"""
