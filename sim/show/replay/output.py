"""A replay to bytes: GIF with the packages that are always there, MP4 through ffmpeg."""

import subprocess
import tempfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.animation import FFMpegWriter
from matplotlib.colors import to_rgb
from PIL import Image

from sim.roll.aero_table import Array
from sim.show.figures.side_view import BODY_TINT, SURFACE_TINT
from sim.show.figures.style import FAINT, INK, LIMIT, LINES, SOIL
from sim.show.files import OutputError
from sim.show.replay.film import DPI, WIDE, Film
from sim.show.replay.ground import BEYOND

KINDS = {".gif": "gif", ".mp4": "mp4", ".html": "html"}
"""Ending of a file -> what is written."""
FRAME = 0.08
"""Seconds of a frame; GIF counts hundredths."""
FILM_RATE = 25
"""Frames a second of an MP4."""
COLOURS = 64
SWATCH = 40
"""Lines of each of our own colours laid before the choice of the palette [px]."""
KEPT = (*LINES.values(), LIMIT, INK, FAINT, BODY_TINT, SURFACE_TINT, SOIL, BEYOND)
"""Colours that are in the palette whatever the frames hold."""
Progress = Callable[[int, int], None]


def kind_of(path: Path) -> str:
    """What a file of this name holds.

    Raises
    ------
    OutputError
        For an ending nothing can be written for, and for .mp4 without ffmpeg.

    """
    kind = KINDS.get(path.suffix.lower())
    if kind is None:
        raise OutputError(f"{path} ends in none of .gif, .mp4 and .html")
    if kind == "mp4" and not FFMpegWriter.isAvailable():
        raise OutputError(
            f"{path} needs the program ffmpeg, which is not on this computer's search path;"
            " a name ending in .gif or .html always works"
        )
    return kind


def replay_bytes(
    stories: list[dict[str, Any]], kind: str, progress: Progress | None = None
) -> bytes:
    """One roll or two as "gif", "mp4" or "html"; same stories, same bytes of a GIF or a page.

    Raises
    ------
    OutputError
        When ffmpeg fails.

    """
    if kind == "html":
        from sim.show.replay.page.build import replay_page  # noqa: PLC0415 - only for a page

        return replay_page(stories).encode("utf-8")
    film = Film(stories)
    return gif_bytes(film, progress) if kind == "gif" else mp4_bytes(film, progress)


def frame_times(film: Film) -> tuple[list[float], list[int]]:
    """Times shown and how long each frame stays [ms]; the moment held at the end is one frame."""
    moving = film.clock[-2][0] if len(film.clock) > 1 else 0.0
    count = int(np.ceil(moving / FRAME - 1e-9))
    times = [i * FRAME for i in range(count)] + [moving]
    held = film.length - count * FRAME
    return times, [round(1000 * FRAME)] * count + [10 * round(100 * held)]


def gif_bytes(film: Film, progress: Progress | None = None) -> bytes:
    """A GIF that runs for ever, one palette for all frames, without dither."""
    times, lasting = frame_times(film)
    palette = _palette(film, times)

    def frame(i: int) -> Image.Image:
        if progress:
            progress(i + 1, len(times))
        return _image(film.picture(times[i])).quantize(palette=palette, dither=Image.Dither.NONE)

    file = BytesIO()
    frames = (frame(i) for i in range(1, len(times)))
    frame(0).save(
        file, "GIF", save_all=True, append_images=frames, duration=lasting, loop=0, optimize=True,
        disposal=1,
    )  # fmt: skip
    return file.getvalue()


def _palette(film: Film, times: list[float]) -> Image.Image:
    """Colours of four frames from start to end, the house's own among them for certain."""
    chosen = [times[round(share * (len(times) - 1))] for share in (0.0, 0.4, 0.7, 1.0)]
    own = [np.array(to_rgb(colour)) * 255.0 for colour in KEPT]
    stripes = np.repeat(np.array(own)[:, None], SWATCH, axis=0) * np.ones((1, WIDE, 1))
    sample = np.concatenate([*(film.picture(time) for time in chosen), np.round(stripes)])
    return _image(sample).quantize(COLOURS, method=Image.Quantize.MAXCOVERAGE)


def _image(picture: Array) -> Image.Image:
    return Image.fromarray(np.asarray(picture, dtype=np.uint8), "RGB")


def mp4_bytes(film: Film, progress: Progress | None = None) -> bytes:
    """An MP4 made by ffmpeg in a folder that is gone afterwards.

    Raises
    ------
    OutputError
        When ffmpeg fails.

    """
    count = round(film.length * FILM_RATE)
    with tempfile.TemporaryDirectory() as folder, matplotlib.rc_context({"savefig.bbox": None}):
        target = Path(folder) / "replay.mp4"
        writer = FFMpegWriter(fps=FILM_RATE)
        try:
            with writer.saving(film.figure, str(target), DPI):
                for i in range(count):
                    film.show(i / FILM_RATE)
                    writer.grab_frame()
                    if progress:
                        progress(i + 1, count)
            return target.read_bytes()
        except (OSError, subprocess.SubprocessError) as wrong:
            raise OutputError(f"ffmpeg could not make the film: {wrong}") from None
