"""Spikes of the compass card removed: the median of each sample and its neighbours."""

REACH = 2


def median(window):
    ordered = sorted(window)
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2


def kernel(samples):
    cleaned = [median(samples[max(0, i - REACH) : i + REACH + 1]) for i in range(len(samples))]
    spikes = [i for i, (raw, clean) in enumerate(zip(samples, cleaned)) if abs(raw - clean) > 5.0]
    return cleaned, spikes


def inputs():
    return ([181.5, 182.0, 240.25, 183.5, 184.0, 183.0, 12.0, 185.5, 186.0, 187.5],)
