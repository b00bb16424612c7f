"""The ladder: every combination of a scenario's changes rolled, and what each change is worth.

Combinations are numbered by their bits: bit i of a combination is change i, in the order asked.
"""

from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sim.prepare import prepare
from sim.roll.aero_table import Array
from sim.roll.verdict import Verdict
from sim.scenario import Change, Scenario, ScenarioError, with_changes
from sim.scenario.problems import QuestionError
from sim.study.batch import Progress, roll_rows
from sim.study.outcome_columns import USUAL
from sim.study.passed_limits import parts_over
from sim.study.rows import REFUSED, VERDICTS, Rows
from sim.study.shapley import fair_shares, filled
from sim.study.sources import Lane, Scenarios, reason_of

MOST_CHANGES = 10
"""1024 combinations; each of another shape needs a lattice solution of its own."""
USUAL_MARGIN = 0.2
"""Share of the strip that should be left at lift-off; a judgement, no source."""
SENT_AT_ONCE = 16
COLUMNS = (*USUAL, "speed_reachable_m_per_s", "tip_back_deg", "tail_strike_deg", "nose_share")
GROUND_ROLL, ROTATION = "lift-off.distance", "nose-wheel-off.airspeed"
AIRBORNE = VERDICTS.index(Verdict.AIRBORNE)


class LadderError(QuestionError):
    """A ladder that cannot be built; the text says why and is meant for the builder."""


@dataclass(frozen=True)
class Combinations:
    """Scenarios in order, or why there is none; a source of lanes and its own task."""

    entries: tuple[Scenario | str, ...]

    def __len__(self) -> int:
        return len(self.entries)

    def task(self, first: int, last: int) -> "Combinations":
        """Entries from `first` up to `last`."""
        return Combinations(self.entries[first:last])

    @property
    def quick(self) -> bool:
        """Each may have a geometry of its own."""
        return False

    def lanes(self) -> Iterator[Lane | str]:
        """Rolls to compute, or reasons."""
        ready = Scenarios(tuple(e for e in self.entries if not isinstance(e, str))).lanes()
        for entry in self.entries:
            yield entry if isinstance(entry, str) else next(ready)


@dataclass(frozen=True)
class Counted:
    """One number of every combination made a game.

    Attributes
    ----------
    name: column.
    values: as rolled, nan where it did not happen or cannot be, shape (2^n,) [SI].
    stand_in: what a missing one is counted as [SI].
    missing: combinations rolled in which it did not happen.
    gains: base less combination, nan where the combination cannot be, shape (2^n,) [SI].
    shares: fair share of each change, shape (n,) [SI].
    order_holds: with twice the stand-in the changes keep their order by share.

    """

    name: str
    values: Array
    stand_in: float
    missing: int
    gains: Array
    shares: Array
    order_holds: bool

    @property
    def whole(self) -> float:
        """Gain of all that go together: the sum of the shares [SI]."""
        return float(np.sum(self.shares))

    @property
    def parts(self) -> float:
        """Sum of the gains of each change alone [SI]; nan if one cannot be."""
        return float(np.sum(self.gains[1 << np.arange(len(self.shares))]))


class LadderStopped(KeyboardInterrupt):
    """Ctrl-C: half the combinations share out nothing, but those finished can be kept.

    Attributes
    ----------
    changes: in the order asked.
    rows: of the combinations that are finished.

    """

    def __init__(self, changes: tuple[Change, ...], rows: Rows) -> None:
        super().__init__()
        self.changes = changes
        self.rows = rows


def members(changes: Sequence[Change], combination: int) -> tuple[Change, ...]:
    """Changes in a combination, in the order asked."""
    return tuple(c for i, c in enumerate(changes) if combination >> i & 1)


def summed(values: Iterable[float | None]) -> float:
    """Sum of hours or costs; nan when one of them is not given."""
    return sum((_number(value) for value in values), 0.0)


@dataclass(frozen=True)
class Ladder:
    """All combinations and what follows.

    Attributes
    ----------
    title: of the scenario.
    changes: in the order asked.
    strip_length: [m].
    margin: share of the strip that should be left [-].
    rows: one for each combination, refused ones with their reason.
    rungs: combination after each change; one that does not go with those before adds nothing.
    ground_roll, rotation: what is shared out.
    over: power limits passed, by combination: those of none, of the rungs, of each change alone.

    """

    title: str
    changes: tuple[Change, ...]
    strip_length: float
    margin: float
    rows: Rows
    rungs: tuple[int, ...]
    ground_roll: Counted
    rotation: Counted
    over: dict[int, tuple[str, ...]]

    @property
    def count(self) -> int:
        """Number of changes."""
        return len(self.changes)

    def members(self, combination: int) -> tuple[Change, ...]:
        """Changes in a combination, in the order asked."""
        return members(self.changes, combination)

    def hours(self, combination: int) -> float:
        """Hours of a combination; nan when one of them is not given."""
        return summed(c.hours for c in self.members(combination))

    def cost(self, combination: int) -> float:
        """Cost of a combination; nan when one of them is not given."""
        return summed(c.cost for c in self.members(combination))

    def value(self, name: str, combination: int) -> float:
        """A column of a combination [SI], nan where it did not happen."""
        return float(self.rows[name][combination])

    def strip_left(self, combination: int) -> float:
        """Share of the strip left at lift-off [-]; nan without lift-off."""
        return 1.0 - self.value(GROUND_ROLL, combination) / self.strip_length

    @property
    def refused(self) -> NDArray[np.bool_]:
        """Combinations that cannot be, shape (2^n,)."""
        return np.asarray(self.rows.verdicts == REFUSED)

    @property
    def meets(self) -> NDArray[np.bool_]:
        """Combinations that are airborne with the margin, shape (2^n,)."""
        left = 1.0 - self.rows[GROUND_ROLL] / self.strip_length
        return np.asarray((self.rows.verdicts == AIRBORNE) & (left >= self.margin))


def build_ladder(
    scenario: Scenario,
    names: Sequence[str],
    margin: float = USUAL_MARGIN,
    *,
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Ladder:
    """Roll every combination of changes and work out what each is worth.

    Parameters
    ----------
    scenario
        changes it already carries stay under all combinations.
    names
        changes to combine, in the order of the rungs; all that are left when there are none.
    margin
        share of the strip that should be left at lift-off [-].
    executor, progress
        as for `sim.study.batch.roll_rows`.

    Raises
    ------
    LadderError
        For too many changes, or none at all.
    ScenarioError
        For unknown names, and a base that cannot be rolled.
    LadderStopped
        When stopped; it carries what is finished.

    """
    names = _chosen(scenario, names)
    base = prepare(scenario)
    alone = [_laid(scenario, [name]) for name in names]
    changes = tuple(_change(scenario, name, one) for name, one in zip(names, alone, strict=True))
    entries = combinations_of(scenario, names)
    chunk = SENT_AT_ONCE if executor else None
    rows = roll_rows(
        Combinations(entries), COLUMNS, executor=executor, chunk=chunk, progress=progress
    )
    if not rows.complete:
        raise LadderStopped(changes, rows)
    if rows.verdicts[0] == REFUSED:
        raise LadderError(f"The scenario itself cannot be rolled: {rows.refused[0]}")
    strip = float(base.setup.parameters.strip_length)
    ladder = Ladder(
        base.title, changes, strip, margin, rows, _rungs(rows, len(names)),
        _counted(rows, GROUND_ROLL, 2.0 * strip), _counted(rows, ROTATION, _fastest(rows)), {},
    )  # fmt: skip
    return _with_limits(ladder, entries)


def combinations_of(scenario: Scenario, names: Sequence[str]) -> tuple[Scenario | str, ...]:
    """The scenario with every combination of changes, or why it cannot be; 2^n of them."""
    entries: list[Scenario | str] = []
    for mask in range(1 << len(names)):
        laid = _laid(scenario, [name for i, name in enumerate(names) if mask >> i & 1])
        entries.append(reason_of(laid) if isinstance(laid, ScenarioError) else laid)
    return tuple(entries)


def _chosen(scenario: Scenario, names: Sequence[str]) -> tuple[str, ...]:
    left = tuple(name for name in scenario.changes if name not in scenario.applied)
    chosen = tuple(names) or left
    if not chosen:
        raise LadderError(
            "There is nothing to stack: a ladder wants tables [change.NAME] in the file, such as"
            " those of the scenario workshop."
        )
    if len(chosen) > MOST_CHANGES:
        raise LadderError(
            f"{len(chosen)} changes make {2 ** len(chosen)} combinations; at most {MOST_CHANGES}"
            f" changes. Pick some with --changes: {', '.join(chosen)}."
        )
    twice = next((name for i, name in enumerate(chosen) if name in chosen[:i]), None)
    if twice:
        raise LadderError(f"The change {twice} is named twice.")
    return chosen


def _laid(scenario: Scenario, names: Sequence[str]) -> Scenario | ScenarioError:
    try:
        return with_changes(scenario, names) if names else scenario
    except ScenarioError as wrong:
        return wrong


def _change(scenario: Scenario, name: str, laid: Scenario | ScenarioError) -> Change:
    """The change of a name; an unknown one is everybody's mistake, told at once."""
    if isinstance(laid, Scenario):
        return laid.changes[name]
    if name not in scenario.changes:
        raise laid
    return scenario.changes[name]


def _rungs(rows: Rows, count: int) -> tuple[int, ...]:
    rungs = [0]
    for i in range(count):
        higher = rungs[-1] | 1 << i
        rungs.append(rungs[-1] if rows.verdicts[higher] == REFUSED else higher)
    return tuple(rungs[1:])


def _fastest(rows: Rows) -> float:
    """Highest airspeed reached on three wheels by those that never rotate [m/s], else 0."""
    stuck = np.isnan(rows[ROTATION]) & (rows.verdicts != REFUSED)
    speeds = rows["speed_reachable_m_per_s"][stuck]
    return float(np.max(speeds[np.isfinite(speeds)], initial=0.0))


def _counted(rows: Rows, name: str, least: float) -> Counted:
    """A column as a game: what did not happen counts as `least`, or the worst that happened."""
    values = rows[name]
    stand_in = float(np.max(values[np.isfinite(values)], initial=least))
    can = rows.verdicts != REFUSED
    gains = _gains(values, stand_in, can)
    shares = fair_shares(filled(gains))
    missing = int(np.sum(np.isnan(values) & can))
    twice = fair_shares(filled(_gains(values, 2.0 * stand_in, can))) if missing else shares
    holds = bool(np.array_equal(np.argsort(-shares), np.argsort(-twice)))
    return Counted(name, values, stand_in, missing, gains, shares, holds)


def _gains(values: Array, stand_in: float, can: NDArray[np.bool_]) -> Array:
    full = np.where(np.isnan(values), stand_in, values)
    return np.where(can, full[0] - full, np.nan)


def _with_limits(ladder: Ladder, entries: Sequence[Scenario | str]) -> Ladder:
    """Power limits of the base, the rungs and each change alone."""
    over: dict[int, tuple[str, ...]] = {}
    for mask in sorted({0, *ladder.rungs, *(1 << i for i in range(ladder.count))}):
        entry = entries[mask]
        if not isinstance(entry, str) and not ladder.refused[mask]:
            over[mask] = parts_over(entry)
    return replace(ladder, over=over)


def _number(value: float | None) -> float:
    return float("nan") if value is None else value
