"""Throws as the builder measures them: degrees, and the straight distance at the trailing edge.

A rule held at the trailing edge spans the chord of the arc, `2 c sin(delta/2)`, neither the arc nor
the height alone. It is held at the inner end of the surface, or on the root of an all-moving tail.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite, nan, sin

from sim.scenario import Scenario
from sim.scenario.surfaces import Flaps, Tail, Throw, Wing
from sim.show.card.planform import planform
from sim.show.units import quantity

HELD = "Straight distance of the trailing edge from neutral"
"""What every travel is."""


@dataclass(frozen=True)
class Travel:
    """One throw.

    Attributes
    ----------
    name: what moves, and where to.
    angle: [rad].
    arm: from the hinge or pivot to the trailing edge where the rule is held [m]; nan: not known.
    place: where that is.

    """

    name: str
    angle: float
    arm: float
    place: str

    @property
    def distance(self) -> float:
        """At the trailing edge [m]; nan without an arm."""
        return edge_travel(self.arm, self.angle)

    def text(self, system: str) -> str:
        """Such as "10.0 deg = 17 mm"."""
        angle = quantity(self.angle, "angle", system)
        if not isfinite(self.distance):
            return angle
        return f"{angle} = {quantity(self.distance, 'length', system)}"


def edge_travel(arm: float, angle: float) -> float:
    """Straight distance the trailing edge moves: `2 arm sin(angle/2)` [m, rad -> m].

    100 mm and 10 deg give 17.4 mm; chord of a circle, exact for any angle.
    """
    return 2.0 * arm * sin(0.5 * abs(angle))


def travels(scenario: Scenario) -> tuple[Travel, ...]:
    """Every throw a scenario knows."""
    a = scenario.aeroplane
    found: list[Travel] = []
    if a.tail is not None:
        arm, place = tail_arm(a.tail)
        name = "tail" if a.tail.kind == "all-moving" else "elevator"
        found += _throws(name, a.tail.throw, arm, place)
    elif a.coefficients is not None and a.coefficients.throw is not None:
        found += _throws("elevator", a.coefficients.throw, nan, "")
    if a.wing is not None and a.wing.flaps is not None:
        found += _flaps(scenario, a.wing, a.wing.flaps)
    return tuple(found)


def _throws(name: str, throw: Throw, arm: float, place: str) -> Iterator[Travel]:
    yield Travel(f"{name} up", throw.up, arm, place)
    yield Travel(f"{name} down", throw.down, arm, place)


def tail_arm(tail: Tail) -> tuple[float, str]:
    """From hinge or pivot to the trailing edge at the root [m], and where that is."""
    if tail.kind == "hinged":
        share = tail.elevator_chord_fraction
        return (share * tail.root_chord if share else nan), "at its inner end"
    if tail.pivot is None:
        return nan, ""
    edge = tail.root_leading_edge.station + tail.root_chord
    return edge - tail.pivot.station, "at the root"


def _flaps(scenario: Scenario, wing: Wing, flaps: Flaps) -> Iterator[Travel]:
    arm = flaps.chord_fraction * planform(wing).chord_at(flaps.inboard)
    if flaps.deflection != 0.0:
        yield Travel("flaps at the start", flaps.deflection, arm, "at their inner end")
    dropped = scenario.pilot.drop_flaps
    if dropped is not None:
        yield Travel("flaps dropped to", dropped.to, arm, "at their inner end")


def travel_notes(scenario: Scenario) -> tuple[str, ...]:
    """How the distances are meant, and which are missing."""
    found = travels(scenario)
    places = dict.fromkeys(t.place for t in found if isfinite(t.arm) and t.place)
    notes = [f"{HELD}, held {' and '.join(places)}."] if places else []
    if any(not isfinite(t.arm) for t in found):
        need = "aeroplane.tail.pivot" if scenario.aeroplane.tail else "a tail with its chords"
        notes.append(f"No distance at the tail's trailing edge: the file has no {need}.")
    tail = scenario.aeroplane.tail
    if tail is not None and tail.flap_mix != 0.0:
        notes.append(f"Mixed: {tail.flap_mix:g} deg of elevator, up positive, per deg of flap.")
    return tuple(notes)
