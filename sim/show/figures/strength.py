"""Every check against a limit as a bar: how much of the limit is used."""

from math import isfinite, isnan
from textwrap import wrap
from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from sim.checks.finding import Finding, Standing
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
from sim.show.strength_words import by_name, limit_text
from sim.show.units import quantity
from sim.study.strength import findings

if TYPE_CHECKING:
    from sim.report import Report

ROW = 0.31  # [in]
NAMES = 2.55  # [in]
MOST = 2.0
"""Longer bars are cut here, with an arrow."""
LOOKS = {
    Standing.HOLDS: ("#9fc8bf", "", "well within"),
    Standing.CLOSE: ("#e8c27a", "..", "close to it"),
    Standing.FAILS: ("#d98f86", "//", "past it"),
}
"""Fill, hatch and words of each verdict."""


def strength_sheet(report: "Report", before: "Report | None" = None, system: str = "si") -> Figure:
    """Draw every check that has a limit, in a figure of its own as high as it needs."""
    found = limited(report)
    title = [*wrap(report.prepared.title, TITLE_LETTERS), "Share of each limit that is used"]
    head, foot = 0.16 + 0.2 * len(title), 0.95
    height = head + foot + ROW * max(len(found), 1)
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    width, tall = 1.0 - (NAMES + 0.2) / WIDTH, 1.0 - (head + foot) / height
    axes = figure.add_axes((NAMES / WIDTH, foot / height, width, tall))
    strength_axes(found, axes, limited(before) if before else (), system)
    figure.text(
        0.02, 1.0 - 0.08 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.legend(
        handles=_legend(before is not None), loc="lower center", ncol=2, fontsize=SMALL,
        frameon=False, labelcolor=INK,
    )  # fmt: skip
    return figure


def limited(report: "Report") -> tuple[Finding, ...]:
    """Checks that have both a value and a limit, without those held against nil that hold."""
    return tuple(f for f in findings(report) if not isnan(f.use) and f.use > 0.0)


def strength_axes(
    found: tuple[Finding, ...], axes: Axes, before: tuple[Finding, ...] = (), system: str = "si"
) -> Axes:
    """Draw the bars into axes, first check on top; a tick where it stood before a change.

    Parameters
    ----------
    found, before
        checks with a limit.
    axes
        to draw into.
    system
        "si" or "imperial".

    Returns
    -------
    The axes.

    """
    dress(axes)
    old = {name: f.use for name, f in by_name(before).items()}
    for row, (name, finding) in enumerate(by_name(found).items()):
        _bar(axes, row, finding, system)
        use = old.get(name)
        if use is not None and isfinite(use):
            places = [min(use, MOST)] * 2
            axes.plot(places, [row - 0.42, row + 0.42], color=LINES["first"], linewidth=2.2)
    axes.axvline(1.0, color=LIMIT, linestyle="-.", linewidth=1.4, zorder=2.5)
    axes.set_xlim(0.0, MOST)
    axes.set_ylim(max(len(found), 1) - 0.4, -0.6)
    axes.set_yticks(range(len(found)))
    axes.set_yticklabels([_name(f) for f in found], fontsize=SMALL - 1.5)
    axes.grid(visible=False, axis="y")
    axes.set_xticks([0.0, 0.5, 1.0, 1.5, 2.0], ["0", "50 %", "limit", "150 %", "200 %"])
    return axes


def _bar(axes: Axes, row: int, finding: Finding, system: str) -> None:
    fill, hatch, _ = LOOKS[finding.standing]
    length = min(finding.use, MOST)
    axes.barh(row, length, height=0.62, color=fill, hatch=hatch, edgecolor=INK, linewidth=0.5)
    text = f"{quantity(finding.value, finding.kind, system)}, {limit_text(finding, system)}"
    inside = length > 0.5 * MOST
    more = " >" if finding.use > MOST else ""
    axes.text(
        length - 0.03 if inside else length + 0.04, row, text + more, fontsize=SMALL - 1.5,
        color=INK, va="center", ha="right" if inside else "left",
        bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6}, zorder=4,
    )  # fmt: skip


def _name(finding: Finding) -> str:
    """Name on two short lines."""
    return "\n".join(wrap(f"{finding.matter}: {finding.name}", 36)[:2])


def _legend(before: bool) -> list[Patch | Line2D]:
    keys: list[Patch | Line2D] = [
        Patch(facecolor=fill, hatch=hatch, edgecolor=INK, linewidth=0.5, label=words)
        for fill, hatch, words in LOOKS.values()
    ]
    if before:
        keys.append(Line2D([], [], color=LINES["first"], linewidth=2.2, label="before"))
    return keys
