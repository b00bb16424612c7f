"""One roll by `solve_ivp` with events and multipliers: the tests' second opinion.

What the description leaves open is decided here:

- events are recorded after everything at their instant is settled (loads and speeds after an
  impact); names at one instant are in the order of `ORDER`;
- each leaving and arriving is recorded every time it happens; `wheels-down-again` when a point
  arrives while nothing touches, after a lift-off; a point that arrives and leaves in the same
  instant makes no `nose-wheel-off` or `lift-off`;
- the lagged angle starts at alpha; after an abort no pull; `sits-on-tail` only at t = 0 and from a
  standing start (a tip-back during spool-up is ordinary motion);
- approach speeds below 1e-4 m/s are taken out without a drag impulse (so V stays);
- under the law the elevator counts as at its stop for the steady end.
"""

import itertools
import math
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from sim.roll.parameters import NEVER, Setup

from . import grazing as gz
from .contact import AFT, MAIN, NAMES, NOSE, Touching
from .forces import TOP_RATIO
from .guards import Guard, armed
from .motion import (E, LAG, OM, PERC, TH, TIME_LIMIT, V, W_AIR, W_FRICTION, W_THRUST, X, Z, ZD,
                     Motion)

CHATTER = 1e-4
MAX_STEP = 0.05
ORDER = ("abort", "pull", "nose-wheel-off", "lift-off", "tail-strike", "wheels-down-again",
         "nose-wheel-down-again", "strip-end", "screen-height", "stop")


@dataclass(frozen=True)
class Event:
    """One named event [s, m, m/s, rad, rad/s, N]."""

    name: str
    time: float
    distance: float
    ground_speed: float
    airspeed: float
    pitch: float
    pitch_rate: float
    main_load: float
    nose_load: float
    tail_load: float


@dataclass(frozen=True)
class Phase:
    """A stretch with one set of touching points and one direction of rolling."""

    start: float
    end: float
    touching: tuple[str, ...]
    s: int


@dataclass
class OracleRoll:
    """What the oracle says of one roll; see `roll.py` and `grazing.py` for the rules."""

    events: list[Event] = field(default_factory=list)
    end: str = ""
    end_time: float = 0.0
    final_state: dict[str, float] = field(default_factory=dict)
    phases: list[Phase] = field(default_factory=list)
    grazing: list[str] = field(default_factory=list)
    energy_start: float = 0.0
    energy_end: float = 0.0
    work_thrust: float = 0.0
    work_air: float = 0.0
    work_friction: float = 0.0
    impact_loss: float = 0.0
    stalled: bool = False
    obstacle_gap: float | None = None
    law_time: float | None = None
    drop_time: float | None = None
    evaluations: int = 0

    def energy_error(self) -> float:
        """Energy found less energy accounted for [J]."""
        work = self.work_thrust + self.work_air + self.work_friction - self.impact_loss
        return self.energy_end - self.energy_start - work


def oracle_roll(setup: Setup, rtol: float = 1e-10, atol_scale: float = 1e-2) -> OracleRoll:
    """Roll once; absolute tolerance is rtol * atol_scale, in SI."""
    run = _Run(setup, rtol, rtol * atol_scale)
    run.start()
    while not run.out.end:
        run.piece()
    return run.finish()


class _Run:
    def __init__(self, setup: Setup, rtol: float, atol: float) -> None:
        self.p, self.out, self.motion = setup.parameters, OracleRoll(), Motion(setup)
        self.c, self.mode = self.motion.contacts, self.motion.mode
        self.rtol = rtol
        self.atol = np.full(12, atol)
        self.atol[W_THRUST:] = 100.0 * atol
        self.t, self.y = 0.0, np.zeros(12)
        self.names: list[str] = []
        self.decisions: list[tuple[float, str]] = []
        self.arrivals = 0
        self.phase_start, self.phase_key = 0.0, (self.mode.touching, self.mode.s)

    # --- start and finish ----------------------------------------------------------------
    def start(self) -> None:
        p, c, m, y = self.p, self.c, self.mode, self.y
        y[TH] = y[PERC] = y[LAG] = self.motion.ground_pitch
        y[Z] = p.main_radius - c.arm(MAIN, y[TH])[1]
        y[V], y[E] = p.initial_speed, p.hold_elevator
        m.moved = y[V] != 0.0
        self.out.energy_start = self.motion.energy(y.tolist())
        aft_gap = c.gap(AFT, y[Z], y[TH])
        if abs(aft_gap) < gz.START_GAP:
            self.graze(f"aft gap {aft_gap:.1e} m at the start")
        self.triggers_at_start()
        if not m.moved:
            self.tips_back(aft_gap)
        if not self.out.end:
            self.settle((MAIN, NOSE))
            self.after()

    def tips_back(self, aft_gap: float) -> None:
        m, y = self.mode, self.y.tolist()
        total = self.motion.applied(self.t, y)[0]
        factor = self.c.rest_factor(y[TH], 0.0, total, (MAIN, NOSE))
        if factor is None:
            free = self.c.accelerate(y[TH], 0.0, total, (MAIN, NOSE), 1.0)[0][0]
            factor = 1.0 if free > 0.0 else -1.0
        load = self.c.accelerate(y[TH], 0.0, total, (MAIN, NOSE), factor)[1][NOSE] / self.c.weight
        if abs(load) < gz.START_LOAD:
            self.graze(f"nose load {load:.1e} weights at the start")
        if load < 0.0 or aft_gap < 0.0:
            m.s = 0
            self.finish_with("sits-on-tail")

    def finish_with(self, reason: str) -> None:
        if not self.out.end:
            self.out.end, self.out.end_time = reason, self.t
            self.flush()

    def finish(self) -> OracleRoll:
        out, y = self.out, self.y.tolist()
        self.note_phase(final=True)
        names = ("X", "Z", "theta", "V", "Zdot", "omega", "elevator", "perceived", "lagged_alpha")
        out.final_state = {"time": self.t} | dict(zip(names, y, strict=False))
        out.energy_end = self.motion.energy(y)
        out.work_thrust, out.work_air, out.work_friction = y[W_THRUST], y[W_AIR], y[W_FRICTION]
        for reason in gz.close_decisions(self.decisions):
            self.graze(reason)
        if self.arrivals > gz.MANY_ARRIVALS:
            self.graze(f"{self.arrivals} contacts made")
        return out

    def graze(self, reason: str) -> None:
        self.out.grazing.append(f"{self.t:.4f} s: {reason}")

    # --- recording -----------------------------------------------------------------------
    def name(self, event: str) -> None:
        self.names.append(event)

    def flush(self) -> None:
        if not self.names:
            return
        self.motion.forget()
        look = self.motion.look(self.t, self.y)
        y, loads = look.y, look.loads
        for event in sorted(self.names, key=ORDER.index):
            self.out.events.append(Event(
                event, self.t, y[X], y[V], y[V] + self.p.headwind, y[TH], y[OM],
                loads.get(MAIN, 0.0), loads.get(NOSE, 0.0), loads.get(AFT, 0.0)))
        self.names = []

    def note_phase(self, final: bool = False) -> None:
        key = (self.mode.touching, self.mode.s)
        if final or key != self.phase_key:
            touching, s = self.phase_key
            if self.t > self.phase_start or final:
                self.out.phases.append(Phase(self.phase_start, self.t,
                                             tuple(NAMES[i] for i in touching), s))
            self.phase_start, self.phase_key = self.t, key

    # --- one smooth piece ----------------------------------------------------------------
    def next_kink(self) -> float:
        p, m = self.p, self.mode
        times = [TIME_LIMIT, self.motion.spool_done_at(), m.ramp_end,
                 m.dropped_at + p.drop_duration, m.lifted_at + 1.0]
        if not m.pulled and not m.aborted:
            times.append(p.pull_time)
        if m.dropped_at == NEVER:
            times.append(p.drop_time)
        return min(v for v in times if v > self.t)

    def piece(self) -> None:
        self.project()
        self.motion.forget()
        guards = armed(self.motion, float(self.y[V]))
        if self.mode.touching in ((MAIN,), (MAIN, NOSE)) and self.motion.all_done(self.t):
            steady = Guard("steady", "steady", -1, self.motion.steadiness, self.motion)
            if steady(self.t, self.y) <= 0.0 and self.mode.s != 0:
                return self.end_steady()
            if self.mode.s != 0:
                guards.append(steady)
        end = self.next_kink()
        sol = solve_ivp(self.motion.derivative, (self.t, end), self.y, method="DOP853",
                        rtol=self.rtol, atol=self.atol, events=guards, max_step=MAX_STEP)
        if sol.status < 0:
            raise ArithmeticError(sol.message)
        fired = [g for g, times in zip(guards, sol.t_events, strict=True) if len(times)]
        self.out.evaluations += sol.nfev
        self.watch(guards, fired, sol)
        self.t, self.y = (end if sol.status == 0 else float(sol.t[-1])), sol.y[:, -1].copy()
        self.motion.forget()
        self.check_slopes(fired)
        self.mode.fresh = set()
        self.handle(fired)
        self.after()
        return None

    def watch(self, guards: list[Guard], fired: list[Guard], sol: Any) -> None:
        """Near misses on the accepted steps, and stall in the air."""
        looks = [self.motion.look(t, np.ascontiguousarray(y))
                 for t, y in zip(sol.t, sol.y.T, strict=True)]
        if not self.mode.touching and any(k.flow.wing_ratio > TOP_RATIO for k in looks):
            self.out.stalled = self.out.stalled or not self.mode.screened
        if len(looks) < 3:
            return
        for guard in guards:
            if guard.kind not in gz.NEAR:
                continue
            values = -guard.direction * np.array([guard.value(k) for k in looks])
            miss = gz.near_miss(sol.t, values)
            if miss < gz.NEAR[guard.kind]:
                self.graze(f"{guard.kind} {guard.label} came within {miss:.1e}")

    def check_slopes(self, fired: list[Guard]) -> None:
        """How sharply each fired guard went through zero."""
        h = 1e-5
        look = self.motion.look(self.t, self.y)
        rates = np.array(self.motion.rates(look))
        for guard in fired:
            if guard.kind in gz.FLAT:
                here = guard.value(look)
                before = guard.value(self.motion.evaluate(self.t - h, (self.y - h * rates).tolist()))
                slope = abs(here - before) / h
                if slope < gz.FLAT[guard.kind]:
                    self.graze(f"{guard.kind} {guard.label} crossed at only {slope:.1e} /s")

    def project(self) -> None:
        q, qdot = self.y[X : TH + 1].tolist(), self.y[V : OM + 1].tolist()
        self.c.project(self.mode.touching, q, qdot)
        self.y[X : TH + 1], self.y[V : OM + 1] = q, qdot

    # --- what the guards lead to ---------------------------------------------------------
    def handle(self, fired: list[Guard]) -> None:
        m, t = self.mode, self.t
        by_kind = {k: [g for g in fired if g.kind == k] for k in ("arrive", "release", "loose")}
        for guard in fired:
            if guard.kind not in ("kink", "upset") and guard.label != "obstacle":
                self.decisions.append((t, guard.kind))
        self.clocks()
        for guard in fired:
            self.act(guard)
        if self.out.end:
            return
        if by_kind["arrive"]:
            self.arrive(tuple(g.point for g in by_kind["arrive"]))
        elif by_kind["release"]:
            gone = tuple(g.point for g in by_kind["release"])
            self.settle(tuple(i for i in m.touching if i not in gone), fresh=set(gone))
        elif by_kind["loose"]:
            m.s = 1 if by_kind["loose"][0].label == "forward" else -1
            m.moved = True
            self.settle(m.touching, keep_direction=True)
        else:
            self.settle(m.touching)

    def act(self, guard: Guard) -> None:
        label = guard.label
        if guard.kind == "upset":
            self.finish_with("upset")
        elif guard.kind == "steady":
            self.end_steady()
        elif guard.kind == "zero":
            self.y[V] = 0.0
        elif guard.kind == "law":
            self.take_over()
        elif label == "strip-end":
            self.mode.strip_done = True
            self.name(label)
        elif label == "screen-height":
            self.mode.screened = True
            self.name(label)
        elif label == "obstacle":
            self.mode.obstacle_done = True
            self.out.obstacle_gap = self.c.gap(MAIN, float(self.y[Z]), float(self.y[TH]))
        elif guard.kind in ("place", "airspeed"):
            {"pull": self.pull, "drop": self.drop, "abort": self.abort}[label]()

    def clocks(self) -> None:
        p, m, t = self.p, self.mode, self.t
        if m.ramp_target is not None and t >= m.ramp_end:
            self.y[E], m.ramp_target, m.ramp_end = m.ramp_target, None, NEVER
        if not m.pulled and not m.aborted and t >= p.pull_time:
            self.decisions.append((t, "pull"))
            self.pull()
        if m.dropped_at == NEVER and t >= p.drop_time:
            self.decisions.append((t, "drop"))
            self.drop()

    def triggers_at_start(self) -> None:
        p, y = self.p, self.y
        wind = y[V] + p.headwind
        if p.pull_place <= 0.0 or wind >= p.pull_airspeed or p.pull_time <= 0.0:
            self.pull()
        if p.drop_place <= 0.0 or wind >= p.drop_airspeed or p.drop_time <= 0.0:
            self.drop()
        if p.abort_place <= 0.0 or wind >= p.abort_airspeed:
            self.abort()

    def ramp_to(self, target: float) -> None:
        m, here, rate = self.mode, float(self.y[E]), float(self.p.elevator_rate)
        if math.isinf(rate):
            self.y[E] = here = target
        if target == here:
            m.ramp_target, m.ramp_end = None, NEVER
            return
        m.ramp_target, m.ramp_rate = target, math.copysign(rate, target - here)
        m.ramp_end = self.t + abs(target - here) / rate

    def pull(self) -> None:
        if self.mode.pulled or self.mode.aborted:
            return
        self.mode.pulled = True
        self.name("pull")
        if not self.mode.law:
            self.ramp_to(float(self.p.pull_elevator))

    def drop(self) -> None:
        if self.mode.dropped_at == NEVER:
            self.mode.dropped_at = self.out.drop_time = self.t

    def abort(self) -> None:
        m = self.mode
        if m.aborted:
            return
        m.spool_start, m.spool_from = self.motion.spool(self.t), self.t
        m.aborted, m.throttle, m.law = True, 0.0, False
        self.name("abort")
        self.ramp_to(0.0)

    def take_over(self) -> None:
        m = self.mode
        if not m.aborted:
            m.law, m.ramp_target, m.ramp_end = True, None, NEVER
            self.out.law_time = self.t

    # --- contacts ------------------------------------------------------------------------
    def arrive(self, arriving: Touching) -> None:
        m, c = self.mode, self.c
        self.arrivals += len(arriving)
        q, qdot = self.y[X : TH + 1].tolist(), self.y[V : OM + 1].tolist()
        points = tuple(sorted({*m.touching, *arriving}))
        speeds = [qdot[1] + c.arm(i, q[2])[0] * qdot[2] for i in points]
        approach = max(-v for v in speeds)
        if gz.APPROACH[0] < approach < gz.APPROACH[1]:
            self.graze(f"approach speed {approach:.2e} m/s")
        s = 0.0 if qdot[0] == 0.0 else math.copysign(1.0, qdot[0])
        before = c.kinetic(qdot)
        if approach < CHATTER:
            # no drag: a load of either sign may come out, and its drag could add energy
            after, _, speed = c.hit(q[2], qdot, points, 0.0, points[:2])
        else:
            after, impulse, speed = c.impact(q[2], qdot, points, s)
            for i in points:
                decided = max(impulse[i] / c.mass, speed[i])
                if decided < gz.AFTER_IMPACT:
                    self.graze(f"impact of {NAMES[i]} decided by {decided:.1e} m/s")
        loss = before - c.kinetic(after)
        if loss < -1e-12 * max(before, 1e-6) or after[0] * s < 0.0:
            self.graze(f"impact: energy lost {loss:.1e} J, V {qdot[0]:.3f} to {after[0]:.3f}")
        self.out.impact_loss += loss
        self.y[V : OM + 1] = after
        self.arrival_names(arriving)
        stays = tuple(i for i in points if speed[i] < 1e-9)
        self.settle(stays, fresh=set(points))

    def arrival_names(self, arriving: Touching) -> None:
        m = self.mode
        if AFT in arriving:
            self.name("tail-strike")
        if not m.touching and m.lifted_at < NEVER:
            self.name("wheels-down-again")
            if m.screened:
                self.graze("wheels down again after screen height")
        if NOSE in arriving and m.nose_left:
            self.name("nose-wheel-down-again")

    def settle(self, candidates: Touching, fresh: set[int] | None = None,
               keep_direction: bool = False) -> None:
        """Choose touching points and direction, and name what has left."""
        m, before = self.mode, set(self.mode.touching)
        v = float(self.y[V])
        directions = [m.s] if keep_direction else (
            [1 if v > 0.0 else -1] if v != 0.0 else [0, 1, -1])
        for s in directions:
            chosen = self.choose(candidates, s)
            if chosen is not None:
                m.touching, m.s = chosen, s
                break
        else:
            raise ArithmeticError(f"no contact set at {self.t} s from {candidates}")
        m.moved = m.moved or m.s != 0
        gone = before - set(m.touching)
        m.fresh = ((fresh or set()) | gone | set(candidates)) - set(m.touching)
        self.leaving_names(gone, before)
        self.motion.forget()

    def choose(self, candidates: Touching, s: int) -> Touching | None:
        """Set with loads and accelerations of the points left out >= 0; None if s does not fit."""
        y = self.y.tolist()
        total = self.motion.applied(self.t, y)[0]
        best: Touching | None = None
        margin = -math.inf
        for size in range(min(2, len(candidates)) + 1):
            for chosen in itertools.combinations(candidates, size):
                factor: float | None = float(s)
                if s == 0:
                    factor = self.c.rest_factor(y[TH], y[OM], total, chosen) if chosen else None
                if factor is None:
                    continue
                qddot, loads = self.c.accelerate(y[TH], y[OM], total, chosen, factor)
                if y[V] == 0.0 and s != 0 and chosen and qddot[0] * s < -1e-9:
                    continue
                least = min([n / self.c.weight for n in loads.values()] + [
                    self.c.normal_acceleration(i, y[TH], y[OM], qddot) / self.p.gravity
                    for i in candidates if i not in chosen] + [math.inf])
                if least > margin:
                    best, margin = chosen, least
        if margin < -1e-9:
            return None
        if margin < gz.CHOICE:
            self.graze(f"contacts chosen by {margin:.1e} of the weight")
        if y[V] == 0.0 and best and s == 0:
            for f in (1.0, -1.0):
                surge = self.c.accelerate(y[TH], y[OM], total, best, f)[0][0]
                if abs(surge) < gz.SURGE:
                    self.graze(f"at rest with {surge:.1e} m/s2 to spare")
        return best

    def leaving_names(self, gone: set[int], before: set[int]) -> None:
        m = self.mode
        if NOSE in gone:
            m.nose_left = True
            self.name("nose-wheel-off")
        if before and not m.touching:
            m.lifted_at = self.t
            self.name("lift-off")

    # --- ends ----------------------------------------------------------------------------
    def after(self) -> None:
        """Ends tested at every restart, then the records."""
        if self.out.end:
            return
        p, m = self.p, self.mode
        self.note_phase()
        past = p.obstacle_distance == NEVER or m.obstacle_done
        if m.s == 0 and m.touching:
            self.rest()
        if m.screened and self.t >= m.lifted_at + 1.0 and past:
            self.finish_with("screen-height")
        elif self.t >= TIME_LIMIT:
            self.end_at_limit()
        self.flush()

    def rest(self) -> None:
        p, m = self.p, self.mode
        if m.throttle == 0.0:
            self.name("stop")
            return self.finish_with("stop")
        waits = m.ramp_target is not None or abs(float(self.y[OM])) > 1e-9
        waits |= m.dropped_at < NEVER and self.t < m.dropped_at + p.drop_duration
        waits |= not m.pulled and p.pull_time < NEVER
        waits |= m.dropped_at == NEVER and p.drop_time < NEVER
        if waits:
            return None
        y = self.y.tolist()
        spool = m.throttle if p.spool_rate > 0.0 else None
        total = self.motion.applied(self.t, y, spool)[0]
        held = self.c.rest_factor(y[TH], y[OM], total, m.touching)
        for f in (1.0, -1.0):
            surge = self.c.accelerate(y[TH], y[OM], total, m.touching, f)[0][0]
            if abs(surge) < gz.SURGE:
                self.graze(f"blocked with {surge:.1e} m/s2 to spare")
        if held is None:
            return None
        if m.moved:
            self.name("stop")
        self.finish_with("stop" if m.moved else "does-not-move")
        return None

    def end_steady(self) -> None:
        p, m, y = self.p, self.mode, self.y
        look = self.motion.look(self.t, self.y)
        ahead = (p.strip_length - y[X]) / max(abs(y[V]), 1e-3)
        if not m.strip_done and 0.0 <= ahead < gz.STEADY_TIME:
            self.graze(f"steady {ahead:.2f} s before the strip end")
        for place in (p.pull_airspeed, p.drop_airspeed, p.abort_airspeed):
            if abs(place - p.headwind - y[V]) < gz.STEADY_SPEED:
                self.graze("steady within 0.02 m/s of an airspeed trigger")
        for i, load in look.loads.items():
            if load < gz.STEADY_LOAD * self.c.weight:
                self.graze(f"steady with almost no load on {NAMES[i]}")
        self.finish_with("steady")

    def end_at_limit(self) -> None:
        p, y = self.p, self.y
        reach = abs(float(y[V])) * gz.LIMIT_TIME
        for place in (p.strip_length, p.pull_place, p.drop_place, p.abort_place):
            if 0.0 <= place - y[X] < reach:
                self.graze("time limit just before a place")
        self.finish_with("time-limit")


__all__ = ["ZD", "Event", "OracleRoll", "Phase", "oracle_roll"]
