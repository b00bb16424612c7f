"""From the kept steps of one lane to columns on any grid of times."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of, new_status
from sim.roll.contacts import MAIN, PHASE_NAMES, SETS
from sim.roll.dynamics import (
    ELEVATOR,
    W_AIR,
    W_FRICTION,
    W_THRUST,
    Forces,
    Phase,
    V,
    X,
    forces,
)
from sim.roll.engine import initial_states
from sim.roll.forces import flap_and_mix, flap_fraction
from sim.roll.guards import gap
from sim.roll.integrator import dense_terms, dense_value
from sim.roll.log import KeptStep

GRID = 0.01
"""Spacing of the trace's grid [s]."""


@dataclass(frozen=True)
class Trace:
    """Columns of one roll as arrays, all of one length [SI]; names as in TRACE_COLUMNS.

    Attributes
    ----------
    columns: name -> shape (n,).
    phase: index into PHASE_LABELS, shape (n,).

    """

    columns: dict[str, Array]
    phase: Any

    def __getitem__(self, name: str) -> Array:
        """Column of this name; KeyError if there is none."""
        return self.columns[name]

    def __len__(self) -> int:
        """Number of rows."""
        return int(self.phase.size)


PHASE_LABELS: tuple[str, ...] = tuple(PHASE_NAMES[s] for s in SETS)


def build_trace(batch: Batch, lane: int, steps: list[KeptStep], grid: float = GRID) -> Trace:
    """Sample the kept steps at their ends and on a regular grid of times.

    Both sides of every event are kept: the last row of one step and the first of the next, so
    jumps are seen as jumps.
    """
    moving = [step for step in steps if step.size > 0.0]
    pieces = [
        _sampled(batch, lane, list(group), grid)
        for _, group in groupby(moving, lambda step: step.phase)
    ]
    if not pieces:
        pieces = [_at_start(batch, lane)]
    names = pieces[0][0].keys()
    columns = {name: np.concatenate([p[0][name] for p in pieces]) for name in names}
    return Trace(columns, np.concatenate([p[1] for p in pieces]))


def _sampled(
    batch: Batch, lane: int, steps: list[KeptStep], grid: float
) -> tuple[dict[str, Array], Any]:
    """Rows of steps of one phase, worked out together: each call costs more than its rows."""
    began, size = np.array([(step.time, step.size) for step in steps]).T
    which, s = _places(began, size, grid)
    time = began[which] + s * size[which]

    def rows(of_steps: Iterable[Array]) -> Array:
        return columns_of(np.stack(tuple(of_steps), axis=1), which)

    terms = [
        columns_of(term, which)
        for term in dense_terms(np.stack([step.stages for step in steps], axis=-1))
    ]
    states = dense_value(rows(step.start for step in steps), size[which], terms, s)
    block = Block(batch, np.full(time.size, lane), rows(step.status for step in steps))
    return observed(steps[0].phase, block, time, states)


def _places(time: Array, size: Array, grid: float) -> tuple[Any, Array]:
    """Which step each row lies in, and at what fraction of it: its ends and the grid between."""
    first = np.floor(time / grid) + 1.0
    count = np.maximum(np.ceil((time + size) / grid - first), 0.0).astype(int)
    which = np.repeat(np.arange(time.size), count)
    ahead = np.arange(which.size) - np.repeat(np.cumsum(count) - count, count)
    inner = (first[which] + ahead) * grid
    inside = (inner > time[which]) & (inner < (time + size)[which])
    which, inner = which[inside], inner[inside]
    every = np.arange(time.size)
    steps = np.concatenate([every, which, every])
    s = np.concatenate([0.0 * size, (inner - time[which]) / size[which], np.ones(time.size)])
    order = np.argsort(steps, kind="stable")
    return steps[order], s[order]


def _at_start(batch: Batch, lane: int) -> tuple[dict[str, Array], Any]:
    one = np.array([lane])
    block = Block(batch, one, new_status(batch.matrix[:, one]))
    y = initial_states(block)
    columns, phase = observed(Phase(SETS[0], 0), block, np.zeros(1), y)
    if columns["nose_load"][0] >= 0.0:
        return columns, phase
    # it tips back: the ground cannot pull, so the moment is shown as the nose wheel leaves
    return observed(Phase((MAIN,), 0), block, np.zeros(1), y)


def observed(phase: Phase, block: Block, time: Any, y: Array) -> tuple[dict[str, Array], Any]:
    """Every column of the registry for given states of one phase."""
    f = forces(phase, block, time, y)
    p = block.p
    phi = flap_fraction(block, time)
    _, mix = flap_and_mix(p, phi)
    columns = {
        "time": time,
        "distance": y[X],
        "ground_speed": y[V],
        "airspeed": y[V] + p.headwind,
        "height": gap(MAIN, f),
        "climb_rate": f.climb,
        "acceleration": f.reaction.speed_rate,
        "pitch": y[4],
        "pitch_rate": f.rate,
        "pitch_acceleration": f.reaction.pitch_rate_rate,
        "alpha": f.air.alpha,
        "elevator": y[ELEVATOR] + mix,
        "flap_travel": phi,
        "thrust": f.thrust,
        "drag": f.air.drag,
        "wing_lift": f.air.wing_lift,
        "tail_lift": f.air.tail_lift,
        **_loads(f),
        "wing_use": f.air.wing_use,
        "tail_use": f.air.tail_use,
        "thrust_work": y[W_THRUST],
        "air_work": y[W_AIR],
        "friction_work": y[W_FRICTION],
    }
    columns = {name: np.asarray(value, dtype=float) for name, value in columns.items()}
    return columns, np.full(y.shape[1], SETS.index(phase.touching))


def _loads(f: Forces) -> dict[str, Array]:
    return dict(zip(("main_load", "nose_load", "tail_load"), f.reaction.loads, strict=True))
