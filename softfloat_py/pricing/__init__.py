"""From a tally to cycles and time.

Reading order: figures (with their sources), abilities (which steps a machine must have priced), cost_model,
table_reader with table_sections (TOML), native_steps (what a counted step becomes on a CPU), rules (what
compiled code does around it) with compiler and registers, live_words, wide_steps and context (how much of it
there is), program_price (both put together), estimate; then bounds (of a call) and calibration (figures
fitted to a board).
"""
