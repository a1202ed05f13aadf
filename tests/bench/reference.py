"""References measured in the same run: how fast this machine is, on work of a known kind."""

import time
from collections.abc import Callable

import numpy as np


def race(ours: Callable[[], object], reference: Callable[[], object], *, rounds: int) -> tuple[float, float]:
    """The least time of each [s], run by turns, so that a slow moment of the machine hits both."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for work, taken in zip((ours, reference), times, strict=True):
            start = time.perf_counter()
            work()
            taken.append(time.perf_counter() - start)
    return min(times[0]), min(times[1])


def do_transforms() -> float:
    """300 pairs of real FFTs of 8192 numbers: the kind of work the upkeep grid is made of."""
    values = np.linspace(0.0, 1.0, 8192)
    total = 0.0
    for _ in range(300):
        total += float(np.fft.irfft(np.fft.rfft(values) ** 2).sum())
    return total
