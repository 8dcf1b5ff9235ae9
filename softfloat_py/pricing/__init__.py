"""From a tally to cycles and time.

Reading order: cost_model (figures and the rules between them), table_reader (TOML), native_steps (what a
counted step becomes on a CPU), context (what stands around it), program_price (both put together), estimate;
then bounds (of a call) and calibration (figures fitted to a board).
"""
