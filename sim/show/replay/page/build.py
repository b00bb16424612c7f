"""Put the replay's parts into one page that loads nothing and runs nothing but its own script.

The modules are plain ES modules and run as they are from a server of one's own; in the one page
they stand after one another in one script, each in a function of its own that returns its exports.
"""

import json
import re
from collections.abc import Sequence
from functools import reduce
from importlib.resources import files
from typing import Any

from sim.show.page.palette import palette_css
from sim.show.page.policy import source_hash
from sim.show.replay.clock import joined

COMPONENT = (
    "reading.js",
    "clock.js",
    "elements.js",
    "aeroplane.js",
    "arrows.js",
    "ground.js",
    "scene.js",
    "strip_map.js",
    "bars.js",
    "traces.js",
    "telling.js",
    "scales.js",
    "controls.js",
    "replay.js",
)
"""Modules of the component, each after those it imports."""
START = "start.js"
"""The module that starts the page from the stories in it."""
_IMPORT = re.compile(r'^import \{[^}]*\} from "\./([\w.]+)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:function|const) (\w+))", re.MULTILINE)
_RISKY = str.maketrans({c: f"\\u{ord(c):04x}" for c in "<>&\u2028\u2029"})


def replay_page(stories: Sequence[dict[str, Any]]) -> str:
    """One self-contained page that replays one roll or two side by side.

    Parameters
    ----------
    stories
        documents as `sim.show.replay.story` makes them; what is in them is only ever shown as text.

    Raises
    ------
    ValueError
        Without a story, or with more than two, or if a story holds a number that is not finite.

    """
    if not 1 <= len(stories) <= 2:
        raise ValueError(f"a replay shows one roll or two, not {len(stories)}")
    style, script = component_style(), bundle((*COMPONENT, START))
    parts = {
        "style": style,
        "style_hash": source_hash(style),
        "script": script,
        "script_hash": source_hash(script),
        "stories": data_block(on_one_clock(stories)),
    }
    # in one pass, so that braces in a story are never taken for a place to be filled
    return re.sub(r"\{(\w+)\}", lambda match: parts[match[1]], _read("page.html"))


def on_one_clock(stories: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The stories with the clock of all of them in each: slow where any of them is slow."""
    clock = reduce(joined, (told["clock"] for told in stories))
    return [{**told, "clock": clock} for told in stories]


def component_style() -> str:
    """The palette and the component's style sheet."""
    return palette_css() + _read("page.css")


def bundle(names: Sequence[str]) -> str:
    """Modules as one script, in the order given.

    Raises
    ------
    ValueError
        If a module stands before one that it imports.

    """
    done: list[str] = []
    for name in names:
        text = _read(name)
        missing = set(_IMPORT.findall(text)) - set(names[: len(done)])
        if missing:
            raise ValueError(f"{name} must stand after {', '.join(sorted(missing))}")
        exports = f"{{ {', '.join(_EXPORT.findall(text))} }}"
        body = _EXPORT.sub("", _IMPORT.sub("", text))
        done.append(f"const {exports} = (() => {{\n{body}return {exports};\n}})();")
    return "\n" + "\n".join(done)


def data_block(data: Any) -> str:
    """JSON that can stand inside a script element: no text in it can end the element."""
    return json.dumps(data, allow_nan=False, separators=(",", ":")).translate(_RISKY)


def _read(name: str) -> str:
    return files(__package__).joinpath(name).read_text(encoding="utf-8")
