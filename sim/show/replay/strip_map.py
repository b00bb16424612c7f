"""The whole strip as a line for each roll: where it is, what has happened, where the strip ends."""

from typing import Any

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.text import Text

from sim.show.figures.style import FAINT, INK, LIMIT, LINES
from sim.show.replay.arrows import LETTERS
from sim.show.replay.told import Told

WORDS = {
    "pull": "pull",
    "nose-wheel-off": "nose up",
    "lift-off": "off",
    "tail-strike": "tail hits",
    "stop": "stops",
    "abort": "gives up",
}
"""Event -> what its mark says; the first of each name is marked."""
BELOW = ("lift-off", "stop")
"""Marked below the line, so that they do not cover what came just before."""
EDGES = (0.1, 0.86)
"""Nearer to the ends of the line than this share of it a word stands inward."""
ROOM = 1.03


class StripMap:
    """All rolls above each other; `show(time)` moves their marks."""

    def __init__(self, axes: Axes, rolls: list[Told], names: list[str]) -> None:
        self.axes, self.rolls = axes, rolls
        lengths = [told.story["scene"]["strip"]["length"] for told in rolls]
        ends = [float(told.columns["distance"].max()) for told in rolls]
        far = ROOM * max([*ends, *(length for length in lengths if length)], default=1.0)
        axes.set_xlim(-0.03 * far, max(far, 1.0))
        axes.set_ylim(-len(rolls) + 0.2, 0.62)
        axes.axis("off")
        self.marks = []
        self.events: list[tuple[float, Line2D, Text]] = []
        for row, (told, length) in enumerate(zip(rolls, lengths, strict=True)):
            self._line(-row, length, far)
            self._happenings(told, -row, names[row])
            self.marks.append(
                axes.plot([0.0], [-row], ">", color=LINES["first"], markersize=11,
                          markeredgecolor=INK, zorder=5, label="where it is")[0]
            )  # fmt: skip

    def _line(self, y: float, length: float | None, far: float) -> None:
        end = far if length is None else length
        self.axes.plot([0.0, end], [y, y], color=FAINT, linewidth=5, zorder=2, alpha=0.45,
                       solid_capstyle="butt", label="strip")  # fmt: skip
        if length is None:
            return
        self.axes.plot([end, far], [y, y], color=LIMIT, linewidth=2.5, zorder=2,
                       linestyle=(0, (1, 1)), label="beyond the strip")  # fmt: skip
        self.axes.plot([end, end], [y - 0.18, y + 0.18], color=LIMIT, linewidth=3, zorder=3,
                       label="strip end")  # fmt: skip

    def _happenings(self, told: Told, y: float, name: str) -> None:
        words: dict[str, Any] = {"fontsize": LETTERS - 0.5, "color": INK}
        self.axes.text(0.0, y - 0.17, name, ha="left", va="top", **words)
        seen: set[str] = set()
        for event in told.story["events"]:
            if event["name"] not in WORDS or event["name"] in seen:
                continue
            seen.add(event["name"])
            x, low = event["distance"], event["name"] in BELOW
            tick = self.axes.plot([x, x], [y - 0.14, y + 0.14], color=INK, linewidth=2, zorder=4)[0]
            text = self.axes.text(
                x, y + (-0.17 if low else 0.17), WORDS[event["name"]], ha=self._side(event),
                va="top" if low else "bottom", **words,
            )  # fmt: skip
            self.events.append((event["time"], tick, text))

    def _side(self, event: dict[str, Any]) -> str:
        """A word before the pull and behind what follows it, none beyond the picture."""
        share = event["distance"] / self.axes.get_xlim()[1]
        if share < EDGES[0]:
            return "left"
        return "right" if share > EDGES[1] or event["name"] == "pull" else "left"

    def show(self, time: float) -> None:
        """Move to a time of the roll [s]; what has happened by then is marked."""
        for mark, told in zip(self.marks, self.rolls, strict=True):
            mark.set_xdata([told.at("distance", time)])
        for when, tick, text in self.events:
            tick.set_visible(when <= time + 1e-6)
            text.set_visible(when <= time + 1e-6)
