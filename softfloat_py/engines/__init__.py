"""Ways to run a routine: `direct` as it stands; `plain`, `arrays`, `stepwise` from its integer form.

All deliver the same bits and flags; the last three the same counts. Beside them there is `c`, from the same
form, which counts nothing. `registry` lists them by name.

Reading order: stepwise, plain, then arrays, then c with signature. Those that write programs share text;
python_text writes steps for plain and arrays.
"""
