"""Pictures to files: the same report gives the same bytes."""

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

import matplotlib
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from sim.show.figures.budget import budget_figure
from sim.show.figures.loads import loads_figure
from sim.show.figures.pitch import pitch_figure
from sim.show.figures.speed import speed_figure
from sim.show.figures.style import DPI, PAPER
from sim.show.files import check_targets, write_all
from sim.show.names import picture_paths, slug

if TYPE_CHECKING:
    from sim.report import Report

DRAWERS: tuple[Callable[..., Axes], ...] = (
    speed_figure, pitch_figure, loads_figure, budget_figure,
)  # fmt: skip
"""What draws each of `sim.show.names.ENDINGS`."""


def save_pictures(
    report: "Report",
    folder: Path,
    system: str = "si",
    name: str | None = None,
    force: bool = False,
) -> list[Path]:
    """Draw the four pictures of a report and write them, all or none.

    Parameters
    ----------
    report
        what is drawn.
    folder
        made if it is not there.
    system
        "si" or "imperial".
    name
        beginning of the files' names; made from the title when None.
    force
        replace files of those names.

    Raises
    ------
    sim.show.files.OutputError
        For files that exist (without `force`) or cannot be written.

    """
    stem = name or slug(report.prepared.title)
    check_targets(picture_paths(folder, stem), force)
    drawn = pictures(report, folder, stem, system)
    write_all(drawn, force)
    return list(drawn)


def pictures(report: "Report", folder: Path, name: str, system: str = "si") -> dict[Path, bytes]:
    """The four pictures as they would be written: file -> bytes."""
    with plain_letters():
        return {
            path: picture_bytes(figure_of(draw(report, None, system)))
            for path, draw in zip(picture_paths(folder, name), DRAWERS, strict=True)
        }


@contextmanager
def plain_letters() -> Iterator[None]:
    """Titles in pictures as they stand: a $ is no formula, a letter no font has shows as a box."""
    with matplotlib.rc_context({"text.parse_math": False}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        yield


def figure_of(axes: Axes) -> Figure:
    """The figure in which axes of ours lie."""
    figure = axes.get_figure(root=True)
    assert figure is not None
    return figure


def picture_bytes(figure: Figure, kind: str = "png") -> bytes:
    """PNG or SVG without date, program name or random numbers in it."""
    file = BytesIO()
    metadata = {"Software": None} if kind == "png" else {"Date": None, "Creator": None}
    with matplotlib.rc_context({"svg.hashsalt": "wheelsoff"}):
        figure.savefig(file, format=kind, dpi=DPI, facecolor=PAPER, metadata=metadata)
    return file.getvalue()
