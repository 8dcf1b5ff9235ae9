"""What numpy's functions do with values of a format: each is emulated, moved (no arithmetic) or refused.

`dispatching` has a row for each of them, `coverage` counts them, `refusals` says what to write instead. The
others are topics: elementwise, transcendental, powers, reductions, statistics, ordering, truths,
linear_algebra, solving, norms, sequences, index_notation, transforms, real_transforms and so on; `twiddles`
are the constants of transforms.
"""
