"""Drift and its speed along a line: a Kalman filter of two states in lists of lists."""

DT = 0.5  # s
MOTION = [[1.0, DT], [0.0, 1.0]]
PROCESS = [[0.01, 0.0], [0.0, 0.02]]
SENSOR = 0.25


def multiply(a, b):
    return [[sum(x * y for x, y in zip(row, column)) for column in zip(*b)] for row in a]


def transpose(a):
    return [list(column) for column in zip(*a)]


def add(a, b):
    return [[x + y for x, y in zip(*rows)] for rows in zip(a, b)]


def kernel(positions):
    state = [[positions[0]], [0.0]]
    covariance = [[1.0 if row == column else 0.0 for column in range(2)] for row in range(2)]
    for z in positions[1:]:
        state = multiply(MOTION, state)
        covariance = add(multiply(multiply(MOTION, covariance), transpose(MOTION)), PROCESS)
        surprise = z - state[0][0]
        total = covariance[0][0] + SENSOR
        gain = [covariance[0][0] / total, covariance[1][0] / total]
        state = [[x[0] + g * surprise] for x, g in zip(state, gain)]
        covariance = [
            [covariance[r][c] - gain[r] * covariance[0][c] for c in range(2)] for r in range(2)
        ]
    return state, covariance


def inputs():
    return ([0.0, 0.31, 0.52, 0.95, 1.22, 1.41, 1.9, 2.05],)
