"""The arithmetic itself: one file an operation, written in the words of `language`.

Reading order: language, unpacking, rounding, addition; then whatever interests you. `steps` is the reference
for what each step means, `phases` for the names of an algorithm's parts. What an operation has around its
routine is a door (`doors`, `memory`, `explicit_leading_bit`).
"""
