"""Names of the pictures; no drawing here, so that it is known early what would be written."""

import re
from pathlib import Path

ENDINGS = ("speed", "pitch", "loads", "budget")
"""What a run's pictures are called after the scenario's name."""


def picture_paths(folder: Path, name: str) -> list[Path]:
    """Files of the four pictures of a roll."""
    return [Path(folder) / f"{name}-{ending}.png" for ending in ENDINGS]


def slug(text: str) -> str:
    """A file name made from a title: small letters, digits and hyphens."""
    words = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
    return words[:60].rstrip("-") or "roll"
