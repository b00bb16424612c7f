"""The aeroplane from above, the right half of it, in stations and distances off the centreline.

As in the side view only what was measured is drawn. What has no track has no main wheel here.
"""

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon

from sim.aeroplane.geometry import Surface
from sim.roll.aero_table import Array
from sim.scenario import Scenario
from sim.scenario.aeroplane import Gear
from sim.show.card.planform import planform
from sim.show.figures.side_view import BODY_TINT, SURFACE_TINT, Side
from sim.show.figures.style import INK, LINES

USUAL_TYRE = 0.35
"""Width over diameter of a tyre whose width is not given, for the drawing only."""
MOVES = "#f0c9a4"
"""Tint of what moves: flaps, elevator, an all-moving tail."""


@dataclass(frozen=True)
class Plan:
    """Half outlines, each shape (points, 2): station aft of the datum, off the centreline [m].

    Attributes
    ----------
    wing, tail: planforms as measured; None when not known.
    fixed, moving: areas that stay, and flaps, elevator or an all-moving tail.
    body: half the fuselage; None when length, width or depth are not given.
    wheels: tyres.
    flap: inner and outer end of the flaps off the centreline [m]; None without.
    pivot: of an all-moving tail: station [m], half its span drawn; None without.

    """

    wing: Surface | None
    tail: Surface | None
    fixed: tuple[Array, ...]
    moving: tuple[Array, ...]
    body: Array | None
    wheels: tuple[Array, ...]
    flap: tuple[float, float] | None
    pivot: float | None


def plan_of(scenario: Scenario, side: Side) -> Plan:
    """Gather what a top view needs; the body's outline is that of the side view, made as wide."""
    a = scenario.aeroplane
    wing, tail = (planform(s) if s is not None else None for s in (a.wing, a.tail))
    fixed = [_strip(wing, 0.0, wing.half_span, 0.0)] if wing else []
    moving: list[Array] = []
    flap = None
    if wing and a.wing and a.wing.flaps:
        flap = (a.wing.flaps.inboard, a.wing.flaps.outboard)
        moving.append(_strip(wing, *flap, 1.0 - a.wing.flaps.chord_fraction))
    if tail and a.tail:
        whole = _strip(tail, 0.0, tail.half_span, 0.0)
        (moving if a.tail.kind == "all-moving" else fixed).append(whole)
        share = a.tail.elevator_chord_fraction
        if a.tail.kind == "hinged" and share:
            moving.append(_strip(tail, 0.0, tail.half_span, 1.0 - share))
    pivot = a.tail.pivot.station if a.tail and a.tail.pivot else None
    body = _body(side, a.body.width / a.body.depth) if a.body else None
    return Plan(wing, tail, tuple(fixed), tuple(moving), body, tuple(_wheels(a.gear)), flap, pivot)


def _strip(surface: Surface, inner: float, outer: float, share: float) -> Array:
    """The area from a share of the chord to the trailing edge, between two places [m]."""
    corners = []
    for y in (inner, outer):
        lead, chord = surface.leading_edge_at(y), surface.chord_at(y)
        corners.append(((lead + share * chord, y), (lead + chord, y)))
    (a, b), (c, d) = corners
    return np.array([a, c, d, b])


def _body(side: Side, widened: float) -> Array | None:
    """Upper half of the side view's outline about its middle, made as wide as the body is."""
    if side.body is None:
        return None
    upper = side.body[: len(side.body) // 2]  # the lower half follows it
    outer = np.column_stack([upper[:, 0], (upper[:, 1] - side.cg[1]) * widened])
    return np.concatenate([outer, [(outer[-1, 0], 0.0), (outer[0, 0], 0.0)]])


def _wheels(gear: Gear) -> list[Array]:
    found = [_tyre(gear.nose.station, 0.0, gear.nose.wheel_diameter, gear.nose.wheel_width)]
    if gear.main.track is not None:
        main = gear.main
        found.append(
            _tyre(main.station, 0.5 * gear.main.track, main.wheel_diameter, main.wheel_width)
        )
    return found


def _tyre(station: float, off: float, diameter: float, width: float | None) -> Array:
    """Seen from above; the half of a wheel on the centreline that is drawn."""
    half = 0.5 * (width if width is not None else USUAL_TYRE * diameter)
    inner = max(off - half, 0.0)
    ends = (station - 0.5 * diameter, station + 0.5 * diameter)
    outer = off + half
    return np.array([(ends[0], inner), (ends[1], inner), (ends[1], outer), (ends[0], outer)])


def draw_plan(axes: Axes, plan: Plan, origin: tuple[float, float], scale: float) -> Axes:
    """Draw the half below a centreline at `origin`, the place of station 0; `scale` of lengths."""

    def shape(points: Array, tint: str, order: float, line: float = 0.7) -> None:
        placed = np.column_stack(
            [origin[0] + scale * points[:, 0], origin[1] - scale * points[:, 1]]
        )
        axes.add_patch(
            Polygon(placed, closed=True, facecolor=tint, edgecolor=INK, linewidth=line,
                    zorder=order, joinstyle="round")
        )  # fmt: skip

    for points in plan.fixed:
        shape(points, SURFACE_TINT, 3.0)
    for points in plan.moving:
        shape(points, MOVES, 3.2)
    if plan.body is not None:
        shape(plan.body, BODY_TINT, 3.4)
    for points in plan.wheels:
        shape(points, INK, 3.45)
    if plan.pivot is not None and plan.tail is not None:
        x = origin[0] + scale * plan.pivot
        axes.plot(
            [x, x], [origin[1], origin[1] - scale * plan.tail.half_span], color=LINES["second"],
            linewidth=1.0, linestyle=(0, (6, 2, 1, 2)), zorder=3.5,
        )  # fmt: skip
    return axes
