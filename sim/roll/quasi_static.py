"""Speeds found without stepping: where the nose wheel unloads, what speed can be reached."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, new_status
from sim.roll.contacts import MAIN, NOSE
from sim.roll.dynamics import ELEVATOR, LAGGED, SPOOL, THREE_WHEELS, Forces, Phase, V, forces
from sim.roll.engine import initial_states

FASTEST = 150.0
"""Airspeeds are searched up to this [m/s]; full-size textbook cases are scaled to their own."""
GRID_POINTS = 600
SIDE_BY_SIDE = 2048
"""So many lanes are worked on together: with fewer the calls weigh, with more the memory."""


@dataclass(frozen=True)
class Speeds:
    """Airspeeds of each lane [m/s], shape (lanes,); nan where there is none.

    needed: nose load zero with the full pull, on three wheels, at full thrust.
    reachable: acceleration zero there, or nan if it is airborne before.
    least_nose_load: smallest nose load over all speeds at which the mains carry load [N].
    """

    needed: Array
    reachable: Array
    least_nose_load: Array


def rolling_forces(block: Block, airspeed: Any, elevator: Any) -> Forces:
    """Forces on three wheels at given airspeed [m/s] and stick elevator [rad], fully spooled up."""
    y = initial_states(block)
    y[V] = airspeed - block.p.headwind
    y[ELEVATOR] = elevator
    y[SPOOL] = 1.0
    y[LAGGED] = block.attitude
    return forces(Phase(THREE_WHEELS, 1), block, block.s.time, y)


def one_block(batch: Batch, lanes: Any) -> Block:
    """Fresh block of some lanes; a lane may be named many times, to try many speeds at once."""
    return Block(batch, lanes, new_status(batch.matrix[:, lanes]))


def search_speeds(block: Block, dropped: Any) -> Speeds:
    """Speed needed and speed reachable of every lane (see `Speeds`).

    `dropped` tells whether flaps that drop in the roll are taken as down.
    """
    block.s.drop_start[:] = np.where(dropped, -1e9, np.inf)
    top = np.where(np.isfinite(block.p.zero_thrust_airspeed), block.p.zero_thrust_airspeed, 0.0)
    top = np.maximum(1.5 * top, FASTEST)
    grid = np.linspace(1e-3, 1.0, GRID_POINTS)
    nose, main, push = _along_the_grid(block, grid, top)
    rolling = np.logical_and.accumulate(main > 0.0, axis=0)
    needed = _first_root(grid, top, np.where(rolling, nose, np.abs(nose) + 1.0))
    reachable = _first_root(grid, top, np.where(rolling, push, 1.0))
    least = np.where(rolling, nose, np.inf).min(axis=0)
    return Speeds(needed, reachable, least)


def _along_the_grid(block: Block, grid: Array, top: Array) -> tuple[Array, Array, Array]:
    """Nose load, main load and acceleration at parts of a top speed, each (parts, lanes)."""
    lanes = block.lanes.size
    together = max(min(SIDE_BY_SIDE // lanes, grid.size), 1)
    wide = block.take(np.tile(np.arange(lanes), together))
    pieces = -(-grid.size // together)
    parts = np.append(grid, np.full(pieces * together - grid.size, grid[-1]))
    found = np.empty((3, parts.size, lanes))
    for first in range(0, parts.size, together):
        rows = slice(first, first + together)
        speeds = (parts[rows, None] * top).ravel()
        f = rolling_forces(wide, speeds, wide.p.pull_elevator)
        loads = f.reaction.loads
        for k, values in enumerate((loads[NOSE], loads[MAIN], f.reaction.speed_rate)):
            found[k, rows] = values.reshape(together, lanes)
    nose, main, push = found[:, : grid.size]
    return nose, main, push


def _first_root(grid: Array, top: Array, value: Array) -> Array:
    """First place where a column falls to zero, by straight lines between grid points."""
    below = value <= 0.0
    hit = below.any(axis=0)
    row = np.clip(below.argmax(axis=0), 1, None)
    column = np.arange(value.shape[1])
    before, after = value[row - 1, column], value[row, column]
    drop = np.where(before - after != 0.0, before - after, 1.0)
    place = grid[row - 1] + (grid[row] - grid[row - 1]) * np.clip(before / drop, 0.0, 1.0)
    return np.where(hit, place * top, np.nan)
