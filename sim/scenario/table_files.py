"""Files a scenario names for its tables: found beside it, read once, within limits."""

import os
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from sim.scenario.problems import fail, shorten, shown

LARGEST_TABLE = 256 * 1024
WANTED = "a file of propeller coefficients with headings J, CT and CP"
NAMES = ("table", "static_table")
"""Keys of a propeller that name a file."""


@dataclass(frozen=True)
class TableFile:
    """A file's name, as it is told, and what stands in it."""

    name: str
    text: str = field(repr=False)


def read_table(given: object) -> TableFile:
    """Name and text of a file.

    Raises
    ------
    ScenarioError
        For anything but the name of a readable text of bearable size.

    """
    if not isinstance(given, str) or not given.strip():
        raise fail("", shown(given), WANTED)
    try:
        path = Path(given)
        if not path.is_file():
            raise fail("", shown(given), f"{WANTED} (no file at {shorten(str(path))})")
        size, when = os.stat(path).st_size, os.stat(path).st_mtime_ns
        if size > LARGEST_TABLE:
            raise fail("", shown(given), f"{WANTED}, at most {LARGEST_TABLE // 1024} kB")
        return TableFile(path.name, _text(str(path), size, when))
    except UnicodeDecodeError:
        raise fail("", shown(given), f"{WANTED}, text in UTF-8") from None
    except (OSError, ValueError) as wrong:
        reason = (getattr(wrong, "strerror", None) or "no such name").lower()
        raise fail("", shown(given), f"{WANTED} that opens ({reason})") from None


@lru_cache(maxsize=32)
def _text(path: str, size: int, when: int) -> str:
    """Text of a file, read again only when it changed."""
    with open(path, "rb") as file:
        return file.read(LARGEST_TABLE + 1).decode("utf-8-sig")


def beside(data: dict[str, Any], folder: Path) -> dict[str, Any]:
    """A file's tree with every name of a table file seen from the file's own folder."""
    return {name: _beside(name, value, folder) for name, value in data.items()}


def _beside(name: str, value: Any, folder: Path) -> Any:
    if not isinstance(value, dict):
        return value
    found = beside(value, folder)
    if name in ("propeller", "read_with"):
        named = {key: found[key] for key in NAMES if isinstance(found.get(key), str)}
        found |= {key: str(folder / text) for key, text in named.items() if text.strip()}
    return found
