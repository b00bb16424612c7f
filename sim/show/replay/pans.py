"""The moments about the mains as a balance: what holds the nose down against what lifts it.

The beam stands on the main wheels, the nose to the right as in the picture above it. Blocks on
its right hold the nose down, blocks on its left lift it, each as high as its moment; the beam
tips the way their sum goes. In the air there is nothing to tip over and the balance rests.
"""

from collections.abc import Mapping
from math import tan
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Polygon, Rectangle

from sim.show.figures.budget import GROUPS
from sim.show.figures.style import FAINT, INK, PAPER
from sim.show.replay.arrows import LETTERS
from sim.show.replay.told import Told

TIP = 0.06
"""Largest lean of the beam [rad] of the picture."""
ARM, HALF_BLOCK = 0.62, 0.36
"""Middle of a pile and half its width; the beam is two wide."""
LOW, HIGH = -0.42, 1.32
NAMED = 0.17
"""A block lower than this has no name in it, of the largest pile."""
COLOURS: dict[str, tuple[str, str]] = {
    part: (colour, hatch) for _, parts, colour, hatch in GROUPS for part in parts
}
ELEVATOR = COLOURS["elevator"]
"""The tail as a whole has the colour of what moves on it."""
ORDER = ("tail", "weight", "wing and body", "flaps", "thrust", "forward acceleration", "drag")
"""From the beam upward, the same at every moment."""
NAMES = {"forward acceleration": "speeding up", "wing and body": "wing"}


class Pans:
    """The balance in axes of its own; `show(time)` puts it as it is then."""

    def __init__(self, axes: Axes, told: Told) -> None:
        self.axes, self.told = axes, told
        axes.set_xlim(-1.05, 1.05)
        axes.set_ylim(LOW, HIGH)
        axes.axis("off")
        (self.beam,) = axes.plot([], [], color=INK, linewidth=4, zorder=3, label="beam")
        axes.add_patch(Polygon([(0.0, 0.0), (-0.05, -0.2), (0.05, -0.2)], facecolor=INK, zorder=2))
        self.blocks: dict[str, Rectangle] = {}
        self.names: dict[str, Any] = {}
        for part in told.balance:
            self._prepare(part)
        side: dict[str, Any] = {
            "fontsize": LETTERS,
            "color": INK,
            "va": "top",
            "fontweight": "bold",
        }
        self.lifting = axes.text(-1.0, LOW + 0.25, "", ha="left", **side)
        self.holding = axes.text(1.0, LOW + 0.25, "", ha="right", **side)
        self.outcome = axes.text(
            0.0, HIGH, "", ha="center", va="top", fontsize=LETTERS, color=INK, fontweight="bold"
        )

    def _prepare(self, part: str) -> None:
        colour, hatch = COLOURS.get(part, ELEVATOR)
        self.blocks[part] = Rectangle(
            (0, 0), 2 * HALF_BLOCK, 0, facecolor=colour, edgecolor=PAPER, hatch=hatch,
            linewidth=0.6, zorder=4, label=part,
        )  # fmt: skip
        self.axes.add_patch(self.blocks[part])
        self.names[part] = self.axes.text(
            0, 0, NAMES.get(part, part), fontsize=LETTERS - 0.5, color=INK, ha="center",
            va="center", zorder=5, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8},
        )  # fmt: skip

    def show(self, time: float) -> None:
        """Pile the parts up and tip the beam as it is at a time of the roll [s]."""
        on = bool(self.told.flag("on_mains", time)) and bool(self.told.balance)
        parts = self.told.moments(time) if on else dict.fromkeys(self.blocks, 0.0)
        net = float(sum(parts.values()))
        lean = TIP * float(np.clip(net / self.told.largest_net, -1.0, 1.0)) if on else 0.0
        self.beam.set_data([-1.0, 1.0], [-tan(lean), tan(lean)])
        self.beam.set_color(INK if on else FAINT)
        down, up = self._pile(parts, -1.0, lean), self._pile(parts, 1.0, lean)
        self.holding.set_text(f"holds it down {self._moment(down)}" if on else "")
        self.lifting.set_text(f"lifts it {self._moment(up)}" if on else "")
        self.outcome.set_text(self._outcome(net, on, time))

    def _pile(self, parts: Mapping[str, float], sign: float, lean: float) -> float:
        """Put the blocks of one side on each other; their sum."""
        x = -sign * ARM
        height = base = x * tan(lean) + 0.03
        mine = {name: sign * value for name, value in parts.items() if sign * value > 0.0}
        for name in (part for part in ORDER if part in mine):
            high = mine[name] / self.told.largest_moment * 0.9
            self.blocks[name].set_bounds(x - HALF_BLOCK, height, 2 * HALF_BLOCK, high)
            self.names[name].set_position((x, height + 0.5 * high))
            self.names[name].set_visible(high >= NAMED)
            height += high
        if sign > 0.0:  # those that are nothing now
            for name in (n for n in parts if parts[n] == 0.0):
                self.blocks[name].set_bounds(x, base, 0.0, 0.0)
                self.names[name].set_visible(False)
        return sum(mine.values())

    def _moment(self, value: float) -> str:
        return self.told.shown(value, "moment", 1)

    def _outcome(self, net: float, on: bool, time: float) -> str:
        if not on:
            return "Off the mains: it turns about its CG"
        if self.told.at("nose_load", time) > 0.0:
            return f"About the mains: nose held down by {self._moment(-net)}"
        if self.told.at("aft_load", time) > 0.0:
            return "The tail rests on the ground"
        way = "lifts" if net > 0.0 else "drops"
        return f"About the mains: the nose {way} by {self._moment(abs(net))}"
