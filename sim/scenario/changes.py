"""Changes: named alterations a builder can lay over a scenario, `[change.NAME]` in its file.

A change holds the scenario's own tables with the keys it replaces, and beside them its own keys:
what it is, hours, cost, whether it can be undone, and the masses it puts in or takes out.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from sim.aeroplane.ledger import Row
from sim.scenario.fields import Note, Part, Quantity, custom_error
from sim.scenario.files import Origin, origin_of
from sim.scenario.merging import Tree, value_at
from sim.scenario.models import Document
from sim.scenario.problems import Problem, near, shorten, shown
from sim.scenario.validation import model_problems

NAME = re.compile(r"[a-z0-9_-]{1,40}")
LONGEST_LINE = 200
MOST_ROWS = 50
_ONE_LINE = r"^ *[^\x00-\x20\x7f][^\x00-\x1f\x7f]*$"
"""A text on one line that is not blank, for editors."""

BALANCE = ("mass", "cg", "pitch_inertia", "swing", "weighing")
"""Keys of the aeroplane a change leaves alone: its rows tell what it does to the balance."""


def _line(given: Any) -> Any:
    if not isinstance(given, str) or not given.strip() or not given.isprintable():
        raise custom_error("a text in quotes, on one line")
    if len(given) > LONGEST_LINE:
        raise custom_error(f"at most {LONGEST_LINE} characters")
    return given


Line = Annotated[
    str,
    BeforeValidator(_line),
    WithJsonSchema({"type": "string", "maxLength": LONGEST_LINE, "pattern": _ONE_LINE}),
]


def _flag(given: Any) -> Any:
    if not isinstance(given, bool):
        raise custom_error("true or false")
    return given


def _rows(given: Any) -> Any:
    if not isinstance(given, list | tuple) or len(given) > MOST_ROWS:
        raise custom_error(
            'a list of masses such as [{ item = "ballast", mass = "60 g", station = "100 mm",'
            f' height = "0 mm" }}], at most {MOST_ROWS}'
        )
    return tuple(given)


class AddedMass(Part):
    """A mass put in, or with a minus taken out."""

    item: Annotated[Line, Note("What it is.")]
    mass: Annotated[float, Quantity("mass", "-200000 kg", "200000 kg", "Negative: taken out.")]
    station: Annotated[
        float, Quantity("length", "-100 m", "100 m", "Its middle, aft of the datum for stations.")
    ]
    height: Annotated[
        float, Quantity("length", "-20 m", "20 m", "Its middle, above the level datum for heights.")
    ]


class ChangeHead(Part):
    """The keys of a change that are its own."""

    text: Annotated[Line, Note("What is changed, in one line.")]
    hours: Annotated[
        float | None, Quantity("bare", "0", "100000", "Hours of work in the shop.")
    ] = None
    cost: Annotated[
        float | None, Quantity("bare", "0", "1000000000", "What it costs, in any currency.")
    ] = None
    reversible: Annotated[
        bool | None, BeforeValidator(_flag), Note("Whether it can be undone.")
    ] = None
    add: Annotated[
        tuple[AddedMass, ...],
        BeforeValidator(_rows),
        Field(json_schema_extra={"maxItems": MOST_ROWS}),
        Note("Masses put in, or with a minus taken out; what is moved is one of each."),
    ] = ()


OWN_KEYS = tuple(ChangeHead.model_fields)
TABLES = tuple(name for name in Document.model_fields if name != "title")


@dataclass(frozen=True)
class Change:
    """One change there is.

    Attributes
    ----------
    name: as in its table.
    text: what it is, one line.
    hours, cost: as given, None when not.
    reversible: whether it can be undone, None when not told.
    added: masses it puts in, negative for those it takes out [SI].
    keys: the keys it replaces, as written.
    source: file it stands in.
    origins: where each of its keys was written, by path inside the change.

    """

    name: str
    text: str
    hours: float | None
    cost: float | None
    reversible: bool | None
    added: tuple[Row, ...]
    keys: Tree = field(repr=False)
    source: str = field(compare=False)
    origins: dict[str, Origin] = field(compare=False, repr=False)

    def placed(self, problem: Problem) -> Problem:
        """A problem with one of its keys, told with its path in the change, file and line."""
        origin = origin_of(problem.key, self.origins) or self.origins.get("")
        key = f"change.{self.name}.{problem.key}"
        if origin is None:
            return replace(problem, key=key, source=self.source)
        return replace(problem, key=key, source=origin.source, line=origin.line)


def read_changes(
    tree: Tree, origins: Mapping[str, Origin], source: str
) -> tuple[dict[str, Change], list[Problem]]:
    """Every change of a tree `{NAME: table}`, and everything that is wrong with them.

    Each is read by the models whether it is applied or not: unknown keys, wrong quantities and
    words are found. What only shows on top of a base is found when the change is applied.
    """
    changes: dict[str, Change] = {}
    problems: list[Problem] = []
    for name, table in tree.items():
        if not NAME.fullmatch(name) or not isinstance(table, dict):
            problems.append(_no_change(name, table, origins, source))
            continue
        change, wrong = _change(name, table, _inside(f"change.{name}", origins), source)
        changes[name] = change
        problems += [change.placed(problem) for problem in wrong]
    return changes, problems


def _no_change(name: str, table: object, origins: Mapping[str, Origin], source: str) -> Problem:
    allowed = "a table [change.NAME], the name of lower case letters, digits, - and _ (at most 40)"
    origin = origin_of(f"change.{name}", dict(origins)) or Origin(source)
    key = f"change.{shorten(name)}"
    return Problem(key, shown(table), allowed, line=origin.line, source=origin.source)


def _inside(path: str, origins: Mapping[str, Origin]) -> dict[str, Origin]:
    """Origins of what lies in a table, by path inside it; the table itself under ""."""
    start = f"{path}."
    found = {key[len(start) :]: place for key, place in origins.items() if key.startswith(start)}
    above = origin_of(path, dict(origins))
    return found | ({"": above} if above else {})


def _change(
    name: str, table: Tree, origins: dict[str, Origin], source: str
) -> tuple[Change, list[Problem]]:
    own = {key: value for key, value in table.items() if key in OWN_KEYS}
    keys = {key: value for key, value in table.items() if key in TABLES}
    wrong = list(_strangers(table)) + model_problems(own, ChangeHead)
    wrong += [*_balance(keys), *model_problems(keys, whole=False)]
    head = ChangeHead(text=name) if wrong else ChangeHead.model_validate(own)
    rows = tuple(Row(r.item, r.mass, r.station, r.height, name) for r in head.add)
    change = Change(
        name, head.text, head.hours, head.cost, head.reversible, rows, keys, source, origins
    )
    return change, wrong


def _strangers(table: Tree) -> Iterator[Problem]:
    known = OWN_KEYS + TABLES
    for key in table:
        if key not in known:
            path = ".".join(shorten(part) for part in key.split(".")[:3]) or '""'
            allowed = f"one of the keys {', '.join(known)}"
            yield Problem(path, shown(table[key]), allowed, near(key, known))


def _balance(keys: Tree) -> Iterator[Problem]:
    """Mass and balance of the whole cannot be replaced: another change may alter them too."""
    for name in BALANCE:
        path = f"aeroplane.{name}"
        given = value_at(keys, path)
        if given is not None:
            allowed = "left out of a change: give the masses put in and taken out in add"
            yield Problem(path, shown(given), allowed)
