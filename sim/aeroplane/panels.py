"""Panels of wing and tail: places, local angles per input, and lift and moment weights.

Lattice axes sit at the CG: x aft, y to the right, z up [m]; only the right half is panelled.
Each panel carries its bound vortex at its quarter and its control point at its three-quarter
chord. Wing and tail share every spanwise edge: with both nearly in one plane a wing's trailing
vortex must never pass a tail control point closer than half a strip, or the moment slope is
garbage.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.aeroplane.geometry import Aeroplane, Surface
from sim.aeroplane.section import mean_line, quarter_moment, zero_lift_angle
from sim.roll.aero_table import Array

WING_CHORDWISE = 6
TAIL_CHORDWISE = 4
STRIPS = 12
"""Strips on the half wing, about: every cut starts a new one."""
TIP_INSET = 0.25
"""Lattice ends this share of a strip inside the tip: even strips then converge to the second
order. Source: Hough, Journal of Aircraft 10 (1973), 314-317 (from memory)."""


@dataclass(frozen=True)
class SurfacePanels:
    """One surface's right half: `n` chordwise rows by `s` strips.

    Attributes
    ----------
    nodes: (n + 1, s + 1, 3) ends of the bound vortices, last row on the trailing edge [m].
    control: (n, s, 3) control points [m].
    normal: (3,) unit normal of the untwisted surface [-].
    edges: (s + 1,) spanwise places of the strip edges [m].
    angles: (n s, 5) local angle per input (1, alpha, flap, elevator, q) [rad per unit].
    pure_moment: moment coefficient on S and c that no panel lift carries (given sections) [-].

    """

    nodes: Array
    control: Array
    normal: Array
    edges: Array
    angles: Array
    pure_moment: float

    @property
    def count(self) -> int:
        """Number of panels."""
        return self.control.size // 3

    @property
    def bound_x(self) -> Array:
        """Aft place of the middle of each bound vortex, shape (n s,) [m]."""
        x = self.nodes[:-1, :, 0]
        return np.asarray(0.5 * (x[:, 1:] + x[:, :-1])).ravel()

    @property
    def widths(self) -> Array:
        """Spanwise width of each panel, shape (n s,) [m]."""
        return np.tile(np.diff(self.edges), self.control.shape[0])


def spanwise_edges(aeroplane: Aeroplane, strips: int = STRIPS) -> tuple[Array, Array]:
    """Strip edges of wing and tail [m], shared where both exist, cut at flap ends and tips."""
    return _strips(aeroplane, strips)[0]


def strip_counts(aeroplane: Aeroplane) -> tuple[int, ...]:
    """Strips of each part of the half span, from the middle outward."""
    return _strips(aeroplane, STRIPS)[1]


def _strips(aeroplane: Aeroplane, strips: int) -> tuple[tuple[Array, Array], tuple[int, ...]]:
    """Edges of wing and tail, and how many strips each part has."""
    wing, tail = aeroplane.wing.half_span, aeroplane.tail.surface.half_span
    tips = [wing] if abs(wing - tail) < 1e-9 * wing else [wing, tail]
    cuts = [0.0, *tips]
    least = 0.15 * wing / strips  # a flap end closer than this to a cut is not cut again
    for place in (aeroplane.flaps.inboard, aeroplane.flaps.outboard) if aeroplane.flaps else ():
        if min(abs(place - cut) for cut in cuts) > least:
            cuts.append(place)
    cuts.sort()
    kept = aeroplane.strips if len(aeroplane.strips or ()) == len(cuts) - 1 else None
    edges, ends, counts = [0.0], {}, []
    for part, upper in enumerate(cuts[1:]):
        lower = edges[-1]
        wanted = kept[part] * strips / STRIPS if kept else (upper - lower) / wing * strips
        pieces = max(1, round(wanted))
        counts.append(pieces)
        end = upper
        if upper in tips:
            end -= TIP_INSET / (pieces + TIP_INSET) * (upper - lower)
            ends[upper] = end
        edges.extend(np.linspace(lower, end, pieces + 1)[1:])
    whole = np.array(edges)
    both = whole[whole <= ends[tips[0]]], whole[whole <= ends[tips[-1]]]
    return both, tuple(counts)


def hinged_share(rows: int, chord_fraction: float) -> Array:
    """Share of each row's slope that a hinged rear part turns, shape (rows,) [-].

    A control point speaks for the chord between its vortex and the next,
    `[(i + 1/4)/n, (i + 5/4)/n]`; a panel cut by the hinge is weighted by the hinged share of it.
    Range: `0 < E < 1`. Worked: 4 rows, E = 0.25: (0, 0, 0.25, 1). Source: computed; with it the
    plane lattice meets Glauert's flap values, without it a hinge on a panel edge loses 5 %.
    """
    start = (np.arange(rows) + 0.25) / rows
    end = start + 1 / rows
    return np.asarray(np.clip((end - (1 - chord_fraction)) * rows, 0.0, 1.0))


def share_of_span(edges: Array, inboard: float, outboard: float) -> Array:
    """Share of each strip that lies between two places, shape (strips,) [-]."""
    covered = np.minimum(edges[1:], outboard) - np.maximum(edges[:-1], inboard)
    return np.asarray(np.clip(covered / np.diff(edges), 0.0, 1.0))


def _own_angles(surface: Surface, edges: Array, rows: int) -> Array:
    """Angle of each panel at zero alpha: incidence, washout, camber; shape (rows, strips) [rad]."""
    middle = 0.5 * (edges[1:] + edges[:-1])
    twist = surface.incidence - surface.washout * middle / surface.half_span
    section = surface.section
    if section.zero_lift_angle is None and section.moment is None:
        start = (np.arange(rows) + 0.25) / rows
        camber = -rows * (mean_line(section, start + 1 / rows) - mean_line(section, start))
    else:
        camber = np.full(rows, -zero_lift_angle(section))
    return np.asarray(twist * math.cos(surface.dihedral) + camber[:, None])


def _pure_moment(surface: Surface, reference: Surface) -> float:
    """Moment coefficient of given sections about their quarter chords, on the reference [-]."""
    section = surface.section
    if section.zero_lift_angle is None and section.moment is None:
        return 0.0
    chord_squared = surface.area * surface.mean_chord  # integral of c^2 over the span
    return quarter_moment(section) * chord_squared / (reference.area * reference.mean_chord)


def surface_panels(
    aeroplane: Aeroplane, surface: Surface, edges: Array, rows: int
) -> SurfacePanels:
    """Panel one surface; flap and elevator columns of `angles` stay zero."""
    fractions = np.append((np.arange(rows) + 0.25) / rows, 1.0)
    control_fractions = (np.arange(rows) + 0.75) / rows
    middle = 0.5 * (edges[1:] + edges[:-1])
    nodes = _points(aeroplane, surface, fractions, edges)
    control = _points(aeroplane, surface, control_fractions, middle)
    angles = np.zeros((rows, len(middle), 5))
    angles[..., 0] = _own_angles(surface, edges, rows)
    angles[..., 1] = math.cos(surface.dihedral)
    # turning nose up about the CG, a point aft of it sinks into the air: 2 q x/c
    turn = 2 / aeroplane.wing.mean_chord * control[..., 0]
    angles[..., 4] = turn * math.cos(surface.dihedral)
    return SurfacePanels(
        nodes=nodes,
        control=control,
        normal=np.array([0.0, -math.sin(surface.dihedral), math.cos(surface.dihedral)]),
        edges=edges,
        angles=angles.reshape(-1, 5),
        pure_moment=_pure_moment(surface, aeroplane.wing),
    )


def _points(aeroplane: Aeroplane, surface: Surface, fractions: Array, places: Array) -> Array:
    """Points at chord fractions and spanwise places, shape (fractions, places, 3) [m]."""
    chord = surface.root_chord + (surface.tip_chord - surface.root_chord) * (
        places / surface.half_span
    )
    points = np.empty((len(fractions), len(places), 3))
    leading = (surface.root_station - aeroplane.cg_station) + places * math.tan(surface.sweep)
    points[..., 0] = leading + fractions[:, None] * chord
    points[..., 1] = places
    points[..., 2] = (surface.root_height - aeroplane.cg_height) + places * math.tan(
        surface.dihedral
    )
    return points


def aeroplane_panels(
    aeroplane: Aeroplane, strips: int = STRIPS, refine: int = 1
) -> tuple[SurfacePanels, SurfacePanels]:
    """Panels of wing (with flaps) and tail (with elevator); `refine` multiplies every count."""
    wing_edges, tail_edges = spanwise_edges(aeroplane, strips * refine)
    wing_rows, tail_rows = WING_CHORDWISE * refine, TAIL_CHORDWISE * refine
    wing = surface_panels(aeroplane, aeroplane.wing, wing_edges, wing_rows)
    tail = surface_panels(aeroplane, aeroplane.tail.surface, tail_edges, tail_rows)
    flaps = aeroplane.flaps
    if flaps is not None:
        across = share_of_span(wing_edges, flaps.inboard, flaps.outboard)
        along = hinged_share(wing_rows, flaps.chord_fraction)
        wing.angles[:, 2] = np.outer(along, across).ravel()
    # elevator positive trailing edge up: the tail loses incidence
    along = np.ones(tail_rows)
    if aeroplane.tail.kind == "hinged":
        along = hinged_share(tail_rows, aeroplane.tail.elevator_chord_fraction or 0.0)
    tail.angles[:, 3] = -np.repeat(along, len(tail_edges) - 1)
    return wing, tail
