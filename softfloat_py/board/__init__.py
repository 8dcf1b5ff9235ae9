"""A program in C that measures the operations on a board, and prints what `pricing.measurements_file` reads.

`program.py` writes it: the text of `beginning.c`, then a loop for each way in which operands are passed, the
operands, and `main`. `measure.h` goes with it as it is: the timers, and where characters go.
"""
