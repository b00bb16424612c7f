"""A scenario as a commented TOML file: every key with what it is, those left out as comments.

Keys, descriptions, kinds and bounds come from the registry of keys (`sim.scenario.keys`).
"""

from collections.abc import Iterator, Mapping
from typing import Any

from sim.ask.toml_text import comment, toml_key, toml_path, toml_value
from sim.scenario.fields import Part, Quantity, TriggerField
from sim.scenario.keys import Key, keys_of
from sim.scenario.models import Document
from sim.scenario.power import COMMON_KEYS, KIND_KEYS
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import quantity_text

Tree = Mapping[str, Any]


def commented(tree: Tree, heading: str = "") -> str:
    """The text of a file that reads back as the tree.

    Parameters
    ----------
    tree
        a scenario as written, nothing in it that extends another.
    heading
        told at the top as a comment.

    Raises
    ------
    ValueError
        For values no scenario file holds.

    """
    lines = comment(heading)
    lines += ["", *_table(tree, Document, ())] if lines else _table(tree, Document, ())
    return "\n".join(lines).rstrip("\n") + "\n"


def _table(tree: Tree, model: type[Part], path: tuple[str, ...]) -> list[str]:
    """Keys first, as TOML wants it, then the tables within."""
    keys = keys_of(model)
    lines: list[str] = []
    for key in keys.values():
        if key.table is None or _in_line(tree.get(key.name), key):
            lines += _entry(tree, key, path)
    for name, value in tree.items():
        if name not in keys and not _is_table(value):
            lines.append(f"{toml_key(name)} = {toml_value(value)}")
    for key in keys.values():
        if key.table is not None and not _in_line(tree.get(key.name), key):
            lines += _inner(tree, key, (*path, key.name), path)
    for name, value in tree.items():
        if name not in keys and _is_table(value):
            lines += _unknown(value, (*path, name))
    return lines


def _in_line(value: Any, key: Key) -> bool:
    """Whether a key of tables is written on one line: a list that is no list of tables."""
    return value is not None and not _is_table(value) and not (key.many and _is_list(value))


def _is_table(value: Any) -> bool:
    return isinstance(value, Mapping)


def _is_list(value: Any) -> bool:
    """A list of tables, which has headings of its own."""
    full = isinstance(value, list | tuple) and len(value) > 0
    return full and all(_is_table(item) for item in value)


def _entry(tree: Tree, key: Key, path: tuple[str, ...]) -> Iterator[str]:
    """One key with its comment, or as a comment when it is left out."""
    value = tree.get(key.name)
    if value is not None:
        yield from comment(about(key))
        yield f"{toml_key(key.name)} = {toml_value(value)}"
    elif _may_stand(tree, key, path):
        yield from comment(f"{about(key)} {instead(key)}")
        yield f"# {toml_key(key.name)} = {blank(key)}"


def _inner(tree: Tree, key: Key, path: tuple[str, ...], above: tuple[str, ...]) -> list[str]:
    """A table under its heading, a list of tables under one heading each."""
    value = tree.get(key.name)
    assert key.table is not None
    if value is None:
        if not _may_stand(tree, key, above):
            return []
        keys = ", ".join(keys_of(key.table))
        words = comment(f"{about(key)} {instead(key)} Keys: {keys}.")
        return ["", *words, f"# {_heading(key, path)}"]
    title = ["", *comment(about(key))]
    if not key.many:
        return [*title, _heading(key, path), *_table(value, key.table, path)]
    for item in value:
        title += [_heading(key, path)]
        title += [f"{toml_key(name)} = {toml_value(part)}" for name, part in item.items()]
    return title


def _heading(key: Key, path: tuple[str, ...]) -> str:
    return f"[[{toml_path(*path)}]]" if key.many else f"[{toml_path(*path)}]"


def _unknown(value: Tree, path: tuple[str, ...]) -> list[str]:
    """A table the registry does not know, written as it is."""
    lines = ["", f"[{toml_path(*path)}]"]
    for name, inner in value.items():
        if _is_list(inner):
            rows = [f"  {toml_value(row)}," for row in inner]
            lines += [f"{toml_key(name)} = [", *rows, "]"]
        elif not _is_table(inner):
            lines.append(f"{toml_key(name)} = {toml_value(inner)}")
    for name, inner in value.items():
        lines += _unknown(inner, (*path, name)) if _is_table(inner) else []
    return lines


def _may_stand(tree: Tree, key: Key, path: tuple[str, ...]) -> bool:
    """Whether a key left out could be added: keys of another kind of power cannot."""
    if path != ("power",) or not isinstance(tree.get("kind"), str):
        return True
    return key.name in KIND_KEYS.get(tree["kind"], ()) + COMMON_KEYS


def about(key: Key) -> str:
    """Description of a key, with what may stand there."""
    text = " ".join(key.note.description.split())
    note = key.note
    if isinstance(note, Quantity):
        kind = DIMENSIONS[note.dimension]
        return f"{text} ({kind.noun}, {note.low} to {note.high})"
    plain = key.table or key.flag or isinstance(key.default, str)
    if key.words or isinstance(note, TriggerField) or not plain:
        return f"{text} ({key.allowed()})"
    return text


def instead(key: Key) -> str:
    """What is done when a key is left out, as a sentence; "" when nothing is."""
    if key.note.left_out:
        return f"Left out: {key.note.left_out}."
    value = key.default
    if isinstance(key.note, Quantity) and isinstance(value, float):
        return f"Left out: {quantity_text(value, key.note.dimension)}."
    if isinstance(value, bool):
        return f"Left out: {toml_value(value)}."
    return ""


def blank(key: Key) -> str:
    """A value to be filled in: as it stands the program refuses it and says what it wants."""
    if isinstance(key.note, Quantity) and key.note.dimension != "bare":
        return toml_value(f"... {DIMENSIONS[key.note.dimension].metric}")
    return toml_value("...")
