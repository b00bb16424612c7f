"""Every key of a scenario file, found by walking the models: the one registry of keys."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic_core import PydanticCustomError

from sim.scenario.fields import Described, Part, Quantity, TriggerField
from sim.scenario.models import Document
from sim.scenario.strip import ResistanceField


@dataclass(frozen=True)
class Key:
    """One key of a table.

    Attributes
    ----------
    name: last part of the path.
    note: description, and for quantities kind and bounds.
    required: whether its table needs it.
    default: value when it is left out; None when it is estimated later.
    words: the words it takes, if it takes words.
    flag: whether it is true or false.
    table: model of the table behind it, if it is one.
    many: the key holds a list of such tables.

    """

    name: str
    note: "Described | ResistanceField"
    required: bool
    default: object
    words: tuple[str, ...]
    flag: bool
    table: type[Part] | None
    many: bool

    def allowed(self) -> str:
        """What may stand here, in words."""
        if isinstance(self.note, Quantity | TriggerField | ResistanceField):
            return self.note.allowed()
        if self.words:
            return "one of " + ", ".join(f'"{word}"' for word in self.words)
        if self.many:
            return "a list of tables"
        if self.table is not None:
            return "a table with " + ", ".join(keys_of(self.table))
        return "true or false" if self.flag else "a text in quotes"


@lru_cache(maxsize=64)
def keys_of(model: type[Part]) -> dict[str, Key]:
    """The keys of a table, by name. Do not change the returned dictionary."""
    return {name: _key(name, field) for name, field in model.model_fields.items()}


def _key(name: str, field: Any) -> Key:
    notes = [m for m in field.metadata if isinstance(m, Described | ResistanceField)]
    kinds = list(_kinds(field.annotation))
    words = next((get_args(k) for k in kinds if get_origin(k) is Literal), ())
    tables = [k for k in kinds if isinstance(k, type) and issubclass(k, Part)]
    many = any(get_origin(k) is tuple for k in kinds)
    table = tables[0] if tables else None
    default = None if field.is_required() else field.default
    return Key(name, notes[0], field.is_required(), default, words, bool in kinds, table, many)


def _kinds(annotation: Any) -> Iterator[Any]:
    """An annotation taken apart: the members of a union, the items of a tuple."""
    if get_origin(annotation) in (UnionType, Union):
        for part in get_args(annotation):
            yield from _kinds(part)
        return
    yield annotation
    if get_origin(annotation) is tuple:
        yield get_args(annotation)[0]


def walk_keys(model: type[Part] = Document, path: str = "") -> Iterator[tuple[str, Key]]:
    """Every key with its dotted path, tables before what is in them."""
    for name, key in keys_of(model).items():
        here = f"{path}.{name}" if path else name
        yield here, key
        if key.table is not None:
            yield from walk_keys(key.table, here)


def key_at(location: tuple[int | str, ...], model: type[Part] = Document) -> Key | None:
    """The key a location in the models leads to, None for an unknown one."""
    table: type[Part] | None = model
    key = None
    for part in location:
        if isinstance(part, int):
            continue
        key = keys_of(table).get(part) if table is not None else None
        if key is None:
            return None
        table = key.table
    return key


def table_at(location: tuple[int | str, ...], model: type[Part] = Document) -> type[Part] | None:
    """The table a location leads to; the model itself for an empty one."""
    if not location:
        return model
    key = key_at(location, model)
    return key.table if key else None


def path_text(location: tuple[int | str, ...]) -> str:
    """Dotted path of a location, points of a list counted from 1."""
    text = ""
    for part in location:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += f".{part}" if text else part
    return text


def readings(
    data: Mapping[str, Any], model: type[Part] = Document, path: str = ""
) -> dict[str, Any]:
    """Every quantity and word that can be read, by path, whatever is wrong elsewhere [SI].

    Cross-checks work on these, so that they speak up even when other keys are wrong. Keys left
    out are there with their default unless it is None. Lists of tables are left out.
    """
    found: dict[str, Any] = {}
    for name, key in keys_of(model).items():
        here = f"{path}.{name}" if path else name
        given = data.get(name)
        if key.table is not None and not key.many:
            if isinstance(given, Mapping):
                found |= readings(given, key.table, here)
        elif given is None:
            found |= {here: key.default} if key.default is not None else {}
        elif isinstance(key.note, Quantity | TriggerField):
            found |= _read(here, key.note, given)
        elif isinstance(given, str) and given in key.words:
            found[here] = given
    return found


def _read(path: str, note: Quantity | TriggerField, given: object) -> dict[str, Any]:
    try:
        return {path: note.read(given)}
    except PydanticCustomError:
        return {}


def left_out(
    data: Mapping[str, Any], model: type[Part] = Document, path: str = ""
) -> Iterator[tuple[str, str]]:
    """Keys that are missing and what is done instead, tables that are there only."""
    for name, key in keys_of(model).items():
        here = f"{path}.{name}" if path else name
        given = data.get(name)
        if isinstance(given, Mapping) and key.table is not None:
            yield from left_out(given, key.table, here)
        elif given is None and key.note.left_out and not _beside_the_point(key, data):
            yield here, key.note.left_out


def _beside_the_point(key: Key, data: Mapping[str, Any]) -> bool:
    """Whether another key of the table says it instead."""
    return any(data.get(other) is not None for other in key.note.unless)
