"""Energy of a roll: what thrust put in against where it went."""

import numpy as np

from sim.roll.block import Batch, Block, Status
from sim.roll.dynamics import RATE, W_AIR, W_FRICTION, W_THRUST, ZDOT, V, X, Z
from sim.roll.engine import Outcome, initial_states


def energy(batch: Batch, y: np.ndarray) -> np.ndarray:
    """Kinetic and potential energy of every lane [J]; the slope makes X count as height."""
    p = Block(batch, np.arange(batch.lanes), np.zeros((len(Status.__annotations__), batch.lanes))).p
    height = y[X] * np.sin(p.slope) + y[Z] * np.cos(p.slope)
    moving = p.mass * (y[V] ** 2 + y[ZDOT] ** 2) + p.pitch_inertia * y[RATE] ** 2
    return 0.5 * moving + p.mass * p.gravity * height


def residual(batch: Batch, outcome: Outcome) -> np.ndarray:
    """Thrust work less everything it became, over the thrust work (at least 1 J), per lane."""
    status = Status(*outcome.status)
    start = initial_states(Block(batch, np.arange(batch.lanes), outcome.status.copy()))
    end = outcome.states
    gained = energy(batch, end) - energy(batch, start)
    spent = end[W_THRUST] + end[W_AIR] - end[W_FRICTION] - status.impact_loss - gained
    return np.abs(spent) / np.maximum(np.abs(end[W_THRUST]), 1.0)
