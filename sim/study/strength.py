"""What the parts stand: every check of a report, against its limit or with the key it lacks."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf, nan
from typing import TYPE_CHECKING

import numpy as np

from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.span_load import SpanLoad, span_loads
from sim.checks.finding import RESERVE, Finding, unknown
from sim.checks.hatch import JUDGED, PLACES, outward_load
from sim.checks.sentence import Sentence, sentence
from sim.checks.servo import servo_torque, stall_speed
from sim.checks.spar import MATERIALS, bar_modulus, bending_stress, root_moment, tube_modulus
from sim.prepare.parts import Parts
from sim.roll.aero_table import TAIL_OWN, Array
from sim.roll.forces import tail_stiffness
from sim.scenario.limits import Servo, Spar
from sim.study.strength_air import (
    Moments,
    flap_moment,
    in_level_flight,
    in_the_roll,
    shapes_of_roll,
    spread,
    tail_moment,
)
from sim.study.strength_ground import (
    GIVEN,
    LIMITS,
    clearance_findings,
    stance_findings,
    wheel_findings,
)

if TYPE_CHECKING:
    from sim.report import Report

AT_TOP_SPEED = "full stick at top speed"
FASTEST = 2.0
"""Servos are looked at up to so many times the top speed, or the speed of lift-off."""
SPEEDS = 200
STICKS = 81
"""Places of the stick from stop to stop: past its stall a tail carries less, not more."""


def findings(report: "Report") -> tuple[Finding, ...]:
    """Every check of one report, in the order it is told."""
    gather = report.prepared.parts
    if gather is None:
        return tuple(stance_findings(report))
    parts = gather()
    return (
        *stance_findings(report, parts.scrapes),
        *clearance_findings(report, parts),
        *tail_findings(report, parts),
        *hatch_findings(report, parts),
        *wheel_findings(report, parts),
    )


@dataclass(frozen=True)
class Case:
    """Instants that are looked at together, with the shapes of their span loading.

    `beyond`: more stick would stall the tail and load it less.
    """

    name: str
    at: Moments
    wing: SpanLoad
    tail: SpanLoad
    beyond: bool = False


def tail_findings(report: "Report", parts: Parts) -> Iterator[Finding]:
    """Tail load, spar, twist, servos of tail and flaps."""
    if parts.plane is None:
        yield unknown("tail load", "span loading", "aeroplane.wing", "aeroplane.tail")
        return
    cases = _cases(report, parts)
    for case in cases:
        yield from _bending(case, parts.limits.tail_spar)
    if parts.limits.top_speed is None:
        yield unknown("tail load", "at top speed", f"{LIMITS}.top_speed")
    yield from _twist(report, parts)
    yield from _tail_servo(report, parts, cases)
    if parts.plane.flaps is not None and cases and cases[0].name == "in the roll":
        yield from _flap_servo(report, parts, cases[0])


def _cases(report: "Report", parts: Parts) -> tuple[Case, ...]:
    """The roll, and the stick over at top speed, as far and the way that loads the tail most."""
    assert parts.plane is not None
    cases, top = [], parts.limits.top_speed
    at = in_the_roll(report, parts.flap_angles)
    if at.airspeed.size:  # none when it stands still in calm air
        cases.append(Case("in the roll", at, *shapes_of_roll(report, parts.plane)))
    if top is not None:
        swept = over_the_stick(report, np.array([top]))
        at = hardest(swept)
        beyond = at is not swept[0] and at is not swept[-1]
        cases.append(Case(AT_TOP_SPEED, at, *span_loads(parts.plane), beyond))
    return tuple(cases)


def over_the_stick(report: "Report", speeds: Array) -> tuple[Moments, ...]:
    """Level flight with the stick put over to every place between its stops."""
    p = report.prepared.setup.parameters
    sticks = np.linspace(-p.elevator_down_limit, p.elevator_up_limit, STICKS)
    return tuple(in_level_flight(report.prepared.setup, speeds, float(s)) for s in sticks)


def hardest(swept: tuple[Moments, ...]) -> Moments:
    """Where the tail carries most at the last speed."""
    return max(swept, key=lambda at: float(np.abs(at.tail[-1])))


def servo_moment(plane: Aeroplane, swept: tuple[Moments, ...]) -> Array:
    """Largest moment about pivot or hinge at each speed, wherever the stick is [N m]."""
    load = span_loads(plane)[1]
    moments = [tail_moment(plane, load, at) for at in swept]
    return np.asarray(np.max(np.abs(np.array(moments, dtype=float)), axis=0))


def _bending(case: Case, spar: Spar | None) -> Iterator[Finding]:
    row = int(np.argmax(np.abs(case.at.tail)))
    whole = spread(case.tail, case.at, case.at.tail)
    root = spar.root if spar else 0.0
    moments = root_moment(case.tail.places, whole.strips, root)
    moment = float(np.abs(moments).max())
    lift, speed = float(case.at.tail[row]), float(case.at.airspeed[row])
    side = "down" if lift < 0.0 else "up"
    note = sentence(f"Pushing {side}, at {{v}}.", v=(speed, "speed"))
    if case.beyond:
        stick = abs(float(case.at.elevator[row]))
        note = note.then("More stick than {a} stalls it and loads it less.", a=(stick, "angle"))
    yield Finding("tail load", f"tail lift, {case.name}", abs(lift), note=note)
    yield Finding("tail load", f"bending of each half, {case.name}", moment, "moment")
    yield _stress(case, spar, moment)


def _stress(case: Case, spar: Spar | None, moment: float) -> Finding:
    name = f"spar stress, {case.name}"
    if spar is None:
        return unknown("tail load", name, f"{LIMITS}.tail_spar")
    allowed, source, missing = _allowed(spar)
    return Finding(
        "tail load",
        name,
        value=bending_stress(moment, modulus(spar)),
        kind="stress",
        limit=allowed,
        source=source,
        reserve=RESERVE,
        missing=missing,
    )


def modulus(spar: Spar) -> float:
    """Section modulus of a spar as given [m3]."""
    if spar.shape == "flat bar":
        return bar_modulus(spar.height or 0.0, spar.width or 0.0)
    return tube_modulus(spar.diameter or 0.0, spar.bore or 0.0)


def _allowed(spar: Spar) -> tuple[float, str, tuple[str, ...]]:
    """Stress, source and what is missing; of a judged range the low end."""
    if spar.most_stress is not None:
        return spar.most_stress, f"{GIVEN}, {spar.most_stress_is}", ()
    if spar.material is None:
        keys = (f"{LIMITS}.tail_spar.most_stress", f"{LIMITS}.tail_spar.material")
        return nan, "", keys
    known = MATERIALS[spar.material]
    low, high = (round(end / 1e6) for end in (known.stress.low, known.stress.high))
    return known.stress.low, f"low end of {low} to {high} MPa, {known.source}", ()


def _twist(report: "Report", parts: Parts) -> Iterator[Finding]:
    """Whether the tail's giving way keeps the nose down, and what it leaves at top speed."""
    p, o = report.prepared.setup.parameters, report.outlook
    if p.tail_twist_per_newton == 0.0:
        yield unknown("tail twist", "elevator authority", "aeroplane.tail.twist_per_newton")
        return
    needed, reachable = (inf if np.isnan(v) else v for v in (o.needed, o.reachable))
    yield Finding(
        "tail twist",
        "speed that unloads the nose wheel",
        value=needed,
        kind="speed",
        limit=reachable,
        source="what it reaches on three wheels, this roll",
        note=_twist_note(report),
    )
    speeds = [("at that speed", needed), ("at top speed", parts.limits.top_speed)]
    for when, speed in speeds:
        if speed is not None and np.isfinite(speed):
            share = kept(report, speed)
            yield Finding("tail twist", f"elevator authority kept {when}", share, "share")


def kept(report: "Report", airspeed: float) -> float:
    """Share of its lift the tail keeps in giving way, free air [-]."""
    p, table = report.prepared.setup.parameters, report.prepared.setup.table
    area = 0.5 * p.air_density * airspeed**2 * p.reference_area
    return float(tail_stiffness(p, area, table.values[0, TAIL_OWN][1]))


def _twist_note(report: "Report") -> Sentence | None:
    stiff = report.outlook.stiff
    if stiff is None or np.isnan(stiff.needed):
        return None
    words = "A tail that does not give way would need {v}."
    if report.outlook.floppy(report.result):
        words = "The tail's giving way keeps the nose down: a stiff one would need {v}."
    return sentence(words, v=(stiff.needed, "speed"))


def _tail_servo(report: "Report", parts: Parts, cases: tuple[Case, ...]) -> Iterator[Finding]:
    plane, servo = parts.plane, parts.limits.tail_servo
    assert plane is not None
    if plane.tail.kind == "all-moving" and plane.tail.pivot_station is None:
        yield unknown("servo", "tail servo", "aeroplane.tail.pivot")
        return
    for case in cases:
        moment = tail_moment(plane, case.tail, case.at)
        if case.name == AT_TOP_SPEED:
            moment = servo_moment(plane, over_the_stick(report, case.at.airspeed))
        assert moment is not None
        yield torque_finding("tail", case.name, moment, servo)
    if servo is None:
        return
    speeds = _scan(report, parts)
    moments = servo_moment(plane, over_the_stick(report, speeds))
    yield _stall("tail servo, speed where full stick stalls it", speeds, moments, servo, parts)


def _flap_servo(report: "Report", parts: Parts, roll: Case) -> Iterator[Finding]:
    plane, servo = parts.plane, parts.limits.flap_servo
    assert plane is not None
    yield torque_finding("flap", roll.name, flap_moment(plane, roll.wing, roll.at), servo)
    if servo is None:
        return
    p, speeds = report.prepared.setup.parameters, _scan(report, parts)
    angle = (max(parts.flap_angles), float(max(p.flap_start, p.flap_dropped)))
    at = in_level_flight(report.prepared.setup, speeds, 0.0, angle)
    moments = flap_moment(plane, span_loads(plane)[0], at)
    yield _stall("flap servo, speed where these flaps stall it", speeds, moments, servo, parts)


def torque_finding(which: str, case: str, moment: Array, servo: Servo | None) -> Finding:
    """Largest torque at one servo against its rated one."""
    largest = float(np.abs(moment).max())
    about = sentence("Of the air about the hinge: {m}.", m=(largest, "moment"))
    if servo is None:
        return unknown("servo", f"{which} servo, {case}", f"{LIMITS}.{which}_servo", note=about)
    torque = float(servo_torque(np.array(largest), servo.linkage_ratio, servo.count))
    return Finding(
        "servo",
        f"{which} servo, {case}",
        value=torque,
        kind="moment",
        limit=servo.torque,
        source=f"{GIVEN}, rated torque",
        reserve=RESERVE,
        note=about,
    )


def _scan(report: "Report", parts: Parts) -> Array:
    """Speeds at which a servo is looked at, from the stall on [m/s]."""
    low = report.outlook.stall_flaps_up
    return np.linspace(low, FASTEST * max(parts.limits.top_speed or 0.0, 2.0 * low), SPEEDS)


def _stall(name: str, speeds: Array, moments: Array, servo: Servo, parts: Parts) -> Finding:
    torque = servo_torque(moments, servo.linkage_ratio, servo.count)
    speed = stall_speed(speeds, torque, servo.torque)
    flaps, top = "flap" in name, parts.limits.top_speed
    known = top is not None and not flaps
    note = None
    if speed == inf:
        note = sentence("Not up to {v}.", v=(float(speeds[-1]), "speed"))
    return Finding(
        "servo",
        name,
        value=speed,
        kind="speed",
        limit=top if known and top is not None else nan,
        at_least=True,
        source=f"{GIVEN}, top speed" if known else "",
        note=note,
        missing=() if known or flaps else (f"{LIMITS}.top_speed",),
    )


def hatch_findings(report: "Report", parts: Parts) -> Iterator[Finding]:
    """Outward load on the hatch at top speed."""
    hatch, top = parts.limits.hatch, parts.limits.top_speed
    needed = (("hatch", hatch), ("top_speed", top))
    if hatch is None or top is None:
        missing = [f"{LIMITS}.{key}" for key, given in needed if given is None]
        yield unknown("hatch", "outward load at top speed", *missing)
        return
    place, density = PLACES[hatch.place], report.prepared.setup.parameters.air_density
    ends = place.suction.low, place.suction.typical, place.suction.high
    low, usual, high = (outward_load(hatch.area, c, density, top) for c in ends)
    yield Finding(
        "hatch",
        "outward load at top speed, high end",
        value=high,
        limit=nan if hatch.latch_hold is None else hatch.latch_hold,
        source=f"{GIVEN}, pull on a scale; pressure is a {JUDGED}",
        reserve=RESERVE,
        note=sentence(
            f"From {{low}} over {{usual}} to {{high}} ({place.why}); more if the intake blows into"
            " the fuselage.",
            low=(low, "force"), usual=(usual, "force"), high=(high, "force"),
        ),
        missing=() if hatch.latch_hold is not None else (f"{LIMITS}.hatch.latch_hold",),
    )  # fmt: skip
