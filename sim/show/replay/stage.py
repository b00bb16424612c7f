"""The aeroplane on its strip at a moment: turned to its pitch, surfaces moving, forces on it.

The picture moves along with the CG; it faces right, the way the distance grows. Heights are
above the strip, whose slope is not drawn.
"""

from math import cos, sin
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Circle, Polygon

from sim.roll.aero_table import Array
from sim.show.figures.side_view import BODY_TINT, SURFACE_TINT
from sim.show.figures.style import FAINT, INK, LINES, PAPER
from sim.show.replay.arrows import KINDS, LETTERS, Arrow, added
from sim.show.replay.ground import Ground, View
from sim.show.replay.told import Told

LARGEST = 0.58
"""Length of the largest arrow, of the aeroplane's length."""
HALF_WIDTH = 0.88
"""Half of what is seen, of the aeroplane's length."""
LABELS = 0.085
"""Height of a label, of the aeroplane's length."""
SLACK = 0.1
"""It rises so far in the picture before the picture rises with it, of its length."""
NEAR = 0.2
"""How far from the CG the body lies under the label of the lift, of its length."""
GAP = 0.02
"""Between an arrow and its label, of its length."""
TINTS = {"fuselage": BODY_TINT, "wing": SURFACE_TINT, "tail": SURFACE_TINT}


def turned(points: Array, angle: float) -> Array:
    """Points (n, 2) turned nose up about the origin [rad]; x forward, z up."""
    c, s = cos(angle), sin(angle)
    x, z = np.asarray(points, dtype=float).reshape(-1, 2).T
    return np.column_stack([x * c - z * s, x * s + z * c])


class Stage:
    """One roll in axes of equal scales: `show(time)` puts everything where it is then."""

    def __init__(self, axes: Axes, told: Told, size: float, scale: float) -> None:
        """`size`: length of the aeroplane [m]; `scale`: metres drawn for a newton."""
        self.axes, self.told, self.size, self.scale = axes, told, size, scale
        self.scene = told.story["scene"]
        self.wheels = {wheel["name"]: wheel for wheel in self.scene["wheels"]}
        axes.set_aspect("equal")
        axes.axis("off")
        self.ground = Ground(axes, told, size)
        self.back = 0.0
        self._prepare_body()
        self.arrows = {name: Arrow(axes, name, size) for name in KINDS}
        self.height_words = axes.text(
            0.01, 0.02, "", fontsize=LETTERS, color=INK, zorder=9, transform=axes.transAxes
        )

    def rest(self) -> View:
        """What is seen before anything has risen [m]."""
        points = self.scene["points"]
        wing = max(float(points["wing"][1]), 0.0)
        middle = 0.5 * (float(points["thrust"][0]) + float(points["drag"][0]))
        half, room = HALF_WIDTH * self.size, LABELS * self.size
        rest, lift, load = (
            self.cg_height(0.0),
            min(*(self._most(n) for n in ("weight", "wing_lift"))),
            self._most("main_load"),
        )
        below = max(load, self._most("weight") - rest + room, 0.0) + room
        above = max(lift + wing + room, 2.0 * room)
        return View(middle - half, middle + half, -below, rest + above + SLACK * self.size)

    def _most(self, name: str) -> float:
        """Length of the longest arrow of a force [m]."""
        return self.scale * float(self.told.columns[name].max())

    def cg_height(self, time: float) -> float:
        """CG above the strip [m]: the mains' lowest point and what lies above it."""
        main = self.wheels["main"]
        axle = turned(np.array(main["axle"]), self.told.at("pitch", time))[0]
        return self.told.at("height", time) + float(main["radius"]) - float(axle[1])

    def show(self, time: float) -> None:
        """Put every artist where it is at a time of the roll [s]."""
        pitch, up = self.told.at("pitch", time), self.cg_height(time)
        lift = max(0.0, up - self.cg_height(0.0) - SLACK * self.size)
        rest = self.rest()
        wing = turned(np.array(self.scene["points"]["wing"]), pitch)[0]
        tip = up + float(wing[1]) + self.scale * self.told.at("wing_lift", time)
        lift = max(lift, tip + LABELS * self.size - rest.top)
        view = View(rest.left, rest.right, rest.bottom + lift, rest.top + lift)
        self.axes.set_xlim(view.left, view.right)
        self.axes.set_ylim(view.bottom, view.top)
        self._show_body(pitch, up, time)
        self.ground.show(self.told.at("distance", time), view)
        self._show_forces(pitch, up, time)
        height = self.told.shown(self.told.at("height", time), "length", 1)
        self.height_words.set_text(f"wheels {height} up" if view.bottom > 0.0 else "")

    def _prepare_body(self) -> None:
        self.shapes: list[tuple[Polygon, dict[str, Any], bool]] = []
        for order, shape in enumerate(self.scene["outlines"]):
            self._add_shape(shape, TINTS[shape["name"]], 3.0 + 0.05 * order, False)
        for shape in self.scene["surfaces"]:
            self._add_shape(shape, LINES["second"], 3.9, True)
        self.legs = {
            name: self.axes.plot([], [], color=FAINT, linewidth=3.0, zorder=2.5)[0]
            for name in self.wheels
        }
        self.tyres = {
            name: added(
                self.axes,
                Circle((0.0, 0.0), wheel["radius"], facecolor=INK, edgecolor=INK, zorder=4.2,
                       label=f"{name} wheel"),
            )
            for name, wheel in self.wheels.items()
        }  # fmt: skip
        (self.cg,) = self.axes.plot(
            [], [], "o", color=PAPER, markeredgecolor=INK, markersize=7, zorder=8.5, label="CG"
        )

    def _add_shape(self, shape: dict[str, Any], tint: str, order: float, moving: bool) -> None:
        patch = Polygon(
            np.array(shape["points"]), closed=True, facecolor=tint, edgecolor=INK, linewidth=0.8,
            zorder=order, joinstyle="round", label=shape["name"],
        )  # fmt: skip
        self.axes.add_patch(patch)
        self.shapes.append((patch, shape, moving))

    def _show_body(self, pitch: float, up: float, time: float) -> None:
        shift = np.array([0.0, up])
        self.back = up  # top of what lies near the CG, above which the lift's label stands
        for patch, shape, moving in self.shapes:
            points = np.array(shape["points"])
            if moving:
                hinge = np.array(shape["hinge"])
                points = turned(points - hinge, self.told.at(shape["name"], time)) + hinge
            placed = turned(points, pitch) + shift
            patch.set_xy(placed)
            near = np.abs(placed[:, 0]) < NEAR * self.size
            self.back = max([self.back, *placed[near, 1].tolist()])
        for name, wheel in self.wheels.items():
            ends = turned(np.array(wheel["leg"]), pitch) + shift
            self.legs[name].set_data(ends[:, 0], ends[:, 1])
            self.tyres[name].set_center((float(ends[0, 0]), float(ends[0, 1])))
        self.cg.set_data([0.0], [up])

    def _show_forces(self, pitch: float, up: float, time: float) -> None:
        """Lift and tail force straight up, drag straight back: the path is nearly level."""
        at, upward, shift = self.told.at, np.array([0.0, 1.0]), np.array([0.0, up])
        begin = {
            name: turned(np.array(place), pitch)[0] + shift
            for name, place in self.scene["points"].items()
        }
        ahead = turned(np.array([1.0, 0.0]), pitch + self.scene["thrust_tilt"])[0]
        self._force("weight", shift, -at("weight", time) * upward)
        self._force("wing", begin["wing"], at("wing_lift", time) * upward)
        self._force("tail", begin["tail"], at("tail_lift", time) * upward)
        self._force("thrust", begin["thrust"], at("thrust", time) * ahead)
        self._force("drag", begin["drag"], np.array([-at("drag", time), 0.0]))
        for name, tyre in self.tyres.items():
            load = at(f"{name}_load", time)
            foot = np.array(tyre.get_center()) - self.wheels[name]["radius"] * upward
            self._force(name, foot - self.scale * load * upward, load * upward)

    def _force(self, name: str, start: Array, force: Array) -> None:
        """One arrow to scale; those of wheel loads end at the wheel."""
        way, arrow = self.scale * force, self.arrows[name]
        gap = GAP * self.size
        downward = name == "tail" and way[1] <= 0.0
        place = {
            "weight": start + way + np.array([gap, 0.5 * gap]),
            "wing": np.array([start[0], max(float((start + way)[1]), self.back) + gap]),
            "tail": start + way + np.array([0.0, -gap if downward else gap]),
            "main": start - np.array([1.5 * gap, 0.0]),
            "nose": start + way + np.array([2.0 * gap, -0.5 * gap]),
        }.get(name, start + 0.5 * way + np.array([0.0, 2.0 * gap]))
        if name == "tail":
            arrow.text.set_verticalalignment("top" if downward else "bottom")
        size = self.told.shown(float(np.hypot(*force)), "force")
        arrow.put(start, way, place, f"down {size}" if name == "wing" and force[1] < 0.0 else size)
