"""Depth control of the winch that holds the sonde."""

RATE = 10.0  # Hz
LIMIT = 2.5  # m/s
GAINS = {"p": 1.8, "i": 0.6, "d": 0.05}


class Pid:
    integral = 0.0
    last = None

    def __init__(self, gains):
        self.p, self.i, self.d = gains["p"], gains["i"], gains["d"]

    def step(self, error):
        self.integral += error * (1.0 / RATE)
        slope = 0.0 if self.last is None else (error - self.last) * RATE
        self.last = error
        wanted = self.p * error + self.i * self.integral + self.d * slope
        return min(max(wanted, -LIMIT), LIMIT)


def kernel(target, start, steps):
    pid = Pid(GAINS)
    depth = start
    log = []
    for _ in range(steps):
        speed = pid.step(target - depth)
        depth += speed / RATE
        log.append(depth)
    return log, target - depth


def inputs():
    return 12.0, 10.4, 25
