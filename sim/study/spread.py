"""The spread: one roll under uncertain inputs, how often it goes well and what decides that.

Draw number i depends on the seed, on i and on the keys varied, not on how many there are. All
decisions about the whole (corners, lattices) are made on a fixed beginning of the sequence and the
ends of the distributions, so a roll does not depend on the others either.
"""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.roll.verdict import Verdict
from sim.scenario import Scenario
from sim.scenario.problems import fail
from sim.study.batch import Progress, roll_rows
from sim.study.distributions import Varied, varied_of
from sim.study.draws import even_draws
from sim.study.knobs import SURFACE_KEY
from sim.study.outcome_columns import USUAL
from sim.study.rows import REFUSED, VERDICTS, Rows
from sim.study.sensitivity import Influence, Interval, influences, share_interval
from sim.study.sources import Variants, variants_of
from sim.study.usual_spread import usual_spread

MOST_ROLLS = 1_000_000
DESIGN = 128
"""First draws that decide, with the ends, how the geometry is worked out."""
FIRST_LOOK = 256
"""Rolls after which an early end is thought of, and again at each doubling."""
STEPS = 32
"""Values of a key that stands behind a thrust curve; the variance lost is a thousandth."""
MOVE_THE_CURVE = ("power.", "air.temperature", "air.elevation", "air.pressure", "air.humidity")
ROLL = "lift-off.distance"
AIRBORNE = VERDICTS.index(Verdict.AIRBORNE)
QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)


@dataclass(frozen=True)
class Plan:
    """What is drawn.

    Attributes
    ----------
    prepared: the scenario itself, made ready.
    varied: uncertain keys.
    left: defaults that were left alone, with the reason.
    seed: of the draws.
    variants: of which those to roll are made, with the values of the design.

    """

    prepared: Prepared
    varied: tuple[Varied, ...]
    left: tuple[str, ...]
    seed: int
    variants: Variants

    def values(self, first: int, last: int) -> Array:
        """Values of draws `first` up to `last`, shape (last - first, keys) [SI]."""
        return drawn(self.varied, self.seed, first, last)


@dataclass(frozen=True)
class Spread:
    """What came of the draws.

    Attributes
    ----------
    plan: what was drawn.
    asked: most rolls.
    rows: those rolled.
    values: shape (rows.asked, keys) [SI].
    stopped: the interval was narrow enough before all were rolled.

    """

    plan: Plan
    asked: int
    rows: Rows
    values: Array
    stopped: bool

    @property
    def usable(self) -> NDArray[np.bool_]:
        """Rows of scenarios that can be, shape (m,)."""
        return np.asarray(self.rows.verdicts != REFUSED)

    @property
    def counted(self) -> int:
        """Rolls that chances and quantiles are of."""
        return int(self.usable.sum())

    @property
    def strip_length(self) -> float:
        """As the scenario has it [m]."""
        return float(self.plan.prepared.setup.parameters.strip_length)

    def chance(self, verdict: str) -> Interval:
        """How often a verdict comes, with its interval; ValueError when nothing was rolled."""
        return share_interval(self.rows.counts().get(verdict, 0), self.counted)

    def quantiles(self, name: str, all_rolls: bool) -> tuple[float, ...]:
        """Values at `QUANTILES` [SI].

        Parameters
        ----------
        name
            column.
        all_rolls
            a roll in which it did not happen counts as beyond everything (inf); else left out.

        """
        column = self.rows[name][self.usable]
        known = column[np.isfinite(column)]
        ordered = np.sort(np.where(np.isnan(column), np.inf, column) if all_rolls else known)
        if not len(ordered):
            return (float("nan"),) * len(QUANTILES)
        places = [min(int(np.ceil(q * len(ordered))), len(ordered)) - 1 for q in QUANTILES]
        return tuple(float(ordered[max(place, 0)]) for place in places)

    def influences(self) -> tuple[Influence, ...]:
        """What each key does, in the order of the keys."""
        rows = np.flatnonzero(self.usable)
        failed = (self.rows.verdicts[rows] != AIRBORNE).astype(float)
        keys = tuple(varied.knob.key for varied in self.plan.varied)
        return influences(keys, self.values[self.rows.lanes[rows]], self.rows[ROLL][rows], failed)


def plan_spread(scenario: Scenario, texts: Sequence[str], seed: int) -> Plan:
    """Read what is uncertain, or take the usual, and make the variants ready.

    Raises
    ------
    ScenarioError
        For texts that say nothing, keys given twice, and scenarios that cannot be.
    ValueError
        For a seed out of range.

    """
    prepared = prepare(scenario)
    if texts:
        varied = tuple(varied_of(scenario, text) for text in texts)
        left: tuple[str, ...] = ()
    else:
        varied, left = usual_spread(scenario, prepared)
    varied = _stepped(varied, prepared)
    keys = [one.knob.key for one in varied]
    twice = next((key for i, key in enumerate(keys) if key in keys[:i]), None)
    if twice:
        raise fail(twice, "more than once", "each key once")
    if SURFACE_KEY in keys and prepared.resistance_range is None:
        raise fail(SURFACE_KEY, "a range", "a surface: here the rolling resistance is one number")
    design = np.concatenate([_ends(varied), drawn(varied, seed, 0, DESIGN)])
    variants = variants_of(scenario, [one.knob for one in varied], design)
    return Plan(prepared, varied, left, seed, variants)


def _stepped(varied: tuple[Varied, ...], prepared: Prepared) -> tuple[Varied, ...]:
    """Keys that a thrust curve is worked out from take a few values: each is a curve to solve."""
    if prepared.setup.thrust_table is None:
        return varied
    return tuple(
        replace(one, steps=STEPS) if one.knob.key.startswith(MOVE_THE_CURVE) else one
        for one in varied
    )


def drawn(varied: Sequence[Varied], seed: int, first: int, last: int) -> Array:
    """Values of draws, shape (last - first, keys) [SI]; whole numbers where a key wants them."""
    quantiles = even_draws(seed, [one.knob.key for one in varied], first, last)
    return np.array([one.at(q) for one, q in zip(varied, quantiles.T, strict=True)]).T


def _ends(varied: Sequence[Varied]) -> Array:
    """All at their lowest, and all at their highest."""
    ends = [(one.distribution.low, one.distribution.high) for one in varied]
    return np.array(ends, dtype=float).T


def roll_spread(
    plan: Plan,
    count: int,
    *,
    until: float | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
    chunk: int | None = None,
) -> Spread:
    """Roll the draws of a plan.

    Parameters
    ----------
    plan
        from `plan_spread`.
    count
        most rolls.
    until
        end early when the chance of being airborne is known to this, up or down [-]; looked at
        after 256 rolls and at each doubling.
    executor, progress, chunk
        as for `sim.study.batch.roll_rows`.

    Returns
    -------
    The spread; on Ctrl-C that of the rolls that are finished, its rows not complete.

    Raises
    ------
    ValueError
        For counts that are no such thing.

    """
    if not 1 <= count <= MOST_ROLLS or (until is not None and not 0.0 < until < 1.0):
        raise ValueError(f"{count} rolls, until {until}: from 1 to {MOST_ROLLS}, above 0 below 1")
    spread, done = None, 0
    for last in _looks(count, until):
        values = plan.values(done, last)
        rows = roll_rows(
            replace(plan.variants, values=values), USUAL, executor=executor, chunk=chunk,
            progress=_shifted(progress, done, count),
        )  # fmt: skip
        spread = _joined(spread, Spread(plan, count, rows, values, False))
        done = last
        if not rows.complete:
            break
        if last < count and _narrow(spread, until):
            return replace(spread, stopped=True)
    assert spread is not None
    return spread


def _narrow(spread: Spread, until: float | None) -> bool:
    if until is None or not spread.counted:
        return False
    return spread.chance(Verdict.AIRBORNE).half_width <= until


def _looks(count: int, until: float | None) -> list[int]:
    looks, at = [], FIRST_LOOK
    while until is not None and at < count:
        looks.append(at)
        at *= 2
    return [*looks, count]


def _shifted(progress: Progress | None, done: int, count: int) -> Progress | None:
    return None if progress is None else lambda now, _: progress(done + now, count)


def _joined(before: Spread | None, more: Spread) -> Spread:
    if before is None:
        return more
    shift = before.rows.asked
    one, two = before.rows, more.rows
    rows = Rows(
        asked=one.asked + two.asked,
        lanes=np.concatenate([one.lanes, two.lanes + shift]),
        columns=one.columns,
        values=np.concatenate([one.values, two.values], axis=1),
        verdicts=np.concatenate([one.verdicts, two.verdicts]),
        refused=one.refused | {lane + shift: why for lane, why in two.refused.items()},
    )
    return replace(more, rows=rows, values=np.concatenate([before.values, more.values]))
