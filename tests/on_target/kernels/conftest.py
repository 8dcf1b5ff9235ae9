"""Kernels are run by the tests, not collected."""

collect_ignore = ["files"]
