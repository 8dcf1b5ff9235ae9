"""Levels packed for the radio, and read back."""

import struct


def kernel(levels):
    out = []
    for level in levels:
        packed = struct.pack("<f", level * 0.5)  # leaves: float
        out.append(struct.unpack("<f", packed)[0])
    return out


def inputs():
    return ([1.25, 2.5, 3.75],)
