"""The engine: many rolls stepped side by side, sorted by phase, each with its own time and step."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.attitude import height_on_mains
from sim.roll.block import STATUS_NAMES, Batch, Block, new_status
from sim.roll.contacts import POINT_NAMES, SETS
from sim.roll.dynamics import (
    ELEVATOR,
    LAGGED,
    PERCEIVED,
    PITCH,
    RATE,
    SPOOL,
    STATE_SCALE,
    STATES,
    THREE_WHEELS,
    ZDOT,
    Forces,
    Phase,
    V,
    Z,
    constrained,
    derivatives,
    forces,
)
from sim.roll.events import End
from sim.roll.guards import due_at_once, guards_of, values
from sim.roll.locate import first_crossing
from sim.roll.log import KeptStep, Log
from sim.roll.transitions import ACTIONS, Moment, drop, pull

TIME_LIMIT = 90.0
STEADY_ACCELERATION = 0.005
STEADY_PITCH_RATE = 1e-3
STEADY_PITCH_ACCELERATION = 1e-2
SPOOLED = 0.999
LIVELY_STEP = 0.05
"""Longest step off the three wheels [s]: short against a pitch oscillation, so that a point
that dips to the ground and rises again within one step is not missed."""
ROLLING_STEP = 2.0
PHASES = tuple(Phase(s, d) for s in SETS for d in ((1, 0, -1) if s else (1,)))
_CODE = {phase: code for code, phase in enumerate(PHASES)}
_DONE = -1


@dataclass(frozen=True)
class Settings:
    """How to compute.

    Attributes
    ----------
    tolerance: relative tolerance of one step [-].
    block_size: most lanes worked on together.
    fixed_step: if positive, steps of this size without error control [s]; for tests of order.
    """

    tolerance: float = 1e-6
    block_size: int = 4096
    fixed_step: float = 0.0


@dataclass
class Outcome:
    """What came of a batch: final states, status, the log and the kept steps.

    states: (13, lanes); status: (status, lanes); kept: steps per lane asked for.
    """

    states: Array
    status: Array
    log: Log
    kept: dict[int, list[KeptStep]]


def roll(batch: Batch, settings: Settings = Settings(), keep: tuple[int, ...] = ()) -> Outcome:
    """Compute every lane of a batch to its end; keep the steps of the lanes named in `keep`."""
    status = new_status(batch.matrix)
    block = Block(batch, np.arange(batch.lanes), status)
    states = initial_states(block)
    status[STATUS_NAMES.index("moved")] = block.s.direction > 0
    outcome = Outcome(states, status, Log(), {lane: [] for lane in keep})
    codes = _starting_phases(block, states)
    while True:
        waiting = codes[codes != _DONE]
        if not waiting.size:
            return outcome
        code = int(np.bincount(waiting).argmax())
        lanes = np.flatnonzero(codes == code)[: settings.block_size]
        codes[lanes] = _Run(batch, outcome, settings, PHASES[code], lanes).to_the_end()


def initial_states(block: Block) -> Array:
    """States at the start: on three wheels, elevator where the pilot holds it."""
    p = block.p
    y = np.zeros((len(STATES), block.lanes.size))
    y[V] = p.initial_speed
    y[PITCH] = y[PERCEIVED] = y[LAGGED] = block.attitude
    y[Z] = height_on_mains(p, block.attitude)
    y[SPOOL] = p.initial_spool
    y[ELEVATOR] = p.hold_elevator
    return y


def _starting_phases(block: Block, y: Array) -> Any:
    """Phase of every lane at the start, or the end at once: tipped back or held fast."""
    codes = np.full(block.lanes.size, _CODE[Phase(THREE_WHEELS, 1)])
    resting = block.s.direction == 0
    at_rest = forces(Phase(THREE_WHEELS, 0), block, block.s.time, y)
    codes[resting] = _CODE[Phase(THREE_WHEELS, 0)]
    codes[resting & (at_rest.break_backward < 0.0)] = _CODE[Phase(THREE_WHEELS, -1)]
    spooled = y.copy()
    spooled[SPOOL] = np.maximum(spooled[SPOOL], 1.0)
    final = forces(Phase(THREE_WHEELS, 0), block, block.s.time, spooled)
    held = resting & (final.break_forward <= 0.0) & (at_rest.break_backward >= 0.0)
    tipped = resting & ((at_rest.reaction.loads[1] <= 0.0) | (held & (final.reaction.loads[1] <= 0.0)))
    block.s.end[held] = float(End.DOES_NOT_MOVE)
    block.s.end[tipped] = float(End.SITS_ON_TAIL)
    codes[block.s.end >= 0] = _DONE
    return codes


class _Run:
    """Lanes of one phase, stepped until each has left it or ended."""

    def __init__(
        self, batch: Batch, outcome: Outcome, settings: Settings, phase: Phase, lanes: Any
    ) -> None:
        self.outcome, self.settings, self.phase = outcome, settings, phase
        self.block = Block(batch, lanes, outcome.status[:, lanes])
        self.y = outcome.states[:, lanes]
        self.result = np.full(batch.lanes, _DONE)
        self.all_lanes = lanes
        rates, f = derivatives(phase, self.block, self.block.s.time, self.y)
        self.first, self.now = rates, values(phase, self.block, self.y, f)
        self._settle([self._on_schedule(np.arange(lanes.size))])

    def to_the_end(self) -> Any:
        """Step until no lane is left; returns the next phase code of each lane given."""
        while self.block.lanes.size:
            self._advance()
        return self.result[self.all_lanes]

    # one step of all lanes -------------------------------------------------------------

    def _advance(self) -> None:
        block, s = self.block, self.block.s
        kink = next_kink(block)
        wanted = self._step_size()
        truncated = s.time + wanted >= kink
        size = np.where(truncated, kink - s.time, wanted)
        step = integrator.take_step(self._rates(block), s.time.copy(), size, self.y, self.first)
        good, tried = self._judge(step, size)
        s.step[:] = np.where(good & truncated, np.maximum(tried, wanted), tried)
        ahead = values(self.phase, block, step.end, step.forces_at_end)
        fired = (self.now > 0.0) & (ahead <= 0.0) & good
        eventful = fired.any(axis=0)
        plain = np.flatnonzero(good & ~eventful)
        self._keep(step, np.flatnonzero(good), eventful)
        after: list[tuple[Any, Any]] = []
        if eventful.any():
            after.append(self._land(step, np.flatnonzero(eventful), fired, ahead))
        self._commit(step, plain, ahead, np.where(truncated, kink, s.time + size))
        self._note_peaks(plain, step.forces_at_end)
        on_time = plain[truncated[plain]]
        if on_time.size:
            after.append(self._on_schedule(on_time))
        self._check_steady(plain, step)
        self._settle(after)

    def _rates(self, block: Block) -> Any:
        return lambda time, y: derivatives(self.phase, block, time, y)

    def _step_size(self) -> Array:
        if self.settings.fixed_step > 0.0:
            return np.full(self.block.lanes.size, self.settings.fixed_step)
        rolling = self.phase.touching == THREE_WHEELS
        return np.minimum(self.block.s.step, ROLLING_STEP if rolling else LIVELY_STEP)

    def _judge(self, step: integrator.Step, size: Array) -> tuple[Any, Array]:
        if self.settings.fixed_step > 0.0:
            return np.ones(size.size, dtype=bool), size
        error = integrator.error_norm(step, self.settings.tolerance, STATE_SCALE)
        good = (error <= 1.0) | (size < 1e-12)
        return good, integrator.next_size(np.maximum(size, 1e-9), error)

    def _commit(self, step: integrator.Step, which: Any, ahead: Array, time: Array) -> None:
        self.block.s.time[which] = time[which]
        self.y[:, which] = self._projected(self.block, step.end)[:, which]
        self.first[:, which] = step.stages[-1][:, which]
        self.now[:, which] = ahead[:, which]

    def _projected(self, block: Block, y: Array) -> Array:
        """State with height and climb as the touching points have them."""
        if not self.phase.touching:
            return y
        y = y.copy()
        y[Z], y[ZDOT], y[RATE], _, _ = constrained(self.phase, block, y)
        return y

    # events within a step --------------------------------------------------------------

    def _land(self, step: integrator.Step, lanes: Any, fired: Any, ahead: Array) -> tuple[Any, Any]:
        """Step the eventful lanes again, exactly to their first event, and let it happen."""
        sub = self.block.take(lanes)
        part = _part(step, lanes)
        terms = integrator.dense_terms(part)
        watched = fired[:, lanes]

        def guards_at(which: Any, s: Array) -> Array:
            few = sub if which.size == lanes.size else sub.take(which)
            y = integrator.dense_value(
                part.start[:, which], part.size[which], [t[:, which] for t in terms], s
            )
            time = part.start_time[which] + s * part.size[which]
            return values(self.phase, few, y, forces(self.phase, few, time, y))

        def smallest(which: Any, s: Array) -> Array:
            return np.where(watched[:, which], guards_at(which, s), np.inf).min(axis=0)

        ends = np.where(watched, ahead[:, lanes], np.inf).min(axis=0)
        fraction = first_crossing(smallest, lanes.size, ends)
        just_after = np.minimum(fraction + 2e-12, 1.0)
        crossed = watched & (guards_at(np.arange(lanes.size), just_after) <= 0.0)
        fallback = watched & (ends == np.where(watched, ahead[:, lanes], np.inf))
        crossed = np.where(crossed.any(axis=0), crossed, fallback)
        size = fraction * part.size
        landed = integrator.take_step(
            self._rates(sub), part.start_time, size, part.start, part.stages[0]
        )
        self._keep(landed, None, None, sub)
        sub.s.time[:] = part.start_time + size
        y = self._projected(sub, landed.end)
        f = forces(self.phase, sub, sub.s.time, y)
        self._peaks_of(sub, np.arange(lanes.size), f)
        return lanes, self._happen(sub, y, f, crossed.argmax(axis=0))

    def _happen(self, sub: Block, y: Array, f: Forces, guard_rows: Any) -> Moment:
        moment = Moment(self.phase, sub, y, f, self.outcome.log)
        guards = guards_of(self.phase)
        for row in np.unique(guard_rows):
            guard = guards[row]
            ACTIONS[guard.name](moment, np.flatnonzero(guard_rows == row), guard)
        return moment

    def _at_once(self, lanes: Any) -> None:
        """Let everything due at the present state happen, as often as needed."""
        while lanes.size:
            sub = self.block.take(lanes)
            y = self.y[:, lanes]
            f = forces(self.phase, sub, sub.s.time, y)
            due = due_at_once(self.phase, sub, y, f, values(self.phase, sub, y, f))
            some = np.flatnonzero(due.any(axis=0))
            if not some.size:
                return
            few = sub.take(some)
            now = y[:, some]
            f = forces(self.phase, few, few.s.time, now)
            moment = self._happen(few, now, f, due[:, some].argmax(axis=0))
            left = self._absorb([(lanes[some], moment)])
            lanes = self._drop_lanes(lanes[some], left)

    def _on_schedule(self, lanes: Any) -> tuple[Any, Any]:
        """Known kinks on which a step has landed: elevator at its stop, timed acts, time limit."""
        sub = self.block.take(lanes)
        y = self.y[:, lanes]
        s, p = sub.s, sub.p
        arrived = s.time >= s.elevator_stop
        y[ELEVATOR, arrived] = s.elevator_target[arrived]
        s.elevator_slope[arrived] = 0.0
        s.elevator_stop[arrived] = np.inf
        moment = Moment(self.phase, sub, y, forces(self.phase, sub, s.time, y), self.outcome.log)
        drop_now = np.flatnonzero((s.time >= p.drop_time) & np.isinf(s.drop_start))
        drop(moment, drop_now)
        pull(moment, np.flatnonzero((s.time >= p.pull_time) & (s.pulled == 0) & (s.aborted == 0)))
        moment.end(np.flatnonzero(s.time >= TIME_LIMIT), End.TIME_LIMIT)
        return lanes, moment

    def _settle(self, after: list[tuple[Any, Any]]) -> None:
        """Take over what happened, refresh the lanes that stay, send off those that leave."""
        touched = np.concatenate([lanes for lanes, _ in after]) if after else np.zeros(0, int)
        left = self._absorb(after)
        staying = self._drop_lanes(touched.astype(int), left)
        self._at_once(staying)

    def _absorb(self, after: list[tuple[Any, Any]]) -> Any:
        """Write moments back; returns a mask of lanes that leave this phase or end."""
        for lanes, moment in after:
            self.block.status[:, lanes] = moment.block.status
            self.y[:, lanes] = moment.y
        leave = self._finished()
        codes = np.full(self.block.lanes.size, _CODE[self.phase])
        for lanes, moment in after:
            codes[lanes] = [_CODE[phase] for phase in moment.next_phase]
        leave |= codes != _CODE[self.phase]
        codes[self.block.s.end >= 0] = _DONE
        self.result[self.block.lanes[leave]] = codes[leave]
        stay = np.concatenate([lanes for lanes, _ in after]) if after else np.zeros(0, int)
        stay = stay[~leave[stay]].astype(int)
        if stay.size:
            sub = self.block.take(stay)
            rates, f = derivatives(self.phase, sub, sub.s.time, self.y[:, stay])
            self.first[:, stay] = rates
            self.now[:, stay] = values(self.phase, sub, self.y[:, stay], f)
        return leave

    def _finished(self) -> Any:
        s, p = self.block.s, self.block.p
        clear = np.isinf(p.obstacle_distance) | (s.past_obstacle > 0)
        high = np.isfinite(s.screen_at) & (s.time >= s.lifted_at + 1.0) & clear
        s.end[high & (s.end < 0)] = float(End.SCREEN_HEIGHT)
        return s.end >= 0

    def _drop_lanes(self, of_interest: Any, leave: Any) -> Any:
        """Store lanes that leave; returns where the lanes of interest stand afterwards."""
        if not leave.any():
            return of_interest
        gone = np.flatnonzero(leave)
        where = self.block.lanes[gone]
        self.outcome.status[:, where] = self.block.status[:, gone]
        self.outcome.states[:, where] = self.y[:, gone]
        stay = ~leave
        position = np.cumsum(stay) - 1
        self.block = self.block.take(stay)
        self.y, self.first, self.now = self.y[:, stay], self.first[:, stay], self.now[:, stay]
        return position[of_interest[stay[of_interest]]]

    # bookkeeping -----------------------------------------------------------------------

    def _note_peaks(self, which: Any, f: Forces) -> None:
        self._peaks_of(self.block, which, f)

    def _peaks_of(self, block: Block, which: Any, f: Forces) -> None:
        if self.phase.touching:
            return
        s = block.s
        which = which[s.time[which] <= s.lifted_at[which] + 1.0]
        s.rate_peak[which] = np.maximum(s.rate_peak[which], f.rate[which])
        s.wing_use_peak[which] = np.maximum(s.wing_use_peak[which], f.air.wing_use[which])

    def _check_steady(self, which: Any, step: integrator.Step) -> None:
        """End lanes that roll on at a steady speed with nothing pending."""
        if self.phase.direction != 1 or not self.phase.touching:
            return
        s, p, y = self.block.s, self.block.p, self.y
        rates = step.stages[-1]
        steady = (rates[V] < STEADY_ACCELERATION) & (rates[V] > -STEADY_ACCELERATION)
        steady &= (np.abs(y[RATE]) < STEADY_PITCH_RATE) & (
            np.abs(rates[RATE]) < STEADY_PITCH_ACCELERATION
        )
        steady &= (y[SPOOL] > SPOOLED) & (s.throttle > 0) & ~nothing_pending_fails(self.block, y)
        chosen = which[steady[which]]
        s.end[chosen] = float(End.STEADY)

    def _keep(self, step: integrator.Step, which: Any, eventful: Any, sub: Any = None) -> None:
        if not self.outcome.kept:
            return
        block = self.block if sub is None else sub
        if which is None:
            which = np.arange(block.lanes.size)
        elif eventful is not None:
            which = which[~eventful[which]]
        wanted = [i for i in which if int(block.lanes[i]) in self.outcome.kept]
        if not wanted:
            return
        terms = integrator.dense_terms(step)
        for i in wanted:
            self.outcome.kept[int(block.lanes[i])].append(
                KeptStep(
                    self.phase,
                    float(step.start_time[i]),
                    float(step.size[i]),
                    step.start[:, i].copy(),
                    [t[:, i].copy() for t in terms],
                    block.status[:, i].copy(),
                )
            )


def nothing_pending_fails(block: Block, y: Array) -> Any:
    """True where something set by place or time is still to come, so that it is not yet steady."""
    s, p = block.s, block.p
    pull_due = (s.pulled == 0) & (np.isfinite(p.pull_place) | np.isfinite(p.pull_time))
    drop_due = np.isinf(s.drop_start) & (np.isfinite(p.drop_place) | np.isfinite(p.drop_time))
    abort_due = (s.nose_was_off == 0) & np.isfinite(p.abort_place)
    moving = np.isfinite(s.elevator_stop)
    flaps_moving = np.isfinite(s.drop_start) & (s.time < s.drop_start + p.drop_duration)
    return pull_due | drop_due | abort_due | moving | flaps_moving


def next_kink(block: Block) -> Array:
    """Next known time at which a lane's right-hand side changes its form [s]."""
    s, p = block.s, block.p
    now = s.time
    never = np.inf
    pull_due = np.where((s.pulled == 0) & (s.aborted == 0), p.pull_time, never)
    drop_due = np.where(np.isinf(s.drop_start), p.drop_time, never)
    dropped = s.drop_start + p.drop_duration
    second = s.lifted_at + 1.0
    later = [np.where(t > now, t, never) for t in (dropped, second, pull_due, drop_due)]
    return np.minimum.reduce([*later, s.elevator_stop, np.full_like(now, TIME_LIMIT)])


def _part(step: integrator.Step, which: Any) -> integrator.Step:
    return integrator.Step(
        step.start_time[which],
        step.size[which],
        step.start[:, which],
        [stage[:, which] for stage in step.stages],
        step.end[:, which],
        step.error[:, which],
        None,
    )


__all__ = ["PHASES", "POINT_NAMES", "Outcome", "Settings", "roll"]
