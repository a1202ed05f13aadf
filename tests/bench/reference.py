"""References measured in the same run: how fast this machine is, on work of a known kind."""

import time
from collections.abc import Callable

import numpy as np


def find_fastest(work: Callable[[], object], *, rounds: int = 7) -> float:
    """The least time of several rounds [s]: what the work takes when nothing else disturbs it."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def do_transforms() -> float:
    """300 pairs of real FFTs of 8192 numbers: the kind of work the upkeep grid is made of."""
    values = np.linspace(0.0, 1.0, 8192)
    total = 0.0
    for _ in range(300):
        total += float(np.fft.irfft(np.fft.rfft(values) ** 2).sum())
    return total
