"""Applied forces of the oracle: generalised forces on (X, Z, theta), written for one roll.

An independent second implementation; nothing of the time-step core is imported but the plain
containers. A force (F_x, F_z) at an arm (r_x, r_z) has, by virtual work, the generalised
forces (F_x, F_z, r_x F_z - r_z F_x), because d(r_x, r_z)/d theta = (-r_z, r_x).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

from sim.roll.parameters import Setup

FALL_OFF, IDEAL_FAN, POINTS = 0, 1, 2
WIDTH, DROP, SECOND_BEND = 0.06, 0.35, 2.0
FIRST_BEND = 1.0 + WIDTH * ((1 + DROP) * math.log(1 + DROP) - DROP * math.log(DROP))
TOP_RATIO = FIRST_BEND - WIDTH * math.log(DROP)
"""Linear lift over its limit where the carried lift has its top: beyond it the surface stalls."""


def _softplus(y: float) -> float:
    return y + math.log1p(math.exp(-y)) if y > 0.0 else math.log1p(math.exp(y))


def _bend(x: float) -> float:
    first = _softplus((x - FIRST_BEND) / WIDTH)
    second = _softplus((x - SECOND_BEND) / WIDTH)
    return WIDTH * ((1 + DROP) * first - DROP * second)


def limited(ratio: float) -> float:
    """Carried share g(x) of a limit when the linear value is `ratio` times it [-]."""
    return ratio - _bend(ratio) + _bend(-ratio)


def thrust_curve(setup: Setup) -> Callable[[float], float]:
    """Make full thrust [N] as a function of airspeed [m/s] (>= 0)."""
    p = setup.parameters
    kind = int(p.thrust_kind)
    if kind == FALL_OFF:
        share, end = float(p.quadratic_share), float(p.zero_thrust_airspeed)
        static = float(p.static_thrust)

        def fall_off(speed: float) -> float:
            u = speed / end
            return static * (1.0 - (1.0 - share) * u - share * u * u)

        return fall_off
    if kind == IDEAL_FAN:
        return _ideal_fan(float(p.air_density * p.exit_area), float(p.jet_power))
    if setup.thrust_table is None:
        raise ValueError("thrust points are missing")
    return _points(setup.thrust_table.airspeed, setup.thrust_table.thrust)


def _ideal_fan(rho_area: float, power: float) -> Callable[[float], float]:
    k = 2.0 * power / rho_area

    def fan(speed: float) -> float:
        jet: float = speed + k ** (1.0 / 3.0)  # right of the largest root: convex there
        for _ in range(60):
            step = (jet**3 - speed**2 * jet - k) / (3.0 * jet**2 - speed**2)
            jet -= step
            if abs(step) < 1e-14 * jet:
                break
        return rho_area * jet * (jet - speed)

    return fan


def _points(speeds: np.ndarray, values: np.ndarray) -> Callable[[float], float]:
    curve = PchipInterpolator(speeds, values)
    slope = curve.derivative()
    coefficients, knots = curve.c, [float(v) for v in speeds]
    ends = [(knots[k], float(curve(knots[k])), float(slope(knots[k]))) for k in (0, -1)]

    def points(speed: float) -> float:
        for side, (place, value, gradient) in zip((-1, 1), ends, strict=True):
            if side * (speed - place) >= 0.0:
                return value + gradient * (speed - place)
        k = int(np.searchsorted(speeds, speed, side="right")) - 1
        d = speed - knots[k]
        c3, c2, c1, c0 = (float(coefficients[n, k]) for n in range(4))
        return ((c3 * d + c2) * d + c1) * d + c0

    return points


@dataclass(frozen=True)
class Flow:
    """What the air does: generalised forces [N, N, N m], alpha and wing lift over its limit."""

    force: tuple[float, float, float]
    alpha: float
    wing_ratio: float
    tail_ratio: float


class Air:
    """Aerodynamic generalised forces of one setup."""

    def __init__(self, setup: Setup) -> None:
        self.p = setup.parameters
        self.values = np.ascontiguousarray(setup.table.values)
        self.height_scale = float(setup.table.height_scale)
        self.constant = not bool(np.any(self.values[1:]))
        self.first: list[float] = self.values[0].tolist()

    def columns(self, height: float, theta: float) -> list[float]:
        """Evaluate the 32 coefficients at a height [m] and a pitch [rad]."""
        if self.constant:
            return self.first
        u = 1.0 / (1.0 + (height / self.height_scale) ** 2)
        w = 0.35 * math.tanh(theta / 0.35)
        basis = [u**i * w**j for i in range(5) for j in range(3)]
        out: list[float] = np.dot(basis, self.values).tolist()
        return out

    def flow(
        self, q: tuple[float, float, float, float, float], lag: float, elevator: float, phi: float
    ) -> Flow:
        """Forces for q = (Z, theta, V, Zdot, omega), lagged angle, elevator share, flap share."""
        height, theta, v, zdot, omega = q
        p = self.p
        wind = v + p.headwind
        alpha = theta - math.atan2(zdot, wind)
        if wind <= 0.0:
            return Flow((0.0, 0.0, 0.0), alpha, 0.0, 0.0)
        above = p.table_x * math.sin(theta) + p.table_z * math.cos(theta)
        c = self.columns(height + above, theta)
        flap = p.flap_start + phi * (p.flap_dropped - p.flap_start)
        delta = elevator + p.elevator_mix_start
        delta += phi * (p.elevator_mix_dropped - p.elevator_mix_start)
        effective = p.elevator_effect * delta * (1.0 + p.elevator_fade * delta**2) ** -0.4
        rate = omega * p.reference_chord / (2.0 * max(wind, 1.0))
        inputs = (1.0, alpha, flap, effective)
        # the table's own point moves at v + omega x r: nose up it rises, and meets the air lower
        there = (1.0, alpha - p.table_x * omega / max(wind, 1.0), flap, effective, rate)
        pressure_area = 0.5 * p.air_density * (wind**2 + zdot**2) * p.reference_area

        wing, wing_moment, tail, tail_moment = (
            sum(c[5 * n + k] * there[k] for k in range(5)) for n in range(4)
        )
        late = (c[21] - c[11]) * (alpha - lag)
        tail_arm = (p.tail_centre_x - p.lift_x) / p.reference_chord
        soft = 1.0 + pressure_area * c[21] * p.tail_twist_per_newton
        tail = (tail + late) / soft
        tail_moment = (tail_moment + late * tail_arm) / soft

        up = p.wing_max_lift_up + phi * (p.wing_max_lift_dropped - p.wing_max_lift_up)
        limit = up if wing >= 0.0 else p.wing_min_lift
        carried_wing = limit * limited(wing / limit)
        carried_tail = p.tail_max_lift * limited(tail / p.tail_max_lift)
        moment = wing_moment + tail_moment - (tail - carried_tail) * tail_arm
        moment -= (wing - carried_wing) * (p.wing_centre_x - p.lift_x) / p.reference_chord

        drag = p.zero_lift_drag_start + phi * (p.zero_lift_drag_dropped - p.zero_lift_drag_start)
        pair = 22
        for i in range(4):
            for j in range(i, 4):
                drag += c[pair] * inputs[i] * inputs[j]
                pair += 1
        force = self._assemble(
            theta, alpha, pressure_area, (carried_wing + carried_tail, drag, moment)
        )
        return Flow(force, alpha, wing / limit, tail / p.tail_max_lift)

    def _assemble(
        self,
        theta: float,
        alpha: float,
        pressure_area: float,
        coefficients: tuple[float, float, float],
    ) -> tuple[float, float, float]:
        p = self.p
        lift, drag, moment = (pressure_area * v for v in coefficients)
        path = theta - alpha
        sin_path, cos_path = math.sin(path), math.cos(path)
        sin_pitch, cos_pitch = math.sin(theta), math.cos(theta)
        total_x, total_z, total_m = 0.0, 0.0, moment * p.reference_chord
        for fx, fz, x, z in (
            (-lift * sin_path, lift * cos_path, p.lift_x, p.lift_z),
            (-drag * cos_path, -drag * sin_path, p.drag_x, p.drag_z),
        ):
            arm_x, arm_z = x * cos_pitch - z * sin_pitch, x * sin_pitch + z * cos_pitch
            total_x += fx
            total_z += fz
            total_m += arm_x * fz - arm_z * fx
        return total_x, total_z, total_m
