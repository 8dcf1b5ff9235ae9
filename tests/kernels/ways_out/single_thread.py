"""A root in a thread of its own."""

import threading


def kernel(level, other):
    found = []
    worker = threading.Thread(target=lambda: found.append(level / other))  # leaves: thread
    worker.start()
    worker.join()
    return found[0] + level


def inputs():
    return 1.25, 2.5
