"""Routines as typed integer steps: read from their source text, specialised, checked, printed, counted.

Reading order: grammar (what the form is), source (a routine's text), expressions and meeting (what becomes
of them, and where control flow meets), reader (how a routine becomes a form), builder (how a step is
added), words (what a routine's words become), finishing (what nobody uses goes), walking and rewriting (for
whoever looks at all statements, or changes them), charges and counting, plausible (whether counts can be),
printing; liveness and known_zeros for pricing.
"""
