"""Impacts of the oracle and the choice of touching points and direction of rolling."""

import itertools
import math

from sim.roll.parameters import NEVER

from . import grazing as gz
from .contact import AFT, MAIN, NAMES, NOSE, Touching
from .motion import OM, TH, V, X
from .record import Record

CHATTER = 1e-4


class Touch(Record):
    """A record that can settle its contacts."""

    def project(self) -> None:
        q, qdot = self.y[X : TH + 1].tolist(), self.y[V : OM + 1].tolist()
        self.c.project(self.mode.touching, q, qdot)
        self.y[X : TH + 1], self.y[V : OM + 1] = q, qdot

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
        if len(points) > 1 and max(abs(v) for v in speeds) < CHATTER:
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
        on_wheels = MAIN in m.touching or NOSE in m.touching
        if not on_wheels and set(arriving) != {AFT} and m.lifted_at < NEVER:
            self.name("wheels-down-again")
            if m.screened:
                self.graze("wheels down again after screen height")
        if NOSE in arriving and m.nose_left:
            self.name("nose-wheel-down-again")

    def settle(
        self, candidates: Touching, fresh: set[int] | None = None, keep_direction: bool = False
    ) -> None:
        """Choose touching points and direction, and name what has left."""
        m, before = self.mode, set(self.mode.touching)
        v = float(self.y[V])
        directions = (
            [m.s] if keep_direction else ([1 if v > 0.0 else -1] if v != 0.0 else [0, 1, -1])
        )
        for s in directions:
            chosen = self.choose(candidates, s)
            if chosen is not None:
                m.touching, m.s = chosen, s
                break
        else:
            raise ArithmeticError(f"no contact set at {self.t} s from {candidates}")
        m.moved = m.moved or m.s != 0
        if v == 0.0 and m.touching and not keep_direction:
            self.check_surges(m.touching, None, "at rest or not")
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
                least = min(
                    [n / self.c.weight for n in loads.values()]
                    + [
                        self.c.normal_acceleration(i, y[TH], y[OM], qddot) / self.p.gravity
                        for i in candidates
                        if i not in chosen
                    ]
                    + [math.inf]
                )
                if least > margin:
                    best, margin = chosen, least
        if margin < -1e-9:
            return None
        if margin < gz.CHOICE:
            self.graze(f"contacts chosen by {margin:.1e} of the weight")
        return best

    def check_surges(self, touching: Touching, spool: float | None, why: str) -> None:
        """Criterion 6 at V = 0."""
        y = self.y.tolist()
        total = self.motion.applied(self.t, y, spool)[0]
        for f in (1.0, -1.0):
            surge = self.c.accelerate(y[TH], y[OM], total, touching, f)[0][0]
            if abs(surge) < gz.SURGE:
                self.graze(f"{why} with {surge:.1e} m/s2 to spare")

    def leaving_names(self, gone: set[int], before: set[int]) -> None:
        m = self.mode
        if NOSE in gone:
            m.nose_left = True
            self.name("nose-wheel-off")
        if before and not m.touching:
            m.lifted_at = min(m.lifted_at, self.t)
            self.name("lift-off")
