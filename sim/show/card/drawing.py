"""Side view over half a top view, to one scale, with dimensions and a ruler of stations."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from matplotlib.axes import Axes

from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.scenario import Scenario
from sim.scenario.aeroplane import MainWheels
from sim.show.card.measures import Stations, stations
from sim.show.card.plan import Plan, draw_plan, plan_of
from sim.show.card.setting import PLAIN, line_mm, rows_of, width_mm, write, write_lines
from sim.show.figures.side_view import Placed, Side, draw_side, ground_line, side_of
from sim.show.figures.style import FAINT, INK, PAPER
from sim.show.units import number, unit_of

LEFT, RIGHT, ABOVE, BETWEEN = 13.0, 9.0, 1.5, 13.0
"""Room around and between the views [mm]: dimensions stand there."""
TIP = 5.0
"""Below the top view, for the chords at the tips [mm]."""
LEAST_HALF = 0.06
"""Half width of a top view in which hardly anything is known, share of the length."""


@dataclass(frozen=True)
class Sheet:
    """Where the views lie [mm].

    Attributes
    ----------
    scale: millimetres on paper for a metre.
    left: of station 0.
    middle: of the reference height in the side view.
    centre: height of the top view's centreline.
    ruler: of the ruler.

    """

    scale: float
    left: float
    middle: float
    centre: float
    ruler: float

    def x(self, station: float) -> float:
        """Place of a station."""
        return self.left + self.scale * station


def draw_aeroplane(
    axes: Axes, size: tuple[float, float], made: tuple[Scenario, Prepared], system: str = "si"
) -> Axes:
    """Draw both views into axes measured in millimetres.

    Parameters
    ----------
    axes
        limits are set to `size`, and the axes' lines are taken away.
    size
        width and height of the axes [mm].
    made
        the scenario and its numbers.
    system
        "si" or "imperial".

    """
    scenario, prepared = made
    side = side_of(scenario, prepared)
    plan = plan_of(scenario, side)
    marks = stations(scenario, prepared)
    bare(axes, size)
    labels = [f"{name}\n{number(station, 'length', system)}" for name, station in marks.named]
    sheet = _fitted(size, side, plan, marks, labels)
    _guides(axes, sheet, marks)
    ends = _ends(side, plan)
    ground = ground_line(side, ends)
    up = sheet.middle + sheet.scale * (ground[:, 1] - side.cg[1])
    axes.plot([sheet.x(s) for s in ground[:, 0]], up, color=FAINT, linewidth=1.0, zorder=1)
    draw_side(axes, side, Placed(at=(sheet.x(side.cg[0]), sheet.middle), scale=sheet.scale))
    draw_plan(axes, plan, (sheet.left, sheet.centre), sheet.scale)
    axes.plot(
        [sheet.x(ends[0]), sheet.x(ends[1])], [sheet.centre] * 2, color=FAINT, linewidth=0.6,
        linestyle=(0, (8, 2, 1, 2)), zorder=4,
    )  # fmt: skip
    _wheelbase(axes, sheet, side, system)
    _chords(axes, sheet, plan, system)
    _spans(axes, sheet, plan, scenario.aeroplane.gear.main, system)
    _ruler(axes, sheet, marks, labels, system)
    return axes


def bare(axes: Axes, size: tuple[float, float]) -> None:
    """Axes whose data are millimetres, nothing drawn of themselves."""
    axes.set_xlim(0.0, size[0])
    axes.set_ylim(0.0, size[1])
    axes.set_axis_off()


def _points(side: Side) -> Array:
    """Corners of everything seen from the side, shape (n, 2) [m]."""
    wheels = [
        (w.station + dx * w.radius, w.height + dz * w.radius)
        for w in (side.main, side.nose)
        for dx, dz in ((-1, -1), (1, 1))
    ]
    shapes = [np.array(wheels), np.array([side.cg]), *side.wing, *side.tail]
    shapes += [side.body] if side.body is not None else []
    shapes += [np.array([side.scrape])] if side.scrape is not None else []
    return np.concatenate(shapes)


def _ends(side: Side, plan: Plan) -> tuple[float, float]:
    found = [_points(side)[:, 0], *(p[:, 0] for p in (*plan.fixed, *plan.moving))]
    every = np.concatenate(found)
    return float(every.min()), float(every.max())


def _half(side: Side, plan: Plan) -> float:
    """Largest distance off the centreline [m]."""
    shapes = (*plan.fixed, *plan.moving, *plan.wheels)
    low, high = _ends(side, plan)
    return max([float(p[:, 1].max()) for p in shapes] + [LEAST_HALF * (high - low)])


def _sheet(size: tuple[float, float], side: Side, plan: Plan, rows: int) -> Sheet:
    """The largest scale at which everything has room."""
    low, high = _ends(side, plan)
    heights = _points(side)[:, 1]
    up, down = float(heights.max()) - side.cg[1], side.cg[1] - float(heights.min())
    half = _half(side, plan)
    below = (2 * rows + 1) * line_mm() + 3.0
    room = size[1] - ABOVE - BETWEEN - TIP - below
    scale = min((size[0] - LEFT - RIGHT) / (high - low), room / (up + down + half))
    spare = room - scale * (up + down + half)
    middle = size[1] - ABOVE - scale * up - 0.4 * spare
    centre = middle - scale * down - BETWEEN
    wide = size[0] - LEFT - RIGHT - scale * (high - low)
    left = LEFT + 0.5 * wide - scale * low
    return Sheet(scale, left, middle, centre, below)


def _rows(sheet: Sheet, marks: Stations, labels: list[str]) -> tuple[int, ...]:
    """Rows of the ruler's labels, one below the other where they crowd."""
    wide = [max(width_mm(line) for line in label.split("\n")) for label in labels]
    places = [sheet.x(station) for _, station in marks.named]
    return rows_of([(x - 0.5 * w, w) for x, w in zip(places, wide, strict=True)])


def _fitted(
    size: tuple[float, float], side: Side, plan: Plan, marks: Stations, labels: list[str]
) -> Sheet:
    """With no more room for the ruler's labels than they take."""
    sheet = _sheet(size, side, plan, 1)
    for rows in range(1, len(labels) + 1):
        sheet = _sheet(size, side, plan, rows)
        if max(_rows(sheet, marks, labels)) < rows:
            break
    return sheet


def _guides(axes: Axes, sheet: Sheet, marks: Stations) -> None:
    """Thin lines from the ruler up through both views."""
    for name, station in marks.named:
        axes.plot(
            [sheet.x(station)] * 2, [sheet.ruler, sheet.middle], color=FAINT, linewidth=0.5,
            linestyle=(0, (1, 2)), zorder=0.5, label=f"_guide {name}",
        )  # fmt: skip


def across(
    axes: Axes, ends: tuple[float, float], y: float, text: str, outward: float = 1.0
) -> None:
    """A dimension along the aeroplane, its number above the line or, where short, beside it.

    Parameters
    ----------
    axes, ends, y
        in millimetres.
    text
        the number.
    outward
        1: a number beside it stands right of it, -1: left.

    """
    _arrow(axes, (ends[0], y), (ends[1], y))
    how: dict[str, Any] = {"ha": "center", "va": "bottom"}
    place = 0.5 * (ends[0] + ends[1]), y + 0.5
    if ends[1] - ends[0] < width_mm(text):
        how = {"ha": "left" if outward > 0.0 else "right", "va": "center"}
        place = (max(ends) if outward > 0.0 else min(ends)) + outward, y
    write(axes, *place, text, zorder=7, **how).set_bbox(
        {"facecolor": PAPER, "edgecolor": "none", "pad": 0.3, "alpha": 0.85}
    )


def upright(axes: Axes, x: float, ends: tuple[float, float], text: str) -> None:
    """A dimension down from the centreline, its number beside it or, where short, below it."""
    _arrow(axes, (x, ends[0]), (x, ends[1]))
    short = abs(ends[0] - ends[1]) < width_mm(text) + 2.0
    place = (x, ends[1] - 1.0) if short else (x - 0.5, 0.5 * (ends[0] + ends[1]))
    write(
        axes, *place, text, rotation=90, zorder=7, ha="center" if short else "right",
        va="top" if short else "center",
    ).set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.3, "alpha": 0.85})  # fmt: skip


def _arrow(axes: Axes, start: tuple[float, float], end: tuple[float, float]) -> None:
    axes.annotate(
        "", xy=end, xytext=start, zorder=6,
        arrowprops={"arrowstyle": "<->", "color": INK, "linewidth": 0.6, "shrinkA": 0,
                    "shrinkB": 0, "mutation_scale": 5},
    )  # fmt: skip


def _wheelbase(axes: Axes, sheet: Sheet, side: Side, system: str) -> None:
    """From axle to CG to axle, below the wheels."""
    lowest = min(w.height - w.radius for w in (side.main, side.nose))
    y = sheet.middle + sheet.scale * (lowest - side.cg[1]) - 4.5
    stops = sorted((side.nose.station, side.cg[0], side.main.station))
    for outward, (ahead, behind) in zip((-1.0, 1.0), pairwise(stops), strict=True):
        words = number(behind - ahead, "length", system)
        across(axes, (sheet.x(ahead), sheet.x(behind)), y, words, outward)


def _chords(axes: Axes, sheet: Sheet, plan: Plan, system: str) -> None:
    """Chords at the root above the centreline, at the tip below it."""
    for surface in (plan.wing, plan.tail):
        if surface is None:
            continue
        for place, y in (
            (0.0, sheet.centre + 1.2),
            (surface.half_span, sheet.centre - sheet.scale * surface.half_span - 4.0),
        ):
            lead, chord = surface.leading_edge_at(place), surface.chord_at(place)
            ends = sheet.x(lead), sheet.x(lead + chord)
            across(axes, ends, y, number(chord, "length", system))


def _spans(axes: Axes, sheet: Sheet, plan: Plan, main: MainWheels, system: str) -> None:
    """Half spans, flaps and half the track, off the centreline, left of what they measure."""

    def put(x: float, off: float, reach: float, name: str) -> None:
        y = sheet.centre - sheet.scale * off
        axes.plot([x, reach], [y, y], color=FAINT, linewidth=0.5, zorder=5)
        upright(axes, x, (sheet.centre, y), f"{name} {number(off, 'length', system)}")

    if plan.wing is not None:
        tip = sheet.x(plan.wing.leading_edge_at(plan.wing.half_span))
        put(5.0, plan.wing.half_span, tip, "half span")
        if plan.flap is not None:
            inner, outer = plan.flap
            put(10.5, outer, sheet.x(plan.wing.leading_edge_at(outer)), "flap to")
            put(16.0, inner, sheet.x(plan.wing.leading_edge_at(inner)), "flap from")
    if main.track is not None:
        put(21.5, 0.5 * main.track, sheet.x(main.station), "half track")
    if plan.tail is not None:
        tail = plan.tail
        edge = tail.leading_edge_at(tail.half_span) + tail.chord_at(tail.half_span)
        x = sheet.x(max(edge, tail.leading_edge_at(0.0) + tail.chord_at(0.0))) + 6.0
        put(x, tail.half_span, sheet.x(edge), "half span")


def _ruler(axes: Axes, sheet: Sheet, marks: Stations, labels: list[str], system: str) -> None:
    """Stations aft of the datum, each named, in rows where they crowd."""
    places = [sheet.x(station) for _, station in marks.named]
    axes.plot(
        [min(places) - 3, max(places) + 3], [sheet.ruler] * 2, color=INK, linewidth=0.9, zorder=2
    )
    for x, label, row in zip(places, labels, _rows(sheet, marks, labels), strict=True):
        y = sheet.ruler - 1.0 - 2 * row * line_mm()
        axes.plot([x, x], [sheet.ruler + 0.8, y + 0.4], color=INK, linewidth=0.6, zorder=2)
        for line in write_lines(axes, x, y, label.split("\n"), ha="center", zorder=3):
            line.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.2})
    unit = unit_of("length", system).symbol
    words = f"stations and dimensions [{unit}], stations aft of the datum"
    write(axes, places[0] - 3, 0.2, words, PLAIN, va="bottom", color=FAINT)
