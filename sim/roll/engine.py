"""The engine: many rolls stepped side by side, sorted by phase, each with its own time and step."""

from dataclasses import replace

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.attitude import height_on_mains
from sim.roll.block import Batch, Block, new_status
from sim.roll.contacts import contact_points
from sim.roll.dynamics import ELEVATOR, LAGGED, PERCEIVED, PITCH, SPOOL, STATES, V, Z
from sim.roll.events import End
from sim.roll.log import Log
from sim.roll.outcome import DEFAULTS, Outcome, Settings
from sim.roll.phases import AFT, CODE, PHASES, POINT_NAMES, THREE_WHEELS, Phase
from sim.roll.schedule import TIME_LIMIT
from sim.roll.stretch import DONE, Stretch


def roll(batch: Batch, settings: Settings = DEFAULTS, keep: tuple[int, ...] = ()) -> Outcome:
    """Compute every lane of a batch to its end; keep the steps of the lanes named in `keep`."""
    batch = replace(batch, plain_numbers=settings.plain_numbers)
    status = new_status(batch.matrix)
    block = Block(batch, np.arange(batch.lanes), status)
    states = initial_states(block)
    moving = block.s.direction > 0
    block.s.moved[:] = moving
    block.s.end[_aft_point_below(block, states)] = float(End.SITS_ON_TAIL)
    codes = np.where(moving, CODE[Phase(THREE_WHEELS, 1)], CODE[Phase(THREE_WHEELS, 0)])
    codes[block.s.end >= 0] = DONE
    outcome = Outcome(states, status, Log(), {lane: [] for lane in keep})
    for piece in _pieces(batch.lanes, settings.block_size):
        mine = np.full_like(codes, DONE)
        mine[piece] = codes[piece]
        while (mine != DONE).any():
            code = int(np.bincount(mine[mine != DONE]).argmax())
            Stretch(batch, outcome, settings, PHASES[code], mine).to_its_end()
    return outcome


def _pieces(lanes: int, most: int) -> list[Array]:
    """Lanes in pieces of like size, each rolled to its end before the next is begun."""
    return np.array_split(np.arange(lanes), max(-(-lanes // most), 1))


def initial_states(block: Block) -> Array:
    """States at the start: on three wheels, elevator where the pilot holds it."""
    p = block.p
    y = np.zeros((len(STATES), block.lanes.size))
    y[V] = p.initial_speed
    y[PITCH] = y[PERCEIVED] = y[LAGGED] = block.attitude
    y[Z] = height_on_mains(p, block.attitude)
    y[SPOOL] = p.initial_spool
    y[ELEVATOR] = p.hold_elevator
    return y


def _aft_point_below(block: Block, y: Array) -> Array:
    """Lanes that cannot stand on their wheels because the aft point is lower."""
    aft = contact_points(block.p, np.cos(y[PITCH]), np.sin(y[PITCH]))[AFT]
    return np.asarray(y[Z] + aft.up < 0.0)


__all__ = [
    "DEFAULTS",
    "PHASES",
    "POINT_NAMES",
    "TIME_LIMIT",
    "Outcome",
    "Settings",
    "initial_states",
    "roll",
]
