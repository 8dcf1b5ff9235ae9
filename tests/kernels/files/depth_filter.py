"""A depth filter with its settings and its state in dataclasses."""

from dataclasses import dataclass, field, replace


@dataclass(frozen=True)
class Settings:
    cutoff: float
    gain: float = 1.5
    weights: list = field(default_factory=lambda: [0.25, 0.5, 0.25])
    order: int = 2


@dataclass
class DepthFilter:
    settings: Settings
    state: float = 0.0
    history: list = field(default_factory=list)

    def step(self, x):
        self.state += self.settings.cutoff * (x - self.state)
        self.history.append(self.state * self.settings.gain)
        return self.history[-1]

    def blend(self):
        return sum(w * x for w, x in zip(self.settings.weights, self.history[-3:]))


COARSE = Settings(cutoff=0.3)


def kernel(samples, settings):
    fine, coarse = DepthFilter(settings), DepthFilter(replace(COARSE, gain=2.0))
    for sample in samples:
        fine.step(sample)
        coarse.step(sample)
    return fine.history, coarse.blend() * settings.order, coarse.state


def inputs():
    return [5.1, 5.3, 5.2, 5.6, 5.8, 5.7], Settings(cutoff=0.125, order=3)
