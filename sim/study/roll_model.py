"""What measured rolls would have shown, had some keys of the scenario been otherwise."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.roll.events import Happening
from sim.roll.parameters import Setup
from sim.roll.result import Many, simulate_many
from sim.scenario import Scenario, ScenarioError, with_changes, with_overrides
from sim.scenario.measured_rolls import SEEN, MeasuredRoll
from sim.scenario.measurements import MeasurementError
from sim.strip.reading import Measured
from sim.study.evidence import Evidence
from sim.study.fit import wheel_of
from sim.study.knobs import Knob
from sim.study.lattices import prepared_with
from sim.study.least_squares import FARTHEST
from sim.study.priors import RESISTANCE, Prior
from sim.study.variants import Base, base_for, variant

END_SPAN = 0.2
"""Last seconds of a roll over which its gain of speed is taken."""
HAPPENINGS = {what.label: what for what in Happening}


@dataclass(frozen=True)
class Wanted:
    """One number that was measured: of which roll, what, and its value.

    `name` is a key of `SEEN`, or "speed" with the time in the log since it was let go.
    """

    roll: int
    name: str
    measured: Measured
    time: float = 0.0


@dataclass(frozen=True)
class RollModel:
    """Measured rolls as a function of keys.

    Attributes
    ----------
    bases: one for each roll, with its changes and its day laid over.
    priors: of the keys.
    starts: by roll with a log, when it was let go in the log's time [s].
    wanted: every number measured, in order.

    """

    bases: tuple[Base, ...]
    priors: tuple[Prior, ...]
    starts: dict[int, Measured]
    wanted: tuple[Wanted, ...]
    rolls: tuple[MeasuredRoll, ...]

    @property
    def unknowns(self) -> int:
        """Keys, and the starts of logs behind them."""
        return len(self.priors) + len(self.starts)

    def values(self, z: Array) -> Array:
        """Values of the keys at points in standard deviations of the priors [SI], shape (m, k)."""
        middle = np.array([p.believed.value for p in self.priors])
        deviation = np.array([p.believed.deviation for p in self.priors])
        low = np.array([p.knob.low for p in self.priors])
        high = np.array([p.knob.high for p in self.priors])
        return np.clip(middle + deviation * z[:, : len(self.priors)], low, high)

    def __call__(self, z: Array) -> Array:
        """What would be measured, shape (m, n), at points of shape (m, unknowns)."""
        setups, place = self._setups(self.values(z))
        shown = np.full((len(z), len(self.wanted)), np.nan)
        if not setups:
            return shown
        logged = [lane for lane, (roll, _) in enumerate(place) if self.rolls[roll].log]
        many = simulate_many(setups, keep=tuple(logged))
        evidence = Evidence(many, np.full(len(setups), np.nan))
        rolls, points = np.array(place).T
        for column, wanted in enumerate(self.wanted):
            lanes = np.flatnonzero(rolls == wanted.roll)
            if wanted.name in SEEN:
                seen = SEEN[wanted.name]
                values = evidence.event(HAPPENINGS[seen.event], seen.column)[lanes]
                shown[points[lanes], column] = values
        for roll in self.starts:
            self._speeds(many, np.flatnonzero(rolls == roll), roll, points, z, shown)
        return shown

    def _setups(self, values: Array) -> tuple[list[Setup], list[tuple[int, int]]]:
        """Rolls to compute, and (roll, point) of each; what makes no scenario is left out."""
        setups, place = [], []
        for roll, base in enumerate(self.bases):
            for point, row in enumerate(values):
                try:
                    setups.append(prepared_with(variant(base, row), None).setup)
                except (ScenarioError, ValueError, ArithmeticError):
                    continue
                place.append((roll, point))
        return setups, place

    def _speeds(
        self, many: Many, lanes: Any, roll: int, points: Any, z: Array, shown: Array
    ) -> None:
        """Speeds at the times of a log, each point with its own start."""
        log, start = self.rolls[roll].log, self.starts[roll]
        assert log is not None
        columns = [i for i, w in enumerate(self.wanted) if w.roll == roll and w.name == "speed"]
        times = np.array([self.wanted[i].time for i in columns])
        own = len(self.priors) + list(self.starts).index(roll)
        for lane in lanes:
            trace = many.result(int(lane)).trace
            assert trace is not None
            late = start.deviation * z[points[lane], own]
            speed = trace["airspeed" if log.airspeed else "ground_speed"]
            shown[points[lane], columns] = _continued(times - late, trace["time"], speed)


def _continued(at: Array, times: Array, speeds: Array) -> Array:
    """Speeds at times; after the end of the roll simulated as fast as it was gaining there."""
    early = max(times[-1] - END_SPAN, times[0])
    gain = (speeds[-1] - np.interp(early, times, speeds)) / (times[-1] - early)
    return np.asarray(np.interp(at, times, speeds) + gain * np.maximum(at - times[-1], 0.0))


def roll_model(
    scenario: Scenario,
    prepared: Prepared,
    rolls: Sequence[MeasuredRoll],
    priors: tuple[Prior, ...],
    wanted: Sequence[Wanted],
) -> RollModel:
    """Lay each roll's changes and day over the scenario and make its keys ready to be turned.

    Raises
    ------
    MeasurementError
        For changes, surfaces or keys that do not go together, all of them.

    """
    knobs = [prior.knob for prior in priors]
    middle = np.array([p.believed.value for p in priors])
    reach = 0.5 * FARTHEST * np.array([p.believed.deviation for p in priors])
    ends = np.array([middle - reach, middle, middle + reach])
    ends = np.clip(ends, [k.low for k in knobs], [k.high for k in knobs])
    wheel = wheel_of(prepared) if any(k.key == RESISTANCE for k in knobs) else None
    bases, problems = [], []
    for roll in rolls:
        try:
            bases.append(_base(scenario, roll, knobs, ends, wheel))
        except ScenarioError as wrong:
            name, line = roll.label.name, roll.label.line
            told = [replace(p, key=f"{name}: {p.key}", line=line) for p in wrong.problems]
            problems += [p for p in told if p not in problems]
    if problems:
        raise MeasurementError(problems)
    starts = {i: roll.log.start for i, roll in enumerate(rolls) if roll.log}
    return RollModel(tuple(bases), priors, starts, tuple(wanted), tuple(rolls))


def _base(
    scenario: Scenario, roll: MeasuredRoll, knobs: list[Knob], ends: Array, wheel: float | None
) -> Base:
    """The scenario of one roll, its keys ready to be turned.

    A rolling resistance is that of the scenario's own wheels, whatever a change puts on.
    """
    laid = with_changes(with_overrides(scenario, list(roll.overrides)), tuple(roll.changes))
    base = base_for(laid, knobs, ends)
    if wheel is None:
        return base
    strip = base.scenario.strip.model_copy(update={"measured_with": wheel})
    return replace(base, scenario=replace(base.scenario, strip=strip))
