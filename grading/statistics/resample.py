"""Resamples with replacement, always the same ones, in parts that fit in memory."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

DRAWS = 2000
SEED = 1
CELLS = 2_000_000  # of one part; the draws are the same however they are parted


def draws(n: int) -> Iterator[npt.NDArray[np.int64]]:
    """Indices of 2,000 resamples of n, in parts of some draws x n."""
    rng = np.random.default_rng(SEED)
    at_once = max(1, CELLS // max(1, n))
    for start in range(0, DRAWS, at_once):
        yield rng.integers(0, n, (min(at_once, DRAWS - start), n))


def weights(n: int) -> Iterator[npt.NDArray[np.float64]]:
    """How often each of n is in each resample, in parts of some draws x n."""
    for part in draws(n):
        slots = part + n * np.arange(len(part))[:, None]
        counts = np.bincount(slots.ravel(), minlength=part.size)
        yield counts.reshape(part.shape).astype(np.float64)
