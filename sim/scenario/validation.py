"""A tree of tables turned into models, every mistake at once."""

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from sim.scenario.checks import contradictions, point_contradictions
from sim.scenario.fields import Part
from sim.scenario.keys import Key, key_at, keys_of, path_text, readings, table_at, walk_keys
from sim.scenario.merging import value_at
from sim.scenario.models import Document
from sim.scenario.power import ThrustPoint
from sim.scenario.problems import NOTHING, Problem, near, shorten, shown

MOST_PROBLEMS = 100
FILE_KEYS = ("extends", "change", "changes_from")
"""Keys of a file that are no longer there when the models see it."""


def validate(data: Mapping[str, Any]) -> tuple[Document | None, list[Problem]]:
    """The models, or everything that is wrong. Needs a tree that passed `check_shape`."""
    problems: list[Problem] = []
    document = None
    try:
        document = Document.model_validate(data)
    except ValidationError as error:
        problems = [_problem(wrong) for wrong in error.errors(include_url=False)[:MOST_PROBLEMS]]
    values = readings(data)
    known = {problem.key for problem in problems}
    found = contradictions(data, values) + _points(data, values.get("power.static_thrust"))
    problems += [problem for problem in found if problem.key not in known]
    return (None if problems else document), problems


def model_problems(
    data: Mapping[str, Any], model: type[Part] = Document, whole: bool = True
) -> list[Problem]:
    """What one model says of a tree, without looking for contradictions between keys.

    Unless it is to be whole, keys missing from tables are passed over: the tree is laid over
    another that has them. Lists are always whole.
    """
    try:
        model.model_validate(data)
    except ValidationError as error:
        found = error.errors(include_url=False)[:MOST_PROBLEMS]
        return [
            _problem(wrong, model)
            for wrong in found
            if whole or wrong["type"] != "missing" or any(isinstance(p, int) for p in wrong["loc"])
        ]
    return []


def _points(data: Mapping[str, Any], static_thrust: float | None) -> list[Problem]:
    """Order of the thrust points; silent when one of them cannot be read."""
    given = value_at(data, "power.points")
    if not isinstance(given, list | tuple) or len(given) < 2:
        return []
    try:
        points = [ThrustPoint.model_validate(point) for point in given]
    except ValidationError:
        return []
    return point_contradictions(points, static_thrust)


def _problem(wrong: Any, model: type[Part] = Document) -> Problem:
    """One complaint of the models in the builder's words."""
    location = tuple(wrong["loc"])
    path = shorten_path(path_text(location))
    if wrong["type"] == "extra_forbidden":
        return _unknown(location, path, wrong["input"], model)
    key = key_at(location, model)
    if wrong["type"] == "missing":
        return Problem(path, NOTHING, key.allowed() if key else "a value")
    if wrong["type"] == "scenario":
        context = wrong["ctx"]
        return Problem(path, shown(wrong["input"]), context["allowed"], context["nearest"])
    if wrong["type"] == "string_too_long":
        return Problem(path, shown(wrong["input"]), "at most 200 characters")
    allowed = key.allowed() if key else "something else"
    if isinstance(location[-1] if location else None, int):
        allowed = "a table"
    return Problem(path, shown(wrong["input"]), allowed, _word(key, wrong["input"]))


def shorten_path(path: str) -> str:
    """A path that may hold hostile keys, printable and of bearable length."""
    return ".".join(shorten(part) or '""' for part in path.split(".")[:12])


def _word(key: Key | None, given: object) -> str | None:
    if key is None or not isinstance(given, str):
        return None
    found = near(given, key.words)
    return shown(found) if found else None


def _unknown(
    location: tuple[int | str, ...], path: str, given: object, model: type[Part]
) -> Problem:
    """A key nobody knows: the same name in another table, else the nearest beside it."""
    table = table_at(location[:-1], model)
    siblings = list(keys_of(table)) if table else []
    siblings += FILE_KEYS if table is Document else ()
    name = str(location[-1])
    elsewhere = next((p for p, _ in walk_keys(model) if p.rpartition(".")[2] == name), None)
    nearest = elsewhere or near(name, siblings)
    return Problem(path, shown(given), f"one of the keys {', '.join(siblings)}", nearest)
