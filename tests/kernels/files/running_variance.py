"""Mean and spread of the heave while it comes in, without keeping the samples."""


class Running:
    def __init__(self):
        self.count = 0
        self.mean = 0.0
        self.spread = 0.0

    def add(self, x):
        self.count += 1
        delta = x - self.mean
        self.mean += delta / self.count
        self.spread += delta * (x - self.mean)

    @property
    def variance(self):
        return self.spread / (self.count - 1) if self.count > 1 else 0.0


def kernel(heave):
    running = Running()
    early = running.variance
    for x in heave:
        running.add(x)
    return running.mean, running.variance, running.variance**0.5, early


def inputs():
    return ([0.12, -0.4, 0.33, 0.9, -0.75, -0.1, 0.44, 0.61, -0.28],)
