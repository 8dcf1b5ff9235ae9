"""From a tally to cycles and time.

Reading order: figures (with their sources), abilities (which steps a machine must have priced), cost_model,
table_reader with table_sections, table_layers and layer_faults (TOML, and what a file says of each
compiler), native_steps and operations_of_c (what a counted step becomes on a CPU, or in C), rules (what
compiled code does around it) with compiler and registers, compiled_order, decisions, instructions, wraps and
masks (what it does otherwise than a routine says), live_words, wide_steps and context (how much of it there
is), step_prices and program_price (all put together), estimate; then bounds (of a call) and calibration
(figures fitted to a board).

How a step is priced. Its *shape* (kind, widths, bits known to be zero, constants) is expanded for the CPU by
the routines of `lowering`, and the expansion run once: what that run counts are the native steps, and the
cost model has the cycles of each. `rules` says on half a page what compiled code does around them.
`program_price` puts a price on each stretch and site of a program, and `estimate` multiplies by the usages of
a tally, then divides the sum by operation, phase, step and line. What measured code had beyond all that is
one figure of the model, `moves_a_step`; it and `argument_passing`, which no manual states either, can be
fitted by `calibration`. All other figures are facts about the CPU.
"""
