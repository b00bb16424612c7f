"""Files of field measurements, TOML or CSV: read, checked, all mistakes at once.

What can be read is data: `ENTRIES` says what each number is, `KINDS` which numbers together make
a reading and what becomes of them. The two file forms only fill in the same texts.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from sim.scenario.problems import Problem, ScenarioError, fail, near, shown
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import parse_quantity, quantity_text
from sim.strip.air import STANDARD_GRAVITY
from sim.strip.coast_down import CoastPastMarks, CoastToStop
from sim.strip.reading import Course, Label, Measured
from sim.strip.tow import TowReading

Reading = TowReading | CoastToStop | CoastPastMarks
Numbers = Mapping[str, Any]

TOLERANCE = "_tolerance"
MOST_MARKS = 50


class MeasurementError(ScenarioError):
    """Everything wrong with a file of measurements."""

    about = "These measurements cannot be used"


@dataclass(frozen=True)
class Entry:
    """One number of a reading.

    Attributes
    ----------
    dimensions: kinds of quantity it may be; a mass stands for its weight where a force may stand.
    low, high: bounds, both allowed [SI].
    share, least: its uncertainty when none is given is the larger of a share of it and this [SI].
    description: for the builder.
    many: a list of them.
    exact: taken as it is, no uncertainty may be given.

    """

    dimensions: tuple[str, ...]
    low: float
    high: float
    share: float
    least: float
    description: str
    many: bool = False
    exact: bool = False

    def allowed(self) -> str:
        """What may stand here, in words."""
        nouns = " or ".join(DIMENSIONS[d].noun for d in self.dimensions)
        first = self.dimensions[0]
        low, high = (quantity_text(v, self.dimensions[-1]) for v in (self.low, self.high))
        text = f'{nouns} with its unit, from {low} to {high}, such as "{DIMENSIONS[first].example}"'
        return f"a list of at least two, each {text}" if self.many else text


def _seen(what: str) -> dict[str, Entry]:
    """Place, time and speed of something seen in a roll."""
    return {
        f"{what}_distance": Entry(("distance",), 0.3, 5000.0, 0.03, 1.0, "since it was let go"),
        f"{what}_time": Entry(("time",), 0.1, 600.0, 0.0, 0.2, "since it was let go"),
        f"{what}_speed": Entry(("speed",), 0.2, 100.0, 0.05, 0.0, "over the ground"),
    }


LOAD = Entry(("mass", "force"), 0.05, 9000.0, 0.01, 0.05, "weight it rolls under, on a scale")
ENTRIES: dict[str, Entry] = {
    **_seen("nose_up"),
    **_seen("lift_off"),
    "headwind": Entry(
        ("speed",), -30.0, 30.0, 0.0, 0.0, "against the direction rolled", exact=True
    ),
    "start": Entry(("time",), 0.0, 1e10, 0.0, 0.2, "in the log, when it was let go"),
    "until": Entry(("time",), 0.0, 1e10, 0.0, 0.0, "in the log, at lift-off", exact=True),
    "log_tolerance": Entry(
        ("speed",), 0.01, 10.0, 0.0, 0.0, "of each speed of the log, one standard deviation",
        exact=True,
    ),
    "pull": Entry(("force",), 0.005, 9000.0, 0.02, 0.1, "steady pull on a spring scale"),
    "load": LOAD,
    "main_load": LOAD,
    "nose_load": LOAD,
    "speed": Entry(("speed",), 0.2, 100.0, 0.05, 0.0, "over the ground, at the mark"),
    "distance_to_stop": Entry(("distance",), 0.3, 5000.0, 0.0, 0.1, "from the mark to the stop"),
    "time_to_stop": Entry(("time",), 0.3, 600.0, 0.0, 0.1, "from the mark to the stop"),
    "marks": Entry(("distance",), 0.3, 5000.0, 0.0, 0.1, "beyond the first mark", True),
    "times": Entry(("time",), 0.1, 600.0, 0.0, 0.1, "since the first mark", True),
    "mass": Entry(("mass",), 0.01, 5000.0, 0.0, 0.0, "if not the aeroplane's own", exact=True),
    "slope": Entry(
        ("fraction",), -0.3, 0.3, 0.0, 0.0, "uphill in the direction rolled", exact=True
    ),
}  # fmt: skip
"""Numbers by name. Tape 0.1 m, stopwatch 0.1 s, speed 5 %, spring scale 2 % or 0.1 N; of a roll,
paces and eyes 1 m or 3 %, clock 0.2 s: habits of the field, a judgement without a source."""

WAYS = {"take-off": 1, "opposite": -1}
COMMON = ("slope", "headwind", "direction", "note")


@dataclass(frozen=True)
class Kind:
    """Numbers that together make a reading.

    Attributes
    ----------
    table: name in a file.
    needs, may: names of its numbers.
    build: the reading from label, course and numbers.

    """

    table: str
    needs: tuple[str, ...]
    may: tuple[str, ...]
    build: Callable[[Label, Course, Numbers], Reading]

    def fits(self, given: set[str]) -> bool:
        """Whether these names make this kind."""
        return set(self.needs) <= given <= {*self.needs, *self.may}


def _tow(label: Label, course: Course, n: Numbers) -> Reading:
    loads = (n.get("load"), n.get("main_load"), n.get("nose_load"))
    return TowReading(label, n["pull"], *loads, course)


def _to_stop(label: Label, course: Course, n: Numbers) -> Reading:
    mass = n["mass"].value if "mass" in n else None
    ends = (n.get("distance_to_stop"), n.get("time_to_stop"))
    return CoastToStop(label, n["speed"], *ends, mass, course)


def _past_marks(label: Label, course: Course, n: Numbers) -> Reading:
    mass = n["mass"].value if "mass" in n else None
    return CoastPastMarks(label, n["marks"], n["times"], mass, course)


KINDS: tuple[Kind, ...] = (
    Kind("tow", ("pull",), ("load",), _tow),
    Kind("tow", ("pull", "main_load", "nose_load"), (), _tow),
    Kind("coast_down", ("speed", "distance_to_stop"), ("mass",), _to_stop),
    Kind("coast_down", ("speed", "time_to_stop"), ("mass",), _to_stop),
    Kind("coast_down", ("marks", "times"), ("mass",), _past_marks),
)
TABLES = tuple(dict.fromkeys(kind.table for kind in KINDS))


@dataclass(frozen=True)
class Written:
    """One reading as it stands in a file.

    Attributes
    ----------
    table: "tow", "coast_down" or "roll".
    name: such as "tow[2]" or "row 3".
    values: by name: texts, or lists of texts.
    headings: name of each value as the file has it.
    line: in the file, if known.
    folder: of the file; files it names lie there.

    """

    table: str
    name: str
    values: dict[str, Any]
    headings: dict[str, str]
    line: int | None = None
    folder: Path = Path()

    def key(self, name: str) -> str:
        """The full key of one value."""
        gap = " " if self.name.startswith("row") else "."
        return f"{self.name}{gap}{self.headings.get(name, name)}"


def build_reading(written: Written) -> tuple[Reading | None, list[Problem]]:
    """The reading, or everything that is wrong with it."""
    problems = _unknown_keys(written)
    given = {name for name in written.values if name in ENTRIES and name not in COMMON}
    kind = next((k for k in KINDS if k.table == written.table and k.fits(given)), None)
    if kind is None and not problems:
        problems.append(_wrong_set(written, given))
    numbers: dict[str, Any] = {}
    for name in written.values:
        if name in ENTRIES:
            try:
                numbers[name] = read_number(written, name)
            except ScenarioError as error:
                problems += [placed(written, name, p) for p in error.problems]
    sense = WAYS.get(str(written.values.get("direction", "take-off")))
    if sense is None:
        wrong = shown(written.values["direction"])
        words = " or ".join(f'"{way}"' for way in WAYS)
        problems.append(Problem(written.key("direction"), wrong, words, line=written.line))
    problems += _out_of_order(written, numbers)
    if problems or kind is None or sense is None:
        return None, problems
    slope, wind = (numbers[n].value if n in numbers else None for n in ("slope", "headwind"))
    return kind.build(label_of(written), Course(sense, slope, wind), numbers), []


def label_of(written: Written) -> Label:
    """Where a reading comes from, and its numbers as the builder wrote them."""
    parts = {
        name: ", ".join(map(str, value)) if isinstance(value, list) else str(value)
        for name, value in written.values.items()
        if name != "note"
    }
    return Label(written.name, parts, written.line, str(written.values.get("note", "")))


def placed(written: Written, name: str, problem: Problem) -> Problem:
    """The same mistake, with where it stands."""
    key = problem.key or name
    allowed = problem.allowed
    return Problem(written.key(key), problem.given, allowed, problem.nearest, written.line)


def _unknown_keys(written: Written) -> list[Problem]:
    """Names no kind of this table knows."""
    known = [n for k in KINDS if k.table == written.table for n in (*k.needs, *k.may)]
    known = list(dict.fromkeys([*known, *COMMON]))
    fine = {*known, *(f"{n}{TOLERANCE}" for n in known if n in ENTRIES and not ENTRIES[n].exact)}
    return [
        Problem(
            written.key(name), shown(value), f"one of {', '.join(known)}", near(name, fine),
            written.line,
        )
        for name, value in written.values.items()
        if name not in fine
    ]  # fmt: skip


def _wrong_set(written: Written, given: set[str]) -> Problem:
    """Names that are known but make no reading together."""
    sets = [" and ".join(k.needs) for k in KINDS if k.table == written.table]
    there = " and ".join(n for n in ENTRIES if n in given) or "none of them"
    return Problem(written.name, there, f"exactly {', or '.join(sets)}", line=written.line)


def _out_of_order(written: Written, numbers: Numbers) -> list[Problem]:
    """Marks and times that do not rise, or are not as many."""
    problems = []
    for name in ("marks", "times"):
        values = [m.value for m in numbers.get(name, ())]
        if any(b <= a for a, b in pairwise(values)):
            text = label_of(written).parts[name]
            wanted = "values that rise, each counted from the first mark"
            problems.append(Problem(written.key(name), shown(text), wanted, line=written.line))
    lengths = [len(numbers[name]) for name in ("marks", "times") if name in numbers]
    if len(lengths) == 2 and lengths[0] != lengths[1]:
        wanted = f"as many as there are marks ({lengths[0]})"
        given = f"{lengths[1]} times"
        problems.append(Problem(written.key("times"), given, wanted, line=written.line))
    return problems


def read_number(written: Written, name: str) -> Any:
    """One number with its uncertainty, or a tuple of them."""
    entry, given = ENTRIES[name], written.values[name]
    spread = written.values.get(f"{name}{TOLERANCE}")
    if not entry.many:
        return measured(entry, given, spread, name)
    if not isinstance(given, list) or not 2 <= len(given) <= MOST_MARKS:
        raise fail("", shown(given), entry.allowed())
    return tuple(measured(entry, item, spread, name) for item in given)


def measured(entry: Entry, given: object, spread: object = None, name: str = "") -> Measured:
    """A number such as "4.1 N", its uncertainty behind "+/-", in `spread`, or the usual one.

    Raises
    ------
    ScenarioError
        For anything else than a quantity within its bounds, and an uncertainty below half of it.

    """
    if not isinstance(given, str):
        raise fail("", shown(given), entry.allowed())
    text, sign, behind = given.replace("±", "+/-").partition("+/-")
    value = _si(entry, text)
    if not entry.low <= value <= entry.high:
        raise fail("", shown(given), entry.allowed())
    if sign and entry.exact:
        raise fail("", shown(given), f"{entry.allowed()}, taken as exact: no +/-")
    if sign and spread is not None:
        raise fail(f"{name}{TOLERANCE}", shown(spread), "left out beside +/-")
    if not sign and spread is None:
        return Measured(value, max(entry.share * abs(value), entry.least))
    return Measured(value, _tolerance(entry, behind if sign else spread, value, name))


def _tolerance(entry: Entry, given: object, value: float, name: str) -> float:
    """An uncertainty in the same unit or in percent of the value."""
    wanted = "an uncertainty with its unit (or in %), above zero and below half of the reading"
    key = f"{name}{TOLERANCE}" if name else ""
    if not isinstance(given, str):
        raise fail(key, shown(given), wanted)
    try:
        if given.strip().endswith("%") and "fraction" not in entry.dimensions:
            spread = parse_quantity(given, "fraction") * abs(value)
        else:
            spread = _si(entry, given)
    except ScenarioError:
        raise fail(key, shown(given), wanted) from None
    if not 0.0 < spread < max(0.5 * abs(value), 2.0 * entry.least):
        raise fail(key, shown(given), wanted)
    return spread


def _si(entry: Entry, text: str) -> float:
    """SI value; the weight of a mass where a force is wanted as well."""
    first: ScenarioError | None = None
    for dimension in entry.dimensions:
        try:
            value = parse_quantity(text, dimension)
        except ScenarioError as error:
            first = first or error
            continue
        return value * STANDARD_GRAVITY if entry is LOAD and dimension == "mass" else value
    assert first is not None
    why = first.problems[0]
    reasoned = len(entry.dimensions) == 1 and "(" in why.allowed  # an unknown unit, a mass given
    raise fail("", shown(text), why.allowed if reasoned else entry.allowed(), why.nearest)
