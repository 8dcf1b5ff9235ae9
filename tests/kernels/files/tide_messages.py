"""Levels in messages of other stations, some of them garbled."""


def parsed(messages):
    levels = []
    bad = 0
    for message in messages:
        station, _, text = message.partition("=")
        try:
            level = float(text)
        except ValueError:
            bad += 1
            continue
        levels.append((station, level))
    return levels, bad


def kernel(messages, datum):
    levels, bad = parsed(messages)
    if not levels:
        return None
    margin = float("0.5")
    above = list(map(lambda pair: pair[1] - datum - margin, levels))
    high = [level for level in filter(lambda level: level > 0, above)]
    ranked = sorted(levels, key=lambda pair: pair[1], reverse=True)
    report = ", ".join(f"{station} {level:.2f}" for station, level in ranked)
    return above, len(high), report, bad, any(level > 2 for level in above)


def inputs():
    return ["north=3.25", "pier=2.75", "reef=?", "bank=4.5", "south="], 2.5
