"""Routines as typed integer steps: read from their source text, specialised, checked, printed, counted.

Reading order: grammar (what the form is), source (a routine's text), expressions, statements and meeting
(what becomes of them, and where control flow meets), reader (how a routine becomes a form) and calling (how
one that is called does), builder (how a step is added), words (what a routine's words become), finishing
(what nobody uses goes), walking and rewriting (for whoever looks at all statements, or changes them), charges
and counting, plausible (whether counts can be), printing; liveness and known_zeros for pricing; evened for
whoever computes in one width at a time.

How counting works. A kind of step says under which name and width it is counted, and which *feature* its cost
may depend on (`routines.steps`). All statements of a *stretch* run or none does; an early return ends one in
the middle of a block. What a run of each has to pay is a list of *charges*, and their sum the *bill* of a
program. A step whose feature only a run knows is a *site*. So a run is described by how often each stretch
ran and which features each site met, its *usage*, and steps follow from that by the bill. The plain engine
leaves a small record that is turned into a usage; the array engine adds up masks and histograms. The
stepwise engine shares none of this: it counts each step where it happens, and tests hold the others to it.

A routine is written out where another calls it, unless it is `called`: then it is a program of its own, whose
usage lies inside the usage of the program that calls it.
"""
