"""Headings sorted into sectors, and turns of the buoy around its mooring, kept between calls."""

import math

SECTORS = 8
turns = 0
last_heading = 0.0


def wrapped(heading):
    global turns
    while heading >= 360.0:
        heading -= 360.0
        turns += 1
    while heading < 0.0:
        heading += 360.0
        turns -= 1
    return heading


def kernel(headings):
    global last_heading
    histogram = [0] * SECTORS
    travelled = 0.0
    for heading in headings:
        heading = wrapped(heading + 22.5)
        histogram[int(heading / (360.0 / SECTORS))] += 1
        travelled += math.fabs(heading - last_heading)
        last_heading = heading
    whole = math.floor(travelled), round(travelled), math.ceil(travelled)
    back = -travelled if travelled else travelled
    return histogram, turns, whole, back, last_heading * 2.0


def inputs():
    return ([10.3, 95.2, 181.7, 350.1, 352.9, -30.4, 44.0, 400.6],)
