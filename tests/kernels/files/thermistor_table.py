"""Water temperature from converter readings: a table of points and straight lines between them."""

TABLE = [(512, 45.0), (800, 30.5), (1100, 21.25), (1500, 12.5), (2047, 2.0)]


def degrees(raw):
    if not TABLE[0][0] <= raw <= TABLE[-1][0]:
        raise ValueError(f"reading {raw} is off the table")
    for (low, hot), (high, cold) in zip(TABLE, TABLE[1:]):
        if raw <= high:
            return hot + (raw - low) / (high - low) * (cold - hot)


def kernel(readings):
    sensible = []
    faults = 0
    for raw in readings:
        try:
            sensible.append(degrees(raw))
        except ValueError:
            faults += 1
    return sensible, sum(sensible) / len(sensible), min(sensible), faults


def inputs():
    return ([1203, 1210, 1198, 4095, 1187, 850, 512, 2000, 0, 1211],)
