"""From a tally to cycles and time.

Reading order: cost_model (figures and the rules between them), table_reader (TOML), native_steps (what a
counted step becomes on a CPU), step_prices (both put together), estimate.
"""
