"""What an oracle roll reports, and the bookkeeping of events, phases and grazing."""

from dataclasses import dataclass, field

import numpy as np

from sim.roll.parameters import Setup

from . import grazing as gz
from .contact import AFT, MAIN, NAMES, NOSE
from .motion import OM, TH, W_AIR, W_FRICTION, W_THRUST, Motion, V, X

ORDER = (
    "abort",
    "pull",
    "nose-wheel-off",
    "lift-off",
    "tail-strike",
    "wheels-down-again",
    "nose-wheel-down-again",
    "strip-end",
    "screen-height",
    "stop",
)


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


class Record:
    """State of a roll under way and what has been written down of it."""

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
            self.out.events.append(
                Event(
                    event,
                    self.t,
                    y[X],
                    y[V],
                    y[V] + self.p.headwind,
                    y[TH],
                    y[OM],
                    loads.get(MAIN, 0.0),
                    loads.get(NOSE, 0.0),
                    loads.get(AFT, 0.0),
                )
            )
        self.names = []

    def note_phase(self, final: bool = False) -> None:
        key = (self.mode.touching, self.mode.s)
        if final or key != self.phase_key:
            touching, s = self.phase_key
            if self.t > self.phase_start or final:
                self.out.phases.append(
                    Phase(self.phase_start, self.t, tuple(NAMES[i] for i in touching), s)
                )
            self.phase_start, self.phase_key = self.t, key

    def graze(self, reason: str) -> None:
        self.out.grazing.append(f"{self.t:.4f} s: {reason}")

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
