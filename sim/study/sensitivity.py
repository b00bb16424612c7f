"""What matters most: how an outcome goes with each uncertain input, from the draws at hand."""

from dataclasses import dataclass

import numpy as np
from scipy.stats import beta, rankdata

from sim.roll.aero_table import Array

CONFIDENCE = 0.95
HIGHEST_DEGREE = 8
ROWS_PER_COLUMN = 10
MOST_FITTED = 50_000
LEAST_FAILURES = 20
"""Of either kind, before anything is said of what makes a roll fail."""


@dataclass(frozen=True)
class Interval:
    """A share and between which two it lies, with the confidence asked for [-]."""

    share: float
    low: float
    high: float

    @property
    def half_width(self) -> float:
        """Half the distance between both ends [-]."""
        return 0.5 * (self.high - self.low)


def share_interval(count: int, total: int, confidence: float = CONFIDENCE) -> Interval:
    """How often something happens, with the exact binomial interval.

    Ends are quantiles of beta distributions, `B(a/2; k, n-k+1)` and `B(1-a/2; k+1, n-k)` with
    a = 1 - confidence; 9 of 10 at 95 % give 0.555 to 0.997. Never covers less than it says.
    Source: Clopper & Pearson, Biometrika 26 (1934) 404 (from memory).

    Raises
    ------
    ValueError
        Unless 0 <= count <= total, total above zero.

    """
    if not 0 <= count <= total or total < 1:
        raise ValueError(f"{count} of {total}")
    tail = 0.5 * (1.0 - confidence)
    low = float(beta.ppf(tail, count, total - count + 1)) if count else 0.0
    high = float(beta.ppf(1.0 - tail, count + 1, total - count)) if count < total else 1.0
    return Interval(count / total, low, high)


def rank_correlation(inputs: Array, outcome: Array) -> float:
    """Correlation of ranks, equal ones sharing theirs: +1 rises always, -1 falls always [-].

    Parameters
    ----------
    inputs, outcome
        shape (n,); what is infinite counts as beyond everything. nan when one does not vary.

    """
    a, b = rankdata(inputs), rankdata(outcome)
    a, b = a - a.mean(), b - b.mean()
    size = float(np.sqrt(np.sum(a * a) * np.sum(b * b)))
    return float(np.sum(a * b) / size) if size > 0.0 else float("nan")


def first_order(inputs: Array, outcome: Array) -> Array:
    """Share of an outcome's variance that goes with each input alone [-], `V(E[Y|X_i])/V(Y)`.

    The outcome is fitted by a sum of one smooth curve for each input (Legendre polynomials of the
    input's place among its own, `u` within -1 to 1, degree at most 8). They are orthogonal, so
    `S_i = sum over k of c_ik^2/V(Y)`, less what the residual puts into the coefficients by chance,
    never below zero. Wants inputs that do not depend on each other; a jump is smoothed. With
    `y = x1 + 2 x2`, both alike, 0.2 and 0.8. Source: Sobol' 1993 for the index, Sudret, Reliability
    Engineering & System Safety 93 (2008) 964, eq. 39 for the sum of squares (both from memory).

    Parameters
    ----------
    inputs, outcome
        shapes (n, inputs), (n,), all finite; of more than 50,000 rows the first are taken.

    Returns
    -------
    shape (inputs,); nan with fewer than ten rows for each input, or an outcome that does not vary.

    """
    inputs, outcome = inputs[:MOST_FITTED], outcome[:MOST_FITTED]
    rows, count = inputs.shape
    degree = min(HIGHEST_DEGREE, rows // (ROWS_PER_COLUMN * count))
    variance = float(np.var(outcome))
    if degree < 1 or not variance > 0.0:
        return np.full(count, np.nan)
    columns = np.concatenate([_curves(column, degree) for column in inputs.T], axis=1)
    matrix = np.concatenate([np.ones((rows, 1)), columns], axis=1)
    found, *_ = np.linalg.lstsq(matrix, outcome, rcond=None)
    left = outcome - matrix @ found
    chance = float(left @ left) / (rows - matrix.shape[1]) / rows  # variance of a coefficient
    squares = np.sum(found[1:].reshape(count, degree) ** 2, axis=1)
    shares: Array = np.maximum(squares - degree * chance, 0.0) / variance
    return shares


def _curves(values: Array, degree: int) -> Array:
    """Orthonormal polynomials of the places of values among themselves, shape (n, degree)."""
    places = 2.0 * (rankdata(values) - 0.5) / len(values) - 1.0
    scale = np.sqrt(2.0 * np.arange(1, degree + 1) + 1.0)
    return np.asarray(np.polynomial.legendre.legvander(places, degree)[:, 1:] * scale)


@dataclass(frozen=True)
class Influence:
    """What one input does to the outcome.

    Attributes
    ----------
    key: of the input.
    roll_rank: rank correlation with the ground roll, rolls without lift-off the longest.
    roll_share: first-order index of the ground roll, of its ranks when some do not lift off.
    failure_rank: rank correlation with not being airborne; nan with fewer than 20 of either kind.
    failure_share: first-order index of that.

    """

    key: str
    roll_rank: float
    roll_share: float
    failure_rank: float
    failure_share: float


def influences(
    keys: tuple[str, ...], values: Array, roll: Array, failed: Array
) -> tuple[Influence, ...]:
    """What each input does, in the order of the keys.

    Parameters
    ----------
    keys
        names of the inputs.
    values
        shape (n, keys) [SI].
    roll
        ground roll, nan without lift-off, shape (n,) [m].
    failed
        1 where it is not airborne as wanted, else 0, shape (n,).

    """
    counted = np.where(np.isnan(roll), np.inf, roll)
    smooth = roll if np.isfinite(roll).all() else rankdata(counted).astype(float)
    rolls, fails = first_order(values, smooth), first_order(values, failed)
    told = LEAST_FAILURES <= int(failed.sum()) <= len(failed) - LEAST_FAILURES
    return tuple(
        Influence(
            key,
            rank_correlation(values[:, i], counted),
            float(rolls[i]),
            rank_correlation(values[:, i], failed) if told else float("nan"),
            float(fails[i]) if told else float("nan"),
        )
        for i, key in enumerate(keys)
    )
