"""A block of lanes: parameters, discrete status and tables, gathered side by side."""

from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any

import numpy as np

from sim.roll.aero_table import AeroTable, Array
from sim.roll.arithmetic import Rows
from sim.roll.attitude import ground_attitude, rotated
from sim.roll.coefficients import Coefficients
from sim.roll.parameters import FIELD_NAMES, Parameters, Setup, ThrustTable, parameter_matrix
from sim.roll.thrust_points import ThrustPoints, thrust_points


@dataclass
class Status:
    """What a lane remembers beside its smooth state; every field one float per lane."""

    time: Any
    step: Any  # step size to try next [s]
    direction: Any  # +1 forward, 0 at rest, -1 backward
    elevator_slope: Any  # [rad/s] while moving by hand
    elevator_stop: Any  # time at which that movement ends [s]
    elevator_target: Any
    law: Any  # 1 while the holding law steers
    law_spent: Any  # 1 after an abort
    throttle: Any
    drop_start: Any  # time the flaps begin to move; inf before
    pulled: Any
    aborted: Any
    nose_was_off: Any
    lifted_at: Any  # first lift-off; inf before
    screen_at: Any
    past_strip: Any
    past_obstacle: Any
    obstacle_clearance: Any
    wing_stalled: Any
    tail_stalled: Any
    impact_loss: Any  # [J]
    rate_peak: Any  # largest pitch rate in the first second airborne [rad/s]
    wing_use_peak: Any  # largest linear lift over maximum lift in that second
    jump: Any  # pitch acceleration at the first lift-off, zero when the nose left [rad/s2]
    moved: Any  # 1 once it has rolled
    changes: Any  # phase changes so far
    tries: Any  # steps tried so far
    end: Any  # index into events.ENDS, -1 while running


STATUS_NAMES = tuple(one.name for one in fields(Status))


def new_status(matrix: Array) -> Array:
    """Status rows of fresh lanes for a parameter matrix, shape (status, lanes)."""
    p = Parameters(*matrix)
    start = dict.fromkeys(STATUS_NAMES, 0.0)
    start.update(elevator_stop=np.inf, throttle=1.0, drop_start=np.inf, lifted_at=np.inf)
    start.update(screen_at=np.inf, end=-1.0, step=0.02, rate_peak=-np.inf, wing_use_peak=-np.inf)
    start.update(obstacle_clearance=np.nan, jump=np.nan)
    rows = np.array([np.full(matrix.shape[1], start[name]) for name in STATUS_NAMES])
    Status(*rows).direction[:] = np.where(p.initial_speed > 0.0, 1.0, 0.0)
    return rows


@dataclass(frozen=True)
class Tables:
    """Aerodynamic and thrust tables shared by the lanes; a lane holds an index into each."""

    aero: Array  # (tables, 32, 15): transposed values
    scale: Array  # (tables,)
    thrust: ThrustPoints


@dataclass(frozen=True)
class Batch:
    """All lanes of one call: parameter matrix, table indices, tables.

    plain_numbers: whether a lane that stands alone in its block is worked on as `alone.py` does.
    """

    matrix: Array
    aero_index: Any
    thrust_index: Any
    tables: Tables
    plain_numbers: bool = False
    _last: "list[Block]" = field(default_factory=list, init=False, repr=False, compare=False)

    @cached_property
    def places(self) -> tuple[int, ...]:
        """Rows of the matrix that are not the same in all lanes, to the last bit."""
        bits = self.matrix.view(np.int64)
        return tuple(np.flatnonzero((bits != bits[:, :1]).any(axis=1)).tolist())

    @cached_property
    def differing(self) -> Array:
        """Those rows, shape (rows, lanes)."""
        return np.ascontiguousarray(self.matrix[list(self.places)])

    @cached_property
    def common(self) -> tuple[Array, ...]:
        """The first value of every row, shape (1,) each."""
        return tuple(self.matrix[:, :1].copy())

    @property
    def lanes(self) -> int:
        """Number of lanes."""
        return int(self.matrix.shape[1])

    def block(self, lanes: Any, status: Array) -> "Block":
        """Some lanes with their status; one that stands alone is made ready once.

        Each roll has a batch of its own (`engine.roll`), so nobody else's block is handed out.
        """
        if lanes.size != 1:
            return Block(self, lanes, status)
        last = self._last[0] if self._last else None
        if last is None or last.lanes[0] != lanes[0]:
            last = Block(self, lanes, status)
            self._last[:] = [last]
        return last.with_status(status)


def batch_of(setups: list[Setup]) -> Batch:
    """Lay rolls side by side; equal tables (by identity) are stored once."""
    aero: dict[int, int] = {}
    thrust: dict[int, int] = {}
    aero_list: list[AeroTable] = []
    thrust_list: list[ThrustTable] = []
    aero_index = np.zeros(len(setups), dtype=np.intp)
    thrust_index = np.full(len(setups), -1, dtype=np.intp)
    for lane, setup in enumerate(setups):
        if id(setup.table) not in aero:
            aero[id(setup.table)] = len(aero_list)
            aero_list.append(setup.table)
        aero_index[lane] = aero[id(setup.table)]
        points = setup.thrust_table
        if points is not None:
            if id(points) not in thrust:
                thrust[id(points)] = len(thrust_list)
                thrust_list.append(points)
            thrust_index[lane] = thrust[id(points)]
    tables = Tables(
        aero=np.array([np.ascontiguousarray(t.values.T) for t in aero_list]),
        scale=np.array([t.height_scale for t in aero_list]),
        thrust=thrust_points(thrust_list),
    )
    return Batch(parameter_matrix(setups), aero_index, thrust_index, tables)


class Block:
    """Lanes gathered for work: `p` parameters and `s` status, one value per lane, and tables.

    `thin` holds the same parameters with a single value, shape (1,), where every lane of the batch
    has the same: a product with one number costs half of one with a row, and nothing is gathered.
    Whether a row is thin changes no digit. `math`: the functions that go with its values.
    """

    math: Any = Rows

    def __init__(self, batch: Batch, lanes: Any, status: Array) -> None:
        self.lanes = np.asarray(lanes)
        self.status = status
        self.batch = batch
        self._own = columns_of(batch.differing, self.lanes)
        self._derive()

    def _derive(self) -> None:
        batch = self.batch
        self.aero_index = batch.aero_index[self.lanes]
        self.thrust_index = batch.thrust_index[self.lanes]
        self.tables = batch.tables
        rows = list(batch.common)
        for place, row in zip(batch.places, self._own, strict=True):
            rows[place] = row
        self.thin = p = Parameters(*rows)
        self.p = Parameters(*map(self._wide, rows))
        self.s = Status(*self.status)
        self.cos_tilt, self.sin_tilt = np.cos(p.thrust_tilt), np.sin(p.thrust_tilt)
        self.thrust_along_body = not p.thrust_tilt.any()
        self.thrust_arm = p.thrust_z * self.cos_tilt
        self.weight_along = self._wide(-p.mass * p.gravity * np.sin(p.slope))
        self.weight_across = self._wide(-p.mass * p.gravity * np.cos(p.slope))
        self.over_mass, self.over_inertia = 1.0 / p.mass, 1.0 / p.pitch_inertia
        self.nil = self._wide(np.zeros(1))
        self.turning = p.table_x * (2.0 / p.reference_chord)
        self.wing_arm, self.tail_arm = p.wing_centre_x - p.lift_x, p.tail_centre_x - p.lift_x
        # what is nil in every lane is left out; what is left gives the same to the last digit
        self.stiff_tails = not p.tail_twist_per_newton.any()
        self.flaps_up = not p.flap_start.any()
        self.same_down_as_up = np.array_equal(p.wing_min_lift, p.wing_max_lift_up)
        self.drops_by_motion = self._wide(np.isfinite(p.drop_place) | np.isfinite(p.drop_airspeed))
        self.aborts = self._wide(np.isfinite(p.abort_place) | np.isfinite(p.abort_airspeed))
        self.has_obstacle = self._wide(np.isfinite(p.obstacle_distance))
        self.elevators_fade = bool(p.elevator_fade.any())
        self.all_spool = bool((p.spool_rate > 0.0).all())
        self.throw_middle = 0.5 * (p.elevator_up_limit - p.elevator_down_limit)
        self.throw_half = 0.5 * (p.elevator_up_limit + p.elevator_down_limit)
        self.thrust_kinds = tuple(np.unique(p.thrust_kind.astype(int)))
        self.attitude = self._wide(ground_attitude(p))

    def _wide(self, row: Any) -> Any:
        """One value per lane without copying: a single one is seen again and again."""
        if row.size == self.lanes.size:
            return row
        return np.ndarray(self.lanes.shape, row.dtype, row, strides=(0,))

    def with_status(self, status: Array) -> "Block":
        """The same lanes with another status; what follows from their parameters is shared."""
        other = object.__new__(Block)
        vars(other).update(vars(self))
        other.status, other.s = status, Status(*status)
        return other

    def take(self, which: Any) -> "Block":
        """Copy of some lanes of this block, by index or mask."""
        other = object.__new__(Block)
        other.lanes = self.lanes[which]
        other.status = columns_of(self.status, which)
        other.batch = self.batch
        other._own = columns_of(self._own, which)
        other._derive()
        return other

    @cached_property
    def _coefficients(self) -> Coefficients:
        scale = self.tables.scale
        one = scale.size == 1
        over = 1.0 / scale if one else 1.0 / scale[self.aero_index]
        return Coefficients(self.tables.aero, self.aero_index, over)

    def coefficients(self, height: Array, pitch: Array, turn: tuple[Any, Any]) -> Array:
        """Aerodynamic coefficients, shape (32, lanes).

        height: of the CG [m]; pitch [rad]; turn: its cosine and sine.
        """
        return self.passing_coefficients(height, pitch, turn).copy()

    def passing_coefficients(self, height: Array, pitch: Array, turn: tuple[Any, Any]) -> Array:
        """The same in memory of the block, which the next call writes over."""
        above = height + rotated(self.thin.table_x, self.thin.table_z, *turn)[1]
        return self._coefficients.at(above, pitch)


def columns_of(rows: Array, which: Any) -> Array:
    """Some columns (index or mask) with contiguous rows.

    Strided rows are slower and may go through other loops, which would change last digits.
    """
    if which.dtype == bool:
        return np.asarray(np.compress(which, rows, axis=1))
    return np.asarray(np.take(rows, which, axis=1))


__all__ = [
    "FIELD_NAMES", "Batch", "Block", "Status", "Tables", "batch_of", "columns_of", "new_status",
]  # fmt: skip
