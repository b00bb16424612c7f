"""Nonlinear least squares with priors, of many sets of data at once.

Unknowns are counted in standard deviations from the middle of their prior, so a prior is one more
residual of deviation one: what is smallest is `sum r^2 + sum z^2` (maximum a posteriori of normal
errors and priors; Gelman et al., Bayesian Data Analysis, ch. 14, from memory). Levenberg-Marquardt
with central differences (Press et al., Numerical Recipes, 15.5, from memory). The model is asked
for whole batches, since a batch of rolls costs little more than one.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array

Model = Callable[[Array], Array]
"""From points, shape (m, k), to what would be measured there, shape (m, n), nan for nothing."""

STEP = 0.05
"""Half the width of a difference, in standard deviations of the prior."""
MOST_STEPS = 25
CLOSE = 0.02
"""Steps below this, in standard deviations of the prior, are the last."""
DAMPINGS = (0.1, 1.0, 10.0, 100.0, 1000.0)
FARTHEST = 5.0
"""No unknown goes farther from its prior's middle, in its standard deviations."""


@dataclass(frozen=True)
class Fitted:
    """Unknowns that fit best.

    Attributes
    ----------
    values: in standard deviations from the prior's middle, shape (sets, k).
    covariance: of them, shape (sets, k, k).
    residuals: measured less model, in standard deviations, shape (sets, n).
    settled: whether the last step was small, shape (sets,).

    """

    values: Array
    covariance: Array
    residuals: Array
    settled: Any


class NoStart(ValueError):  # noqa: N818 - it names what is missing
    """Nowhere among the starts does the model show everything that was measured."""


def fit_all(
    model: Model,
    measured: Array,
    deviations: Array,
    starts: Array,
    progress: Callable[[int, int], None] | None = None,
) -> Fitted:
    """Fit every set of measurements.

    Parameters
    ----------
    model
        of the unknowns.
    measured
        shape (sets, n).
    deviations
        of each, one standard deviation, shape (n,).
    starts
        where to begin from, shape (m, k): the first, or the best where that shows too little.
    progress
        called with steps done and the most there will be.

    Raises
    ------
    NoStart
        When the model shows nothing at all the starts for something that was measured.

    """
    z = _first(model, measured, deviations, starts)
    here = _place(model, z, measured, deviations)
    settled = np.zeros(len(z), dtype=bool)
    for count in range(MOST_STEPS):
        if progress:
            progress(count, MOST_STEPS)
        there = _advance(model, here, measured, deviations)
        settled |= np.abs(there.z - here.z).max(axis=1) < CLOSE
        here = there
        if settled.all():
            break
    covariance = np.asarray(np.linalg.inv(_curvature(here.slopes)))
    return Fitted(here.z, covariance.astype(float), here.residuals, settled)


@dataclass(frozen=True)
class _Place:
    """Where the search of each set is: unknowns, slopes (sets, k, n), residuals (sets, n)."""

    z: Array
    slopes: Array
    residuals: Array

    def of(self, sets: Any) -> "_Place":
        """That of some sets."""
        return _Place(self.z[sets], self.slopes[sets], self.residuals[sets])


def _first(model: Model, measured: Array, deviations: Array, starts: Array) -> Array:
    """The first start where everything shows that was measured, else the best of the others."""
    try:
        return _best(model, measured, deviations, starts[:1])
    except NoStart:
        return _best(model, measured, deviations, starts)


def _best(model: Model, measured: Array, deviations: Array, starts: Array) -> Array:
    shown = model(starts)
    gaps = (measured[:, None, :] - shown) / deviations
    costs = _cost(gaps, starts)
    best = np.argmin(costs, axis=1)
    if not np.isfinite(np.take_along_axis(costs, best[:, None], axis=1)).all():
        raise NoStart("what was measured does not happen anywhere within the priors")
    return np.asarray(starts[best])


def _cost(gaps: Array, z: Array) -> Array:
    total = np.sum(gaps**2, axis=-1) + np.sum(z**2, axis=-1)
    return np.asarray(np.where(np.isnan(total), np.inf, total))


def _place(model: Model, z: Array, measured: Array, deviations: Array) -> _Place:
    """Change of the model with each unknown, and the residuals.

    Where one side shows nothing the other is taken alone.
    """
    sets, k = z.shape
    moves = np.concatenate([np.zeros((1, k)), STEP * np.eye(k), -STEP * np.eye(k)])
    points = z[:, None, :] + moves
    shown = model(points.reshape(-1, k)).reshape(sets, 2 * k + 1, -1) / deviations
    here, up, down = shown[:, :1], shown[:, 1 : k + 1], shown[:, k + 1 :]
    both = (up - down) / (2.0 * STEP)
    sides = np.where(np.isnan(up), (here - down) / STEP, (up - here) / STEP)
    slopes = np.where(np.isnan(both), sides, both)
    return _Place(z, np.nan_to_num(slopes), measured / deviations - here[:, 0])


def _curvature(slopes: Array) -> Array:
    return np.asarray(slopes @ slopes.transpose(0, 2, 1) + np.eye(slopes.shape[1]))


def _advance(model: Model, here: _Place, measured: Array, deviations: Array) -> _Place:
    """One step of every set: the full one where it is better, else the best damped one, or none."""
    full = _steps(here, (0.0,))[:, 0]
    there = _place(model, full, measured, deviations)
    worse = ~(_cost(there.residuals, there.z) < _cost(here.residuals, here.z))
    if not worse.any():
        return there
    kept = _damped(model, here.of(worse), measured[worse], deviations)
    other = _place(model, kept, measured[worse], deviations)
    for whole, part in zip(
        (there.z, there.slopes, there.residuals), (other.z, other.slopes, other.residuals),
        strict=True,
    ):  # fmt: skip
        whole[worse] = part
    return there


def _steps(here: _Place, dampings: tuple[float, ...]) -> Array:
    """Points at the ends of steps damped more and less, shape (sets, dampings, k)."""
    curvature = _curvature(here.slopes)
    pull = np.einsum("skn,sn->sk", here.slopes, here.residuals) - here.z
    diagonal = curvature * np.eye(here.z.shape[1])
    ends = [np.linalg.solve(curvature + d * diagonal, pull[..., None])[..., 0] for d in dampings]
    points = here.z[:, None, :] + np.stack(ends, axis=1)
    return np.asarray(np.clip(points, -FARTHEST, FARTHEST))


def _damped(model: Model, here: _Place, measured: Array, deviations: Array) -> Array:
    """The best of the damped steps, the place itself where none is better, shape (sets, k)."""
    points = _steps(here, DAMPINGS)
    shown = model(points.reshape(-1, points.shape[2])).reshape(*points.shape[:2], -1)
    costs = _cost((measured[:, None, :] - shown) / deviations, points)
    best = np.argmin(costs, axis=1)[:, None]
    better = np.take_along_axis(costs, best, axis=1) < _cost(here.residuals, here.z)[:, None]
    found = np.take_along_axis(points, best[..., None], axis=1)[:, 0]
    return np.asarray(np.where(better, found, here.z))
