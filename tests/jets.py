"""A model jet of our own with coefficients given, for tests of the core."""

from dataclasses import replace
from typing import Any

import numpy as np

from sim.roll.aero_table import (
    COLUMNS,
    INDUCED,
    INDUCED_PAIRS,
    TAIL_LIFT,
    TAIL_MOMENT,
    TAIL_OWN,
    WING_LIFT,
    WING_MOMENT,
    AeroTable,
    constant_table,
)
from sim.roll.parameters import NEVER, Parameters, Setup

CHORD = 0.33
TAIL_ARM = -0.42


def columns(
    wing: tuple[float, ...] = (0.06, 3.4, 1.4, 0.0, 1.2),
    moment: tuple[float, ...] = (0.0, 0.0, -0.25, 0.0, -0.2),
    tail: tuple[float, ...] = (0.0, 0.35, -0.25, -0.55, 1.4),
    own_slope: float = 0.62,
    induced: float = 0.12,
) -> np.ndarray:
    """Table columns with the tail's moment following from its lift and arm."""
    row = np.zeros(COLUMNS)
    row[WING_LIFT], row[WING_MOMENT], row[TAIL_LIFT] = wing, moment, tail
    row[TAIL_MOMENT] = np.array(tail) * TAIL_ARM / CHORD
    row[TAIL_OWN] = 0.0, own_slope
    total = np.array(wing[:4]) + np.array(tail[:4])
    row[INDUCED] = [induced * total[i] * total[j] * (1 if i == j else 2) for i, j in INDUCED_PAIRS]
    return row


BASE: dict[str, Any] = dict(
    mass=3.2, pitch_inertia=0.18,
    main_x=-0.13, main_z=-0.122, main_radius=0.032, main_friction=0.13,
    nose_x=0.345, nose_z=-0.112, nose_radius=0.032, nose_friction=0.13,
    aft_x=-0.67, aft_z=-0.02, aft_friction=0.4,
    gravity=9.80665, slope=0.0, headwind=0.0, air_density=1.2,
    strip_length=80.0, screen_height=2.0, obstacle_distance=NEVER, obstacle_height=0.0,
    reference_area=0.33, reference_chord=CHORD, lift_x=0.02, lift_z=0.0,
    table_x=0.0, table_z=0.0, drag_x=0.0, drag_z=0.0,
    wing_centre_x=0.02, tail_centre_x=0.02 + TAIL_ARM,
    wing_max_lift_up=0.95, wing_max_lift_dropped=1.1, wing_min_lift=0.8, tail_max_lift=0.16,
    tail_lag_length=0.42, tail_twist_per_newton=0.0,
    zero_lift_drag_start=0.045, zero_lift_drag_dropped=0.06, flap_start=0.0, flap_dropped=0.0,
    elevator_effect=1.0, elevator_fade=0.0,
    thrust_kind=0, static_thrust=24.0, zero_thrust_airspeed=74.0, quadratic_share=0.0,
    jet_power=900.0, exit_area=0.0038, thrust_z=0.0, thrust_tilt=0.0,
    spool_rate=2.0, initial_spool=0.0, initial_speed=0.0,
    hold_elevator=0.0, pull_elevator=np.radians(15), elevator_up_limit=np.radians(15),
    elevator_down_limit=np.radians(12), elevator_rate=np.radians(200),
    elevator_mix_start=0.0, elevator_mix_dropped=0.0,
    pull_place=20.0, pull_airspeed=NEVER, pull_time=NEVER,
    drop_place=NEVER, drop_airspeed=NEVER, drop_time=NEVER, drop_duration=1.0,
    abort_place=NEVER, abort_airspeed=NEVER,
    law_on=1.0, reaction_time=0.25, notice_threshold=np.radians(2),
    climb_attitude=np.radians(10), law_gain=1.5, law_lead=0.4, servo_lag=0.05,
)  # fmt: skip


def jet(table: AeroTable | None = None, **changes: Any) -> Setup:
    """The jet with some numbers replaced."""
    return Setup(Parameters(**{**BASE, **changes}), table or constant_table(columns()))


def changed(setup: Setup, **changes: Any) -> Setup:
    """Another set-up with some scalars replaced."""
    return replace(setup, parameters=replace(setup.parameters, **changes))
