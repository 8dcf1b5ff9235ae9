"""The tide's trend: a straight line through samples taken at whole hours, by least squares."""


def kernel(levels):
    n = len(levels)
    sx = sxx = 0
    sy = sxy = 0.0
    for x, y in enumerate(levels):
        sx += x
        sxx += x * x
        sy += y
        sxy += x * y
    slope = (n * sxy - sx * sy) / (n * sxx - sx * sx)
    offset = (sy - slope * sx) / n
    misses = [abs(y - (offset + slope * x)) for x, y in enumerate(levels)]
    return slope, offset, max(misses)


def inputs():
    return ([1.02, 1.31, 1.55, 1.91, 2.12, 2.44, 2.7, 3.05],)
