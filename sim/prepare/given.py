"""The road of given coefficients: wind-tunnel or textbook numbers instead of geometry."""

import numpy as np

from sim.prepare.draft import Draft
from sim.prepare.pilot import USUAL_THROW_RATE, control_numbers
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
    Array,
    constant_table,
)
from sim.scenario import Scenario
from sim.scenario.coefficients import Coefficients

UNLIMITED = 1e6
"""Maximum lift of a tail that is not limited [-]."""


def lay_coefficients(draft: Draft, scenario: Scenario) -> AeroTable:
    """Aerodynamic parameters and a table that changes with neither height nor pitch."""
    aeroplane = scenario.aeroplane
    c = aeroplane.coefficients
    assert c is not None
    cg = (draft.coefficients["cg_station_m"], draft.coefficients["cg_height_m"])
    lift, drag, tail = (
        (cg[0] - point.station, point.height - cg[1]) if point else (0.0, 0.0)
        for point in (c.lift_point, c.drag_point, c.tail_point)
    )
    dropped = scenario.pilot.drop_flaps
    draft.parameters |= {
        "reference_area": c.reference_area,
        "reference_chord": c.reference_chord,
        "lift_x": lift[0],
        "lift_z": lift[1],
        "table_x": 0.0,
        "table_z": 0.0,
        "drag_x": drag[0],
        "drag_z": drag[1],
        "wing_centre_x": lift[0],
        "tail_centre_x": tail[0],
        "tail_lag_length": max(abs(lift[0] - tail[0]), 0.1 * c.reference_chord),
        "tail_twist_per_newton": 0.0,
        "wing_max_lift_up": c.max_lift,
        "wing_max_lift_dropped": c.max_lift_flaps_dropped or c.max_lift,
        "wing_min_lift": c.max_lift,
        "tail_max_lift": c.tail_max_lift or UNLIMITED,
        "zero_lift_drag_start": c.drag_at_zero_lift,
        "zero_lift_drag_dropped": c.drag_at_zero_lift,
        "flap_start": c.flaps_deflection,
        "flap_dropped": dropped.to if dropped else c.flaps_deflection,
        "drop_duration": (dropped.duration if dropped else None) or 1e-3,
        "elevator_effect": 1.0,
        "elevator_fade": 0.0,
        "elevator_rate": _throw_rate(draft, c),
    }
    up, down = (c.throw.up, c.throw.down) if c.throw else (0.0, 0.0)
    draft.parameters |= control_numbers(scenario.pilot, up, down, (0.0, 0.0))
    columns = _columns(scenario, (tail[0] - lift[0]) / c.reference_chord)
    draft.coefficients |= {"wing_area_m2": c.reference_area, "zero_lift_drag": c.drag_at_zero_lift}
    return constant_table(columns)


def _throw_rate(draft: Draft, c: Coefficients) -> float:
    """Given or usual, and marked as such if there is an elevator to move [rad/s]."""
    if c.throw is None:
        return USUAL_THROW_RATE
    key, how = "aeroplane.coefficients.throw_rate", "usual for a small servo and linkage"
    return draft.given_or(c.throw_rate, key, USUAL_THROW_RATE, "angular_rate", how)


def _columns(scenario: Scenario, tail_arm: float) -> Array:
    """Columns of the table; the tail's moment follows from its lift and arm (in chords)."""
    c = scenario.aeroplane.coefficients
    assert c is not None
    row = np.zeros(COLUMNS)
    row[WING_LIFT] = c.lift_at_zero, c.lift_slope, c.lift_per_flap, 0.0, 0.0
    row[WING_MOMENT] = (
        c.moment_at_zero, c.moment_slope, c.moment_per_flap, 0.0, c.moment_per_pitch_rate,
    )  # fmt: skip
    tail = np.array(
        [
            c.tail_lift_at_zero,
            c.tail_lift_slope,
            0.0,
            c.tail_lift_per_elevator,
            c.tail_lift_per_pitch_rate,
        ]
    )
    row[TAIL_LIFT], row[TAIL_MOMENT] = tail, tail * tail_arm
    row[TAIL_OWN] = tail[0], tail[1]  # no downwash is told apart, so none lags
    total = row[WING_LIFT][:4] + row[TAIL_LIFT][:4]
    factor = c.induced_drag_factor * c.ground_effect_factor
    row[INDUCED] = [
        factor * total[i] * total[j] * (1.0 if i == j else 2.0) for i, j in INDUCED_PAIRS
    ]
    return row
