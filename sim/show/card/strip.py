"""The strip from above, from the start to beyond its end, with every place on it and its paces."""

from dataclasses import dataclass
from math import isfinite

from matplotlib.axes import Axes
from matplotlib.patches import Rectangle

from sim.checks.abort import Abort, Room
from sim.show.card.drawing import bare
from sim.show.card.paces import PACE, band_paces, paces_text, stop_metres, stop_paces
from sim.show.card.setting import line_mm, rows_of, width_mm, wrapped, write
from sim.show.figures.style import FAINT, INK, LIMIT, LINES, PAPER
from sim.show.units import quantity

GROUND, BEYOND, STOPS = "#d3e6f5", "#f1f1ee", "#d9e8c8"
SIDE = 4.0  # [mm]
BAR = 5.0  # [mm]
FURTHEST = 1.35
"""The drawing reaches at most so far, share of the strip."""
NEAR = 3.2
"""Of the first row of words from the strip [mm]."""
TICKS = (5, 10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000)  # [paces]


@dataclass(frozen=True)
class Mark:
    """A place and the words at it; `early` and `late` where it is uncertain [m].

    `above` the strip or below it; `colour` of its line.
    """

    place: float
    text: str
    above: bool
    colour: str = INK
    early: float = float("nan")
    late: float = float("nan")


@dataclass(frozen=True)
class Ground:
    """The strip on paper.

    Attributes
    ----------
    scale: millimetres for a metre.
    bar: height of the strip's lower edge [mm].
    reach: end of the drawing [m].
    size: width and height [mm].

    """

    scale: float
    bar: float
    reach: float
    size: tuple[float, float]

    def x(self, place: float) -> float:
        """Place along the strip [m -> mm]; what lies beyond the drawing at its end."""
        return SIDE + self.scale * min(place, self.reach)


@dataclass(frozen=True)
class Label:
    """Words of a mark in their place: left end, width, and how far off the strip [mm]."""

    mark: Mark
    start: float
    width: float
    row: int
    off: float


def strip_marks(abort: Abort, pull: float, system: str) -> tuple[Mark, ...]:
    """Every place the drawing shows.

    Parameters
    ----------
    abort
        marks and bands.
    pull
        where the pilot pulls [m]; nan or infinite where it is not by place.
    system
        "si" or "imperial".

    """

    def where(place: float) -> str:
        return quantity(place, "distance", system)

    found = []
    if isfinite(pull):
        found.append(Mark(pull, f"pull {where(pull)}\n{paces_text(pull)}", True))
    for name, band, colour in (
        ("nose up", abort.nose, LINES["first"]), ("lift-off", abort.lift_off, LINES["third"]),
    ):  # fmt: skip
        if isfinite(band.typical):
            text = f"{name} {where(band.typical)}\n{band_paces(band)}"
            found.append(Mark(band.typical, text, True, colour, band.early, band.late))
    far = abort.last[1]
    if abort.room is Room.SELF:
        words = f"ABORT MARK {stop_metres(far, system)}\n{stop_paces(far)}"
        found.append(Mark(far, words, False, LIMIT))
    elif isfinite(far):
        words = f"closed by {stop_metres(far, system)} it stops\n{stop_paces(far)}"
        found.append(Mark(far, words, False, LINES["second"]))
    if isfinite(abort.mark) and abort.room is not Room.GROUNDED:
        words = f"ABORT MARK {stop_metres(abort.mark, system)}\n{stop_paces(abort.mark)}"
        found.append(Mark(abort.mark, words, False, LIMIT))
    found.append(Mark(abort.length, _end_words(abort, system), False, INK))
    return tuple(found)


def _end_words(abort: Abort, system: str) -> str:
    end = quantity(abort.length, "distance", system)
    words = f"strip end {end}\n{stop_paces(abort.length)}"
    if abort.room is Room.NEITHER and isfinite(abort.typical.end_speed):
        words += f"\n{quantity(abort.typical.end_speed, 'speed', system)} if given up"
    return words


def caption(width: float, system: str) -> tuple[str, ...]:
    """What the drawing's signs mean, in lines no wider than it [mm]."""
    return wrapped(
        f"A pace: {quantity(PACE, 'height', system)}. Thick lines: earliest to latest place,"
        " one uncertainty varied at a time. Green: closed there it stops in the strip, even where"
        " it rolls easiest.",
        width - 2 * SIDE,
    )


def strip_ground(width: float, marks: tuple[Mark, ...], length: float, system: str) -> Ground:
    """How large the drawing is for a width [mm], all words in their rows.

    Parameters
    ----------
    width
        [mm].
    marks
        from `strip_marks`.
    length
        of the strip [m].
    system
        "si" or "imperial".

    """
    places = [m.place for m in marks] + [m.late for m in marks if isfinite(m.late)]
    reach = min(max([1.04 * length, *(1.02 * x for x in places)]), FURTHEST * length)
    flat = Ground((width - 2 * SIDE) / reach, 0.0, reach, (width, 0.0))
    above, below = (_room(placed(flat, marks, side)) for side in (True, False))
    bar = len(caption(width, system)) * line_mm() + 1.0 + below
    return Ground(flat.scale, bar, reach, (width, bar + BAR + above))


def placed(g: Ground, marks: tuple[Mark, ...], above: bool) -> list[Label]:
    """Words above or below the strip, in rows where they crowd."""
    chosen = sorted((m for m in marks if m.above is above), key=lambda m: m.place)
    wide = [max(width_mm(line) for line in m.text.split("\n")) for m in chosen]
    starts = [
        min(max(g.x(m.place) - 0.5 * w, 0.5), g.size[0] - w - 0.5)
        for m, w in zip(chosen, wide, strict=True)
    ]
    order = sorted(range(len(chosen)), key=lambda i: starts[i])
    found = rows_of([(starts[i], wide[i]) for i in order])
    rows = {i: row for i, row in zip(order, found, strict=True)}
    lines = [m.text.count("\n") + 1 for m in chosen]
    deep = [max((n for k, n in enumerate(lines) if rows[k] == row), default=0)
            for row in range(len(chosen))]  # fmt: skip
    return [
        Label(m, starts[i], wide[i], rows[i], NEAR + sum(deep[: rows[i]]) * line_mm())
        for i, m in enumerate(chosen)
    ]


def _room(labels: list[Label]) -> float:
    ends = [label.off + (label.mark.text.count("\n") + 1) * line_mm() for label in labels]
    return max(ends, default=NEAR)


def draw_strip(axes: Axes, width: float, abort: Abort, pull: float, system: str = "si") -> Axes:
    """Draw it into axes measured in millimetres, as high as `strip_ground` says.

    Parameters
    ----------
    axes
        limits are set, and the axes' lines are taken away.
    width
        of the axes [mm].
    abort, pull, system
        as of `strip_marks`.

    """
    marks = strip_marks(abort, pull, system)
    ground = strip_ground(width, marks, abort.length, system)
    bare(axes, ground.size)
    _bar(axes, ground, abort)
    _ticks(axes, ground, abort.length)
    for above in (True, False):
        for label in placed(ground, marks, above):
            _put(axes, ground, label)
    words = "\n".join(caption(width, system))
    write(axes, SIDE, 0.3, words, va="bottom", color=FAINT)
    return axes


def _bar(axes: Axes, g: Ground, abort: Abort) -> None:
    """The strip, the part of it from which it stops, and the ground beyond."""

    def part(start: float, end: float, tint: str, order: float) -> None:
        axes.add_patch(
            Rectangle((g.x(start), g.bar), g.x(end) - g.x(start), BAR, facecolor=tint,
                      edgecolor="none", zorder=order)
        )  # fmt: skip

    part(0.0, abort.length, GROUND, 1.0)
    part(abort.length, g.reach, BEYOND, 1.0)
    if isfinite(abort.last[1]):
        part(0.0, min(abort.last[1], abort.length), STOPS, 1.1)
    edges = ((0.0, 1.4), (abort.length, 1.4))
    for place, line in edges:
        axes.plot([g.x(place)] * 2, [g.bar - 1.0, g.bar + BAR + 1.0], color=INK, linewidth=line)
    for y in (g.bar, g.bar + BAR):
        axes.plot([g.x(0.0), g.x(abort.length)], [y, y], color=FAINT, linewidth=0.7, zorder=1.2)


def _ticks(axes: Axes, g: Ground, length: float) -> None:
    """Paces counted along the strip, inside the bar."""
    step = next((t for t in TICKS if g.scale * t * PACE >= 14.0), TICKS[-1])
    for count in range(step, int(length / PACE) + 1, step):
        x = g.x(count * PACE)
        axes.plot([x, x], [g.bar, g.bar + 1.0], color=INK, linewidth=0.6, zorder=1.5)
        if g.x(length) - x > 5.0:
            write(axes, x, g.bar + 1.2, str(count), ha="center", va="bottom", color=FAINT)
    write(axes, g.x(0.0) + 0.8, g.bar + 1.2, "paces", va="bottom", color=FAINT)


def _put(axes: Axes, g: Ground, label: Label) -> None:
    """A line from the strip to the words, and where the place is uncertain a bar."""
    mark = label.mark
    sign, foot = (1.0, g.bar + BAR) if mark.above else (-1.0, g.bar)
    x, y, name = g.x(mark.place), foot + sign * label.off, mark.text.splitlines()[0]
    axes.plot(
        [x, x], [foot - sign * BAR, y - sign * 0.3], color=mark.colour, linewidth=1.3,
        zorder=2.0, label=f"_mark {name}",
    )  # fmt: skip
    if isfinite(mark.early) and mark.early < mark.late:
        axes.plot(
            [g.x(mark.early), g.x(mark.late)], [foot + sign * (0.9 + 0.9 * label.row)] * 2,
            color=mark.colour, linewidth=2.2, zorder=1.9, solid_capstyle="butt",
            label=f"_band {name}",
        )  # fmt: skip
    middle = label.start + 0.5 * label.width
    align = "bottom" if mark.above else "top"
    words = write(axes, middle, y, mark.text, ha="center", va=align, color=mark.colour, zorder=3.0)
    # the line of a label further out passes behind the words
    words.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.4})
