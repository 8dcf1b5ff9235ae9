"""The arithmetic itself: one file an operation, written in the words of `language`.

Reading order: language, unpacking, rounding, addition; then whatever interests you.
"""
