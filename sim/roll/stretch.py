"""A stretch: lanes of one phase stepped until something happens to each, then let happen.

Lanes that meet an event or a known kink are set aside while the others go on; when none is left
all events are located in one batch. A lane's numbers do not depend on its company.
"""

from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of
from sim.roll.dynamics import (
    ELEVATOR,
    RATE,
    STATE_SCALE,
    THREE_WHEELS,
    ZDOT,
    Forces,
    Phase,
    Z,
    derivatives,
    forces,
    posture,
)
from sim.roll.events import End
from sim.roll.guards import approach, due_at_once, guards_of, values
from sim.roll.landing import Parked, land
from sim.roll.log import KeptStep
from sim.roll.outcome import Outcome, Settings
from sim.roll.phases import CODE, POINTS
from sim.roll.transitions import ACTIONS, Moment, drop, pull, rest_for_good

TIME_LIMIT = 90.0
LIVELY_STEP = 0.05
"""Longest step off the three wheels [s]: short against a pitch oscillation."""
ROLLING_STEP = 0.5
"""Longest step on three wheels [s]: the energy account stays within 1e-6 of the thrust work."""
SMALLEST_STEP = 1e-9
"""A step that still fails at this size is taken as it is, or gives up if it is not finite [s]."""
DONE = -1
FULL_SHARE = 0.75
"""Lanes set aside are taken out once fewer than this share still steps."""


class Stretch:
    """Lanes of one phase on their way to what happens next."""

    def __init__(
        self, batch: Batch, outcome: Outcome, settings: Settings, phase: Phase, lanes: Any
    ) -> None:
        self.batch, self.outcome, self.settings, self.phase = batch, outcome, settings, phase
        self.guards = guards_of(phase)
        self.free = tuple(i for i in POINTS if i not in phase.touching)
        self.lanes = lanes
        self.codes = np.full(batch.lanes, CODE[phase])
        self.parked: list[Parked] = []
        self.on_time: list[Any] = []
        self._gather(lanes)
        self._enter()

    def to_its_end(self) -> Any:
        """Step and let happen; returns the next phase code of each lane given."""
        while self.live.any():
            self._advance()
        self._let_happen()
        return self.codes[self.lanes]

    # entry -----------------------------------------------------------------------------

    def _gather(self, lanes: Any) -> None:
        self.block = Block(self.batch, lanes, columns_of(self.outcome.status, lanes))
        self.y = columns_of(self.outcome.states, lanes)
        self.live = np.ones(lanes.size, dtype=bool)

    def _enter(self) -> None:
        """Let everything due at once happen; the other lanes are made ready to step."""
        self._end_finished()
        self.posed = posture(self.phase, self.block, self.y) if self.phase.locked else None
        self.first, f = derivatives(self.phase, self.block, self.block.s.time, self.y, self.posed)
        self.now = values(self.guards, self.block, self.y, f)
        self.sinking = self._approaches(f)
        self.kink = next_kink(self.block)
        due = due_at_once(self.phase, f, self.now)
        moment = Moment(self.phase, self.block, self.y, f, self.outcome.log)
        if self.phase.direction == 0:
            rest_for_good(moment)
        due &= self.block.s.end < 0
        _act(moment, self.guards, due)
        self._write(moment, (self.block.s.end >= 0) | due.any(axis=0))
        late = self.live & (self.kink <= self.block.s.time)
        self._set_aside(late)

    def _end_finished(self) -> None:
        s, p = self.block.s, self.block.p
        clear = np.isinf(p.obstacle_distance) | (s.past_obstacle > 0)
        high = np.isfinite(s.screen_at) & (s.time >= s.lifted_at + 1.0) & clear
        s.end[high & (s.end < 0)] = float(End.SCREEN_HEIGHT)

    def _write(self, moment: Moment, which: Any) -> None:
        """Store lanes of the present block to which something happened at entry."""
        there = np.flatnonzero(which)
        self._store(moment.block, moment.y, there)
        self.codes[self.block.lanes[there]] = moment.codes[there]
        self._close(moment.block, there)
        self.live[there] = False

    def _store(self, block: Block, y: Array, which: Any) -> None:
        lanes = block.lanes[which]
        self.outcome.states[:, lanes] = y[:, which]
        self.outcome.status[:, lanes] = block.status[:, which]

    def _close(self, block: Block, which: Any) -> None:
        ended = which[block.s.end[which] >= 0]
        self.codes[block.lanes[ended]] = DONE

    # one step of all lanes -------------------------------------------------------------

    def _advance(self) -> None:
        self._compact()
        s = self.block.s
        wanted = self._step_size()
        truncated = s.time + wanted >= self.kink
        size = np.where(self.live, np.where(truncated, self.kink - s.time, wanted), 0.0)
        step = integrator.take_step(self._rates, s.time.copy(), size, self.y, self.first)
        f = step.forces_at_end
        ahead = values(self.guards, self.block, step.end, f)
        good = self._judge(step, truncated, wanted)
        good &= ~self._dips(f, ahead, size)
        fired = (self.now > 0.0) & (ahead <= 0.0) & good
        eventful = fired.any(axis=0)
        plain = good & ~eventful
        self._keep(step, plain)
        if eventful.any():
            self._park(step, np.flatnonzero(eventful), fired, ahead)
        self._commit(step, plain, ahead, np.where(truncated, self.kink, s.time + size))
        self._note_peaks(self.block, plain, f)
        self._set_aside((plain & truncated) | (self.live & (s.end >= 0.0)))
        self.live &= ~eventful

    def _rates(self, time: Array, y: Array) -> tuple[Array, Forces]:
        return derivatives(self.phase, self.block, time, y, self.posed)

    def _compact(self) -> None:
        if self.live.mean() >= FULL_SHARE:
            return
        stay = self.live
        self.block = self.block.take(stay)
        self.y, self.first, self.now = (
            columns_of(rows, stay) for rows in (self.y, self.first, self.now)
        )
        self.sinking = columns_of(self.sinking, stay)
        self.kink, self.live = self.kink[stay], self.live[stay]
        self.posed = posture(self.phase, self.block, self.y) if self.phase.locked else None

    def _step_size(self) -> Array:
        if self.settings.fixed_step > 0.0:
            return np.full(self.block.lanes.size, self.settings.fixed_step)
        rolling = self.phase.touching == THREE_WHEELS
        longest = ROLLING_STEP if rolling else LIVELY_STEP
        return np.asarray(np.minimum(self.block.s.step, longest))

    def _judge(self, step: integrator.Step, truncated: Any, wanted: Array) -> Any:
        """Which lanes made a good step; sets the size to try next."""
        if self.settings.fixed_step > 0.0:
            return self.live.copy()
        error = integrator.error_norm(step, self.settings.tolerance, STATE_SCALE)
        finite = np.isfinite(error)
        smallest = step.size <= SMALLEST_STEP
        good = ((error <= 1.0) | (smallest & finite)) & self.live
        self.block.s.end[self.live & smallest & ~finite] = float(End.GAVE_UP)
        size = np.maximum(step.size, SMALLEST_STEP)
        tried = integrator.next_size(size, np.where(finite, error, np.inf))
        self.block.s.step[:] = np.where(good & truncated, np.maximum(tried, wanted), tried)
        return good

    def _approaches(self, f: Forces) -> Array:
        """Speed of every free point away from the strip, shape (points, lanes)."""
        return np.array([approach(i, f) for i in self.free]).reshape(-1, self.live.size)

    def _dips(self, f: Forces, ahead: Array, size: Array) -> Any:
        """Lanes in which a free point may touch and rise again within the step: halve it."""
        dips = np.zeros(self.live.size, dtype=bool)
        rising = self._approaches(f)
        first_row = len(self.phase.touching)
        for k in range(len(self.free)):
            fall, rise, gap_now = self.sinking[k], rising[k], self.now[first_row + k]
            turns = (fall < 0.0) & (rise > 0.0) & (ahead[first_row + k] > 0.0) & (gap_now > 0.0)
            if turns.any():
                depth = 0.5 * size * fall * fall / np.where(turns, rise - fall, 1.0)
                dips |= turns & (gap_now <= depth)
        dips &= size > 1e-6
        self.block.s.step[dips] = 0.5 * size[dips]
        self.rising = rising
        return dips

    def _commit(self, step: integrator.Step, which: Any, ahead: Array, time: Array) -> None:
        """Take the good steps over, height and climb as the touching points have them."""
        end, f = step.end, step.forces_at_end
        if self.phase.touching:
            end[Z], end[ZDOT], end[RATE] = f.height, f.climb, f.rate
        s = self.block.s
        s.time[:] = np.where(which, time, s.time)
        if which.all():
            self.y, self.first, self.now = end, step.stages[-1], ahead
            self.sinking = self.rising
            return
        np.copyto(self.sinking, self.rising, where=which)
        np.copyto(self.y, end, where=which)
        self.first = np.where(which, step.stages[-1], self.first)
        np.copyto(self.now, ahead, where=which)

    def _note_peaks(self, block: Block, which: Any, f: Forces) -> None:
        """Peaks of pitch rate and wing lift in the first second airborne."""
        if self.phase.touching:
            return
        s = block.s
        early = np.flatnonzero(which & (s.time <= s.lifted_at + 1.0))
        s.rate_peak[early] = np.maximum(s.rate_peak[early], f.rate[early])
        s.wing_use_peak[early] = np.maximum(s.wing_use_peak[early], f.air.wing_use[early])

    # what happens ----------------------------------------------------------------------

    def _park(self, step: integrator.Step, which: Any, fired: Any, ahead: Array) -> None:
        self.parked.append(
            Parked(
                lanes=self.block.lanes[which],
                status=columns_of(self.block.status, which),
                time=step.start_time[which],
                size=step.size[which],
                start=columns_of(step.start, which),
                stages=[columns_of(stage, which) for stage in step.stages],
                fired=columns_of(fired, which),
                ahead=columns_of(ahead, which),
            )
        )

    def _set_aside(self, which: Any) -> None:
        """Keep lanes that stand exactly on a known kink for the end of the stretch."""
        there = np.flatnonzero(which)
        if there.size:
            self._store(self.block, self.y, there)
            self.on_time.append(self.block.lanes[there])
            self.live[there] = False

    def _let_happen(self) -> None:
        for moment in (self._moment_of_events(), self._moment_on_schedule()):
            if moment is not None:
                everyone = np.arange(moment.block.lanes.size)
                self._store(moment.block, moment.y, everyone)
                self.codes[moment.block.lanes] = moment.codes
                self._close(moment.block, everyone)

    def _moment_of_events(self) -> Moment | None:
        """Locate all events set aside, step to them, and let them happen."""
        if not self.parked:
            return None
        landed = land(self.phase, self.batch, self.parked)
        block, f = landed.block, landed.forces
        self._keep(landed.step, np.ones(block.lanes.size, dtype=bool), block)
        block.s.time[:] = landed.time
        self._note_peaks(block, np.ones(block.lanes.size, dtype=bool), f)
        moment = Moment(self.phase, block, landed.y, f, self.outcome.log)
        _act(moment, self.guards, landed.crossed)
        return moment

    def _moment_on_schedule(self) -> Moment | None:
        """Known kinks on which a step has landed: elevator at its stop, timed acts, time limit."""
        if not self.on_time:
            return None
        lanes = np.concatenate(self.on_time)
        block = Block(self.batch, lanes, columns_of(self.outcome.status, lanes))
        y = columns_of(self.outcome.states, lanes)
        s, p = block.s, block.p
        arrived = s.time >= s.elevator_stop
        y[ELEVATOR, arrived] = s.elevator_target[arrived]
        s.elevator_slope[arrived] = 0.0
        s.elevator_stop[arrived] = np.inf
        f = forces(self.phase, block, s.time, y)
        moment = Moment(self.phase, block, y, f, self.outcome.log)
        drop(moment, np.flatnonzero((s.time >= p.drop_time) & np.isinf(s.drop_start)))
        pull(moment, np.flatnonzero((s.time >= p.pull_time) & (s.pulled == 0) & (s.aborted == 0)))
        moment.end(np.flatnonzero(s.time >= TIME_LIMIT), End.TIME_LIMIT)
        return moment

    def _keep(self, step: integrator.Step, which: Any, block: Block | None = None) -> None:
        """Keep the steps of the lanes whose trace is wanted."""
        kept = self.outcome.kept
        if not kept:
            return
        block = block or self.block
        wanted = [i for i in np.flatnonzero(which) if int(block.lanes[i]) in kept]
        terms = integrator.dense_terms(step) if wanted else []
        for i in wanted:
            kept[int(block.lanes[i])].append(
                KeptStep(
                    self.phase,
                    float(step.start_time[i]),
                    float(step.size[i]),
                    step.start[:, i].copy(),
                    [t[:, i].copy() for t in terms],
                    block.status[:, i].copy(),
                )
            )


def _act(moment: Moment, guards: Any, due: Any) -> None:
    """Let the first of the guards that are due in each lane act."""
    rows = np.where(due.any(axis=0), due.argmax(axis=0), -1)
    for row in np.unique(rows[rows >= 0]):
        guard = guards[row]
        ACTIONS[guard.name](moment, np.flatnonzero(rows == row), guard)


def next_kink(block: Block) -> Array:
    """Next known time at which a lane's right-hand side changes its form [s]."""
    s, p = block.s, block.p
    never = np.inf
    pull_due = np.where((s.pulled == 0) & (s.aborted == 0), p.pull_time, never)
    drop_due = np.where(np.isinf(s.drop_start), p.drop_time, never)
    later = [
        np.where(t > s.time, t, never) for t in (s.drop_start + p.drop_duration, s.lifted_at + 1.0)
    ]
    limit = np.full_like(s.time, TIME_LIMIT)
    return np.asarray(np.minimum.reduce([*later, pull_due, drop_due, s.elevator_stop, limit]))
