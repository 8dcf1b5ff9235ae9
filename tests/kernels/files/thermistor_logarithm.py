"""Water temperature from a thermistor's resistance, by the cubic in its logarithm."""

from math import exp, log

A, B, C = 1.129148e-3, 2.34125e-4, 8.76741e-8
SERIES = 10_000.0  # ohms, of the divider


def celsius(reading):
    resistance = SERIES * reading / (4095 - reading)
    logarithm = log(resistance)
    return 1.0 / (A + B * logarithm + C * logarithm**3) - 273.15


def vapour_pressure(t):
    return 6.112 * exp(17.62 * t / (243.12 + t))


def kernel(readings):
    temperatures = [celsius(reading) for reading in readings]
    return temperatures, [vapour_pressure(t) for t in temperatures]


def inputs():
    return ([2318, 2411, 2207, 1804],)
