"""Routines as typed integer steps: read from their source text, specialised, checked, printed, counted.

Reading order: grammar (what the form is), reader (how a routine becomes one), builder (how a step is
added), specialising, checking, counting, printing.
"""
