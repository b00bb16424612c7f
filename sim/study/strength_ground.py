"""Checks of what touches the ground: stance, steering, clearance, wheel loads."""

from collections.abc import Iterator
from math import inf, tan
from typing import TYPE_CHECKING

import numpy as np

from sim.aeroplane.geometry import Aeroplane
from sim.checks.clearance import GRASS, gap, trailing_edge
from sim.checks.finding import RESERVE, Finding, unknown
from sim.checks.sentence import Sentence, sentence
from sim.checks.stance import NOSE_SHARE_LIMITS, Limit, StanceItem
from sim.checks.wheel_load import PEAK, ROUGHNESS, rough_load, touchdown_load, velocity_spectrum
from sim.prepare.parts import Parts
from sim.scenario.limits import Leg

if TYPE_CHECKING:
    from sim.report import Report

KINDS = {"rad": "angle", "m": "length", "-": "share"}
GIVEN = "given by you"
LIMITS = "aeroplane.limits"
HOPS = 1.0 + PEAK
"""Peak over standing load past which the wheel leaves the ground for a root mean square of 1 g."""


def stance_findings(report: "Report", scrapes: bool = True) -> Iterator[Finding]:
    """Every figure of the stance that somebody has a limit for."""
    for item in report.stance.items:
        for limit in item.limits:
            yield _stance_finding(item, limit)
    if not scrapes:
        yield unknown("stance", "tail-strike angle", "aeroplane.scrape_point")
    yield _steering(report)


def _stance_finding(item: StanceItem, limit: Limit) -> Finding:
    """The end of a source's range that is passed, or the nearer one."""
    at_least = limit.high == inf or item.value < limit.low
    if limit.low > 0.0 and limit.high < inf and not at_least:
        at_least = limit.low / item.value > item.value / limit.high
    note = " ".join(f"{remark[:1].upper()}{remark[1:]}." for remark in item.remarks)
    return Finding(
        "stance",
        item.name,
        value=item.value,
        kind=KINDS[item.unit],
        limit=limit.low if at_least else limit.high,
        at_least=at_least,
        source=f"{limit.source}; {limit.mark}",
        note=Sentence(note) if note else None,
    )


def _steering(report: "Report") -> Finding:
    """Smallest share of the weight on the nose wheel before the pull."""
    trace, p = report.result.trace, report.prepared.setup.parameters
    pull = report.result.event("pull")
    assert trace is not None
    until = pull.time if pull else inf
    before = np.flatnonzero(trace["time"] <= until)
    share = trace["nose_load"][before] / (p.mass * p.gravity)
    least = NOSE_SHARE_LIMITS[1].low
    under = before[share < least]
    note = None
    if under.size:
        row = int(under[0])
        note = sentence(
            "From {v} on, {d} into the roll, it hardly steers, and the pull has not begun.",
            v=(float(trace["airspeed"][row]), "speed"),
            d=(float(trace["distance"][row]), "distance"),
        )
    return Finding(
        "stance",
        "nose-wheel load over weight, least before the pull",
        value=float(share.min()),
        kind="share",
        limit=least,
        at_least=True,
        source="Raymer's least share standing, taken for rolling: judgement",
        note=note,
    )


def clearance_findings(report: "Report", parts: Parts) -> Iterator[Finding]:
    """Rotor and flaps over the grass, standing and at the highest pitch on the wheels."""
    limit = GRASS.get(parts.surface) if parts.surface else None
    attitudes = (("standing", report.stance.ground_attitude), ("nose highest", _highest(report)))
    if parts.rotor is not None:
        rotor = parts.rotor[0]
        if parts.limits.rotor_station is None:
            yield unknown("ground clearance", rotor, f"{LIMITS}.rotor_station")
        else:
            points = _rotor_points(report, parts, parts.limits.rotor_station)
            yield _clearance(f"{rotor}, lowest point", report, points, attitudes, limit)
    if parts.plane is not None and parts.plane.flaps is not None:
        points = _flap_points(parts.plane, max(parts.flap_angles))
        yield _clearance("flaps, trailing edge", report, points, attitudes, limit)


def _highest(report: "Report") -> float:
    """Highest pitch while the main wheels carry load [rad]."""
    trace = report.result.trace
    assert trace is not None
    down = trace["main_load"] > 0.0
    return float(trace["pitch"][down].max()) if down.any() else report.stance.ground_attitude


def _clearance(
    name: str,
    report: "Report",
    points: list[tuple[float, float]],
    attitudes: tuple[tuple[str, float], ...],
    limit: float | None,
) -> Finding:
    gaps = {when: gap(report.prepared.setup.parameters, points, pitch) for when, pitch in attitudes}
    when = min(gaps, key=lambda key: gaps[key])
    pitch = dict(attitudes)[when]
    return Finding(
        "ground clearance",
        name,
        value=gaps[when],
        kind="length",
        limit=float("nan") if limit is None else limit,
        at_least=True,
        source="grass of this surface, by its own description",
        note=sentence(f"Lowest {when}, at {{a}} of pitch.", a=(pitch, "angle")),
        missing=() if limit is not None else ("strip.surface",),
    )


def _rotor_points(report: "Report", parts: Parts, station: float) -> list[tuple[float, float]]:
    assert parts.rotor is not None
    p, x = report.prepared.setup.parameters, parts.cg[0] - station
    radius = 0.5 * parts.rotor[1]
    axis = p.thrust_z + x * tan(p.thrust_tilt)
    return [(x + radius * np.sin(p.thrust_tilt), axis - radius * np.cos(p.thrust_tilt))]


def _flap_points(plane: Aeroplane, down: float) -> list[tuple[float, float]]:
    wing, flaps = plane.wing, plane.flaps
    assert flaps is not None
    points = []
    for place in (flaps.inboard, flaps.outboard):
        leading = (
            plane.cg_station - wing.leading_edge_at(place),
            wing.root_height + place * tan(wing.dihedral) - plane.cg_height,
        )
        incidence = wing.incidence - wing.washout * place / wing.half_span
        chord, hinged = wing.chord_at(place), flaps.chord_fraction
        points.append(trailing_edge(leading, chord, hinged, (incidence, down)))
    return points


def wheel_findings(report: "Report", parts: Parts) -> Iterator[Finding]:
    """Touchdown and rough ground against what a leg stands."""
    yield _touchdown(report, parts)
    p, share = report.prepared.setup.parameters, report.stance.nose_share
    weight = p.mass * p.gravity
    mains = ("main_leg", parts.limits.main_leg, 0.5 * (1.0 - share) * weight)
    nose = ("nose_leg", parts.limits.nose_leg, share * weight)
    for key, leg, static in (mains, nose):
        if static <= 0.0:  # it sits on its tail, which the stance tells
            continue
        yield _rough(report, parts, key, leg, static)


def _touchdown(report: "Report", parts: Parts) -> Finding:
    leg, sink = parts.limits.main_leg, parts.limits.sink_speed
    name = "one main wheel, touchdown on both"
    needed = (("main_leg", leg), ("sink_speed", sink))
    if leg is None or sink is None:
        missing = [f"{LIMITS}.{key}" for key, given in needed if given is None]
        return unknown("wheels", name, *missing)
    p, stiffness = report.prepared.setup.parameters, leg.most_load / leg.travel
    both = touchdown_load(p.mass, p.gravity, sink, 2.0 * stiffness)
    one = touchdown_load(p.mass, p.gravity, sink, stiffness)
    note = sentence(
        "Sinking at {v}; all on one wheel {f}, less as it rolls. An order of magnitude.",
        v=(sink, "speed"),
        f=(one, "force"),
    )
    return _against(leg, name, 0.5 * both, note)


def _rough(report: "Report", parts: Parts, key: str, leg: Leg | None, static: float) -> Finding:
    which = "one main wheel" if key == "main_leg" else "nose wheel"
    name = f"{which}, rough ground"
    missing = [] if leg else [f"{LIMITS}.{key}"]
    missing += [] if parts.roughness else ["strip.roughness"]
    if leg is None or parts.roughness is None:
        return unknown("wheels", name, *missing)
    trace, p = report.result.trace, report.prepared.setup.parameters
    assert trace is not None
    rolling = trace["main_load"] + trace["nose_load"] > 0.0
    speed = float(np.max(trace["ground_speed"][rolling]))
    spectrum = velocity_spectrum(ROUGHNESS[parts.roughness], speed)
    load = rough_load(static, p.gravity, leg.most_load / leg.travel, spectrum)
    hops = load > HOPS * static
    words = "It hops, which this sum leaves out." if hops else "An order of magnitude."
    note = sentence(
        f"Class {parts.roughness} of ISO 8608 at {{v}}, {{s}} standing. {words}",
        v=(speed, "speed"),
        s=(static, "force"),
    )
    return _against(leg, name, load, note)


def _against(leg: Leg, name: str, load: float, note: Sentence) -> Finding:
    return Finding(
        "wheels", name, value=load, limit=leg.most_load, source=GIVEN, reserve=RESERVE, note=note
    )
