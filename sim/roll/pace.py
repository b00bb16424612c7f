"""How long the next step of every lane is, and whether the last one may be kept."""

from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.dynamics import STATE_SCALE
from sim.roll.events import End
from sim.roll.outcome import Settings
from sim.roll.phases import THREE_WHEELS
from sim.roll.underway import Underway

LIVELY_STEP = 0.05
"""Longest step off the three wheels [s]: short against a pitch oscillation."""
ROLLING_STEP = 0.5
"""Longest step on three wheels [s]: the energy account stays within 1e-6 of the thrust work."""
MOST_TRIES = 4000
"""Steps of one roll, some fifty times those of a usual one: more means motion too stiff to follow,
such as that of a very light aeroplane held down on its nose wheel by a large wing."""
SMALLEST_STEP = 1e-9
"""A step that still fails at this size is taken as it is, or gives up if it is not finite [s]."""


def step_wanted(group: Underway, settings: Settings) -> Array:
    """Step every lane would like to make [s], shape (lanes,)."""
    if settings.fixed_step > 0.0:
        return np.full(group.live.size, settings.fixed_step)
    rolling = group.phase.touching == THREE_WHEELS
    longest = ROLLING_STEP if rolling else LIVELY_STEP
    return np.asarray(np.minimum(group.block.s.step, longest))


def judge(
    group: Underway, step: integrator.Step, truncated: Any, wanted: Array, settings: Settings
) -> Any:
    """Which lanes made a good step; sets the size to try next."""
    if settings.fixed_step > 0.0:
        return group.live.copy()
    s, live = group.block.s, group.live
    error = integrator.error_norm(step, settings.tolerance, STATE_SCALE)
    finite = np.isfinite(error)
    smallest = step.size <= SMALLEST_STEP
    good = ((error <= 1.0) | (smallest & finite)) & live
    s.tries += live
    tired = live & (s.tries > MOST_TRIES)
    good &= ~tired
    s.end[tired | (live & smallest & ~finite)] = float(End.GAVE_UP)
    size = np.maximum(step.size, SMALLEST_STEP)
    tried = integrator.next_size(size, np.where(finite, error, np.inf))
    s.step[:] = np.where(good & truncated, np.maximum(tried, wanted), tried)
    return good


def halve_dips(group: Underway, rising: Array, ahead: Array, size: Array) -> Any:
    """Lanes in which a free point may touch and rise again within the step: it is halved.

    `rising`: speeds of the free points away from the strip at the end of the step; `ahead`:
    the guards there.
    """
    fall, first_row = group.sinking, len(group.phase.touching)
    gaps = slice(first_row, first_row + len(fall))
    turns = (fall < 0.0) & (rising > 0.0) & (ahead[gaps] > 0.0) & (group.now[gaps] > 0.0)
    if not turns.any():
        return np.zeros(size.size, dtype=bool)
    depth = 0.5 * size * fall * fall / np.where(turns, rising - fall, 1.0)
    dips = (turns & (group.now[gaps] <= depth)).any(axis=0) & (size > 1e-6)
    group.block.s.step[dips] = 0.5 * size[dips]
    return dips
