"""How fast the tide rises, from a recorded table with gaps."""

import csv
import io

TEXT = """seconds,centimetres,valid
0,112.4,yes
600,118.9,yes
1200,0.0,no
1800,131.2,yes
2400,136.05,yes
3000,138.8,yes
3600,137.1,yes
"""


def kernel(rows, scale):
    previous = None
    rates = []
    for seconds, level, valid in rows:
        if not valid:
            continue
        level = level * scale
        if previous is not None:
            then, before = previous
            rates.append((level - before) / (seconds - then))
        previous = seconds, level
    return rates, max(rates, key=abs), 3600 * rates[-1]


def inputs():
    rows = [
        (int(row["seconds"]), float(row["centimetres"]), row["valid"] == "yes")
        for row in csv.DictReader(io.StringIO(TEXT))
    ]
    return rows, 0.01
