"""Ways to run a routine: `direct` as it stands; `plain`, `arrays`, `stepwise` from its integer form.

All deliver the same bits and flags; the last three the same counts.
"""
