"""Values and keys as TOML text: what a scenario file holds, and nothing else of the language."""

import math
import re
from collections.abc import Mapping
from typing import Any

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+\Z")
_SHORT = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def toml_string(text: str) -> str:
    """A text in quotes, with what TOML does not take as it is written as escapes.

    Raises
    ------
    ValueError
        For half a surrogate pair, which no TOML file can hold.

    """
    return '"' + "".join(_escaped(letter) for letter in text) + '"'


def _escaped(letter: str) -> str:
    if letter in _SHORT:
        return _SHORT[letter]
    code = ord(letter)
    if 0xD800 <= code <= 0xDFFF:
        raise ValueError("a TOML file cannot hold half a surrogate pair")
    if code < 0x20 or 0x7F <= code <= 0x9F or code in (0x2028, 0x2029, 0xFEFF):
        return f"\\u{code:04X}"
    return letter


def toml_key(name: str) -> str:
    """A key, in quotes when it needs them."""
    return name if _BARE_KEY.match(name) else toml_string(name)


def toml_path(*names: str) -> str:
    """A dotted key, as in the heading of a table."""
    return ".".join(toml_key(name) for name in names)


def toml_value(value: Any) -> str:
    """A text, number, truth, list or table on one line.

    Parameters
    ----------
    value
        str, bool, int, float, a list or tuple of values, or a mapping of text to values.

    Raises
    ------
    ValueError
        For anything else.

    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return toml_string(value)
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return _float(value)
    if isinstance(value, Mapping):
        items = ", ".join(f"{toml_key(name)} = {toml_value(item)}" for name, item in value.items())
        return f"{{ {items} }}" if items else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(toml_value(item) for item in value)}]"
    raise ValueError(f"a scenario file holds no {type(value).__name__}")


def _float(value: float) -> str:
    """A float that stays one: `1.0`, `1e+20`, `inf`, `nan`."""
    if math.isnan(value) or math.isinf(value):
        return repr(value)
    text = repr(value)
    return text if "." in text or "e" in text else f"{text}.0"


def comment(text: str, width: int = 98) -> list[str]:
    """Lines of comment that hold a text, whatever is in it."""
    lines: list[str] = []
    for word in "".join(c if c.isprintable() else " " for c in text).split():
        if lines and len(lines[-1]) + len(word) < width:
            lines[-1] += f" {word}"
        else:
            lines.append(f"# {word}")
    return lines
