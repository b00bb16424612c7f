"""One roll by `solve_ivp` with events and multipliers: the tests' second opinion.

What the description leaves open is decided here:

- events are recorded after everything at their instant is settled (loads and speeds after an
  impact); names at one instant are in the order of `ORDER`;
- each leaving and arriving is recorded every time it happens; `wheels-down-again` when a wheel
  arrives while no wheel touches, after a lift-off; a point that arrives and leaves in the same
  instant makes no `nose-wheel-off` or `lift-off`;
- the lagged angle starts at alpha; after an abort no pull; `sits-on-tail` when the nose wheel
  loses its load on three wheels at rest, at the start or while the thrust spools up;
- normal speeds of two or more points all below 1e-4 m/s are taken out without a drag impulse;
- under the law the elevator counts as at its stop for the steady end.
"""

from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from sim.roll.parameters import NEVER, Setup

from . import grazing as gz
from .contact import AFT, MAIN, NAMES, NOSE
from .forces import TOP_RATIO
from .guards import Guard, armed
from .motion import LAG, OM, PERC, TH, TIME_LIMIT, E, V, X, Z
from .pilot import Pilot
from .record import Event, OracleRoll, Phase

MAX_STEP = 0.05

__all__ = ["Event", "OracleRoll", "Phase", "oracle_roll"]


def oracle_roll(setup: Setup, rtol: float = 1e-10, atol_scale: float = 1e-2) -> OracleRoll:
    """Roll once; absolute tolerance is rtol * atol_scale, in SI."""
    run = _Run(setup, rtol, rtol * atol_scale)
    run.start()
    while not run.out.end:
        run.piece()
    return run.finish()


class _Run(Pilot):
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

    # --- one smooth piece ----------------------------------------------------------------
    def next_kink(self) -> float:
        p, m = self.p, self.mode
        times = [
            TIME_LIMIT,
            self.motion.spool_done_at(),
            m.ramp_end,
            m.dropped_at + p.drop_duration,
            m.lifted_at + 1.0,
        ]
        if not m.pulled and not m.aborted:
            times.append(p.pull_time)
        if m.dropped_at == NEVER:
            times.append(p.drop_time)
        return float(min(v for v in times if v > self.t))

    def piece(self) -> None:
        self.project()
        self.motion.forget()
        guards = armed(self.motion, float(self.y[V]))
        if self.mode.touching and self.motion.all_done(self.t):
            steady = Guard("steady", "steady", -1, self.motion.steadiness, self.motion)
            if steady(self.t, self.y) <= 0.0 and self.mode.s != 0:
                return self.end_steady()
            if self.mode.s != 0:
                guards.append(steady)
        end = self.next_kink()
        sol = solve_ivp(
            self.motion.derivative,
            (self.t, end),
            self.y,
            method="DOP853",
            rtol=self.rtol,
            atol=self.atol,
            events=guards,
            max_step=MAX_STEP,
        )
        if sol.status < 0:
            raise ArithmeticError(sol.message)
        roots: Any = sol.t_events
        fired = [g for g, times in zip(guards, roots, strict=True) if len(times)]
        self.out.evaluations += sol.nfev
        self.watch(guards, sol)
        self.t, self.y = (end if sol.status == 0 else float(sol.t[-1])), sol.y[:, -1].copy()
        self.motion.forget()
        self.check_slopes(fired)
        self.mode.fresh = set()
        self.handle(fired)
        self.after()
        return None

    def watch(self, guards: list[Guard], sol: Any) -> None:
        """Near misses on the accepted steps, and stall in the air."""
        looks = [
            self.motion.look(t, np.ascontiguousarray(y))
            for t, y in zip(sol.t, sol.y.T, strict=True)
        ]
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
                earlier = self.motion.evaluate(self.t - h, (self.y - h * rates).tolist())
                before = guard.value(earlier)
                slope = abs(here - before) / h
                if slope < gz.FLAT[guard.kind]:
                    self.graze(f"{guard.kind} {guard.label} crossed at only {slope:.1e} /s")

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
            if m.s == 0 and m.touching == (MAIN, NOSE) and NOSE in gone:
                return self.finish_with("sits-on-tail")
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
        if held is not None and m.touching == (MAIN, NOSE):
            loads = self.c.accelerate(y[TH], y[OM], total, m.touching, held)[1]
            if loads[NOSE] <= 0.0:
                return None  # full thrust tips it back: it waits for that
        self.check_surges(m.touching, spool, "blocked or loose")
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
