"""A plain verdict of an oracle roll, to see that random setups spread over all of them.

The order is that of the project's list of verdicts; the quasi-static speed needed to rotate is
scanned on three wheels with the full pull, flaps as they end up, thrust spooled up.
"""

import math

from sim.roll.parameters import NEVER, Setup

from .contact import MAIN, NOSE
from .motion import LAG, PERC, TH, E, Motion, V, Z
from .roll import OracleRoll

VERDICTS = (
    "sits-on-tail",
    "does-not-move",
    "aborted",
    "leaps-and-stalls",
    "settles-back",
    "scrapes-tail",
    "wheelbarrows",
    "never-rotates",
    "too-slow",
    "airborne-too-late",
    "airborne",
)
WHEELBARROW_TIME = 0.2
FASTEST = 150.0


def speed_needed(setup: Setup, dropped: bool) -> float | None:
    """Ground speed [m/s] at which the full pull takes the load off the nose wheel, if any."""
    motion, p = Motion(setup), setup.parameters
    motion.mode.dropped_at = -1e6 if dropped else NEVER
    y = [0.0] * 12
    y[TH] = y[PERC] = y[LAG] = motion.ground_pitch
    y[Z] = p.main_radius - motion.contacts.arm(MAIN, y[TH])[1]
    y[E] = p.pull_elevator
    for step in range(int(FASTEST / 0.1)):
        y[V] = 0.1 * step
        total = motion.applied(0.0, y, 1.0)[0]
        loads = motion.contacts.accelerate(y[TH], 0.0, total, (MAIN, NOSE), 1.0)[1]
        if loads[MAIN] <= 0.0:
            return None  # the mains are off first: the nose wheel is never unloaded
        if loads[NOSE] <= 0.0:
            return y[V]
    return None


def verdict(setup: Setup, roll: OracleRoll) -> str:
    """First verdict that holds."""
    p, names = setup.parameters, [e.name for e in roll.events]
    if roll.end in ("sits-on-tail", "does-not-move"):
        return roll.end
    nose_only = sum(f.end - f.start for f in roll.phases if f.touching == ("nose",))
    checks = (
        ("abort" in names, "aborted"),
        (roll.stalled, "leaps-and-stalls"),
        ("wheels-down-again" in names, "settles-back"),
        ("tail-strike" in names, "scrapes-tail"),
        (nose_only >= WHEELBARROW_TIME, "wheelbarrows"),
    )
    for holds, name in checks:
        if holds:
            return name
    off = next((e for e in roll.events if e.name == "lift-off"), None)
    if off is None:
        needed = speed_needed(setup, roll.drop_time is not None)
        return "never-rotates" if needed is None else "too-slow"
    gap = -math.inf if roll.obstacle_gap is None else roll.obstacle_gap
    late = off.distance > p.strip_length or "screen-height" not in names
    late = late or (p.obstacle_distance < NEVER and gap < p.obstacle_height)
    return "airborne-too-late" if late else "airborne"
