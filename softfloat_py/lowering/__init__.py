"""How a step of any width is done in words of 8, 16, 32 or 64 bits: carries, shifts without a barrel
shifter, partial products, leading zeros.

Every expansion is a routine in the language of `routines`, so it can be run, counted, checked and shown. A
value of several words is a tuple of Bits, the lowest word first; all are `machine.word` bits wide but the
last, which has what remains. Reading order: machine, words, then wordwise, table_entries and the wide_ files
as you like; expansions says which routine expands which step; in_words rewrites a whole program in words.
"""
