"""A stretch: lanes of one phase stepped until something happens to each, then let happen.

Lanes that meet an event or a known kink are set aside while the others go on, and waiting lanes
take their places; those set aside are located in one batch. Lanes that stay in the phase wait
again. A lane's numbers do not depend on its company.
"""

from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of
from sim.roll.dynamics import (
    FELT,
    RATE,
    ZDOT,
    Forces,
    Phase,
    Z,
)
from sim.roll.events import End
from sim.roll.guards import due_at_once, guards_of, values
from sim.roll.landing import Parked, land
from sim.roll.log import keep_steps
from sim.roll.outcome import Outcome, Settings
from sim.roll.pace import halve_dips, judge, step_wanted
from sim.roll.phases import CODE
from sim.roll.right_hand_side import RightHandSide
from sim.roll.schedule import act_on_time, next_kink
from sim.roll.transitions import ACTIONS, Moment, rest_for_good
from sim.roll.underway import Underway, approaches

DONE = -1
FULL_SHARE = 0.8
"""Lanes set aside are taken out, and others let in, once fewer than this share still steps."""


class Stretch:
    """Lanes of one phase on their way to what happens next."""

    def __init__(
        self, batch: Batch, outcome: Outcome, settings: Settings, phase: Phase, codes: Any
    ) -> None:
        self.batch, self.outcome, self.settings = batch, outcome, settings
        self.phase, self.codes = phase, codes  # of all lanes of the batch; changed in place
        self.guards = guards_of(phase)
        self.waiting = np.flatnonzero(codes == CODE[phase])
        self.parked: list[Parked] = []
        self.on_time: list[Any] = []
        self.group: Underway | None = None

    def to_its_end(self) -> None:
        """Step and let happen until no lane is left in the phase."""
        while True:
            self._gather()
            if self.group is not None:
                self._advance(self.group)
            elif not self.waiting.size and not self._set_aside_count():
                return

    # who steps -------------------------------------------------------------------------

    def _gather(self) -> None:
        """Take out lanes set aside, and let waiting ones in, when there are enough of either."""
        size = self.settings.block_size
        stepping = self.group.count if self.group else 0
        wanted = size if self.waiting.size else stepping
        if self.group and stepping >= FULL_SHARE * max(wanted, self.group.live.size):
            return
        if not stepping or self._set_aside_count() >= size:
            self._let_happen()
        self.group = self.group.stepping() if self.group and stepping else None
        if self.waiting.size:
            self._let_in(self.waiting[: size - stepping])

    def _set_aside_count(self) -> int:
        return int(sum(part.lanes.size for part in self.parked) + sum(o.size for o in self.on_time))

    def _let_in(self, lanes: Any) -> None:
        self.waiting = self.waiting[lanes.size :]
        fresh = self._entered(lanes)
        if fresh.live.any():
            fresh = fresh.stepping()
            self.group = self.group.beside(fresh, self.batch) if self.group else fresh

    def _entered(self, lanes: Any) -> Underway:
        """Let everything due at once happen; the other lanes are made ready to step."""
        phase = self.phase
        block = self.batch.block(lanes, columns_of(self.outcome.status, lanes))
        y = columns_of(self.outcome.states, lanes)
        _end_finished(block)
        side, first = RightHandSide(phase, block, y), np.empty_like(y)
        told = side.rates(block.s.time, y, first)
        now = values(self.guards, side.block, side.read(y), told)
        f = side.in_rows(told)
        due = due_at_once(phase, f, now)
        moment = Moment(phase, block, y, f, self.outcome.log)
        if phase.direction == 0:
            rest_for_good(moment)
        due &= block.s.end < 0
        _act(moment, self.guards, due)
        happened = (block.s.end >= 0) | due.any(axis=0)
        self._store(moment, np.flatnonzero(happened))
        sinking, kink = approaches(phase, f, lanes.size), next_kink(block)
        group = Underway(phase, block, y, first, now, sinking, kink, ~happened, side)
        self._set_aside(group, group.live & (kink <= block.s.time))
        return group

    # one step of all lanes -------------------------------------------------------------

    def _advance(self, group: Underway) -> None:
        s = group.block.s
        wanted = step_wanted(group, self.settings)
        truncated = s.time + wanted >= group.kink
        size = np.where(group.live, np.where(truncated, group.kink - s.time, wanted), 0.0)
        side = group.side
        step = integrator.take_step(side.rates, s.time.copy(), size, group.y, group.first, FELT)
        f = step.forces_at_end
        ahead = values(self.guards, side.block, side.read(step.end), f)
        rising = approaches(self.phase, f, size.size)
        good = judge(group, step, truncated, wanted, self.settings)
        good &= ~halve_dips(group, rising, ahead, size)
        fired = (group.now > 0.0) & (ahead <= 0.0) & good
        eventful = fired.any(axis=0)
        plain = good & ~eventful
        keep_steps(self.outcome.kept, self.phase, step, group.block, plain)
        if eventful.any():
            self._park(group, step, np.flatnonzero(eventful), fired, ahead)
        _commit(group, step, plain, (ahead, rising, np.where(truncated, group.kink, s.time + size)))
        self._note_peaks(group.block, plain, f)
        self._set_aside(group, (plain & truncated) | (group.live & (s.end >= 0.0)))
        group.live &= ~eventful

    def _note_peaks(self, block: Block, which: Any, f: Forces) -> None:
        """Peaks of pitch rate and wing lift in the first second airborne."""
        if self.phase.touching:
            return
        s = block.s
        early = which & (s.time <= s.lifted_at + 1.0)
        np.maximum(s.rate_peak, f.rate, out=s.rate_peak, where=early)
        np.maximum(s.wing_use_peak, f.air.wing_use, out=s.wing_use_peak, where=early)

    # what happens ----------------------------------------------------------------------

    def _park(
        self, group: Underway, step: integrator.Step, which: Any, fired: Any, ahead: Array
    ) -> None:
        self.parked.append(
            Parked(
                lanes=group.block.lanes[which],
                status=columns_of(group.block.status, which),
                time=step.start_time[which],
                size=step.size[which],
                start=columns_of(step.start, which),
                stages=np.take(step.stages, which, axis=-1),
                fired=columns_of(fired, which),
                now=columns_of(group.now, which),
                ahead=columns_of(ahead, which),
            )
        )

    def _set_aside(self, group: Underway, which: Any) -> None:
        """Keep lanes that stand exactly on a known kink, or have ended, for later."""
        there = np.flatnonzero(which)
        if there.size:
            lanes = group.block.lanes[there]
            self.outcome.states[:, lanes] = group.y[:, there]
            self.outcome.status[:, lanes] = group.block.status[:, there]
            self.on_time.append(lanes)
            group.live[there] = False

    def _let_happen(self) -> None:
        """Let happen what the lanes set aside have met; who stays in the phase waits again."""
        moments = []
        if self.parked:
            moments.append(self._moment_of_events())
        if self.on_time:
            lanes = np.concatenate(self.on_time)
            moments.append(act_on_time(self.phase, self.batch, self.outcome, lanes))
        self.parked, self.on_time = [], []
        for moment in moments:
            self._store(moment, np.arange(moment.codes.size))

    def _moment_of_events(self) -> Moment:
        """Locate all events set aside, step to them, and let them happen."""
        landed = land(self.phase, self.batch, self.parked)
        block, everyone = landed.block, np.ones(landed.time.size, dtype=bool)
        keep_steps(self.outcome.kept, self.phase, landed.step, block, everyone)
        block.s.time[:] = landed.time
        self._note_peaks(block, everyone, landed.forces)
        moment = Moment(self.phase, block, landed.y, landed.forces, self.outcome.log)
        _act(moment, self.guards, landed.crossed)
        return moment

    def _store(self, moment: Moment, which: Any) -> None:
        """Keep what has become of some lanes of a moment, and where they go from here."""
        block = moment.block
        lanes = block.lanes[which]
        self.outcome.states[:, lanes] = moment.y[:, which]
        self.outcome.status[:, lanes] = block.status[:, which]
        codes = np.where(block.s.end[which] >= 0, DONE, moment.codes[which])
        self.codes[lanes] = codes
        self.waiting = np.concatenate([self.waiting, lanes[codes == CODE[self.phase]]])


def _end_finished(block: Block) -> None:
    """End lanes of which nothing more is wanted."""
    s, p = block.s, block.p
    clear = np.isinf(p.obstacle_distance) | (s.past_obstacle > 0)
    high = np.isfinite(s.screen_at) & (s.time >= s.lifted_at + 1.0) & clear
    s.end[high & (s.end < 0)] = float(End.SCREEN_HEIGHT)


def _commit(
    group: Underway, step: integrator.Step, which: Any, reached: tuple[Array, Array, Array]
) -> None:
    """Take the good steps over, height and climb as the touching points have them.

    `reached`: guards, speeds of the free points and time at the end of the step.
    """
    end, f = step.end, step.forces_at_end
    if group.phase.touching:
        end[Z], end[ZDOT], end[RATE] = f.height, f.climb, f.rate
    new = (end, step.stages[-1], *reached[:2])
    np.copyto(group.block.s.time, reached[2], where=which)
    if which.all():
        group.y, group.first, group.now, group.sinking = new
        return
    for old, fresh in zip((group.y, group.first, group.now, group.sinking), new, strict=True):
        np.copyto(old, fresh, where=which)


def _act(moment: Moment, guards: Any, due: Any) -> None:
    """Let the first of the guards that are due in each lane act."""
    rows = np.where(due.any(axis=0), due.argmax(axis=0), -1)
    for row in np.unique(rows[rows >= 0]):
        guard = guards[row]
        ACTIONS[guard.name](moment, np.flatnonzero(rows == row), guard)
