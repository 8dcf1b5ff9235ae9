"""Where the energy of the sea is: sums over bands of the spectrum, as shares of the whole."""

BANDS = {"swell": (2, 5), "wind sea": (5, 12), "chop": (12, 16)}
BIN_WIDTH = 0.05  # Hz


def kernel(spectrum):
    total = 0.0
    energy = {}
    for name, (low, high) in BANDS.items():
        energy[name] = sum(spectrum[low:high]) * BIN_WIDTH
        total += energy[name]
    share = {name: value / total for name, value in energy.items()}
    strongest = max(share, key=share.get)
    if share[strongest] > 0.5:
        return energy, share, strongest
    return energy, share, "mixed"


def inputs():
    return ([0.0, 0.01, 0.3, 0.9, 1.4, 2.2, 3.1, 2.7, 1.9, 1.2, 0.8, 0.5, 0.3, 0.2, 0.15, 0.1],)
