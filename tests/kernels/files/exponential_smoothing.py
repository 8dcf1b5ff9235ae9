"""Smoothed tide with its trend: each sample moves level and slope by a share of the surprise."""


def smooth(samples, alpha=0.2, *, beta=0.1):
    level, trend = samples[0], 0.0
    levels = []
    for x in samples[1:]:
        before = level
        level = alpha * x + (1 - alpha) * (level + trend)
        trend = beta * (level - before) + (1.0 - beta) * trend
        levels.append(level)
    return levels, trend


def kernel(samples):
    levels, trend = smooth(samples)
    quick, _ = smooth(samples[:6], 0.5, beta=0.25)
    return levels, quick, levels[-1] + 6 * trend


def inputs():
    return ([1.2, 1.26, 1.35, 1.33, 1.41, 1.5, 1.58, 1.6, 1.71, 1.77],)
