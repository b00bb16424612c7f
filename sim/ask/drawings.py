"""Drawings for the terminal: where to put the tape.

The jet is invented and not to scale. Each view names places by row and column; a mark draws the
measured length between two of them. Letters are plain ASCII, so that every terminal shows them.
"""

from dataclasses import dataclass

SIDE = r"""
                                                     ______
                                                    /     /
               _____                               /     /
          __.-'     '-.___________________________/_____/__
   ___.--'                                        ======== |
  <- - - - - - reference line - - - - - - - - - - - - - - -|
   '---.__________________=================________________|
              |                            |
              |                            |
             (o)                          (o)
"""

HALF = r"""
   ___.------------------------------------------------------.
  <- - - - - - - - - - - - - - - - - - - - centreline - - - -|
   '--.________________________________________.____________.'
                     \                 |         \      |
                       \           :fff|           \    |
                         \         :fff|             \__|
                           \       :fff|
                             \         |
                               \_______|
"""

EDGE = r"""
       hinge or pivot           _ - o   up: trailing edge up, nose up
          |               _ - '
  ========O==============-----------o   neutral
                          ' - _
                                ' - o   down: trailing edge down
"""

STRINGS = r"""
     ====================================  a beam overhead
              |                |
              |                |
              |                |
   <==========O=======+========O======|  on its side, let go
"""

BENCH = r"""
                __           _
   _______.----'  '---------/_|
  <___________________________|----string----[ scale ]----|| post
       o                o          jet goes this way -->
"""

FIELD = r"""
                                             .  -  screen height
   jet                               .  -
   =>>_ _ _ _ _ _ _ _ _ _ _ _ _ . _ _ _ _ _ _ _ _
  ===================================================
"""

VIEWS = {
    "side": SIDE,
    "half": HALF,
    "edge": EDGE,
    "strings": STRINGS,
    "bench": BENCH,
    "field": FIELD,
}

PLACES: dict[str, dict[str, tuple[int, int]]] = {
    "side": {
        "nose tip": (5, 2),
        "nose axle": (9, 14),
        "wing leading edge": (6, 26),
        "cg": (5, 36),
        "main axle": (9, 43),
        "tail leading edge": (4, 50),
        "scrape point": (6, 57),
        "end": (5, 59),
        "reference": (5, 2),
        "belly": (6, 31),
        "back": (3, 31),
    },
    "half": {
        "centreline": (1, 2),
        "wing root front": (1, 18),
        "wing root back": (1, 39),
        "wing tip front": (8, 31),
        "wing tip back": (8, 39),
        "flap inner end": (4, 38),
        "flap outer end": (6, 38),
        "flap hinge": (5, 35),
        "flap trailing edge": (5, 39),
        "tail root front": (1, 46),
        "tail root back": (1, 56),
        "tail tip front": (5, 53),
        "tail tip back": (5, 56),
        "body side": (0, 12),
        "body other side": (2, 12),
    },
    "edge": {"pivot": (2, 10), "trailing edge": (2, 36)},
    "strings": {"left": (4, 14), "right": (4, 31), "beam": (0, 14), "model": (4, 14)},
    "field": {"start": (2, 3), "pull": (2, 20), "lift-off": (2, 33), "end": (3, 52)},
}
"""Row and column of places, by view."""


@dataclass(frozen=True)
class Mark:
    """A measured length in a view.

    Attributes
    ----------
    view: key of `VIEWS`.
    start, end: names of places in it; both "" for a drawing without a length.
    label: what is written on it.
    up: measured up and down instead of along.

    """

    view: str
    start: str = ""
    end: str = ""
    label: str = ""
    up: bool = False


def drawing(mark: Mark) -> list[str]:
    """Lines of the view with its mark.

    Raises
    ------
    KeyError
        For a view or a place that does not exist.

    """
    lines = VIEWS[mark.view].strip("\n").split("\n")
    if not mark.start:
        return [*lines, f"  {mark.label}"] if mark.label else lines
    start, end = PLACES[mark.view][mark.start], PLACES[mark.view][mark.end]
    return _upright(lines, start, end, mark.label) if mark.up else _along(lines, start, end, mark)


def _along(lines: list[str], start: tuple[int, int], end: tuple[int, int], mark: Mark) -> list[str]:
    """The view, lines down from both ends, and the length between them underneath."""
    left, right = sorted((start[1], end[1]))
    for row, column in (start, end):
        lines = [_put(text, column, ":") if i > row else text for i, text in enumerate(lines)]
    inner = max(right - left - 1, 2)
    arrow = f"|<{'-' * (inner - 2)}>|" if inner > 2 else "|<>|"
    return [*lines, " " * left + arrow + f"  {mark.label}"]


def _upright(
    lines: list[str], start: tuple[int, int], end: tuple[int, int], label: str
) -> list[str]:
    """The view with an arrow up and down beside it, on the rows of both ends."""
    top, bottom = sorted((start[0], end[0]))
    column = max(62, max(len(line) for line in lines) + 2)
    marked = []
    for row, text in enumerate(lines):
        if not top <= row <= bottom:
            marked.append(text)
            continue
        sign = "-+-" if row in (top, bottom) else " | "
        words = f" {label}" if row == (top + bottom + 1) // 2 else ""
        marked.append(f"{text:<{column}}{sign}{words}".rstrip())
    return marked


def _put(text: str, column: int, sign: str) -> str:
    """A sign in a line where nothing stands."""
    padded = text.ljust(column + 1)
    return text if padded[column] != " " else padded[:column] + sign + padded[column + 1 :]
