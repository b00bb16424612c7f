"""The pilot of the oracle: what pull, flap drop, abort and law change at their instant."""

import math

from sim.roll.parameters import NEVER

from .motion import E, V
from .touch import Touch


class Pilot(Touch):
    """A roll whose triggers can fire."""

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
