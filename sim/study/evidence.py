"""What many rolls tell, read into plain arrays, one value per lane; nothing is kept of the rolls.

This is the only place where studies look into the engine's log and status. Figures that take work
of their own (speeds, loads at a hundred airspeeds) are worked out when they are first asked for.
"""

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.attitude import ground_attitude, rotated, tail_strike_attitude
from sim.roll.block import Block, Status
from sim.roll.columns import EVENT_COLUMNS
from sim.roll.contacts import MAIN, NOSE, contact_points, solve
from sim.roll.dynamics import PITCH, RATE, V, X
from sim.roll.events import Happening
from sim.roll.lift_limit import TOP_AT
from sim.roll.parameters import OUT_OF_REACH, Parameters
from sim.roll.quasi_static import Speeds, one_block, rolling_forces, search_speeds
from sim.roll.result import Many

LOAD_POINTS = 80
"""Airspeeds at which the nose load is looked at, as in the report of one roll."""
SPEED_LANES = 256
"""Lanes whose speeds are searched together: memory goes with it."""

_LOG_ROWS = {"time": 0, "main_load": 1, "nose_load": 2, "tail_load": 3}
_STATE_ROWS = {"distance": X, "ground_speed": V, "airspeed": V, "pitch": PITCH, "pitch_rate": RATE}


class Evidence:
    """Arrays of one batch, shape (lanes,), SI, nan where there is none."""

    def __init__(self, many: Many, max_lift_flaps_up: Array) -> None:
        """Take the log and status of a batch; `max_lift_flaps_up` is nan where not known apart."""
        self.batch = many.batch
        self.lanes = many.batch.lanes
        self.p = Parameters(*many.batch.matrix)
        self.status = Status(*many.outcome.status)
        self.ends = many.outcome.states
        self.flaps_up = np.where(
            np.isnan(max_lift_flaps_up), self.p.wing_max_lift_up, max_lift_flaps_up
        )
        self._firsts(many)

    def _firsts(self, many: Many) -> None:
        """The first happening of each kind, shapes (kinds, lanes)."""
        lanes, names, rows, states = many.outcome.log.sorted()
        self._rows, self._states = rows, states
        self._first = np.full((len(Happening), self.lanes), -1)
        # the log is in order of lane, then of happening; unique gives the first of equals
        kinds, firsts = np.unique(names * self.lanes + lanes, return_index=True)
        self._first.flat[kinds.astype(int)] = firsts

    def event(self, what: Happening, column: str) -> Array:
        """A column of `EVENT_COLUMNS` at the first time something happened."""
        index = self._first[what]
        happened = index >= 0
        source = (
            self._rows[_LOG_ROWS[column]]
            if column in _LOG_ROWS
            else self._states[_STATE_ROWS[column]]
        )
        values = np.full(self.lanes, np.nan)
        values[happened] = source[index[happened]]
        return values + self.p.headwind if column == "airspeed" else values

    def happened(self, what: Happening) -> Array:
        """Whether it happened."""
        return np.asarray(self._first[what] >= 0)

    def column(self, name: str) -> Array:
        """A column of the registry (`sim.study.outcome_columns`)."""
        event, dot, column = name.partition(".")
        if dot:
            return self.event(_BY_LABEL[event], column)
        for stem, what in _STEMS.items():
            for column, suffix in _SAME.items():
                if name == f"{stem}_{suffix}":
                    return self.event(what, column)
        return finite(_FIGURES[name](self))

    @cached_property
    def dropped(self) -> Array:
        """Whether the flaps began to drop."""
        return self.happened(Happening.FLAPS_DROP)

    @cached_property
    def speeds(self) -> Speeds:
        """Airspeed needed and reachable of every lane [m/s]."""
        parts = [
            search_speeds(one_block(self.batch, lanes), self.dropped[lanes])
            for lanes in _pieces(self.lanes)
        ]
        return Speeds(
            np.concatenate([part.needed for part in parts]),
            np.concatenate([part.reachable for part in parts]),
            np.concatenate([part.least_nose_load for part in parts]),
        )

    def stall_speed(self, max_lift: Array) -> Array:
        """Stall speed with a largest lift coefficient [m/s]."""
        p = self.p
        load = 2.0 * p.mass * p.gravity / (p.air_density * p.reference_area)
        return np.asarray(np.sqrt(load / max_lift))

    def block(self, lanes: Any) -> Block:
        """Fresh block of some lanes, flaps dropped in those that dropped them."""
        block = one_block(self.batch, lanes)
        block.s.drop_start[:] = np.where(self.dropped[lanes], -1e9, np.inf)
        return block

    @cached_property
    def lifted(self) -> Array:
        """Whether it lifted off."""
        return self.happened(Happening.LIFT_OFF)


def _pieces(lanes: int) -> list[Any]:
    return [np.arange(i, min(i + SPEED_LANES, lanes)) for i in range(0, lanes, SPEED_LANES)]


def finite(values: Array) -> Array:
    """Values with nan in place of what is not finite."""
    return np.where(np.isfinite(values), values, np.nan)


def _least_nose_load(e: Evidence) -> Array:
    """Smallest nose load with the full pull while the mains carry load [N].

    Up to the speed reached; without one up to twice the stall speed.
    """
    reachable = e.speeds.reachable
    top = np.where(np.isfinite(reachable), reachable, 2.0 * e.stall_speed(e.p.wing_max_lift_up))
    lowest = np.maximum(0.0, e.p.headwind)
    top = np.maximum(top, lowest)
    block = e.block(np.arange(e.lanes))
    least, rolling = np.full(e.lanes, np.inf), np.ones(e.lanes, dtype=bool)
    for share in np.linspace(0.0, 1.0, LOAD_POINTS):
        speed = lowest + share * (top - lowest)
        loads = rolling_forces(block, speed, block.p.pull_elevator).reaction.loads
        rolling &= loads[MAIN] > 0.0
        least = np.where(rolling, np.minimum(least, loads[NOSE]), least)
    return least


def _available(e: Evidence) -> Array:
    """Pitch acceleration on the mains, full up elevator, at the pull's airspeed [rad/s2]."""
    pulled = np.flatnonzero(e.happened(Happening.PULL))
    found = np.full(e.lanes, np.nan)
    if pulled.size:
        block = e.block(pulled)
        speed = e.event(Happening.PULL, "airspeed")[pulled]
        f = rolling_forces(block, speed, block.p.elevator_up_limit)
        points = contact_points(block.p, np.cos(block.attitude), np.sin(block.attitude))
        solved = solve(block, (MAIN,), points, f.total, np.zeros(pulled.size), 1.0)
        found[pulled] = solved.pitch_rate_rate
    return found


def _nose_share(e: Evidence) -> Array:
    """Moments about the main axle on level ground: `-r_mx/(r_nx - r_mx)` [-]."""
    pitch = ground_attitude(e.p)
    turn = np.cos(pitch), np.sin(pitch)
    main, _ = rotated(e.p.main_x, e.p.main_z, *turn)
    nose, _ = rotated(e.p.nose_x, e.p.nose_z, *turn)
    return np.asarray(-main / (nose - main))


def _tip_back(e: Evidence) -> Array:
    over_mains = np.arctan2(-e.p.main_x, -e.p.main_z)  # sim.checks.stance.balance_attitude
    return np.asarray(over_mains - ground_attitude(e.p))


def _tail_strike(e: Evidence) -> Array:
    struck = tail_strike_attitude(e.p) - ground_attitude(e.p)
    return np.where(e.p.aft_z < OUT_OF_REACH, struck, np.nan)


def _stall_margin(e: Evidence) -> Array:
    return np.where(e.lifted, 1.0 - e.status.wing_use_peak / TOP_AT, np.nan)


_BY_LABEL = {what.label: what for what in Happening}
_STEMS = {
    "pull": Happening.PULL, "nose_wheel_off": Happening.NOSE_WHEEL_OFF,
    "lift_off": Happening.LIFT_OFF, "screen_height": Happening.SCREEN_HEIGHT,
}  # fmt: skip
_SAME = {"distance": "distance_m", "time": "time_s", "airspeed": "airspeed_m_per_s"}
assert set(_LOG_ROWS) | set(_STATE_ROWS) == set(EVENT_COLUMNS)

_FIGURES: dict[str, Callable[[Evidence], Array]] = {
    "speed_needed_m_per_s": lambda e: e.speeds.needed,
    "speed_reachable_m_per_s": lambda e: e.speeds.reachable,
    "stall_speed_m_per_s": lambda e: e.stall_speed(e.p.wing_max_lift_up),
    "stall_speed_flaps_up_m_per_s": lambda e: e.stall_speed(e.flaps_up),
    "stall_speed_flaps_dropped_m_per_s": lambda e: e.stall_speed(e.p.wing_max_lift_dropped),
    "least_nose_load_N": _least_nose_load,
    "pitch_acceleration_available_deg_per_s2": _available,
    "pitch_acceleration_at_lift_off_deg_per_s2": lambda e: e.status.jump,
    "pitch_rate_at_lift_off_deg_per_s": lambda e: e.event(Happening.LIFT_OFF, "pitch_rate"),
    "peak_pitch_rate_deg_per_s": lambda e: e.status.rate_peak,
    "stall_margin": _stall_margin,
    "ground_attitude_deg": lambda e: np.asarray(ground_attitude(e.p)),
    "nose_share": _nose_share,
    "tip_back_deg": _tip_back,
    "tail_strike_deg": _tail_strike,
    "strip_length_m": lambda e: e.p.strip_length,
    "strip_left_at_lift_off_m": lambda e: (
        e.p.strip_length - e.event(Happening.LIFT_OFF, "distance")
    ),
    "end_time_s": lambda e: e.status.time,
    "end_distance_m": lambda e: e.ends[X],
    "end_speed_m_per_s": lambda e: e.ends[V],
    "impact_loss_J": lambda e: e.status.impact_loss,
}
