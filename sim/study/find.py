"""Find: the values of one key for which a condition on the roll holds, and their edges.

The range is rolled at evenly spaced places first. Wherever the condition changes from one to the
next, the edge between them is closed in on: some places spread over the bracket and, where the
quantity that decides is known on both sides, two close about its interpolated root, all edges in
one batch. A bracket always keeps a place where the condition holds and one where it does not, so
an edge is right even where the outcome jumps. What happens between two neighbouring places of the
first look without showing at either is not seen, but for dips and humps of a single quantity,
which are looked at more closely.
"""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass

import numpy as np

from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.scenario import Scenario
from sim.scenario.problems import fail
from sim.study.batch import Progress
from sim.study.condition import Condition, ConditionError
from sim.study.edges import Bracket, Found, answer, brackets, deciding, is_number_met
from sim.study.knobs import Knob, current_value
from sim.study.outcome_columns import USUAL
from sim.study.samples import Sampler, Samples

LOOK, LOOK_GEOMETRY = 97, 49
"""Places of the first look; a geometry costs a lattice solution each."""
NARROW, NARROW_GEOMETRY = 1e-6, 1e-5
"""Width of a bracket at which it is closed, share of the range."""
MOST_ROUNDS = 14
SPREAD, SPREAD_GEOMETRY = 7, 3
"""Places spread over a bracket in one round."""
NEAR = 0.02
"""Places about the interpolated root, share of the bracket's width."""
SLOPE_STEP = 2e-3
"""Places at which the slope is measured, share of the range."""
CLOSER = 9
"""Places over two neighbouring steps where a quantity turns back."""


@dataclass(frozen=True)
class Search:
    """Conditions looked for along one key.

    Attributes
    ----------
    prepared: the scenario itself, made ready.
    knob: that is turned.
    low, high: where it was looked [SI].
    present: value now, if there is one [SI].
    samples: all rolls.
    step: between the places of the first look [SI].
    found: an answer for each condition, in their order.

    """

    prepared: Prepared
    knob: Knob
    low: float
    high: float
    present: float | None
    samples: Samples
    step: float
    found: tuple[Found, ...]


def search(
    scenario: Scenario,
    knob: Knob,
    between: tuple[float, float],
    conditions: Sequence[Condition],
    *,
    columns: Sequence[str] = (),
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Search:
    """Find all values of a key between two ends for which each condition holds.

    Parameters
    ----------
    scenario
        the base.
    knob
        the key, from `sim.study.knobs.knob_of`.
    between
        both ends [SI].
    conditions
        looked for side by side, on the same rolls.
    columns
        kept in the samples beside the usual ones.
    executor, progress
        as of `sim.study.batch.roll_rows`; progress is told of the first look only.

    Raises
    ------
    ScenarioError
        For ends that do not rise, or a key that cannot be turned there.
    sim.study.condition.ConditionError
        For `==` with a number beside other clauses.

    """
    low, high = between
    if not low < high:
        raise fail(knob.key, f"{knob.text(low)}:{knob.text(high)}", "FROM:TO that rises")
    for condition in conditions:
        _refuse_equal_among_others(condition)
    every = (*USUAL, *columns, *(name for c in conditions for name in c.columns))
    sampler = Sampler(scenario, knob, every, executor)
    samples = _first_look(sampler, low, high, progress)
    step = float(samples.x[1] - samples.x[0])
    if any(len(c.clauses) == 1 for c in conditions):
        samples = _look_closer(sampler, samples, conditions)
    narrow = (NARROW_GEOMETRY if sampler.geometry else NARROW) * (high - low)
    close_in(sampler, conditions, narrow)
    _beside_edges(sampler, conditions, SLOPE_STEP * (high - low))
    samples = close_in(sampler, conditions, narrow)
    found = tuple(answer(c, samples, knob.form == "whole") for c in conditions)
    present = current_value(scenario, knob)
    return Search(prepare(scenario), knob, low, high, present, samples, step, found)


def _refuse_equal_among_others(condition: Condition) -> None:
    if len(condition.clauses) > 1 and any(map(is_number_met, condition.clauses)):
        raise ConditionError(
            f'condition: given "{condition.text}"; allowed: == with a number stands alone; join'
            " clauses with <= and >=."
        )


def _first_look(sampler: Sampler, low: float, high: float, progress: Progress | None) -> Samples:
    """Whether the key moves the lattice decides how many places are affordable."""
    sampler.roll([low, high])
    count = LOOK_GEOMETRY if sampler.geometry else LOOK
    if sampler.knob.form == "whole":
        count = min(count, round(high - low) + 1)
    sampler.progress = progress
    samples = sampler.roll(np.linspace(low, high, count))
    sampler.progress = None
    return samples


def _look_closer(sampler: Sampler, samples: Samples, conditions: Sequence[Condition]) -> Samples:
    """Between the neighbours of a place where a quantity turns back short of its limit."""
    wanted: list[float] = []
    for condition in conditions:
        margin, x = condition.margin(samples.rows), samples.x
        for i in range(1, len(x) - 1):
            three = margin[i - 1 : i + 2]
            before, here, after = np.abs(three)
            same = np.all(three > 0.0) or np.all(three < 0.0)
            if same and here <= min(before, after) and here < max(before, after):
                wanted += list(np.linspace(x[i - 1], x[i + 1], CLOSER)[1:-1])
    return sampler.roll(wanted) if wanted else samples


def close_in(sampler: Sampler, conditions: Sequence[Condition], narrow: float) -> Samples:
    """Roll between neighbours until every change of every condition is known to a width [SI]."""
    narrow = 1.0 if sampler.knob.form == "whole" else narrow
    samples = sampler.samples()
    for _ in range(MOST_ROUNDS):
        places = [
            place
            for condition in conditions
            for bracket in brackets(condition, samples)
            if bracket[1] - bracket[0] > narrow * (1.0 + 1e-9)
            for place in _places(sampler, condition, samples, bracket)
        ]
        if not places:
            break
        samples = sampler.roll(places)
    return samples


def _places(
    sampler: Sampler, condition: Condition, samples: Samples, bracket: Bracket
) -> list[float]:
    """Where to roll next in a bracket: spread over it, and about the interpolated root."""
    low, high = bracket
    count = SPREAD_GEOMETRY if sampler.geometry else SPREAD
    found = [float(place) for place in np.linspace(low, high, count + 2)[1:-1]]
    index = int(np.searchsorted(samples.x, low))
    margin = deciding(condition, samples, index).margin(samples.rows)
    first, last = float(margin[index]), float(margin[index + 1])
    if np.isfinite(first) and np.isfinite(last) and first != last:
        root = low + (high - low) * min(max(-first / (last - first), 0.0), 1.0)
        step = NEAR * (high - low)
        found += [place for place in (root - step, root, root + step) if low < place < high]
    return found


def _beside_edges(sampler: Sampler, conditions: Sequence[Condition], step: float) -> None:
    """Rolls a little way from each edge, from which its slope is read."""
    if sampler.knob.form == "whole":
        return
    samples = sampler.samples()
    low, high = float(samples.x[0]), float(samples.x[-1])
    ends = [
        end for c in conditions for b in brackets(c, samples) for end in (b[0] - step, b[1] + step)
    ]
    inside = [min(max(end, low), high) for end in ends]
    if inside:
        sampler.roll(inside)
