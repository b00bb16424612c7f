"""The aeroplane from the side, as far as the scenario describes it.

Only what was measured is drawn: the body by its length and depth, wing and tail by their chords,
sweep, heights and incidence, the wheels, what scrapes, the CG. A fin, a canopy and the shape of the
body are not in a scenario and not in the picture. The body has no height of its own in a scenario;
it is drawn about the CG's height.
"""

from dataclasses import dataclass
from math import cos, sin, tan

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Polygon

from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.scenario import Scenario
from sim.scenario.aeroplane import Aeroplane
from sim.scenario.surfaces import Surface, Wing
from sim.show.figures.style import FAINT, INK, LINES, PAPER

BODY_TINT, SURFACE_TINT = "#eef1f4", "#c9d6e4"
USUAL_THICKNESS = 0.1
"""Thickness of a section that is not given, for the drawing only."""
POINTS = 25
FULL, TAPER = 0.22, 0.55
"""The body is drawn at full depth this share of its length back, and tapers by that to its end."""


@dataclass(frozen=True)
class Wheel:
    """Axle (station, height) and radius [m]."""

    station: float
    height: float
    radius: float


@dataclass(frozen=True)
class Side:
    """Outlines in stations (aft of the datum) and heights [m], each shape (points, 2).

    Attributes
    ----------
    body: None when length or depth are not given.
    wing, tail: root section, tip section and what lies between, seen from the side.
    flap: the flap's line at the root; None without.
    main, nose: wheels.
    cg, scrape: points; `scrape` None when nothing is given.

    """

    body: Array | None
    wing: tuple[Array, ...]
    tail: tuple[Array, ...]
    flap: Array | None
    main: Wheel
    nose: Wheel
    cg: tuple[float, float]
    scrape: tuple[float, float] | None


def side_of(scenario: Scenario, prepared: Prepared) -> Side:
    """Gather what a side view needs from a scenario and its numbers.

    The CG is that of the whole, changes included, as it was rolled.
    """
    return side_of_aeroplane(scenario.aeroplane, prepared)


def side_of_aeroplane(a: Aeroplane, prepared: Prepared) -> Side:
    """The same from the aeroplane alone."""
    p = prepared.setup.parameters
    main = a.gear.main
    cg = (main.station + p.main_x, main.axle_height - p.main_z)
    scrape = (a.scrape_point.station, a.scrape_point.height) if a.scrape_point else None
    wing, tail = a.wing, a.tail
    return Side(
        body=_body(a.length, a.body.depth, cg[1]) if a.length and a.body else None,
        wing=_surface(wing, wing.washout, wing.dihedral) if wing else (),
        tail=_surface(tail, 0.0, 0.0) if tail else (),
        flap=_flap(wing) if wing and wing.flaps else None,
        main=Wheel(main.station, main.axle_height, 0.5 * main.wheel_diameter),
        nose=Wheel(a.gear.nose.station, cg[1] + p.nose_z, 0.5 * a.gear.nose.wheel_diameter),
        cg=cg,
        scrape=scrape,
    )


def _body(length: float, depth: float, middle: float) -> Array:
    """An outline of the length and depth given: round at the front, tapering to the end."""
    along = 0.5 * (1.0 - np.cos(np.linspace(0.0, np.pi, 4 * POINTS)))
    half = 0.5 * depth * np.minimum(1.0, np.sqrt(along / FULL))
    half *= 1.0 - TAPER * np.clip((along - FULL) / (1.0 - FULL), 0.0, 1.0) ** 2
    top = np.column_stack([along * length, middle + half])
    bottom = np.column_stack([along * length, middle - half])[::-1]
    return np.concatenate([top, bottom])


def section_outline(
    lead: tuple[float, float],
    chord: float,
    incidence: float,
    thickness: float,
    part: tuple[float, float] = (0.0, 1.0),
) -> Array:
    """A thin shape of the chord's length and the section's thickness, nose up by its incidence.

    `part`: from where to where along the chord, such as (0, 0.7) for what lies ahead of a hinge.
    """
    share = part[0] + 0.5 * (part[1] - part[0]) * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS)))
    half = thickness * chord * 1.3 * (np.sqrt(share) - share) * 2.0 * 0.77
    along = np.concatenate([share, share[::-1]]) * chord
    up = np.concatenate([half, -half[::-1]])
    c, s = cos(incidence), sin(incidence)
    return np.column_stack([lead[0] + along * c + up * s, lead[1] - along * s + up * c])


def _surface(surface: Surface, washout: float, dihedral: float) -> tuple[Array, ...]:
    """Panel between root and tip, tip section, root section: drawn in this order."""
    half = 0.5 * surface.span
    root = (surface.root_leading_edge.station, surface.root_leading_edge.height)
    tip = (root[0] + half * tan(surface.sweep), root[1] + half * tan(dihedral))
    thickness = thickness_of(surface)
    sections = [
        section_outline(tip, surface.tip_chord, surface.incidence - washout, thickness),
        section_outline(root, surface.root_chord, surface.incidence, thickness),
    ]
    ends = [
        (lead[0] + chord * cos(angle), lead[1] - chord * sin(angle))
        for lead, chord, angle in (
            (root, surface.root_chord, surface.incidence),
            (tip, surface.tip_chord, surface.incidence - washout),
        )
    ]
    return np.array([root, tip, ends[1], ends[0]]), *sections


def thickness_of(surface: Surface) -> float:
    """Thickness of a surface's section over its chord [-]."""
    section = surface.section
    return (section.thickness if section else None) or USUAL_THICKNESS


def _flap(wing: Wing) -> Array:
    """The flap's chord line where it begins, let down by its deflection."""
    assert wing.flaps is not None
    share = wing.flaps.inboard / (0.5 * wing.span)
    chord = wing.root_chord + share * (wing.tip_chord - wing.root_chord)
    lead = wing.root_leading_edge.station + wing.flaps.inboard * tan(wing.sweep)
    height = wing.root_leading_edge.height + wing.flaps.inboard * tan(wing.dihedral)
    length = wing.flaps.chord_fraction * chord
    along, angle = chord - length, wing.incidence
    hinge = (lead + along * cos(angle), height - along * sin(angle))
    down = angle + wing.flaps.deflection
    return np.array([hinge, (hinge[0] + length * cos(down), hinge[1] - length * sin(down))])


@dataclass(frozen=True)
class Placed:
    """Where and how an aeroplane stands in a picture.

    Attributes
    ----------
    pitch: nose up [rad].
    at: where the CG is drawn; None: at its own station and height.
    facing: -1 nose to the left (stations grow to the right), 1 nose to the right.
    scale: of lengths, drawn over real.

    """

    pitch: float = 0.0
    at: tuple[float, float] | None = None
    facing: int = -1
    scale: float = 1.0


LEVEL = Placed()


def placed_points(side: Side, points: Array, placed: Placed = LEVEL) -> Array:
    """Points (station, height) turned about the CG and put in their place, shape (n, 2)."""
    points = np.asarray(points, dtype=float).reshape(-1, 2)
    forward, up = side.cg[0] - points[:, 0], points[:, 1] - side.cg[1]
    c, s = cos(placed.pitch), sin(placed.pitch)
    x, z = forward * c - up * s, forward * s + up * c
    at = side.cg if placed.at is None else placed.at
    return np.column_stack([at[0] + placed.facing * placed.scale * x, at[1] + placed.scale * z])


def draw_side(axes: Axes, side: Side, placed: Placed = LEVEL, zorder: float = 3.0) -> Axes:
    """Draw the aeroplane into axes of equal scales; the limits are the caller's."""

    def shape(points: Array, tint: str, line: float, order: float) -> None:
        axes.add_patch(
            Polygon(
                placed_points(side, points, placed), closed=True, facecolor=tint, edgecolor=INK,
                linewidth=line, zorder=zorder + order, joinstyle="round",
            )
        )  # fmt: skip

    for wheel in (side.main, side.nose):
        _leg(axes, side, wheel, placed, zorder)
    if side.body is not None:
        shape(side.body, BODY_TINT, 0.9, 0.1)
    for surface in (side.tail, side.wing):
        for order, points in enumerate(surface):
            shape(points, SURFACE_TINT, 0.5 if order == 0 else 0.8, 0.2 + 0.1 * order)
    if side.flap is not None:
        line = placed_points(side, side.flap, placed)
        axes.plot(line[:, 0], line[:, 1], color=LINES["second"], linewidth=1.8, zorder=zorder + 0.6)
    for wheel in (side.main, side.nose):
        x, z = placed_points(side, np.array([wheel.station, wheel.height]), placed)[0]
        axes.add_patch(
            Circle((x, z), wheel.radius * placed.scale, facecolor=INK, edgecolor=INK,
                   zorder=zorder + 0.7)
        )  # fmt: skip
        axes.add_patch(
            Circle((x, z), 0.4 * wheel.radius * placed.scale, facecolor=PAPER, zorder=zorder + 0.8)
        )
    if side.scrape is not None:
        x, z = placed_points(side, np.array(side.scrape), placed)[0]
        axes.plot([x], [z], "v", color=FAINT, markersize=4, zorder=zorder + 0.8)
    _cg(axes, side, placed, zorder + 0.9)
    return axes


def _leg(axes: Axes, side: Side, wheel: Wheel, placed: Placed, zorder: float) -> None:
    """A strut from the axle to the height of the CG, where no leg is described."""
    ends = np.array([(wheel.station, wheel.height), (wheel.station, side.cg[1])])
    line = placed_points(side, ends, placed)
    axes.plot(line[:, 0], line[:, 1], color=FAINT, linewidth=2.0, zorder=zorder)


def _cg(axes: Axes, side: Side, placed: Placed, zorder: float) -> None:
    """The CG's usual sign: a circle, two quarters of it black."""
    x, z = placed_points(side, np.array(side.cg), placed)[0]
    axes.plot([x], [z], "o", color=PAPER, markeredgecolor=INK, markersize=7, zorder=zorder)
    axes.plot(
        [x], [z], "o", markersize=6, color=INK, fillstyle="left", markerfacecoloralt=PAPER,
        markeredgecolor=INK, zorder=zorder + 0.01,
    )  # fmt: skip


def ground_line(side: Side, ends: tuple[float, float]) -> Array:
    """The ground under both wheels at two stations, reference line level, shape (2, 2)."""
    along = side.main.station - side.nose.station
    up = side.nose.height - side.main.height
    reach = float(np.hypot(along, up))
    lean = float(np.arcsin((side.nose.radius - side.main.radius) / reach) - np.arctan2(up, along))
    # contact lies a radius below the axle, square to the ground, which is nose-down by the attitude
    contact = (
        side.main.station + side.main.radius * sin(lean),
        side.main.height - side.main.radius * cos(lean),
    )
    stations = np.array(ends)
    heights = contact[1] + (stations - contact[0]) * tan(lean)
    return np.column_stack([stations, heights])
