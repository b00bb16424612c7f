"""JSON Schema of a scenario file, so that editors complete keys and check them while typing.

Made from the models and the registry of keys: a key that is added there is here as well. Form
follows JSON Schema, draft 2020-12. Bounds of quantities are told in words only; contradictions
between keys, and which of two ways to give something is taken, are left to the program. Quantities
hang in an `allOf` because editors that follow an older draft overlook whatever stands beside a
bare reference.
"""

import copy
from collections.abc import Iterator, Mapping
from typing import Any, cast

from sim.scenario.changes import BALANCE, NAME, TABLES, ChangeHead
from sim.scenario.fields import TRIGGER_KINDS, Part, Quantity, TriggerField
from sim.scenario.keys import Key, keys_of
from sim.scenario.models import Document
from sim.scenario.strip import ResistanceField
from sim.scenario.unit_pattern import quantity_pattern
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import LONGEST_TEXT, parse_quantity, quantity_text
from sim.scenario.whole import Whole

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
EXTENDS: Schema = {
    "type": "string",
    "description": "A file beside this one, or a scenario that comes with the program, over"
    " which this file is laid.",
    "examples": ["meadow-jet"],
}
CHANGES: Schema = {
    "changes_from": {
        "type": "string",
        "description": "A file of changes beside this one.",
    },
    "change": {
        "type": "object",
        "description": "Changes that can be laid over this scenario, [change.NAME].",
        "propertyNames": {"pattern": f"^{NAME.pattern}$"},
        "additionalProperties": {"$ref": "#/$defs/Change"},
    },
}
NOT_IN_A_CHANGE: Schema = {
    "not": {},
    "description": "Left out of a change: give the masses put in and taken out in add.",
}
LEFT_TO_THE_PROGRAM = (
    "A scenario of wheelsoff. What only the program sees: bounds of quantities with units, three"
    " numbers that have to rise, keys that contradict each other or of which one excludes another,"
    " keys another kind of power takes, words in a table beside the file, and whether files named"
    " here exist and hold what is missing here."
)
WHOLE = "whole-"
"""Before the name of a definition that says only which keys a table cannot do without."""


def scenario_schema() -> Schema:
    """The schema of a scenario file, ready for `json.dumps`.

    A file that extends another needs no key at all, so the definitions of the tables require
    none; what a file that stands alone must hold is said in definitions of its own. Changes are
    the scenario's own tables, none required, with their own keys beside them.
    """
    definitions = _definitions(Document) | _definitions(ChangeHead)
    needed = _needed(definitions)
    for model in (*_models(Document), *_models(ChangeHead)):
        _describe(definitions[model.__name__], model)
    tidy: Schema = {name: _tidy(table, True) for name, table in sorted(definitions.items())}
    document = tidy.pop(Document.__name__)
    head = tidy.pop(ChangeHead.__name__)
    own = document["properties"]
    tables = {name: own[name] for name in TABLES}
    balance = {"properties": dict.fromkeys(BALANCE, NOT_IN_A_CHANGE)}
    tables["aeroplane"] = tables["aeroplane"] | {"allOf": [balance]}
    tidy["Change"] = head | {
        "properties": head["properties"] | tables,
        "required": needed.pop(WHOLE + ChangeHead.__name__)["required"],
    }
    document["properties"] = {"extends": EXTENDS} | own | CHANGES
    only_changes = {"required": ["change"], "propertyNames": {"const": "change"}}
    return {
        "$schema": DIALECT,
        "title": "wheelsoff scenario",
        **document,
        "description": LEFT_TO_THE_PROGRAM,
        "if": {"not": {"anyOf": [{"required": ["extends"]}, only_changes]}},
        "then": {"$ref": f"#/$defs/{WHOLE}{Document.__name__}"},
        "$defs": tidy | needed | _patterns(repr(tidy)),
    }


def _definitions(model: type[Part]) -> Schema:
    """The schema of a model and of every table in it, by name."""
    made = model.model_json_schema()
    inner: Schema = made.pop("$defs", {})
    return inner | {model.__name__: made}


def _models(model: type[Part]) -> Iterator[type[Part]]:
    """Every table of the file, each once for each place it is used."""
    yield model
    for key in keys_of(model).values():
        if key.table is not None:
            yield from _models(key.table)


def _needed(definitions: Mapping[str, Schema]) -> Schema:
    """For each definition what it requires, and what the tables in it require."""
    return {WHOLE + name: _skeleton(table) for name, table in sorted(definitions.items())}


def _skeleton(table: Schema) -> Schema:
    result: Schema = {"required": list(table["required"])} if table.get("required") else {}
    inner = {name: _links(value) for name, value in table.get("properties", {}).items()}
    inner = {name: links for name, links in inner.items() if links}
    return result | ({"properties": inner} if inner else {})


def _links(value: Any) -> Schema:
    """The references in the schema of a value, turned towards what their tables require."""
    if "$ref" in value:
        return {"$ref": _whole(value["$ref"])}
    found: Schema = {}
    for word in ("items", "additionalProperties"):
        if isinstance(value.get(word), dict) and (links := _links(value[word])):
            found[word] = links
    for word in ("anyOf", "oneOf", "allOf"):
        parts = [_links(part) for part in value.get(word, ()) if part.get("type") != "null"]
        if len(parts) == 1 and parts[0]:
            found |= parts[0]
        elif any(parts):
            found[word] = parts
    return found


def _whole(reference: str) -> str:
    return reference.replace("#/$defs/", f"#/$defs/{WHOLE}")


def _describe(table: Schema, model: type[Part]) -> None:
    """Fill in what the registry of keys knows and pydantic does not."""
    for name, key in keys_of(model).items():
        old = table["properties"][name]
        value = {word: old[word] for word in old if word not in ("title", "default")}
        table["properties"][name] = value | _words(key) | _form(key) | _default(key)


def _words(key: Key) -> Schema:
    text = " ".join(key.note.description.split())
    if not (key.words or key.table):
        text += f" Allowed: {key.allowed()}."
    if key.note.left_out:
        text += f" Left out: {key.note.left_out}."
    return {"description": text}


def _form(key: Key) -> Schema:
    """How a value is written: the pattern of a quantity, the bounds of a number."""
    note = key.note
    if isinstance(note, Quantity) and note.dimension != "bare":
        low, high = (parse_quantity(text, note.dimension) for text in (note.low, note.high))
        bare = {"minimum": low, "maximum": high} if note.also_bare else {}
        return {"allOf": [_text_form(note.dimension)]} | bare
    if isinstance(note, Whole):
        return {"type": "integer"}
    if isinstance(note, TriggerField):
        kinds = [_text_form(TRIGGER_KINDS[kind].dimension) for kind in note.kinds]
        return {"anyOf": kinds, "examples": ["20 m"]}
    if isinstance(note, ResistanceField):
        return _resistance()
    return {}


def _text_form(dimension: str) -> Schema:
    return {"$ref": f"#/$defs/{_pattern_name(dimension)}"}


def _pattern_name(dimension: str) -> str:
    return f"text-{dimension.replace('_', '-')}"


def _patterns(used_in: str) -> Schema:
    """A definition for each kind of quantity; a plain number passes, the key says if it may."""
    kinds = {n: k for n, k in DIMENSIONS.items() if f"#/$defs/{_pattern_name(n)}'" in used_in}
    return {
        _pattern_name(name): {
            "description": f"{kind.noun.capitalize()} with its unit.",
            "pattern": quantity_pattern(name),
            "maxLength": LONGEST_TEXT,
        }
        for name, kind in kinds.items()
    }


def _resistance() -> Schema:
    number = {"type": "number", "minimum": 0, "maximum": 2}
    names = ("low", "typical", "high")
    three = {"properties": dict.fromkeys(names, number), "required": list(names)}
    return {"minimum": 0, "maximum": 2} | three | {"additionalProperties": False}


def _default(key: Key) -> Schema:
    """What a key left out stands for, as it would be written."""
    value = key.default
    if isinstance(value, bool | str):
        return {"default": value} if value != "" else {}
    if not isinstance(value, float | int):
        return {}
    if isinstance(key.note, Quantity) and key.note.dimension != "bare":
        return {"default": quantity_text(value, key.note.dimension)}
    return {"default": value}


def _tidy(value: Any, table: bool = False) -> Any:
    """Without empty choices (TOML has none), without names made from names, nothing required.

    What stands in a list is whole even in a file that extends another: lists are not merged.
    """
    if isinstance(value, list):
        return [_tidy(item) for item in value]
    if not isinstance(value, dict):
        return copy.deepcopy(value)
    gone = ("title", "required") if table else ("title",)
    result = {k: v for k, v in value.items() if k not in gone or not isinstance(v, str | list)}
    choices = [c for c in result.get("anyOf", ()) if c.get("type") != "null"]
    if len(choices) == 1:
        del result["anyOf"]
        result = cast(Schema, choices[0]) | result
    result = {k: _tidy(v) for k, v in result.items()}
    if "$ref" in result.get("items", ()):
        result["items"] = {"allOf": [result["items"], {"$ref": _whole(result["items"]["$ref"])}]}
    return result
