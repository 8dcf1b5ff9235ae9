"""What the buoy has to stand."""

WARNING, ALARM = 0.05, 0.1  # g


def state(g):
    if g > ALARM:
        return 2
    return 1 if g > WARNING else 0
