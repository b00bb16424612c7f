"""Right-hand side of the oracle and the discrete state that goes with it."""

import math
from dataclasses import dataclass, field

import numpy as np

from sim.roll.parameters import NEVER, Setup

from .contact import MAIN, NOSE, Contacts, Touching
from .forces import Air, Flow, thrust_curve

X, Z, TH, V, ZD, OM, E, PERC, LAG, W_THRUST, W_AIR, W_FRICTION = range(12)
TIME_LIMIT = 90.0
SPOOL_DONE = 0.999


@dataclass
class Mode:
    """Everything that changes only by a jump."""

    touching: Touching = (MAIN, NOSE)
    s: int = 1
    throttle: float = 1.0
    spool_start: float = 1.0
    spool_from: float = 0.0
    pulled: bool = False
    dropped_at: float = NEVER
    aborted: bool = False
    law: bool = False
    ramp_target: float | None = None
    ramp_end: float = NEVER
    ramp_rate: float = 0.0
    nose_left: bool = False
    lifted_at: float = NEVER
    screened: bool = False
    strip_done: bool = False
    obstacle_done: bool = False
    moved: bool = False
    fresh: set[int] = field(default_factory=set)


@dataclass(frozen=True)
class Look:
    """One evaluated instant."""

    t: float
    y: list[float]
    qddot: list[float]
    loads: dict[int, float]
    factor: float
    thrust: tuple[float, float, float]
    flow: Flow
    edot: float
    pdot: float
    surges: tuple[float, float]


class Motion:
    """Dynamics of one setup under a `Mode`."""

    def __init__(self, setup: Setup) -> None:
        self.setup, self.p = setup, setup.parameters
        self.air, self.contacts = Air(setup), Contacts(setup.parameters)
        self.curve = thrust_curve(setup)
        self.mode = Mode(spool_start=float(self.p.initial_spool))
        self.ground_pitch = self.contacts.pitch_on(MAIN, NOSE)
        self._cache: tuple[object, Look | None] = (None, None)

    # --- known functions of time ---------------------------------------------------------
    def spool(self, t: float) -> float:
        """Fraction of full thrust, in closed form."""
        m, rate = self.mode, float(self.p.spool_rate)
        if rate == 0.0:
            return 0.0 if m.aborted else m.spool_start
        return m.throttle + (m.spool_start - m.throttle) * math.exp(-rate * (t - m.spool_from))

    def spool_done_at(self) -> float:
        """When the spool has come within 0.001 of the throttle."""
        m, rate = self.mode, float(self.p.spool_rate)
        miss = abs(m.spool_start - m.throttle)
        if rate == 0.0 or miss <= 1.0 - SPOOL_DONE:
            return m.spool_from
        return m.spool_from + math.log(miss / (1.0 - SPOOL_DONE)) / rate

    def flap_share(self, t: float) -> float:
        """phi, 0 at the start, 1 dropped."""
        since = t - self.mode.dropped_at
        if since < 0.0:
            return 0.0
        duration = float(self.p.drop_duration)
        return 1.0 if since >= duration else since / duration

    # --- pilot ---------------------------------------------------------------------------
    def elevator_rate(self, y: list[float], pdot: float) -> float:
        """Rate of the stick's share of the elevator [rad/s]."""
        p, m = self.p, self.mode
        if m.law:
            raw = p.law_trim + p.law_gain * (p.climb_attitude - y[PERC] - p.law_lead * pdot)
            mid = 0.5 * (p.elevator_up_limit - p.elevator_down_limit)
            half = 0.5 * (p.elevator_up_limit + p.elevator_down_limit)
            command = mid + half * math.tanh((raw - mid) / half)
            fast = p.elevator_rate
            return float(fast * math.tanh((command - y[E]) / (fast * p.servo_lag)))
        return m.ramp_rate if m.ramp_target is not None else 0.0

    # --- dynamics ------------------------------------------------------------------------
    def applied(
        self, t: float, y: list[float], spool: float | None = None
    ) -> tuple[tuple[float, float, float], tuple[float, float, float], Flow]:
        """Sum of applied generalised forces, the thrust's part, and the air's."""
        p = self.p
        flow = self.air.flow((y[Z], y[TH], y[V], y[ZD], y[OM]), y[LAG], y[E], self.flap_share(t))
        size = (self.spool(t) if spool is None else spool) * self.curve(max(y[V] + p.headwind, 0.0))
        angle = y[TH] + p.thrust_tilt
        thrust = (
            size * math.cos(angle),
            size * math.sin(angle),
            -p.thrust_z * math.cos(p.thrust_tilt) * size,
        )
        weight = self.contacts.weight
        a = flow.force
        total = (
            thrust[0] + a[0] - weight * math.sin(p.slope),
            thrust[1] + a[1] - weight * math.cos(p.slope),
            thrust[2] + a[2],
        )
        return total, thrust, flow

    def look(self, t: float, y: np.ndarray) -> Look:
        """Evaluate one instant; the last one is kept for the guards that share it."""
        key = (t, y.tobytes())
        if self._cache[0] == key and self._cache[1] is not None:
            return self._cache[1]
        out = self.evaluate(t, y.tolist())
        self._cache = (key, out)
        return out

    def forget(self) -> None:
        """Drop the kept instant, after the mode has changed."""
        self._cache = (None, None)

    def evaluate(self, t: float, y: list[float]) -> Look:
        """Evaluate one instant in the present mode."""
        m, c = self.mode, self.contacts
        total, thrust, flow = self.applied(t, y)
        factor, surges = float(m.s), (0.0, 0.0)
        if m.s == 0 and m.touching:
            surges = tuple(
                c.accelerate(y[TH], y[OM], total, m.touching, s)[0][0] for s in (1.0, -1.0)
            )  # type: ignore[assignment]
            held = c.rest_factor(y[TH], y[OM], total, m.touching)
            factor = held if held is not None else (1.0 if surges[0] > 0.0 else -1.0)
        qddot, loads = c.accelerate(y[TH], y[OM], total, m.touching, factor)
        if m.s == 0 and m.touching:
            qddot[0] = 0.0
        pdot = (y[TH] - y[PERC]) / self.p.reaction_time
        return Look(
            t, y, qddot, loads, factor, thrust, flow, self.elevator_rate(y, pdot), pdot, surges
        )

    def rates(self, look: Look) -> list[float]:
        """Derivative of the whole state, with the powers of thrust, air and friction."""
        y, p = look.y, self.p
        qdot = y[V : OM + 1]
        wind = y[V] + p.headwind
        ldot = (look.flow.alpha - y[LAG]) * wind / p.tail_lag_length if wind > 0.0 else 0.0
        thrust_power = sum(f * v for f, v in zip(look.thrust, qdot, strict=True))
        air_power = sum(f * v for f, v in zip(look.flow.force, qdot, strict=True))
        friction_power = 0.0
        for i, load in look.loads.items():
            axle_speed = y[V] - self.contacts.arm(i, y[TH])[1] * y[OM]
            friction_power -= look.factor * self.contacts.friction[i] * load * axle_speed
        return [
            *qdot,
            *look.qddot,
            look.edot,
            look.pdot,
            ldot,
            thrust_power,
            air_power,
            friction_power,
        ]

    def derivative(self, t: float, y: np.ndarray) -> list[float]:
        """Right-hand side for the integrator."""
        return self.rates(self.evaluate(t, y.tolist()))

    # --- conditions ----------------------------------------------------------------------
    def all_done(self, t: float) -> bool:
        """Whether nothing by place or time is pending, elevator, flap and spool have arrived."""
        p, m = self.p, self.mode
        if m.ramp_target is not None or t < self.spool_done_at():
            return False
        if m.dropped_at < NEVER and t < m.dropped_at + p.drop_duration:
            return False
        pull = not m.pulled and not m.aborted and min(p.pull_place, p.pull_time) < NEVER
        drop = m.dropped_at == NEVER and min(p.drop_place, p.drop_time) < NEVER
        abort = not m.aborted and not m.nose_left and p.abort_place < NEVER
        return not (pull or drop or abort)

    def steadiness(self, look: Look) -> float:
        """Falls through zero when the roll is steady: thresholds brought to 0.005 and taken off."""
        values = [abs(look.qddot[0])]
        if len(self.mode.touching) == 1:  # 1e-3 rad/s and 1e-2 rad/s2 brought to 0.005
            values += [5.0 * abs(look.y[OM]), 0.5 * abs(look.qddot[2])]
        return max(values) - 0.005

    def energy(self, y: list[float]) -> float:
        """Kinetic and potential energy [J]."""
        p, c = self.p, self.contacts
        height = y[X] * math.sin(p.slope) + y[Z] * math.cos(p.slope)
        return c.kinetic(y[V : OM + 1]) + c.weight * height
