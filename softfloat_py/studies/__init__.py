"""Questions over many operands: the operations beside the host's floating point, a conversion in steps beside
the direct one.
"""
