"""One roll, or two above each other on one clock, as a figure that is changed frame by frame."""

from dataclasses import dataclass
from functools import reduce
from math import isinf
from textwrap import wrap
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from sim.roll.aero_table import Array
from sim.show.figures.style import FAINT, INK, LIMIT, LINES, PAPER
from sim.show.replay.arrows import LETTERS
from sim.show.replay.clock import Clock, joined, roll_time, slowness
from sim.show.replay.pans import Pans
from sim.show.replay.stage import LARGEST, Stage
from sim.show.replay.strip_map import StripMap
from sim.show.replay.told import Told
from sim.show.units import number_text

WIDE, DPI = 720, 150
"""Width in pixels: on a phone half of that is seen, and every letter is meant for it."""
EDGE = 14
TITLE_LINE, READOUT, CAPTION, BALANCE = 32, 38, 116, 172
MAP_ROW, BELOW = 74, 10
"""Heights [px]."""
BIG = 12.0  # [pt]
LETTERS_WIDE = 54
"""Letters of a title or a reason in one line."""
NEAR_PACE = 0.2
"""A pace as near to its own as that is not worth a word."""
OVER = 1e-3
"""The last moment begins so long before the end, whatever was rounded [s]."""


@dataclass(frozen=True)
class _Band:
    """Where a roll's parts lie, pixels from the top."""

    title: int
    readout: int
    side: int
    caption: int
    balance: int
    end: int


class Film:
    """The figure and everything that moves on it: `show(shown)` for any moment of the clock."""

    def __init__(self, stories: list[dict[str, Any]]) -> None:
        """Lay out one story or two.

        Raises
        ------
        ValueError
            For none or more than two.

        """
        if not 1 <= len(stories) <= 2:
            raise ValueError(f"a replay shows one roll or two, not {len(stories)}")
        self.rolls = [Told(story) for story in stories]
        self.clock: Clock = reduce(joined, (story["clock"] for story in stories))
        size = max(_length(told) for told in self.rolls)
        # one scale of forces for both, so that their arrows can be compared
        scale = LARGEST * size / max(told.largest_force for told in self.rolls)
        bands, high = self._bands(size, scale)
        self.high = high + high % 2  # films want an even number of lines
        self.figure = Figure(figsize=(WIDE / DPI, self.high / DPI), dpi=DPI, facecolor=PAPER)
        self.canvas = FigureCanvasAgg(self.figure)
        self.acts = [
            _Act(self, told, band, size, scale)
            for told, band in zip(self.rolls, bands, strict=True)
        ]
        below = self.axes(bands[-1].end, MAP_ROW * len(self.rolls), EDGE)
        names = ["", ""] if len(self.rolls) == 1 else ["upper roll", "lower roll"]
        self.map = StripMap(below, self.rolls, names)
        self.pace = self.words(bands[0].readout, LETTERS, LINES["fourth"], right=True)

    def _bands(self, size: float, scale: float) -> tuple[list[_Band], int]:
        bands, top = [], EDGE // 2
        for told in self.rolls:
            view = Stage(Figure().add_subplot(), told, size, scale).rest()
            side = round((WIDE - 2 * EDGE) * (view.top - view.bottom) / (view.right - view.left))
            readout = top + TITLE_LINE * len(_title(told))
            parts = np.cumsum([readout, READOUT, side, CAPTION, BALANCE])
            bands.append(_Band(top, *(int(part) for part in parts)))
            top = bands[-1].end
        return bands, top + MAP_ROW * len(self.rolls) + BELOW

    def axes(self, top: int, high: int, edge: int) -> Axes:
        """Axes over the width, `top` pixels below the upper edge and `high` pixels high."""
        return self.figure.add_axes(
            (edge / WIDE, 1.0 - (top + high) / self.high, 1.0 - 2 * edge / WIDE, high / self.high)
        )

    def words(self, top: int, letters: float, colour: str = INK, right: bool = False) -> Text:
        """A place for words, their upper edge `top` pixels below that of the figure."""
        return self.figure.text(
            1.0 - EDGE / WIDE if right else EDGE / WIDE, 1.0 - top / self.high, "",
            fontsize=letters, color=colour, ha="right" if right else "left", va="top",
            fontweight="bold", linespacing=1.25,
        )  # fmt: skip

    def show(self, shown: float) -> None:
        """Put everything where it is at a time shown [s]."""
        time = float(roll_time(self.clock, shown))
        for act in self.acts:
            act.show(time)
        self.map.show(time)
        self.pace.set_text(pace_words(slowness(self.clock, shown)))

    def picture(self, shown: float) -> Array:
        """The frame at a time shown as red, green, blue, shape (high, WIDE, 3), uint8."""
        self.show(shown)
        self.canvas.draw()  # type: ignore[no-untyped-call]
        drawn = self.canvas.buffer_rgba()  # type: ignore[no-untyped-call]
        return np.asarray(drawn)[..., :3].copy()

    @property
    def length(self) -> float:
        """How long it is shown [s]."""
        return float(self.clock[-1][0])


class _Act:
    """One roll of the film: its title, numbers, side view, caption and balance."""

    def __init__(self, film: Film, told: Told, band: _Band, size: float, scale: float) -> None:
        self.told = told
        film.words(band.title, 10.5).set_text("\n".join(_title(told)))
        self.readout = film.words(band.readout, BIG)
        side = film.axes(band.side, band.caption - band.side, EDGE)
        self.stage = Stage(side, told, size, scale)
        self.caption = film.words(band.caption + 4, 10.5)
        self.reason = film.words(band.caption + 34, LETTERS, FAINT)
        self.reason.set_fontweight("normal")
        self.reason.set_color(INK)
        self.pans = Pans(film.axes(band.balance, band.end - band.balance, EDGE), told)

    def show(self, time: float) -> None:
        """Everything at a time of the roll; after its end its last moment and what came of it."""
        now = min(time, self.told.end)
        self.stage.show(now)
        self.pans.show(now)
        self.readout.set_text(readout(self.told, now))
        over = time >= self.told.end - OVER
        story, event = self.told.story, self.told.latest(now)
        self.caption.set_color(LIMIT if over and story["failed"] else INK)
        words = story["verdict_words"] if over else event["words"] if event else "it starts to roll"
        self.caption.set_text("\n".join(wrap(_capital(words), LETTERS_WIDE)))
        lines = wrap(story["reason"], LETTERS_WIDE + 6, max_lines=3, placeholder=" ...")
        self.reason.set_text("\n".join(lines) if over else "")


def readout(told: Told, time: float) -> str:
    """Time, place and airspeed as they run."""
    place = told.shown(told.at("distance", time), "length")
    speed = told.shown(told.at("airspeed", time), "speed")
    return f"{time:.1f} s   {place}   airspeed {speed}"


def pace_words(slow: float) -> str:
    """How fast the roll is shown, in words; nothing to say at its own pace."""
    if isinf(slow) or abs(slow - 1.0) < NEAR_PACE:
        return ""
    if slow > 1.0:
        return f"slow motion 1/{number_text(slow, 0 if slow > 1.9 else 1)}"
    return f"{number_text(1.0 / slow, 1)} times as fast"


def _length(told: Told) -> float:
    """Length of the aeroplane as far as it is drawn [m]."""
    points = told.story["scene"]["points"]
    axles = [float(wheel["axle"][0]) for wheel in told.story["scene"]["wheels"]]
    ends = [float(points["thrust"][0]), float(points["drag"][0]), *axles]
    return max(ends) - min(ends)


def _title(told: Told) -> list[str]:
    return wrap(told.story["title"], LETTERS_WIDE, max_lines=2, placeholder=" ...")


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
