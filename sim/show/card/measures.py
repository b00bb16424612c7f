"""Every measurement to build to, as labels and values; what a scenario does not know is told."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import radians, tan

from sim.prepare.prepared import Prepared
from sim.roll.attitude import ground_attitude
from sim.scenario import Scenario
from sim.scenario.surfaces import Surface
from sim.show.card.planform import planform
from sim.show.units import quantity, unit_of

Row = tuple[str, str]
LEVEL = radians(0.05)
"""Angles that print as nothing are left out [rad]."""


@dataclass(frozen=True)
class Group:
    """Some measurements of one part: label and value of each."""

    name: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Stations:
    """Places along the aeroplane [m aft of the datum], by name, rising."""

    named: tuple[tuple[str, float], ...]


def measures(scenario: Scenario, prepared: Prepared, system: str) -> tuple[Group, ...]:
    """What to build to, part by part."""
    groups = (
        Group("Whole", tuple(_whole(scenario, prepared, system))),
        Group("Wheels", tuple(_wheels(scenario, prepared, system))),
        Group("Wing", tuple(_wing(scenario, system))),
        Group("Tail", tuple(_tail(scenario, system))),
        Group("Thrust", tuple(_thrust_line(scenario, system))),
    )
    return tuple(group for group in groups if group.rows)


def _lengths(system: str, *values: float) -> str:
    """Several lengths, the unit once."""
    unit = unit_of("length", system)
    shown = [quantity(value, "length", system).split()[0] for value in values]
    return f"{' / '.join(shown)} {unit.symbol}"


def cg_of(scenario: Scenario, prepared: Prepared) -> tuple[float, float]:
    """Station and height of the CG as rolled, changes included [m]."""
    main, p = scenario.aeroplane.gear.main, prepared.setup.parameters
    return main.station + p.main_x, main.axle_height - p.main_z


def _whole(scenario: Scenario, prepared: Prepared, system: str) -> Iterator[Row]:
    a, p = scenario.aeroplane, prepared.setup.parameters
    station, height = cg_of(scenario, prepared)
    yield "mass, ready for take-off", quantity(p.mass, "mass", system)
    yield "CG station / height", _lengths(system, station, height)
    named = {"length": a.length}
    if a.body is not None:
        named |= {"body width": a.body.width, "depth": a.body.depth}
    known = {name: value for name, value in named.items() if value is not None}
    if known:
        yield " / ".join(known), _lengths(system, *known.values())
    if a.scrape_point is not None:
        point = a.scrape_point
        yield "scrape point station / height", _lengths(system, point.station, point.height)


def _wheels(scenario: Scenario, prepared: Prepared, system: str) -> Iterator[Row]:
    gear, p = scenario.aeroplane.gear, prepared.setup.parameters
    cg = cg_of(scenario, prepared)
    nose_height = cg[1] + p.nose_z
    yield "mains axle station / height", _lengths(system, gear.main.station, gear.main.axle_height)
    yield "nose axle station / height", _lengths(system, gear.nose.station, nose_height)
    behind, base = gear.main.station - cg[0], gear.main.station - gear.nose.station
    yield "mains behind the CG / wheelbase", _lengths(system, behind, base)
    if gear.main.track is not None:
        yield "track", _lengths(system, gear.main.track)
    wheels = gear.main.wheel_diameter, gear.nose.wheel_diameter
    yield "wheel diameter main / nose", _lengths(system, *wheels)
    yield "stands nose up", quantity(float(ground_attitude(p)), "angle", system)


def _surface(surface: Surface, system: str) -> Iterator[Row]:
    lead = surface.root_leading_edge
    sizes = surface.span, surface.root_chord, surface.tip_chord
    yield "span / chord root / tip", _lengths(system, *sizes)
    yield "leading edge root station / height", _lengths(system, lead.station, lead.height)
    back = 0.5 * surface.span * tan(surface.sweep)
    sweep = quantity(surface.sweep, "angle", system)
    yield "tip behind root, leading edge", f"{_lengths(system, back)} ({sweep})"
    yield "incidence at the root", quantity(surface.incidence, "angle", system)


def _wing(scenario: Scenario, system: str) -> Iterator[Row]:
    wing = scenario.aeroplane.wing
    if wing is None:
        return
    yield from _surface(wing, system)
    for name, angle in (("washout", wing.washout), ("dihedral", wing.dihedral)):
        if abs(angle) >= LEVEL:
            yield name, quantity(angle, "angle", system)
    flaps = wing.flaps
    if flaps is not None:
        ends = _lengths(system, flaps.inboard, flaps.outboard)
        yield f"{flaps.kind} flaps from / to, off the centre", ends
        shape, places = planform(wing), (flaps.inboard, flaps.outboard)
        chords = [flaps.chord_fraction * shape.chord_at(place) for place in places]
        yield "flap chord inner / outer end", _lengths(system, *chords)


def _tail(scenario: Scenario, system: str) -> Iterator[Row]:
    tail = scenario.aeroplane.tail
    if tail is None:
        return
    yield from _surface(tail, system)
    share = tail.elevator_chord_fraction
    if tail.kind == "hinged" and share:
        chords = (share * tail.root_chord, share * tail.tip_chord)
        yield "elevator chord inner / outer end", _lengths(system, *chords)
    if tail.kind == "all-moving" and tail.pivot is not None:
        yield "pivot station", _lengths(system, tail.pivot.station)


def _thrust_line(scenario: Scenario, system: str) -> Iterator[Row]:
    line = scenario.power.thrust_line
    if line is not None:
        tilt = quantity(line.tilt, "angle", system)
        yield "line's height at the CG / tilt up", f"{_lengths(system, line.height)} / {tilt}"


def stations(scenario: Scenario, prepared: Prepared) -> Stations:
    """What the ruler under the drawing marks."""
    a = scenario.aeroplane
    found = {
        "nose axle": a.gear.nose.station,
        "CG": cg_of(scenario, prepared)[0],
        "main axle": a.gear.main.station,
    }
    for name, surface in (("wing", a.wing), ("tail", a.tail)):
        if surface is not None:
            found[name] = surface.root_leading_edge.station
    if a.scrape_point is not None:
        found["scrape"] = a.scrape_point.station
    return Stations(tuple(sorted(found.items(), key=lambda pair: pair[1])))


def not_known(scenario: Scenario) -> tuple[str, ...]:
    """What is neither drawn nor listed, because the file does not say it."""
    a = scenario.aeroplane
    parts = {
        "wing": a.wing, "tail": a.tail, "body": a.body if a.length else None,
        "track": a.gear.main.track, "scrape point": a.scrape_point,
    }  # fmt: skip
    missing = [name for name, part in parts.items() if part is None]
    why = " (the file gives coefficients)" if a.coefficients is not None else ""
    return (f"Not in the file, so not drawn: {', '.join(missing)}{why}.",) if missing else ()
