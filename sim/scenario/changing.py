"""Laying changes over a scenario: which are meant, whether they go together, what comes of it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from sim.scenario.changes import TABLES, Change, read_changes
from sim.scenario.files import Merged, Origin, find_scenario, read_file
from sim.scenario.merging import ALTERNATIVES, Tree, merged, value_at
from sim.scenario.models import Document
from sim.scenario.problems import Problem, ScenarioError, fail, near, shorten, shown

Changes = Mapping[str, Change]


@dataclass(frozen=True)
class Laid:
    """A scenario with changes laid over it.

    Attributes
    ----------
    data: the tree.
    owners: path of each key and new table that a change brought, and that change.

    """

    data: Tree
    owners: dict[str, Change]


def changes_in(source: str) -> dict[str, Change]:
    """The changes of a file: one of changes only, or a scenario with changes of its own.

    Of a scenario nothing but its changes is taken, those of the files it extends among them.

    Raises
    ------
    ScenarioError
        When there is no such file or no change in it, and with everything that is wrong in them.

    """
    found = read_file(find_scenario(source))
    if not found.changes:
        given = f"{shown(source)} (no changes in it)"
        raise fail("change", given, "a file that holds tables [change.NAME]")
    strange = [name for name in found.data if name not in Document.model_fields]
    if strange:
        raise ScenarioError(_stranger(name, found, source) for name in strange)
    changes, problems = read_changes(found.changes, found.origins, source)
    if problems:
        raise ScenarioError(problems)
    return changes


def _stranger(name: str, found: Merged, source: str) -> Problem:
    """A table or key that is neither a change nor one of a scenario's."""
    origin = found.origins.get(name, Origin(source))
    allowed = f"tables [change.NAME], beside them those of a scenario: {', '.join(TABLES)}"
    nearest = near(name, ("change", *TABLES))
    return Problem(
        shorten(name), shown(found.data[name]), allowed, nearest, origin.line, origin.source
    )


def with_files(available: Changes, names: Sequence[str]) -> dict[str, Change]:
    """What there is, and with it every change asked for as `FILE.toml:NAME`, by that text.

    Raises
    ------
    ScenarioError
        For a file that cannot be read, or a name that is not in it.

    """
    found = dict(available)
    for asked in names:
        file, colon, name = asked.rpartition(":") if isinstance(asked, str) else ("", "", "")
        if colon and asked not in found:
            there = changes_in(file)
            if name not in there:
                raise fail("change", shown(asked), *_known(name, there))
            found[asked] = there[name]
    return found


def chosen(available: Changes, names: Sequence[str]) -> tuple[Change, ...]:
    """The changes meant by names, in their order.

    Raises
    ------
    ScenarioError
        For names nobody knows, changes asked for twice, and changes that do not go together.

    """
    unknown = [name for name in names if not isinstance(name, str) or name not in available]
    if unknown:
        raise ScenarioError(
            Problem("change", shown(name), *_known(str(name), available)) for name in unknown
        )
    changes = tuple(available[name] for name in names)
    problems = []
    for (i, one), (j, other) in combinations(enumerate(changes), 2):
        if one == other:
            allowed = f"each change once ({names[i]} is there already)"
            problems.append(Problem("change", shown(names[j]), allowed))
        else:
            problems += [_conflict(one, other, key) for key in _shared(one, other)]
    if problems:
        raise ScenarioError(problems)
    return changes


def _known(name: str, available: Changes) -> tuple[str, str | None]:
    """What is allowed instead, and the nearest."""
    if not available:
        return "nothing: there are no tables [change.NAME] here; or give FILE.toml:NAME", None
    lines = [f"  {name}: {change.text}" for name, change in available.items()]
    return "\n".join(["one of the changes there are:", *lines]), near(name, available)


def lay(data: Tree, changes: Iterable[Change]) -> Laid:
    """Changes laid over a tree one after the other.

    Raises
    ------
    ScenarioError
        When a change takes away what one before it brought.

    """
    owners: dict[str, Change] = {}
    for change in changes:
        brought = set(leaves(change.keys)) | set(_new_tables(change.keys, data))
        data = merged(data, change.keys)
        lost = [path for path in owners if value_at(data, path) is None]
        if lost:
            raise ScenarioError([_conflict(change, owners[path], path) for path in lost])
        owners |= dict.fromkeys(brought, change)
    return Laid(data, owners)


def _conflict(one: Change, other: Change, key: str) -> Problem:
    """Two changes that both decide a key, told where it stands in the second."""
    allowed = f"only one of the changes {one.name} and {other.name}: both decide {key}"
    return other.placed(Problem(key, shown(value_at(other.keys, key)), allowed))


def leaves(tree: Tree, path: str = "") -> Iterator[str]:
    """Dotted path of everything that is no table, and of empty tables."""
    for name, value in tree.items():
        here = f"{path}.{name}" if path else name
        if isinstance(value, dict) and value:
            yield from leaves(value, here)
        elif value is not None:
            yield here


def _new_tables(tree: Tree, base: Tree, path: str = "") -> Iterator[str]:
    for name, value in tree.items():
        here = f"{path}.{name}" if path else name
        if isinstance(value, dict):
            if value_at(base, here) is None:
                yield here
            yield from _new_tables(value, base, here)


def _overlaps(one: str, other: str) -> bool:
    """Whether two paths are the same, or one lies inside the other."""
    return f"{one}.".startswith(f"{other}.") or f"{other}.".startswith(f"{one}.")


def _shared(one: Change, other: Change) -> list[str]:
    """Keys that both changes decide: the same, one inside the other, or two sides of a choice."""
    mine, theirs = list(leaves(one.keys)), list(leaves(other.keys))
    found = [key for key in theirs if any(_overlaps(key, path) for path in mine)]
    for left, right in ALTERNATIVES:
        for a, b in ((left, right), (right, left)):
            if _touch(mine, a) and _touch(theirs, b):
                found += [key for key in theirs if any(_overlaps(key, path) for path in b)]
    return list(dict.fromkeys(found))


def _touch(keys: Iterable[str], side: Iterable[str]) -> bool:
    paths = tuple(side)
    return any(_overlaps(key, path) for key in keys for path in paths)


def told(problem: Problem, owners: Mapping[str, Change], names: Sequence[str]) -> Problem:
    """A problem of the whole, told as one of the change that brought its key."""
    path = problem.key.replace("[", ".[")
    while path:
        if path in owners:
            return owners[path].placed(problem)
        path = path.rpartition(".")[0]
    if not names:
        return problem
    return replace(problem, allowed=f"{problem.allowed} (with {', '.join(names)})")
