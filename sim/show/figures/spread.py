"""A spread drawn: where the rolls lift off, how they end, and what matters most."""

from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.roll.aero_table import Array
from sim.roll.verdict import Verdict
from sim.show.figures.style import (
    DPI,
    FONT,
    INK,
    LIMIT,
    LINES,
    PAPER,
    SMALL,
    TITLE_LETTERS,
    WIDTH,
    dress,
)
from sim.show.units import quantity, unit_of
from sim.show.words_spread import chance_text, lead_text, sorted_influences
from sim.study.rows import REFUSED_WORD
from sim.study.spread import AIRBORNE, ROLL, Spread

ROW = 0.26  # [in], a verdict or an input
NAMES = 1.62  # [in], for the names at the left of bars
PLOT = 2.1  # [in], the distribution
LEFT = 0.62  # [in], of the distribution
FAILS = "#e9b08a"
ALONE = "#9cc3e6"
BINS = 40
FAR = 0.4
"""Share of the width of 99 of 100 rolls beyond which the few others are only counted."""
LONGEST_NAME = 24


def spread_figure(spread: Spread, system: str = "si") -> Figure:
    """Draw the three pictures one below the other, as high as there are verdicts and inputs."""
    words = [w for w in spread.rows.counts() if w != REFUSED_WORD]
    title = wrap(spread.plan.prepared.title, TITLE_LETTERS)
    lead = wrap(lead_text(spread), TITLE_LETTERS + 12)
    middle, lower = ROW * len(words), 1.5 * ROW * len(spread.plan.varied)
    gap, below, head = 0.7, 0.6, 0.4 + 0.2 * len(title) + 0.17 * len(lead)
    height = below + lower + gap + middle + gap + PLOT + head
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)

    def placed(bottom: float, size: float, left: float) -> Axes:
        width = 1.0 - (left + 0.2) / WIDTH
        return figure.add_axes((left / WIDTH, bottom / height, width, size / height))

    rolls_axes(spread, placed(below + lower + gap + middle + gap, PLOT, LEFT), system)
    verdicts_axes(spread, placed(below + lower + gap, middle, NAMES))
    influence_axes(spread, placed(below, lower, NAMES))
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.text(
        0.02, 1.0 - (0.14 + 0.2 * len(title)) / height, "\n".join(lead), fontsize=SMALL, color=INK,
        va="top",
    )  # fmt: skip
    return figure


def rolls_axes(spread: Spread, axes: Axes, system: str = "si") -> Axes:
    """How many rolls lift off where; those not airborne on top and hatched; the strip's end."""
    dress(axes)
    unit = unit_of("distance", system)
    end = unit.shown(spread.strip_length)
    places = unit.shown_array(spread.rows[ROLL])
    flies = np.isfinite(places)
    good = spread.rows.verdicts == AIRBORNE
    known = places[flies] if flies.any() else np.array([end])
    last = _last_shown(known)
    edges = _edges(float(known.min()), last, end)
    axes.hist(
        [places[flies & good], places[flies & ~good]], bins=edges.tolist(), stacked=True,
        color=[LINES["first"], FAILS], edgecolor=PAPER, linewidth=0.3,
        label=["airborne", "not as wanted" if np.any(flies & ~good) else "_nolegend_"],
    )  # fmt: skip
    for patch in axes.patches[len(edges) - 1 :]:
        patch.set_hatch("////")
    low, high = min(float(known.min()), end), max(last, end)
    room = 0.05 * max(high - low, 1e-6)
    axes.set_xlim(low - room, high + room)
    axes.axvline(end, color=LIMIT, linewidth=1.6)
    axes.text(
        end, 1.01, f"strip ends, {quantity(spread.strip_length, 'distance', system)}",
        transform=axes.get_xaxis_transform(), fontsize=SMALL, color=LIMIT, va="bottom",
        ha="right" if end > 0.5 * (low + high) else "left",
    )  # fmt: skip
    never = int(np.sum(~flies & spread.usable))
    beyond = int(np.sum(known > edges[-1]))
    words = f"; {beyond} further" if beyond else ""
    words += f"; {never} never" if never else ""
    axes.set_xlabel(f"place of lift-off [{unit.symbol}]{words}", fontsize=SMALL, color=INK)
    axes.set_ylabel("rolls", fontsize=SMALL, color=INK)
    axes.legend(loc="best", fontsize=SMALL, frameon=False, labelcolor=INK)
    return axes


def _last_shown(places: Array) -> float:
    """The furthest place, or that of 99 of 100 where a few lie far beyond."""
    first, most, last = (float(v) for v in np.quantile(places, (0.0, 0.99, 1.0)))
    return most if last - most > FAR * (most - first) else last


def _edges(low: float, high: float, end: float) -> Array:
    """Edges of equal bins around all values, the strip's end among them if it lies there."""
    width = max(high - low, 1e-3 * max(abs(end), 1.0)) / BINS
    first, last = int(np.floor((low - end) / width)), int(np.floor((high - end) / width)) + 1
    return np.asarray(end + width * np.arange(first, last + 1))


def verdicts_axes(spread: Spread, axes: Axes) -> Axes:
    """Share of every verdict with its interval, the commonest first."""
    dress(axes)
    counts = {w: c for w, c in spread.rows.counts().items() if w != REFUSED_WORD}
    words = sorted(counts, key=lambda word: -counts[word])
    for row, word in enumerate(words):
        chance, good = spread.chance(word), word == Verdict.AIRBORNE
        axes.barh(
            row, 100.0 * chance.share, height=0.66, edgecolor=PAPER, linewidth=0.4,
            facecolor=LINES["first"] if good else FAILS, hatch="" if good else "////",
        )  # fmt: skip
        ends = [100.0 * chance.low, 100.0 * chance.high]
        axes.plot(ends, [row, row], color=INK, linewidth=1.4, marker="|", markersize=6)
        axes.text(
            ends[1] + 2.0, row, chance_text(chance), fontsize=SMALL - 0.5, va="center", color=INK
        )
    axes.set_xlim(0.0, 152.0)
    axes.set_xticks(range(0, 101, 25))
    axes.set_ylim(len(words) - 0.5, -0.5)
    _names(axes, words)
    axes.set_xlabel("share of the rolls, 95 % interval [%]", fontsize=SMALL, color=INK, x=0.33)
    return axes


def influence_axes(spread: Spread, axes: Axes) -> Axes:
    """Share of the spread that goes with each input alone: of the ground roll, of failing."""
    dress(axes)
    found = sorted_influences(spread)
    for row, one in enumerate(found):
        for shift, share, rank, style in (
            (-0.2, one.roll_share, one.roll_rank, {"facecolor": LINES["first"]}),
            (0.2, one.failure_share, one.failure_rank, {"facecolor": FAILS, "hatch": "////"}),
        ):
            if np.isnan(share):
                continue
            axes.barh(row + shift, 100.0 * share, height=0.36, edgecolor=PAPER, **style)  # type: ignore[arg-type]
            sign = "" if abs(rank) < 0.05 else ", more: longer" if rank > 0.0 else ", more: shorter"
            text = f"{100.0 * share:.0f} %{sign if shift < 0.0 else ''}"
            axes.text(
                100.0 * share + 1.0, row + shift, text, fontsize=SMALL - 1, va="center", color=INK
            )
    axes.set_xlim(0.0, 128.0 if all(one.roll_share < 0.8 for one in found) else 150.0)
    axes.set_xticks(range(0, 101, 25))
    axes.set_ylim(len(found) - 0.5, -0.5)
    _names(axes, [one.key for one in found])
    axes.set_xlabel(
        "goes with this alone [%]: of the ground roll (blue), of failing (hatched)",
        fontsize=SMALL, color=INK, x=0.3,
    )  # fmt: skip
    return axes


def _names(axes: Axes, names: list[str]) -> None:
    short = [n.split(".", 1)[1] if "." in n else n for n in names]
    shown = [n if len(n) <= LONGEST_NAME else f"{n[: LONGEST_NAME - 2]}..." for n in short]
    axes.set_yticks(range(len(names)), shown)
    axes.tick_params(axis="y", labelsize=SMALL - 0.5, length=0)
    axes.grid(False, axis="y")
