"""From the texts of one roll, in TOML or CSV, to a measured roll; all its mistakes at once."""

import re
from dataclasses import replace

from sim.scenario.fields import TriggerField
from sim.scenario.measured_rolls import SEEN, MeasuredRoll, SpeedLog
from sim.scenario.measurements import TOLERANCE, Numbers, Written, label_of, placed, read_number
from sim.scenario.problems import Problem, ScenarioError, fail, near, shown
from sim.scenario.speed_logs import let_go, part_of, read_log
from sim.scenario.strip import SURFACE_WORDS
from sim.strip.reading import Measured

ROLL = "roll"
"""Its name in a file."""
DAY = {"headwind": "air.headwind", "slope": "strip.slope"}
"""Numbers of a roll that stand for keys of the scenario."""
LOG_NUMBERS = ("start", "until", "log_tolerance")
LOG_TEXTS = ("columns", "units")
NUMBERS = (*SEEN, *DAY, *LOG_NUMBERS)
ROLL_NAMES = (
    *SEEN, "surface", "headwind", "slope", "pull_at", "changes", "log", *LOG_TEXTS, *LOG_NUMBERS,
    "note",
)  # fmt: skip
"""Everything a roll may have, in the order of the field."""
PULL_AT = TriggerField(("place", "airspeed", "time"), "When the pilot pulled.")
MOST_CHANGES = 20
LOG_DEVIATION = 0.4
"""Uncertainty of each speed of a log when none is given [m/s]; judgement."""


def build_roll(written: Written) -> tuple[MeasuredRoll | None, list[Problem]]:
    """The roll, or everything that is wrong with it."""
    problems = _unknown(written)
    numbers: dict[str, Measured] = {}
    for name in (name for name in NUMBERS if name in written.values):
        try:
            numbers[name] = read_number(written, name)
        except ScenarioError as error:
            problems += [placed(written, name, p) for p in error.problems]
    overrides, changes = _day(numbers), tuple[str, ...]()
    log = None
    for read in (_surface, _pull, _changes):
        try:
            overrides, changes = read(written, overrides, changes)
        except ScenarioError as error:
            problems += [placed(written, "", p) for p in error.problems]
    try:
        log = _log(written, numbers)
    except ScenarioError as error:
        problems += [_placed_log(written, p) for p in error.problems]
    seen = {name: numbers[name] for name in SEEN if name in numbers}
    problems += _wrong_order(written, seen)
    if not {*SEEN, "log"} & written.values.keys():
        wanted = f"one of {', '.join(SEEN)}, or log"
        problems.append(Problem(written.name, "nothing seen of it", wanted, line=written.line))
    if problems:
        return None, problems
    return MeasuredRoll(label_of(written), seen, changes, overrides, log), []


def _unknown(written: Written) -> list[Problem]:
    """Names a roll does not have, and what belongs to a log that is not there."""
    spreads = {f"{name}{TOLERANCE}" for name in (*SEEN, "start")}
    fine = {*ROLL_NAMES, *spreads}
    problems = []
    for name, value in written.values.items():
        key, allowed = written.key(name), f"one of {', '.join(ROLL_NAMES)}"
        if name not in fine:
            problems.append(Problem(key, shown(value), allowed, near(name, fine), written.line))
        elif name in (*LOG_TEXTS, *LOG_NUMBERS) and "log" not in written.values:
            problems.append(Problem(key, shown(value), "beside log only", line=written.line))
    return problems


def _wrong_order(written: Written, seen: dict[str, Measured]) -> list[Problem]:
    """The nose does not come up after lift-off, beyond what both may be off."""
    problems = []
    for what in ("distance", "time"):
        nose, off = (seen.get(f"{stem}_{what}") for stem in ("nose_up", "lift_off"))
        if nose and off and nose.value - off.value > 2.0 * (nose.deviation + off.deviation):
            name = f"nose_up_{what}"
            given = shown(str(written.values[name]))
            allowed = f"at most lift_off_{what}: the nose comes up first"
            problems.append(Problem(written.key(name), given, allowed, line=written.line))
    return problems


Laid = tuple[tuple[str, ...], tuple[str, ...]]
"""Overrides and changes."""


def _day(numbers: Numbers) -> tuple[str, ...]:
    """Wind and slope as overrides."""
    units = {"headwind": (1.0, "m/s"), "slope": (100.0, "%")}
    return tuple(
        f"{key}={numbers[name].value * units[name][0]!r} {units[name][1]}"
        for name, key in DAY.items()
        if name in numbers
    )


def _surface(written: Written, overrides: tuple[str, ...], changes: tuple[str, ...]) -> Laid:
    given = written.values.get("surface")
    if given is None:
        return overrides, changes
    word = given.lower() if isinstance(given, str) else ""
    if word not in SURFACE_WORDS:
        raise fail("surface", shown(given), ", ".join(SURFACE_WORDS), near(word, SURFACE_WORDS))
    return (*overrides, f"strip.surface={word}"), changes


def _pull(written: Written, overrides: tuple[str, ...], changes: tuple[str, ...]) -> Laid:
    given = written.values.get("pull_at")
    if given is None:
        return overrides, changes
    try:
        PULL_AT.read(given)
    except ValueError:
        raise fail("pull_at", shown(given), PULL_AT.allowed()) from None
    return (*overrides, f"pilot.pull_at={given}"), changes


def _changes(written: Written, overrides: tuple[str, ...], changes: tuple[str, ...]) -> Laid:
    given = written.values.get("changes", [])
    names = re.split(r"[;|\s]+", given.strip()) if isinstance(given, str) else given
    if not isinstance(names, list) or not all(isinstance(n, str) and n for n in names):
        raise fail("changes", shown(given), 'names of changes, such as ["mains-forward"]')
    if len(names) > MOST_CHANGES:
        raise fail("changes", f"{len(names)} names", f"at most {MOST_CHANGES}")
    return overrides, (*changes, *names)


def _log(written: Written, numbers: Numbers) -> SpeedLog | None:
    """The speeds from when it was let go until lift-off."""
    values = written.values
    given = values.get("log")
    unread = [n for n in (*LOG_NUMBERS, "lift_off_time") if n in values and n not in numbers]
    if given is None or unread:
        return None
    if not isinstance(given, str) or not given.strip():
        raise fail("log", shown(given), 'a CSV file beside this one, such as "flight-3.csv"')
    table = read_log(written.folder / given, *(_map(written, name) for name in LOG_TEXTS))
    start = numbers.get("start") or let_go(table)
    if "until" in numbers:
        until = numbers["until"].value
    elif "lift_off_time" in numbers:
        until = start.value + numbers["lift_off_time"].value
    else:
        allowed = 'time in the log of lift-off, such as "18.0 s", or lift_off_time beside it'
        raise fail("until", "nothing", allowed)
    part = part_of(table, start.value - start.deviation, until)
    deviation = numbers["log_tolerance"].value if "log_tolerance" in numbers else LOG_DEVIATION
    return SpeedLog(table.path.name, part.times, part.speeds, part.airspeed, deviation, start)


def _map(written: Written, name: str) -> dict[str, object]:
    """A table, or in a cell the same as "time=HEADING; speed=HEADING"."""
    given = written.values.get(name, {})
    if isinstance(given, str):
        pairs = [part.partition("=") for part in given.split(";") if part.strip()]
        given = {left.strip(): right.strip() for left, _, right in pairs}
    if not isinstance(given, dict):
        raise fail(name, shown(given), '{ time = "...", speed = "..." }')
    return given


def _placed_log(written: Written, problem: Problem) -> Problem:
    """A mistake in the log stands in the log."""
    if problem.source:
        return replace(problem, key=written.key(problem.key))
    return placed(written, "log", problem)
