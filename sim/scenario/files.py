"""Scenario files: found by name or path, read, and laid over the files they extend."""

import os
import re
import tomllib
from dataclasses import dataclass, field, replace
from pathlib import Path

from sim.scenario.merging import Tree, check_shape, merged
from sim.scenario.problems import (
    LONGEST_SHOWN,
    Problem,
    ScenarioError,
    fail,
    from_source,
    near,
    shorten,
    shown,
)
from sim.scenario.table_files import beside

LARGEST_FILE = 256 * 1024
LONGEST_LINE = 4000
LONGEST_CHAIN = 20


@dataclass(frozen=True)
class Origin:
    """Where a key was written."""

    source: str
    line: int | None = None


@dataclass(frozen=True)
class Merged:
    """A scenario with everything it extends, and where each key comes from.

    Attributes
    ----------
    data: the scenario's own tables.
    origins: where each key was written, those of changes as `change.NAME.key`.
    changes: tables of the changes there are, by name, not laid over anything.
    files: every file it was read from.

    """

    data: Tree
    origins: dict[str, Origin] = field(default_factory=dict)
    changes: Tree = field(default_factory=dict)
    files: tuple[Path, ...] = ()


def shipped_scenarios() -> dict[str, Path]:
    """The scenarios that come with the program, by name, in the order of their names."""
    here = Path(__file__).resolve()
    for folder in (here.parents[1] / "scenarios", here.parents[2] / "scenarios"):
        found = {path.stem: path for path in sorted(folder.glob("*.toml"))}
        if found:
            return found
    return {}


def find_scenario(name_or_path: str | Path, folder: Path | None = None) -> Path:
    """The file meant by a path or by the name of a shipped scenario.

    Parameters
    ----------
    name_or_path
        a text without folder and ending is looked up among the shipped scenarios first.
    folder
        what a path is relative to; the current folder when None.

    Raises
    ------
    ScenarioError
        When there is no such file.

    """
    text = str(name_or_path)
    shipped = shipped_scenarios()
    if text in shipped:
        return shipped[text]
    path = (folder or Path()) / text
    try:
        if path.is_file():
            return path
        what = "a folder" if path.is_dir() else "no file of that name"
    except (OSError, ValueError):
        what = "no file of that name"
    names = f", or one of {', '.join(shipped)}" if shipped else ""
    guess = near(path.stem[:LONGEST_SHOWN], shipped)
    raise fail("file", f"{shown(text)} ({what})", f"a scenario file{names}", guess)


def read_file(path: Path) -> Merged:
    """One file laid over everything it extends.

    Changes come along; one of the same name in a file above replaces the whole of it. Those of
    a file named by `changes_from` count as written in front of the file's own.

    Raises
    ------
    ScenarioError
        For a file that cannot be read, is not TOML, or extends itself in the end.

    """
    layers: list[Merged] = []
    seen: list[Path] = []
    while True:
        resolved = path.resolve()
        if resolved in seen or len(seen) >= LONGEST_CHAIN:
            chain = " -> ".join(p.name for p in [*seen, resolved])
            raise from_source(
                fail("extends", shown(path.name), f"a chain of files that ends ({chain})"),
                str(seen[-1]),
            )
        seen.append(resolved)
        data, origins = _one_file(path)
        base = data.pop("extends", None)
        layers.append(split_changes(data, origins, path))
        if base is None:
            break
        path = _extended(base, path, origins)
    result = Merged({})
    for layer in reversed(layers):
        result = _laid(result, layer)
    return result


def _laid(base: Merged, top: Merged) -> Merged:
    """One file's content over another's."""
    gone = tuple(f"change.{name}" for name in top.changes)
    kept = {key: o for key, o in base.origins.items() if not _within(key, gone)}
    data = merged(base.data, top.data) if top.data else base.data
    files = base.files + top.files
    return Merged(data, kept | top.origins, base.changes | top.changes, files)


def _within(key: str, tables: tuple[str, ...]) -> bool:
    return key in tables or key.startswith(tuple(f"{table}." for table in tables))


def split_changes(data: Tree, origins: dict[str, Origin], path: Path) -> Merged:
    """A file's tree with its changes taken out of it, those of `changes_from` included.

    Raises
    ------
    ScenarioError
        When `change` holds no tables, or `changes_from` names no file of changes.

    """
    rest = {name: value for name, value in data.items() if name not in ("change", "changes_from")}
    own = data.get("change", {})
    if not isinstance(own, dict):
        wrong = fail("change", shown(own), "tables [change.NAME]", line=_line("change", origins))
        raise from_source(wrong, str(path))
    top = Merged(rest, origins, own, (path.resolve(),))
    if data.get("changes_from") is None:
        return top
    return _laid(_changes_beside(data["changes_from"], path, origins), top)


def _changes_beside(name: object, path: Path, origins: dict[str, Origin]) -> Merged:
    """The file named by `changes_from`, relative to the file it stands in."""
    try:
        file = find_changes_file(name, path.parent)
    except ScenarioError as error:
        problem = replace(
            error.problems[0], key="changes_from", line=_line("changes_from", origins)
        )
        raise from_source(ScenarioError([problem]), str(path)) from None
    return read_changes_file(file)


def find_changes_file(name: object, folder: Path | None = None) -> Path:
    """A file of changes, relative to a folder, or to the current one.

    Raises
    ------
    ScenarioError
        When there is no such file.

    """
    path = (folder or Path()) / name if isinstance(name, str) else None
    try:
        found = path is not None and path.is_file()
    except (OSError, ValueError):
        found = False
    if path is None or not found:
        raise fail("file", f"{shown(name)} (no file of that name)", "a file of changes")
    return path


def _line(key: str, origins: dict[str, Origin]) -> int | None:
    return origins[key].line if key in origins else None


def read_changes_file(path: Path) -> Merged:
    """A file that holds [change.NAME] tables and nothing else.

    Raises
    ------
    ScenarioError
        For a file that cannot be read, or holds something else.

    """
    data, origins = _one_file(path)
    strange = [name for name in data if name != "change"]
    if strange:
        allowed = "only tables [change.NAME] in a file of changes"
        wrong = (Problem(shorten(n) or '""', shown(data[n]), allowed) for n in strange)
        raise ScenarioError(
            replace(problem, line=_line(name, origins), source=str(path))
            for problem, name in zip(wrong, strange, strict=True)
        )
    return split_changes(data, origins, path)


def _extended(base: object, path: Path, origins: dict[str, Origin]) -> Path:
    """File named by `extends`, relative to the file it stands in."""
    line = _line("extends", origins)
    wanted = "a file beside this one or the name of a shipped scenario"
    if not isinstance(base, str):
        raise from_source(fail("extends", shown(base), wanted, line=line), str(path))
    try:
        return find_scenario(base, path.parent)
    except ScenarioError as error:
        problem = error.problems[0]
        again = fail("extends", problem.given, problem.allowed, problem.nearest, line)
        raise from_source(again, str(path)) from None


def _one_file(path: Path) -> tuple[Tree, dict[str, Origin]]:
    text = _text(path)
    try:
        data = beside(check_shape(tomllib.loads(text)), path.parent)
    except RecursionError:
        error = fail("file", "brackets nested without end", "a scenario in TOML")
        raise from_source(error, str(path)) from None
    except ValueError as wrong:
        raise from_source(_toml_error(str(wrong)), str(path)) from None
    except ScenarioError as error:
        raise from_source(error, str(path)) from None
    return data, {key: Origin(str(path), line) for key, line in line_index(text).items()}


def _toml_error(message: str) -> ScenarioError:
    """The parser's complaint, its line taken out of the text."""
    place = re.search(r" ?\(at line ([0-9]{1,9}), column [0-9]+\)", message)
    line = int(place.group(1)) if place else None
    words = message.replace(place.group(), "") if place else message
    words = "".join(c if c.isprintable() else "?" for c in words[:200])
    allowed = (
        "a scenario in TOML: words and values with units in quotes, decimal points, each key once"
    )
    return fail("file", f"text that is not TOML ({words})", allowed, line=line)


def _text(path: Path) -> str:
    """Content of a file, within limits no scenario needs to pass."""
    try:
        if os.stat(path).st_size > LARGEST_FILE:
            raise from_source(
                fail("file", "more than 256 kB", "a scenario in TOML, a few kB"), str(path)
            )
        with open(path, "rb") as file:
            content = file.read(LARGEST_FILE + 1)
        text = content.decode("utf-8-sig")
    except OSError as wrong:
        reason = (wrong.strerror or "no reason told").lower()
        error = fail("file", f"a file that does not open ({reason})", "a file that can be read")
        raise from_source(error, str(path)) from None
    except UnicodeDecodeError:
        allowed = "a scenario in TOML, saved by the editor as UTF-8"
        error = fail("file", "something that is not text in UTF-8", allowed)
        raise from_source(error, str(path)) from None
    for number, line in enumerate(text.split("\n"), 1):
        if len(line) > LONGEST_LINE:
            given = f"a line of {len(line)} characters"
            error = fail("file", given, f"lines of at most {LONGEST_LINE}", line=number)
            raise from_source(error, str(path))
    return text


def line_index(text: str) -> dict[str, int]:
    """Line of each table and key, by dotted path; a help to find a mistake, no more.

    Works line by line: keys inside an inline table are found at the line of that table.
    """
    found: dict[str, int] = {}
    table = ""
    for number, raw in enumerate(text.split("\n"), 1):
        line = raw.strip()
        if line.startswith("["):
            table = _plain_path(line.strip("[").partition("]")[0])
            if table:
                found.setdefault(table, number)
            continue
        key, equals, _ = line.partition("=")
        key = _plain_path(key)
        if equals and key:
            found.setdefault(f"{table}.{key}" if table else key, number)
    return found


def _plain_path(text: str) -> str:
    """A dotted key without blanks and quotes, "" when it is none."""
    parts = [part.strip().strip("\"'") for part in text.split(".")]
    plain = all(part.replace("_", "").replace("-", "").isalnum() for part in parts)
    return ".".join(parts) if plain else ""


def origin_of(path: str, origins: dict[str, Origin]) -> Origin | None:
    """Where a key, or else the nearest table around it, was written."""
    path = path.replace("[", ".[")
    while path:
        if path in origins:
            return origins[path]
        path = path.rpartition(".")[0]
    return None
