"""Console blocks of a page: the commands it shows, and whether they print what it shows."""

import re
from pathlib import Path

Console = tuple[str, str]
"""A command and what the page shows of its output; "..." stands for anything."""


def consoles_of(page: Path) -> list[Console]:
    """Every console block of a Markdown page."""
    text = page.read_text(encoding="utf-8")
    return re.findall(r"```console\n\$ (.*?)\n(.*?)```", text, flags=re.DOTALL)


def pictures_of(page: Path) -> list[Path]:
    """Every picture a Markdown page shows."""
    text = page.read_text(encoding="utf-8")
    return [page.parent / name for name in re.findall(r"!\[[^]]*\]\(([^)]+)\)", text)]


def assert_printed(printed: str, shown: str) -> None:
    """Every line shown is printed, in this order; a line may end in "..."."""
    lines = printed.splitlines()
    wanted = [line for line in shown.splitlines() if line != "..."]
    assert wanted
    place = -1
    for line in wanted:
        start = line.removesuffix(" ...")
        following = range(place + 1, len(lines))
        found = next((i for i in following if _same(lines[i], line, start)), None)
        assert found is not None, f"{line!r} is not printed after line {place}"
        place = found


def _same(printed: str, shown: str, start: str) -> bool:
    return printed.startswith(start) if shown.endswith(" ...") else printed.rstrip() == shown
