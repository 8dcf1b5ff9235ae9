"""From a tally to cycles and time: cost_model (figures and the rules between them), table_reader (TOML), step_prices
(lowering and figures put together), estimate.
"""
