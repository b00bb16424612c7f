"""Runs of true flags in a row."""

from collections.abc import Iterator
from typing import Any

import numpy as np


def runs_of(flags: Any) -> Iterator[tuple[int, int]]:
    """First and last place of each run of true flags, in order; shape of `flags`: (n,)."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    yield from ((int(first), int(after) - 1) for first, after in edges.reshape(-1, 2))
