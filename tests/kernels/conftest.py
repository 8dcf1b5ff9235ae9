"""Kernels and what they import are run by the tests, not collected."""

collect_ignore = ["by_hand", "files", "outside", "refused", "ways_out"]
