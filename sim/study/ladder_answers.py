"""What a ladder answers: the smallest set that will do, that of fewest hours, pairs, conflicts."""

from collections.abc import Callable

import numpy as np

from sim.study.ladder import AIRBORNE, Counted, Ladder
from sim.study.shapley import pair_effects, sizes


def smallest_set(ladder: Ladder) -> int | None:
    """Combination of fewest changes that meets the strip; ties: hours, cost, ground roll."""
    size, roll = sizes(ladder.count), ladder.ground_roll.values
    return _first(
        ladder, lambda m: (size[m], _last(ladder.hours(m)), _last(ladder.cost(m)), roll[m])
    )


def fewest_hours(ladder: Ladder) -> int | None:
    """Combination of fewest hours that meets the strip; ties: cost, changes, ground roll.

    Combinations with hours that are not given are passed over.
    """
    size, roll = sizes(ladder.count), ladder.ground_roll.values
    found = _first(
        ladder, lambda m: (_last(ladder.hours(m)), _last(ladder.cost(m)), size[m], roll[m])
    )
    return None if found is None or np.isnan(ladder.hours(found)) else found


def _first(ladder: Ladder, key: Callable[[int], tuple[float, ...]]) -> int | None:
    found = [int(mask) for mask in np.flatnonzero(ladder.meets)]
    return min(found, key=key, default=None)


def _last(value: float) -> float:
    return float("inf") if np.isnan(value) else value


def best_pair(ladder: Ladder) -> int | None:
    """The two changes with the shortest ground roll, airborne ones before all others."""
    pairs = np.flatnonzero((sizes(ladder.count) == 2) & ~ladder.refused)
    return min(map(int, pairs), key=lambda m: _rank(ladder, m), default=None)


def _rank(ladder: Ladder, mask: int) -> tuple[bool, float]:
    return ladder.rows.verdicts[mask] != AIRBORNE, _last(float(ladder.ground_roll.values[mask]))


def extreme_pairs(counted: Counted) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """The pair that falls furthest short of its sum, and the one that exceeds it most."""
    effects = {pair: e for pair, e in pair_effects(counted.gains).items() if not np.isnan(e)}
    if not effects:
        return None
    return min(effects, key=lambda p: effects[p]), max(effects, key=lambda p: effects[p])


def conflicts(ladder: Ladder) -> tuple[tuple[int, str], ...]:
    """Combinations that cannot be, and hold no smaller one that cannot; with the reason."""
    bad = [int(mask) for mask in np.flatnonzero(ladder.refused)]
    least = [m for m in bad if not any(other != m and other & m == other for other in bad)]
    return tuple((mask, ladder.rows.refused[mask]) for mask in least)


def shortest_airborne(ladder: Ladder) -> int | None:
    """The combination that is airborne with the shortest ground roll, None if there is none."""
    good = np.flatnonzero(ladder.rows.verdicts == AIRBORNE)
    return min(map(int, good), key=lambda m: _rank(ladder, m), default=None)
