"""Ranges of detrended blocks, sample by sample through generators; the samples are converter readings."""

from itertools import accumulate


def scaled(counts, gain):
    for count in counts:
        yield count * gain


def detrended(samples):
    level = next(samples)
    yield 0.0
    for sample in samples:
        level += 0.125 * (sample - level)
        yield sample - level


def blocks(samples, size):
    block = []
    for sample in samples:
        block.append(sample)
        if len(block) == size:
            yield block
            block = []
    if block:
        yield block


def kernel(counts):
    ranges = [max(block) - min(block) for block in blocks(detrended(scaled(counts, 0.004)), 5)]
    return ranges, list(accumulate(ranges)), ranges[-1] / 2


def inputs():
    return ([512, 530, 561, 548, 520, 497, 480, 466, 471, 500, 533, 569],)
