"""Measured rolls beside the simulated ones, before and after the fit, and a panel for each log."""

from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.scenario.measured_rolls import SEEN
from sim.show.figures.style import (
    DPI,
    FAINT,
    FONT,
    INK,
    LINES,
    PAPER,
    SMALL,
    TITLE_LETTERS,
    WIDTH,
    dress,
)
from sim.show.terminal_roll_fit import logged
from sim.show.units import unit_of
from sim.show.words_roll_fit import key_value, seen_kind
from sim.study.fit_rolls import FittedNumber, RollFit

LEFT, RIGHT = 1.36, 0.16  # [in]
ROW = 0.235  # [in], one number of a roll
LOG = 1.7  # [in], the panel of a log
AXIS = 0.52  # [in], below each panel
FOOT = 0.34  # [in], the legend
LINE = 0.19  # [in], of the head
MOST_ROWS = 40
"""Numbers in one panel; further ones stand in the report."""
MOST_LOGS = 4
WORDS = {"distance": "place", "time": "time since it was let go", "speed": "ground speed"}
MEASURED, BELIEVED, FITTED = "measured +/- one standard deviation", "as believed", "as fitted"
BEFORE, AFTER = LINES["second"], LINES["first"]


def roll_fit_figure(fit: RollFit, system: str = "si") -> Figure:
    """Draw places, times and speeds of every roll, and the speeds of every log.

    Parameters
    ----------
    fit
        the result.
    system
        "si" or "imperial".

    """
    seen = {kind: [n for n in fit.numbers if _stands(n, kind)][:MOST_ROWS] for kind in WORDS}
    seen = {kind: numbers for kind, numbers in seen.items() if numbers}
    logs = [numbers for i in range(len(fit.rolls)) if (numbers := logged(fit, i))][:MOST_LOGS]
    title, told = wrap(fit.title, TITLE_LETTERS), _keys_text(fit, system)
    sizes = [ROW * (len(numbers) + 0.6) for numbers in seen.values()] + [LOG for _ in logs]
    head = 0.28 + LINE * (len(title) + len(told))
    height = head + sum(sizes) + AXIS * len(sizes) + FOOT
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    panels, top = [], height - head
    for size in sizes:
        width = 1.0 - (LEFT + RIGHT) / WIDTH
        box = (LEFT / WIDTH, (top - size) / height, width, size / height)
        panels.append(figure.add_axes(box))
        top -= size + AXIS
    for axes, kind in zip(panels, seen, strict=False):
        number_axes(fit, seen[kind], kind, axes, system)
    for axes, speeds in zip(panels[len(seen) :], logs, strict=True):
        log_axes(fit, speeds, axes, system)
    _head(figure, height, title, told)
    handles, labels = panels[0].get_legend_handles_labels()
    order = [labels.index(text) for text in (MEASURED, BELIEVED, FITTED)]
    handles, labels = [handles[i] for i in order], [labels[i] for i in order]
    figure.legend(
        handles, labels, loc="lower center", ncol=3, fontsize=SMALL, frameon=False, labelcolor=INK,
        borderaxespad=0.2, handletextpad=0.4, columnspacing=1.2,
    )  # fmt: skip
    return figure


def number_axes(
    fit: RollFit, numbers: list[FittedNumber], kind: str, axes: Axes, system: str = "si"
) -> Axes:
    """A row for each number: measured, as believed and as fitted."""
    dress(axes)
    unit, rows = unit_of(kind, system), np.arange(len(numbers))[::-1]
    measured = unit.shown_array(np.array([n.wanted.measured.value for n in numbers]))
    spread = unit.factor * np.array([n.wanted.measured.deviation for n in numbers])
    before, fitted = (
        unit.shown_array(np.array([getattr(n, which) for n in numbers]))
        for which in ("before", "fitted")
    )
    for row, start, end in zip(rows, before, fitted, strict=True):
        axes.plot([start, end], [row - 0.16] * 2, color=FAINT, linewidth=1.0, zorder=1.5)
    axes.errorbar(
        measured, rows + 0.16, xerr=spread, fmt="o", color=INK, markersize=4.2, capsize=2.5,
        linewidth=1.1, label=MEASURED,
    )  # fmt: skip
    axes.plot(
        before, rows - 0.16, "D", color=BEFORE, markerfacecolor=PAPER, markersize=4.6,
        label=BELIEVED,
    )  # fmt: skip
    axes.plot(fitted, rows - 0.16, "s", color=AFTER, markersize=4.8, label=FITTED)
    axes.set_yticks(rows, [_row_text(fit, n) for n in numbers])
    axes.set_ylim(-0.8, len(numbers) - 0.2)
    axes.set_xlabel(f"{WORDS[kind]} [{unit.symbol}]", fontsize=FONT, color=INK)
    return axes


def log_axes(
    fit: RollFit, numbers: tuple[FittedNumber, ...], axes: Axes, system: str = "si"
) -> Axes:
    """Speeds of a log against time, measured, as believed and as fitted."""
    dress(axes)
    roll = fit.rolls[numbers[0].wanted.roll]
    assert roll.log is not None
    unit = unit_of("speed", system)
    time = np.array([n.wanted.time for n in numbers])
    measured, before, fitted = (
        unit.shown_array(np.array(values))
        for values in (
            [n.wanted.measured.value for n in numbers],
            [n.before for n in numbers],
            [n.fitted for n in numbers],
        )
    )
    axes.errorbar(
        time, measured, yerr=unit.factor * roll.log.deviation, fmt="o", color=INK, markersize=3.2,
        linewidth=0.9, label=MEASURED, zorder=2.5,
    )  # fmt: skip
    axes.plot(time, before, "--", color=BEFORE, linewidth=1.6, label=BELIEVED)
    axes.plot(time, fitted, "-", color=AFTER, linewidth=1.8, label=FITTED)
    what = "airspeed" if roll.log.airspeed else "ground speed"
    axes.set_ylabel(f"{what} [{unit.symbol}]", fontsize=SMALL, color=INK)
    axes.set_xlabel(
        f"{roll.label.name}, {roll.log.name}: time after the start as told [s]", fontsize=SMALL,
        color=INK,
    )  # fmt: skip
    return axes


def _stands(number: FittedNumber, kind: str) -> bool:
    return number.wanted.name in SEEN and seen_kind(number.wanted.name) == kind


def _row_text(fit: RollFit, number: FittedNumber) -> str:
    what = "nose up" if number.wanted.name.startswith("nose_up") else "lift-off"
    return f"{fit.rolls[number.wanted.roll].label.name}, {what}"


def _head(figure: Figure, height: float, title: list[str], told: list[str]) -> None:
    """Title of the scenario, and below it the keys."""
    top = 0.08
    for lines, size, weight in ((title, FONT, "bold"), (told, SMALL, "normal")):
        for line in lines:
            figure.text(0.02, 1.0 - top / height, line, fontsize=size, fontweight=weight,
                        color=INK, va="top")  # fmt: skip
            top += LINE


def _keys_text(fit: RollFit, system: str) -> list[str]:
    """Each key before and after."""
    lines = []
    for key in fit.keys:
        was, now = (key_value(key.prior, v, system) for v in (key.prior.believed, key.value))
        lines += wrap(f"{key.prior.knob.key}: believed {was}, fitted {now}", TITLE_LETTERS + 28)
    return lines
