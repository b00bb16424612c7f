"""Colours, sizes and axis labels of every picture: for a phone, for print, for every eye.

Colours differ in lightness as well as in hue, and lines in their dashes, so that the pictures
survive a black-and-white printer and red-green blindness.
"""

from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from sim.roll.columns import BY_NAME
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report

INK = "#1c2530"
FAINT = "#5c6773"
PAPER = "#ffffff"
LINES = {
    "first": "#1450a0",  # deep blue
    "second": "#b54708",  # burnt orange
    "third": "#14746f",  # sea green
    "fourth": "#5e2a6e",  # plum
}
"""Colours of lines, each at least 3:1 against the paper."""
LIMIT = "#a3123a"
"""Colour of limits and thresholds."""
PHASES = {
    "rolling on three wheels": "#ffffff",
    "rotating about the mains": "#f3e6b8",
    "dragging the tail": "#f4d3d0",
    "on the tail alone": "#ecc4c6",
    "wheelbarrowing": "#e3d8ef",
    "on nose and tail": "#dcd2cf",
    "airborne": "#d3e6f5",
}
"""Tint behind each phase of the roll."""
SOIL = PHASES["rotating about the mains"]
"""Tint of the strip, the same in films and on pages."""
WIDTH = 5.6  # [in]
DPI = 180
TITLE_LETTERS = 58
FONT = 10.0  # [pt]
SMALL = 8.5  # [pt]
OURS = "wheelsoff"
"""Label of figures made here, which may be given the height they need."""


@dataclass(frozen=True)
class Sheet:
    """Sizes on a figure of our own [in]; its height follows from what stands on it."""

    plot: float = 2.75
    left: float = 0.68
    right: float = 0.72
    axis_words: float = 0.44
    label_row: float = 0.17
    legend_row: float = 0.172
    title_row: float = 0.2
    margin: float = 0.1


SHEET = Sheet()


def new_axes(plot: float = SHEET.plot) -> Axes:
    """Axes in a figure of its own, drawn without any window."""
    figure = Figure(figsize=(WIDTH, plot + 2.0), dpi=DPI, facecolor=PAPER, label=OURS)
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    fit_sheet(figure, 0, 0, 2, plot)
    return axes


def fit_sheet(
    figure: Figure, label_rows: int, legend_rows: int, title_rows: int, plot: float = SHEET.plot
) -> None:
    """Give a figure of our own the height its labels, legend and title need."""
    s = SHEET
    below = s.axis_words + legend_rows * s.legend_row + s.margin
    above = label_rows * s.label_row + title_rows * s.title_row + s.margin
    height = below + plot + above
    figure.set_size_inches(WIDTH, height)
    figure.subplots_adjust(
        s.left / WIDTH, below / height, 1.0 - s.right / WIDTH, (below + plot) / height
    )


def dress(axes: Axes) -> Axes:
    """Quiet axes: thin grid, no box above."""
    axes.tick_params(labelsize=SMALL, colors=INK, length=3)
    axes.grid(True, color=FAINT, alpha=0.22, linewidth=0.6)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for spine in axes.spines.values():
        spine.set_color(FAINT)
    return axes


def label(name: str, system: str, words: str | None = None) -> str:
    """Axis label of a trace column with its unit, such as "ground speed [m/s]"."""
    column = BY_NAME[name]
    symbol = unit_of(column.kind, system).symbol or "-"
    return f"{words or name.replace('_', ' ')} [{symbol}]"


def title_lines(report: "Report", added: str = "") -> list[str]:
    """Title of the scenario, wrapped, and its verdict."""
    verdict = f"{report.result.verdict}{': ' + added if added else ''}"
    return [*wrap(report.prepared.title, TITLE_LETTERS), *wrap(verdict, TITLE_LETTERS)]


def rows_used(texts: list[Text]) -> int:
    """Number of label rows above the axes."""
    return len({round(text.get_position()[1], 6) for text in texts})


def finish_sheet(axes: Axes, title: list[str], texts: list[Text], handles: list[Any]) -> None:
    """Title above the labels, legend below the axis, and the height they need.

    Axes of somebody else's figure keep their place; title and legend are put all the same.
    """
    rows = rows_used(texts)
    figure = axes.get_figure(root=True)
    if figure is not None and figure.get_label() == OURS:
        fit_sheet(figure, rows, -(-len(handles) // 2), len(title))
    inch = 1.0 / SHEET.plot
    axes.set_title(
        "\n".join(title), fontsize=FONT, color=INK, loc="left", fontweight="bold",
        y=1.0 + (0.06 + rows * SHEET.label_row) * inch, pad=0,
    )  # fmt: skip
    axes.legend(
        handles=handles, loc="upper center", bbox_to_anchor=(0.5, -SHEET.axis_words * inch),
        ncol=2, fontsize=SMALL, frameon=False, labelcolor=INK, handlelength=2.4,
        columnspacing=1.4, borderaxespad=0.0, borderpad=0.1, labelspacing=0.35,
    )  # fmt: skip
