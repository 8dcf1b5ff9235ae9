"""How far the buoy has drifted along great circles of the earth, and the course of each leg."""

from math import asin, atan2, cos, degrees, radians, sin, sqrt

RADIUS = 6371.0  # km


def leg(here, there):
    north, east = radians(here[0]), radians(here[1])
    to_north, to_east = radians(there[0]), radians(there[1])
    half_north, half_east = (to_north - north) / 2, (to_east - east) / 2
    h = sin(half_north) ** 2 + cos(north) * cos(to_north) * sin(half_east) ** 2
    y = sin(to_east - east) * cos(to_north)
    x = cos(north) * sin(to_north) - sin(north) * cos(to_north) * cos(to_east - east)
    return 2 * RADIUS * asin(sqrt(h)), degrees(atan2(y, x))


def kernel(fixes):
    total = 0.0
    courses = []
    for here, there in zip(fixes, fixes[1:]):
        distance, course = leg(here, there)
        total += distance
        courses.append(course)
    return total, courses


def inputs():
    return ([(54.18, 7.45), (54.26, 7.41), (54.95, 8.1), (53.7, 9.2)],)
