"""What stands and moves in a replay: outlines in body axes, hinges, wheels, the strip.

Everything comes from the side view of the scenario (`sim.show.figures.side_view`), turned from
stations and heights into body axes at the CG: x forward, z up [m]. An aeroplane of given
coefficients has no wing and no tail in its file, and none in the picture.
"""

from math import cos, hypot, isfinite, sin, tan
from typing import Any

import numpy as np

from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.roll.parameters import Parameters
from sim.scenario.aeroplane import Aeroplane
from sim.scenario.fields import Part
from sim.scenario.keys import keys_of
from sim.scenario.resolving import resolved_name
from sim.scenario.surfaces import Tail
from sim.show.figures.side_view import (
    Side,
    Wheel,
    section_outline,
    side_of_aeroplane,
    thickness_of,
)

USUAL_ELEVATOR = 0.3
"""Elevator chord over tail chord that is drawn when it is not given."""
PIVOT = 0.25
"""An all-moving tail without a pivot in its file is drawn turning about this share of its chord."""
WEDGE = 0.12
"""Thickness of a flap at its hinge over its length, for the drawing only."""
DIGITS = 4
"""Lengths are kept to a tenth of a millimetre."""


def scene_of(prepared: Prepared) -> dict[str, Any]:
    """Outlines, moving surfaces, wheels, places of the forces and the strip, JSON-able [m].

    `surfaces` turn about their hinge by the column of their name, trailing edge down positive;
    `points` are where force arrows begin: lift and tail force at their centres, thrust ahead of
    the nose and drag behind the tail, each at its height, where they can be seen;
    `thrust_tilt` is that of the thrust line, upward positive [rad].
    """
    p = prepared.setup.parameters
    aeroplane = aeroplane_of(prepared)
    side = side_of_aeroplane(aeroplane, prepared) if aeroplane else _wheels_alone(p)
    outlines = [] if side.body is None else [_shape("fuselage", side, side.body)]
    surfaces: list[dict[str, Any]] = []
    tail = aeroplane.tail if aeroplane else None
    if tail is not None:
        moving, hinge, fixed = _tail(tail, side)
        outlines += [_shape("tail", side, points) for points in fixed]
        surfaces += [_moving("elevator", side, points, hinge) for points in moving]
    outlines += [_shape("wing", side, points) for points in side.wing]
    if side.flap is not None:
        surfaces.append(_moving("flap", side, _flap_wedge(side), side.flap[0]))
    return {
        "outlines": outlines,
        "surfaces": surfaces,
        "wheels": [_wheel("main", side, side.main), _wheel("nose", side, side.nose)],
        "points": _points(p, side, tail),
        "thrust_tilt": round(float(p.thrust_tilt), 6),
        "strip": _strip(p),
    }


def aeroplane_of(prepared: Prepared) -> Aeroplane | None:
    """The aeroplane as it was rolled, from the resolved scenario; None if it has no gear in it."""
    table = prepared.resolved.get("aeroplane")
    if not isinstance(table, dict) or not isinstance(table.get("gear"), dict):
        return None
    found = _rebuilt(Aeroplane, table)
    assert isinstance(found, Aeroplane)
    return found


def _rebuilt(model: type[Part], table: dict[str, Any]) -> Part:
    """Numbers of a resolved table in their model again, already checked when it was read."""
    found: dict[str, Any] = {}
    for name, key in keys_of(model).items():
        value = table.get(resolved_name(key))
        if key.table is not None and not key.many and isinstance(value, dict):
            value = _rebuilt(key.table, value)
        found[name] = value
    return model.model_construct(**found)


def _wheels_alone(p: Parameters) -> Side:
    """Wheels and CG, all that is known of an aeroplane without a tape measure; CG at (0, 0)."""
    return Side(
        body=None,
        wing=(),
        tail=(),
        flap=None,
        main=Wheel(-float(p.main_x), float(p.main_z), float(p.main_radius)),
        nose=Wheel(-float(p.nose_x), float(p.nose_z), float(p.nose_radius)),
        cg=(0.0, 0.0),
        scrape=None,
    )


def _tail(tail: Tail, side: Side) -> tuple[list[Array], Array, list[Array]]:
    """What moves, the hinge, and what stays."""
    lead, chord = tail.root_leading_edge, tail.root_chord
    if tail.kind == "all-moving":
        return list(side.tail), _pivot(tail), []
    share = 1.0 - (tail.elevator_chord_fraction or USUAL_ELEVATOR)
    at, thick = (lead.station, lead.height), thickness_of(tail)
    front, rear = (
        section_outline(at, chord, tail.incidence, thick, part)
        for part in ((0.0, share), (share, 1.0))
    )
    along = share * chord
    hinge = np.array([at[0] + along * cos(tail.incidence), at[1] - along * sin(tail.incidence)])
    return [rear], hinge, [front]


def _pivot(tail: Tail) -> Array:
    """Station and height about which an all-moving tail turns."""
    lead = tail.root_leading_edge
    if tail.pivot is not None:
        station = tail.pivot.station
    else:
        middle = 0.5 * (tail.root_chord + tail.tip_chord)
        station = lead.station + 0.25 * tail.span * tan(tail.sweep) + PIVOT * middle
    return np.array([station, lead.height - (station - lead.station) * sin(tail.incidence)])


def _flap_wedge(side: Side) -> Array:
    """The flap as it lies in the wing; `side.flap` has it let down as at the start."""
    assert side.flap is not None
    hinge = side.flap[0]
    length = hypot(*(side.flap[1] - hinge))
    root = side.wing[-1]
    lead, tail = root[0], root[root.shape[0] // 2]
    way = (tail - lead) / hypot(*(tail - lead))
    square = np.array([-way[1], way[0]]) * 0.5 * WEDGE * length
    return np.array([hinge + square, hinge + length * way, hinge - square])


def _body_axes(side: Side, points: Array) -> Array:
    points = np.asarray(points, dtype=float).reshape(-1, 2)
    return np.column_stack([side.cg[0] - points[:, 0], points[:, 1] - side.cg[1]])


def _rounded(points: Array) -> list[list[float]]:
    return [[round(float(x), DIGITS), round(float(z), DIGITS)] for x, z in points]


def _shape(name: str, side: Side, points: Array) -> dict[str, Any]:
    return {"name": name, "points": _rounded(_body_axes(side, points))}


def _moving(name: str, side: Side, points: Array, hinge: Array) -> dict[str, Any]:
    return _shape(name, side, points) | {"hinge": _rounded(_body_axes(side, hinge))[0]}


def _wheel(name: str, side: Side, wheel: Wheel) -> dict[str, Any]:
    axle = _rounded(_body_axes(side, np.array([wheel.station, wheel.height])))[0]
    return {
        "name": name,
        "axle": axle,
        "radius": round(wheel.radius, DIGITS),
        "leg": [axle, [axle[0], 0.0]],
    }


def _points(p: Parameters, side: Side, tail: Tail | None) -> dict[str, list[float]]:
    """Where the arrows begin (see `scene_of`)."""
    shapes = [side.body] if side.body is not None else []
    ends = np.concatenate([*shapes, *side.wing, *side.tail, [side.cg]])
    ahead = max(side.cg[0] - float(ends[:, 0].min()), float(p.nose_x))
    behind = min(side.cg[0] - float(ends[:, 0].max()), float(p.tail_centre_x))
    height = tail.root_leading_edge.height - side.cg[1] if tail else float(p.lift_z)
    found = {
        "wing": (p.wing_centre_x, p.lift_z),
        "tail": (p.tail_centre_x, height),
        "thrust": (ahead, p.thrust_z + ahead * tan(float(p.thrust_tilt))),
        "drag": (behind, p.drag_z),
    }
    return {name: _rounded(np.array([at], dtype=float))[0] for name, at in found.items()}


def _strip(p: Parameters) -> dict[str, Any]:
    """The strip and what stands at its end; None for what there is not."""
    obstacle = None
    if isfinite(p.obstacle_distance):
        obstacle = {"place": float(p.obstacle_distance), "height": float(p.obstacle_height)}
    return {
        "length": float(p.strip_length) if isfinite(p.strip_length) else None,
        "obstacle": obstacle,
        "screen_height": float(p.screen_height),
        "slope": round(float(p.slope), 6),
    }
