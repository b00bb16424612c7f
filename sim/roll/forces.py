"""Aerodynamic force, thrust and moment of every lane, in the strip frame."""

from typing import Any, NamedTuple

import numpy as np

from sim.roll.aero_table import (
    INDUCED,
    TAIL_LIFT,
    TAIL_MOMENT,
    TAIL_OWN,
    WING_LIFT,
    Array,
)
from sim.roll.block import Block
from sim.roll.lift_limit import carried
from sim.roll.parameters import NEVER
from sim.roll.thrust import FALL_OFF, FAN, POINTS, fall_off_thrust, fan_thrust

LINEAR = slice(WING_LIFT.start, TAIL_MOMENT.stop)
"""Lift and moment of wing and tail by their inputs."""
_LEAST_SPEED = 1e-150
"""Speed through the air is never taken for less, so that a breath of wind has a direction."""
AIRSPEED_FLOOR = 1.0
"""Keeps the reduced pitch rate finite at rest [m/s]."""


class Motion(NamedTuple):
    """Kinematics of lanes in the strip frame, each shape (lanes,)."""

    time: Any
    wind: Any  # airspeed along the strip [m/s]
    height: Any  # of the CG [m]
    climb: Any  # rate of height [m/s]
    pitch: Any
    pitch_rate: Any
    cos_pitch: Any
    sin_pitch: Any
    spool: Any
    elevator: Any  # stick's share [rad]
    lagged_alpha: Any
    coefficients: Any  # of the table at this height and pitch, (32, lanes)


class Aerodynamics(NamedTuple):
    """What the air does to each lane."""

    along: Any  # force along the strip [N]
    across: Any  # force away from it [N]
    moment: Any  # about the CG, nose up [N m]
    alpha: Any
    pressure_area: Any  # dynamic pressure times the reference area [N]
    wing: Any  # lift coefficient carried
    tail: Any
    drag: Any  # [N]
    wing_use: Any  # linear lift over maximum lift, wing [-]
    tail_use: Any

    @property
    def wing_lift(self) -> Any:
        """Lift of the wing [N]."""
        return self.pressure_area * self.wing

    @property
    def tail_lift(self) -> Any:
        """Lift of the tail [N]."""
        return self.pressure_area * self.tail


def flap_fraction(block: Block, time: Any) -> Any:
    """How far the dropped flaps have moved, 0 to 1."""
    travel = (time - block.s.drop_start) / block.thin.drop_duration
    return block.math.clip(travel, 0.0, 1.0)


def _between(start: Any, end: Any, fraction: Any | None) -> Any:
    """Straight from start to end; without a fraction the start (the same to the last digit)."""
    return start if fraction is None else start + (end - start) * fraction


def flap_and_mix(p: Any, fraction: Any | None) -> tuple[Any, Any]:
    """Effective flap angle, and the elevator mixed with it, at a share of the travel [rad]."""
    return (
        _between(p.flap_start, p.flap_dropped, fraction),
        _between(p.elevator_mix_start, p.elevator_mix_dropped, fraction),
    )


def tail_stiffness(p: Any, pressure_area: Any, own_slope: Any) -> Any:
    """Share of its lift a tail that twists under load keeps [-]; one for a stiff tail."""
    return 1.0 / (1.0 + pressure_area * own_slope * p.tail_twist_per_newton)


def effective_elevator(p: Any, angle: Any) -> Any:
    """Elevator angle after the published loss of effect at large angles [rad]."""
    return p.elevator_effect * angle * (1.0 + p.elevator_fade * angle * angle) ** -0.4


def linear_sums(block: Block, coefficients: Any, inputs: tuple[Any, ...]) -> Any:
    """Wing lift and moment, tail lift and moment, by (alpha, flap, elevator, reduced pitch rate).

    Shape (4, lanes). An input of None is nil in every lane.
    """
    return block.math.four_sums(coefficients[LINEAR], inputs)


def quadratic_form(coefficients: Array, inputs: tuple[Any, ...]) -> Any:
    """Induced drag: sum over pairs of (1, *inputs), as INDUCED_PAIRS orders them."""
    one, a, f, e, aa, af, ae, ff, fe, ee = coefficients
    alpha, flap, elevator = inputs
    by_elevator, by_alpha = ee * elevator, aa * alpha
    by_elevator += e
    if flap is not None:
        by_elevator += fe * flap
        by_alpha += af * flap
    by_elevator *= elevator
    by_alpha += ae * elevator
    by_alpha += a
    by_alpha *= alpha
    by_alpha += one
    if flap is not None:
        by_alpha += (ff * flap + f) * flap
    by_alpha += by_elevator
    return by_alpha


def incidence_at_table(block: Block, alpha: Any, rate: Any) -> Any:
    """Incidence at the point the table is about, for reduced pitch rate `rate` = q c/(2 U) [rad].

    Turning nose up, a point ahead of the CG rises and meets the air at less:
    alpha - x q/U; 0.02 m, 1 rad/s and 20 m/s give 0.001 rad less.
    """
    return alpha - block.turning * rate


class Surfaces(NamedTuple):
    """Coefficients of wing and tail after their limits, on S, and how far each is used."""

    lift: Any
    wing: Any
    tail: Any
    moment: Any  # about the lift point, times the chord [m]
    drag: Any
    wing_use: Any
    tail_use: Any


def inputs_now(block: Block, elevator: Any, phi: Any | None) -> tuple[Any, Any]:
    """Effective flap angle, None if nil in every lane, and effective elevator angle [rad]."""
    flap, mix = flap_and_mix(block.thin, phi)
    angle = elevator + mix
    if block.elevators_fade:
        angle = effective_elevator(block.thin, angle)
    else:
        angle *= block.thin.elevator_effect
    return None if phi is None and block.flaps_up else flap, angle


def travel_now(block: Block, time: Any) -> Any | None:
    """Share of the travel of dropped flaps; None while no lane has dropped any."""
    in_place = block.math.all(block.s.drop_start == NEVER)
    return None if in_place else flap_fraction(block, time)


def _surfaces(block: Block, m: Motion, alpha: Any, wind: Any, pressure_area: Any) -> Surfaces:
    """Coefficients at any pitch and height."""
    c, phi = m.coefficients, travel_now(block, m.time)
    flap, elevator = inputs_now(block, m.elevator, phi)
    rate = m.pitch_rate * (0.5 * block.thin.reference_chord)
    rate /= block.math.maximum(wind, AIRSPEED_FLOOR)
    linear = linear_sums(block, c, (incidence_at_table(block, alpha, rate), flap, elevator, rate))
    induced = quadratic_form(c[INDUCED], (alpha, flap, elevator))
    own_slope = c[TAIL_OWN][1]
    lag = own_slope - c[TAIL_LIFT][1]
    lag *= alpha - m.lagged_alpha
    return limited(block, linear, induced, lag, (own_slope, pressure_area), phi)


def limited(
    block: Block, linear: Any, induced: Any, lag: Any, load: tuple[Any, Any], phi: Any | None
) -> Surfaces:
    """Coefficients with the downwash lag, the tail's flexibility and the limits of lift.

    `linear`: wing lift and moment, tail lift and moment, as `linear_sums` has them; `load`: the
    tail's own slope and the dynamic pressure times the area [N].
    """
    p = block.thin
    wing, moment, tail, tail_moment = linear
    if not block.stiff_tails:
        flexible = tail_stiffness(p, load[1], load[0])
        tail, tail_moment, lag = tail * flexible, tail_moment * flexible, lag * flexible
    tail = tail + lag
    moment = moment + tail_moment
    moment *= p.reference_chord

    top = _between(p.wing_max_lift_up, p.wing_max_lift_dropped, phi)
    if phi is not None or not block.same_down_as_up:
        top = block.math.where(wing <= 0.0, p.wing_min_lift, top)
    wing_use, tail_use = wing / top, tail / p.tail_max_lift
    wing_held, tail_held = block.math.of_both(carried, wing_use, tail_use)
    wing_held *= top
    tail_held *= p.tail_max_lift
    moment += (wing_held - wing) * block.wing_arm
    lag += tail_held
    lag -= tail
    lag *= block.tail_arm
    moment += lag
    drag = induced + _between(p.zero_lift_drag_start, p.zero_lift_drag_dropped, phi)
    lift = wing_held + tail_held
    return Surfaces(lift, wing_held, tail_held, moment, drag, wing_use, tail_use)


def aerodynamics(block: Block, m: Motion) -> Aerodynamics:
    """Lift, drag and moment of wing and tail with their limits (DEVELOPERS.md, Forces)."""
    p, wind, of = block.thin, m.wind, block.math
    flowing = wind > 0.0
    density_area = 0.5 * p.air_density * p.reference_area
    if of.all(flowing):
        return _in_the_flow(block, m, wind, density_area)
    density_area = of.where(flowing, density_area, 0.0)
    air = _in_the_flow(block, m, of.where(flowing, wind, 1.0), density_area)
    wing_use, tail_use = (of.where(flowing, use, 0.0) for use in (air.wing_use, air.tail_use))
    return air._replace(wing_use=wing_use, tail_use=tail_use)


def _in_the_flow(block: Block, m: Motion, ahead: Any, density_area: Any) -> Aerodynamics:
    """Air forces at an airspeed along the strip that is positive."""
    p, of = block.thin, block.math
    square = ahead * ahead
    square += m.climb * m.climb
    size = of.maximum(of.sqrt(square), _LEAST_SPEED)
    cos_path, sin_path = ahead / size, m.climb / size
    alpha = m.pitch - of.arctan2(m.climb, ahead)
    square *= density_area
    pressure_area = square
    now = _surfaces(block, m, alpha, ahead, pressure_area)
    lift, drag = pressure_area * now.lift, pressure_area * now.drag
    # the moments of both in the axes of the relative wind: turned by alpha, not by pitch
    cos_alpha = m.cos_pitch * cos_path + m.sin_pitch * sin_path
    sin_alpha = m.sin_pitch * cos_path - m.cos_pitch * sin_path
    moment = pressure_area * now.moment
    moment += lift * (p.lift_x * cos_alpha - p.lift_z * sin_alpha)
    moment += drag * (p.drag_x * sin_alpha + p.drag_z * cos_alpha)
    return Aerodynamics(
        along=-lift * sin_path - drag * cos_path,
        across=lift * cos_path - drag * sin_path,
        moment=moment,
        alpha=alpha,
        pressure_area=pressure_area,
        wing=now.wing,
        tail=now.tail,
        drag=drag,
        wing_use=now.wing_use,
        tail_use=now.tail_use,
    )


def full_thrust(block: Block, airspeed: Any) -> Any:
    """Thrust with the power fully spooled up [N], zero airspeed taken for a tailwind."""
    airspeed = block.math.maximum(airspeed, 0.0)
    if len(block.thrust_kinds) == 1:
        # all of them: the thin rows do, which saves a product of rows that are the same
        thrust = _THRUST_BY_KIND[block.thrust_kinds[0]]
        return block.math.plain(thrust(block, block.thin, block.thrust_index, airspeed))
    out = np.zeros_like(airspeed)
    for kind in block.thrust_kinds:
        which = np.flatnonzero(block.p.thrust_kind == kind)
        some, index = _Some(block, which), block.thrust_index[which]
        out[which] = _THRUST_BY_KIND[kind](block, some, index, airspeed[which])
    return np.asarray(out)


class _Some:
    """Parameters of some lanes, looked up as they are asked for."""

    def __init__(self, block: Block, which: Any) -> None:
        self._p, self._which = block.p, which

    def __getattr__(self, name: str) -> Any:
        return getattr(self._p, name)[self._which]


def _fall_off(_block: Block, p: Any, _index: Any, airspeed: Any) -> Any:
    return fall_off_thrust(p, airspeed)


def _fan(_block: Block, p: Any, _index: Any, airspeed: Any) -> Any:
    return fan_thrust(p.air_density, p.exit_area, p.jet_power, airspeed)


def _points(block: Block, _p: Any, index: Any, airspeed: Any) -> Any:
    return block.tables.thrust.thrust(index, airspeed)


_THRUST_BY_KIND = {FALL_OFF: _fall_off, FAN: _fan, POINTS: _points}
