"""Why a roll ended as it did, in a sentence a club pilot understands."""

from dataclasses import dataclass

import numpy as np

from sim.checks.sentence import Sentence, sentence
from sim.roll.attitude import ground_attitude, rotated
from sim.roll.block import batch_of
from sim.roll.events import End
from sim.roll.forces import full_thrust
from sim.roll.quasi_static import one_block
from sim.roll.result import Result
from sim.roll.verdict import Verdict

SLOW_SHARE = 1.05
"""Below this share of its stall speed an aeroplane that comes down again was too slow."""
STALLED_ALREADY = 0.01
"""A stall this soon after lift-off began on the wheels [s]."""


@dataclass(frozen=True)
class StiffTail:
    """The same roll with a tail that does not give way.

    needed: airspeed at which the full pull unloads the nose wheel [m/s], nan for none.
    nose_off: place where the nose wheel leaves the ground [m], nan if it does not.
    """

    needed: float
    nose_off: float


@dataclass(frozen=True)
class Outlook:
    """Speeds that explain a verdict; airspeeds [m/s], nan where there is none.

    needed, reachable: to unload the nose wheel with the full pull; on three wheels.
    least_nose_load: smallest nose load with the full pull at the speeds it can reach on its
        wheels, or up to twice its stall speed if nothing holds it below that [N].
    stall_start, stall_dropped, stall_flaps_up: level flight at maximum lift, flaps as at the
        start, dropped, and up.
    stiff: the roll with a stiff tail; None when the tail is stiff already.
    """

    needed: float
    reachable: float
    least_nose_load: float
    stall_start: float
    stall_dropped: float
    stall_flaps_up: float
    stiff: StiffTail | None = None

    def floppy(self, result: Result) -> bool:
        """Whether the tail's giving way is what keeps the nose down."""
        risen = result.event("nose-wheel-off") is not None
        return self.stiff is not None and bool(np.isfinite(self.stiff.nose_off)) and not risen


def explain(result: Result, outlook: Outlook) -> Sentence:
    """Reason for the verdict, with its numbers."""
    reason = _REASONS[result.verdict](result, outlook)
    if result.verdict in (Verdict.NEVER_ROTATES, Verdict.TOO_SLOW) and outlook.floppy(result):
        assert outlook.stiff is not None
        return reason.then(
            "The tail gives way under its load: one that does not would raise the nose wheel at "
            "{stiff_place}, from {stiff_speed} up.",
            stiff_place=(outlook.stiff.nose_off, "distance"),
            stiff_speed=(outlook.stiff.needed, "speed"),
        )
    return reason


def _place(result: Result, name: str) -> tuple[float, str]:
    event = result.event(name)
    return (event.distance if event else float("nan"), "distance")


def _sits(result: Result, o: Outlook) -> Sentence:
    p = result.setup.parameters
    attitude = ground_attitude(p)
    behind = float(rotated(p.main_x, p.main_z, np.cos(attitude), np.sin(attitude))[0])
    if behind >= 0.0:
        return sentence(
            "The CG is {d} behind the main axle, so it sits on its tail before the roll begins.",
            d=(behind, "length"),
        )
    return sentence("Thrust, wind or slope lifts the nose wheel while it still stands still.")


def _stuck(result: Result, o: Outlook) -> Sentence:
    p = result.setup.parameters
    return sentence(
        "Rolling resistance and slope hold {held} at rest, more than the thrust of {thrust}.",
        held=(
            p.mass * p.gravity * (p.main_friction * np.cos(p.slope) + np.sin(p.slope)), "force"
        ),
        thrust=(_standing_thrust(result), "force"),
    )  # fmt: skip


def _standing_thrust(result: Result) -> float:
    block = one_block(batch_of([result.setup]), np.zeros(1, dtype=int))
    return float(full_thrust(block, np.array([result.setup.parameters.headwind]))[0])


def _aborted(result: Result, o: Outlook) -> Sentence:
    start = _place(result, "abort")
    stop = result.event("stop")
    closed, past = result.event("abort"), result.event("strip-end")
    if past is not None and closed is not None and past.time < closed.time:
        return sentence("The strip had ended when the throttle was closed at {a}.", a=start)
    if past is not None and stop is not None:
        return sentence(
            "Throttle closed at {a}; it passed the strip end still rolling at {v} and came to a "
            "stop at {b}.",
            a=start,
            v=(past.ground_speed, "speed"),
            b=(stop.distance, "distance"),
        )
    if past is not None:
        return sentence(
            "Throttle closed at {a}; it passed the strip end still rolling at {v}.",
            a=start,
            v=(past.ground_speed, "speed"),
        )
    if stop is None:
        return sentence("Throttle closed at {a}; it was still rolling when time ran out.", a=start)
    return sentence(
        "Throttle closed at {a} with the nose still down; it rolled to a stop at {b}.",
        a=start,
        b=(stop.distance, "distance"),
    )


def _leapt(result: Result, o: Outlook) -> Sentence:
    stall, off = result.event("wing-stall"), result.event("lift-off")
    assert stall is not None
    assert off is not None
    if stall.time - off.time < STALLED_ALREADY:
        return sentence(
            "It leaves the ground at {place} and {v} with the wing past its stall already, {pitch} "
            "nose up.",
            place=(off.distance, "distance"),
            v=(off.airspeed, "speed"),
            pitch=(off.pitch, "angle"),
        )
    return sentence(
        "It leaps off at {place} with the pitch already rising at {rate}, and {t} later the wing "
        "passes its stall at {pitch} nose up.",
        place=(off.distance, "distance"),
        rate=(off.pitch_rate, "angular_rate"),
        t=(stall.time - off.time, "time"),
        pitch=(stall.pitch, "angle"),
    )


def _settled(result: Result, o: Outlook) -> Sentence:
    off, down = result.event("lift-off"), result.event("wheels-down-again")
    assert off is not None and down is not None
    where = {"a": (off.distance, "distance"), "v": (off.airspeed, "speed")}
    back = (down.distance, "distance")
    if off.airspeed < SLOW_SHARE * min(o.stall_start, o.stall_dropped):
        return sentence(
            "It leaves the ground at {a} at {v}, too slow to stay up, and touches again at {b}.",
            **where,
            b=back,
        )
    if result.event("mains-off") is not None:
        return sentence(
            "The mains were off before the nose wheel; as the nose comes up at {a} and {v} the "
            "pull swings the main wheels down again at {b}.",
            **where,
            b=back,
        )
    return sentence(
        "It leaves the ground at {a} at {v}, fast enough, but comes down on its wheels again at "
        "{b}, {pitch} nose up: its nose dropped after the leap.",
        **where,
        b=back,
        pitch=(down.pitch, "angle"),
    )


def _scraped(result: Result, o: Outlook) -> Sentence:
    strike = result.event("tail-strike")
    assert strike is not None
    return sentence(
        "The tail touches at {a}, {pitch} nose up and still turning at {rate}.",
        a=(strike.distance, "distance"),
        pitch=(strike.pitch, "angle"),
        rate=(strike.pitch_rate, "angular_rate"),
    )


def _barrowed(result: Result, o: Outlook) -> Sentence:
    mains = result.event("mains-off")
    assert mains is not None
    return sentence(
        "The wing lifts the main wheels off at {a} and {v} while the nose wheel is still on the "
        "ground: it rolls on the nose wheel alone, with nothing to steer against a swing.",
        a=(mains.distance, "distance"),
        v=(mains.airspeed, "speed"),
    )


def _never(result: Result, o: Outlook) -> Sentence:
    return sentence(
        "No speed unloads the nose wheel with the full pull: {n} stay on it at the best speed it "
        "can reach. The tail cannot push down hard enough against the weight ahead of the main "
        "wheels.",
        n=(o.least_nose_load, "force"),
    )


def _slow(result: Result, o: Outlook) -> Sentence:
    if result.event("pull") is None:
        return sentence(
            "The place, speed or time set for the pull was never reached: it rolls at {v} at most.",
            v=(_fastest(result), "speed"),
        )
    off = result.event("nose-wheel-off")
    if off is not None:
        why = "drag and rolling resistance hold it below flying speed"
        if result.end not in (End.STEADY, End.STOP):
            why = f"it does not lift off: {result.end.sentence}"
        return sentence("The nose comes up at {u} but " + why + ".", u=(off.airspeed, "speed"))
    if np.isfinite(o.reachable) and o.needed > o.reachable:
        return sentence(
            "The nose wheel would unload at {need}, but thrust equals drag and rolling "
            "resistance already at {reach}.",
            need=(o.needed, "speed"),
            reach=(o.reachable, "speed"),
        )
    return sentence(
        "It does not reach the {need} at which the nose wheel would unload: "
        + result.end.sentence
        + ".",
        need=(o.needed, "speed"),
    )


def _fastest(result: Result) -> float:
    if result.trace is None:
        return result.figures["end_speed"]
    return float(np.max(result.trace["airspeed"]))


def _late(result: Result, o: Outlook) -> Sentence:
    off = result.event("lift-off")
    assert off is not None
    p = result.setup.parameters
    if off.distance > p.strip_length:
        return sentence(
            "It lifts off at {a}, {d} beyond the end of the strip.",
            a=(off.distance, "distance"),
            d=(off.distance - p.strip_length, "distance"),
        )
    clearance = result.figures["obstacle_clearance"]
    if clearance <= 0.0:
        return sentence(
            "It lifts off at {a} but passes {d} below the top of the obstacle.",
            a=(off.distance, "distance"),
            d=(-clearance, "height"),
        )
    missing = "climb to screen height"
    if result.event("screen-height") is not None:
        missing = "get as far as the obstacle"
    return sentence(
        f"It lifts off at {{a}} but does not {missing}: {result.end.sentence}.",
        a=(off.distance, "distance"),
    )


def _flew(result: Result, o: Outlook) -> Sentence:
    nose, off = result.event("nose-wheel-off"), result.event("lift-off")
    assert off is not None
    p = result.setup.parameters
    return sentence(
        "The nose comes up at {a} and it lifts off at {b} with {v}, {d} before the strip end.",
        a=((nose or off).distance, "distance"),
        b=(off.distance, "distance"),
        v=(off.airspeed, "speed"),
        d=(p.strip_length - off.distance, "distance"),
    )


_REASONS = {
    Verdict.SITS_ON_TAIL: _sits,
    Verdict.DOES_NOT_MOVE: _stuck,
    Verdict.ABORTED: _aborted,
    Verdict.LEAPS_AND_STALLS: _leapt,
    Verdict.SETTLES_BACK: _settled,
    Verdict.SCRAPES_TAIL: _scraped,
    Verdict.WHEELBARROWS: _barrowed,
    Verdict.NEVER_ROTATES: _never,
    Verdict.TOO_SLOW: _slow,
    Verdict.AIRBORNE_TOO_LATE: _late,
    Verdict.AIRBORNE: _flew,
}

__all__ = ["End", "Outlook", "explain"]
