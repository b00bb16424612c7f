"""The numbers of one roll, or of many side by side: every field is one float or one per lane.

This is the whole border between the outer rooms and the time-step core. Units in brackets;
points are in body axes (x forward of the CG, z above it, along the reference line).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from operator import attrgetter
from typing import Any

import numpy as np

from sim.roll.aero_table import AeroTable, Array

NEVER = float("inf")
"""A trigger place, speed or time that is never reached."""
OUT_OF_REACH = 1e3
"""Height of a point that scrapes first where none is known [m]."""


@dataclass(frozen=True)
class Parameters:
    """Scalars of a roll [SI]. Annotated `Any` because a field is a float or an array of lanes."""

    # mass and gear -----------------------------------------------------------------------
    mass: Any  # [kg]
    pitch_inertia: Any  # about the CG [kg m2]
    main_x: Any  # main axle [m]
    main_z: Any  # [m]
    main_radius: Any  # wheel radius; contact lies this far below the axle [m]
    main_friction: Any  # rolling resistance, at the axle [-]
    nose_x: Any
    nose_z: Any
    nose_radius: Any
    nose_friction: Any
    aft_x: Any  # the point that scrapes first [m]
    aft_z: Any
    aft_friction: Any  # scraping coefficient [-]
    # strip and air -----------------------------------------------------------------------
    gravity: Any  # [m/s2]
    slope: Any  # uphill positive [rad]
    headwind: Any  # [m/s]
    air_density: Any  # [kg/m3]
    strip_length: Any  # [m]
    screen_height: Any  # lowest point of the main wheels above the strip [m]
    obstacle_distance: Any  # from the start of the roll; NEVER when there is none [m]
    obstacle_height: Any  # [m]
    # aerodynamics ------------------------------------------------------------------------
    reference_area: Any  # S [m2]
    reference_chord: Any  # c [m]
    lift_x: Any  # lift point: lift acts here, moments of the table are about it [m]
    lift_z: Any
    table_x: Any  # point whose height and turning the table is about; lift point with a lattice [m]
    table_z: Any
    drag_x: Any  # drag acts here [m]
    drag_z: Any
    wing_centre_x: Any  # where lift lost by the stalling wing is taken away [m]
    tail_centre_x: Any  # the same for the tail; also where the downwash lag acts [m]
    wing_max_lift_up: Any  # largest wing CL on S, flaps as at the start [-]
    wing_max_lift_dropped: Any  # the same with the flaps dropped in the roll [-]
    wing_min_lift: Any  # magnitude of the largest downward CL [-]
    tail_max_lift: Any  # magnitude, either way, on S [-]
    tail_lag_length: Any  # wing to tail, over which the downwash lags [m]
    tail_twist_per_newton: Any  # tail flexibility, nose-up incidence lost per newton [rad/N]
    zero_lift_drag_start: Any  # CD0 on S, gear and flaps included [-]
    zero_lift_drag_dropped: Any
    flap_start: Any  # effective flap angle at the start [rad]
    flap_dropped: Any  # effective flap angle after dropping them [rad]
    elevator_effect: Any  # effectiveness at small angles (1 for an all-moving tail) [-]
    elevator_fade: Any  # 1/d^2 in effect * (1 + fade * angle^2)^-0.4 [1/rad2]
    # thrust ------------------------------------------------------------------------------
    thrust_kind: Any  # index in sim.roll.thrust.KINDS
    static_thrust: Any  # [N]
    zero_thrust_airspeed: Any  # [m/s]
    quadratic_share: Any  # 0: falls linearly, 1: with the square of airspeed [-]
    jet_power: Any  # ideal fan [W]
    exit_area: Any  # ideal fan [m2]
    thrust_z: Any  # height of the thrust line at the CG station [m]
    thrust_tilt: Any  # upward positive [rad]
    spool_rate: Any  # 1 / time constant; 0 means thrust is there at once [1/s]
    initial_spool: Any  # fraction of full thrust at the start [-]
    initial_speed: Any  # rolling start [m/s]
    # pilot -------------------------------------------------------------------------------
    hold_elevator: Any  # before the pull, up positive [rad]
    pull_elevator: Any  # asked for at the pull [rad]
    elevator_up_limit: Any  # of the stick's share, mixing taken off [rad]
    elevator_down_limit: Any  # positive number [rad]
    elevator_rate: Any  # [rad/s]
    elevator_mix_start: Any  # elevator added by flap mixing at the start [rad]
    elevator_mix_dropped: Any
    pull_place: Any  # whichever of the three comes first; NEVER when unused [m]
    pull_airspeed: Any  # [m/s]
    pull_time: Any  # [s]
    drop_place: Any  # flaps dropped in the roll; NEVER when unused
    drop_airspeed: Any
    drop_time: Any
    drop_duration: Any  # [s]
    abort_place: Any  # throttle closed if the nose is still down here
    abort_airspeed: Any
    law_on: Any  # 1: holds the climb attitude after noticing, 0: stick held
    reaction_time: Any  # lag of the perceived pitch [s]
    notice_threshold: Any  # perceived rise of pitch that starts the law [rad]
    climb_attitude: Any  # pitch the law steers to [rad]
    law_gain: Any  # elevator per pitch error [-]
    law_lead: Any  # time ahead by the perceived rate [s]
    servo_lag: Any  # of the elevator under the law [s]
    law_trim: Any = 0.0  # elevator the pilot expects to hold in the climb [rad]

    @classmethod
    def of(cls, values: Mapping[str, Any]) -> "Parameters":
        """Made of a value for every field, in a tenth of the time: studies make thousands.

        Raises
        ------
        TypeError
            When a field is missing or a name is none.

        """
        if values.keys() != FIELDS:
            raise TypeError(f"not the fields of a roll: {sorted(values.keys() ^ FIELDS)}")
        made = object.__new__(cls)
        made.__dict__.update(values)
        return made

    def but(self, **values: Any) -> "Parameters":
        """The same with some fields replaced, as quickly."""
        return Parameters.of({**vars(self), **values})


AT_ONCE = 4096
"""Rolls whose scalars are gathered together: as Python objects they take ten times the memory."""
FIELD_NAMES = tuple(field.name for field in fields(Parameters))
FIELDS = frozenset(FIELD_NAMES)


@dataclass(frozen=True)
class ThrustTable:
    """Measured thrust points: monotone cubic through them, straight beyond the ends.

    Attributes
    ----------
    airspeed: shape (k,), rising [m/s].
    thrust: shape (k,) [N].

    """

    airspeed: Array
    thrust: Array


@dataclass(frozen=True)
class Setup:
    """Everything one roll needs: scalars, aerodynamic table and, if measured so, thrust points."""

    parameters: Parameters
    table: AeroTable
    thrust_table: ThrustTable | None = None

    def but(self, **scalars: Any) -> "Setup":
        """The same roll with some scalars replaced."""
        return Setup(self.parameters.but(**scalars), self.table, self.thrust_table)


def parameter_matrix(setups: "list[Setup]") -> Array:
    """Stack scalars of several rolls, shape (parameters, lanes), rows as FIELD_NAMES [SI]."""
    scalars = attrgetter(*FIELD_NAMES)
    rows = np.empty((len(FIELD_NAMES), len(setups)))
    for first in range(0, len(setups), AT_ONCE):
        some = setups[first : first + AT_ONCE]
        rows[:, first : first + AT_ONCE] = np.transpose([scalars(s.parameters) for s in some])
    return rows
