"""The phases of a roll: which points touch and which way it rolls. Data only."""

from dataclasses import dataclass

MAIN, NOSE, AFT = 0, 1, 2
POINTS = (MAIN, NOSE, AFT)
POINT_NAMES = ("main", "nose", "aft")
PHASE_NAMES = {
    (MAIN, NOSE): "rolling on three wheels",
    (MAIN,): "rotating about the mains",
    (MAIN, AFT): "dragging the tail",
    (AFT,): "on the tail alone",
    (NOSE,): "wheelbarrowing",
    (NOSE, AFT): "on nose and tail",
    (): "airborne",
}
"""Name of each set of touching points."""
SETS = tuple(PHASE_NAMES)


@dataclass(frozen=True)
class Phase:
    """Touching points and direction of rolling: +1 forward, 0 at rest, -1 backward."""

    touching: tuple[int, ...]
    direction: int

    @property
    def locked(self) -> bool:
        """True with two points touching: pitch and height stay as they are."""
        return len(self.touching) == 2


THREE_WHEELS = (MAIN, NOSE)
AIRBORNE = Phase((), 1)
PHASES = tuple(Phase(s, d) for s in SETS for d in ((1, 0, -1) if s else (1,)))
"""Every phase; a lane's phase is kept as an index into this."""
CODE = {phase: code for code, phase in enumerate(PHASES)}


def code_of(touching: tuple[int, ...], direction: int) -> int:
    """Index of a phase; in the air the direction means nothing."""
    return CODE[Phase(touching, direction if touching else 1)]
