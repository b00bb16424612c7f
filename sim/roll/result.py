"""One call, one result: run rolls and put what happened into plain records."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.block import STATUS_NAMES, Batch, batch_of
from sim.roll.columns import EVENT_COLUMNS
from sim.roll.dynamics import PITCH, RATE, V, X
from sim.roll.engine import DEFAULTS, Outcome, Settings, roll
from sim.roll.events import End, Happening
from sim.roll.parameters import Setup
from sim.roll.trace import Trace, build_trace
from sim.roll.verdict import Facts, Verdict, decide, gather_facts


@dataclass(frozen=True)
class Event:
    """Something that happened, with the state just before it took effect [SI, radians]."""

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
class Result:
    """What came of one roll.

    Attributes
    ----------
    setup: the numbers it was computed from.
    verdict: the one outcome.
    end: why it was not computed further.
    events: the events of the result document, in order of time.
    also: everything else that happened (stalls, mains off, flaps dropped ...), same records.
    trace: columns against time, or None if it was not asked for.
    figures: flat numbers [SI]; nan where there is none.

    """

    setup: Setup
    verdict: Verdict
    end: End
    events: tuple[Event, ...]
    also: tuple[Event, ...]
    trace: Trace | None
    figures: dict[str, float]

    def event(self, name: str) -> Event | None:
        """First event of this name, or None."""
        return next((event for event in self.events + self.also if event.name == name), None)


@dataclass(frozen=True)
class Many:
    """Many rolls computed together: verdicts and facts as arrays, single results on demand."""

    setups: tuple[Setup, ...]
    batch: Batch
    outcome: Outcome
    facts: Facts
    verdicts: tuple[Verdict, ...]

    def result(self, lane: int) -> Result:
        """The result of one lane; its trace only if its steps were kept."""
        happened = [e for e in self._records(lane)]
        steps = self.outcome.kept.get(lane)
        return Result(
            setup=self.setups[lane],
            verdict=self.verdicts[lane],
            end=End(int(self.facts.end[lane])),
            events=tuple(e for what, e in happened if what.is_event),
            also=tuple(e for what, e in happened if not what.is_event),
            trace=None if steps is None else build_trace(self.batch, lane, steps),
            figures=self._figures(lane),
        )

    def _records(self, lane: int) -> list[tuple[Happening, Event]]:
        lanes, names, rows, states = self.outcome.log.sorted()
        start, stop = np.searchsorted(lanes, [lane, lane + 1])
        headwind = float(self.setups[lane].parameters.headwind)
        found = []
        for i in range(start, stop):
            what, y = Happening(int(names[i])), states[:, i]
            values = (rows[0, i], y[X], y[V], y[V] + headwind, y[PITCH], y[RATE], *rows[1:4, i])
            found.append((what, Event(what.label, *(float(value) for value in values))))
        return found

    def _figures(self, lane: int) -> dict[str, float]:
        status = dict(zip(STATUS_NAMES, self.outcome.status[:, lane], strict=True))
        keep = ("rate_peak", "wing_use_peak", "jump", "impact_loss", "obstacle_clearance")
        figures = {name: float(status[name]) for name in keep}
        figures["end_time"] = float(status["time"])
        for name, row in (("end_distance", X), ("end_speed", V)):
            figures[name] = float(self.outcome.states[row, lane])
        return {k: v if np.isfinite(v) else float("nan") for k, v in figures.items()}


def simulate_many(
    setups: list[Setup], settings: Settings = DEFAULTS, keep: tuple[int, ...] = ()
) -> Many:
    """Run rolls side by side; keep traces for the lanes named in `keep`."""
    batch = batch_of(setups)
    outcome = roll(batch, settings, keep)
    facts = gather_facts(batch, outcome)
    return Many(tuple(setups), batch, outcome, facts, tuple(decide(facts)))


def simulate_setup(setup: Setup, settings: Settings = DEFAULTS) -> Result:
    """Run one roll with its trace. Same input, same output; no state is kept."""
    return simulate_many([setup], settings, keep=(0,)).result(0)


__all__ = ["EVENT_COLUMNS", "Any", "Event", "Many", "Result", "simulate_many", "simulate_setup"]
