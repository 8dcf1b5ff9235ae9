"""Heading from the two horizontal axes of the magnetometer."""

from math import atan2, pi


def degrees(north, east):
    return atan2(east, north) * (180 / pi)


def kernel(field):
    headings = []
    for north, east in field:
        headings.append(degrees(north - 0.02, east + 0.01))
    return headings


def inputs():
    return ([(0.3, 0.1), (0.2, -0.2)],)
