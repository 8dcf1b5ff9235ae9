"""Ways to run a routine: `direct` as it stands; `plain`, `arrays`, `stepwise` from its integer form.

All deliver the same bits and flags; the last three the same counts. Beside them there is C from the same
form, which counts nothing: c_files (header and source), c_writer, c_spellings, c_planning, c_lowering with
c_picking, c_rewriting, c_ranges and c_routines, c_target.

Reading order: stepwise, plain, then arrays with its parts (array_analysis, array_writer, array_spellings,
array_support, array_words); text is what those that write programs share.
"""
