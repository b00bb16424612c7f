"""Which limits the rolls of a study pass: how it stands on its wheels, what its parts may carry.

The stance is held against the handbooks' limits in every row. What the parts carry at full throttle
depends on the power and the air alone, and is worked out at the places where those are varied.
"""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.checks.sentence import Sentence, sentence
from sim.checks.stance import NOSE_SHARE_LIMITS, TIP_BACK_LIMIT
from sim.prepare import prepare
from sim.roll.aero_table import Array
from sim.scenario import Scenario, ScenarioError, with_overrides
from sim.study.axis import Axis
from sim.study.rows import Rows

STANCE = (
    ("tip-back angle", "tip_back_deg", "angle", TIP_BACK_LIMIT),
    ("nose-wheel share", "nose_share", "share", NOSE_SHARE_LIMITS[1]),
)
"""Name, column, kind of quantity and limit."""
STANCE_COLUMNS = tuple(column for _, column, *_ in STANCE)
MOST_PLACES = 64
"""Places at which the parts are looked at; rows between take what the nearest place has."""
NOT_OF_THE_PARTS = "air.headwind"


@dataclass(frozen=True)
class Passed:
    """One limit that some rolls pass.

    Attributes
    ----------
    says: what is beyond what, such as "tip-back angle under 15 deg".
    source: of the limit.
    beyond: how far each row of the study is beyond it (SI; 1 or -1 of a part), shape (rows,).

    """

    says: Sentence
    source: str
    beyond: Array

    @property
    def where(self) -> NDArray[np.bool_]:
        """For each row, whether it passes the limit; false where a roll has no such number."""
        return self.beyond > 0.0


def passed_limits(
    scenario: Scenario, axes: tuple[Axis, ...], values: Array, rows: Rows
) -> tuple[Passed, ...]:
    """Every limit that is passed by at least one roll.

    Parameters
    ----------
    scenario
        of which the rows are variants.
    axes
        along which they were rolled.
    values
        of each row asked for along each axis, shape (n, axes).
    rows
        with `STANCE_COLUMNS` among their columns.

    """
    return (*_of_the_stance(rows), *_of_the_parts(scenario, axes, values[rows.lanes]))


def limits_passed(scenario: Scenario) -> tuple[str, ...]:
    """What carries more than it may at full throttle, such as "controller current"."""
    power = prepare(scenario).power
    return tuple(f"{m.part} {m.quantity}" for m in power.margins if m.exceeded) if power else ()


def _of_the_stance(rows: Rows) -> Iterator[Passed]:
    for name, column, kind, limit in STANCE:
        values = rows[column]
        sides = (
            ("under", limit.low, limit.low - values),
            ("over", limit.high, values - limit.high),
        )
        for side, end, beyond in sides:
            passed = Passed(
                sentence(f"{name} {side} {{end}}", end=(end, kind)),
                f"{limit.source}; {limit.mark}",
                beyond,
            )
            if passed.where.any():
                yield passed


def _of_the_parts(scenario: Scenario, axes: tuple[Axis, ...], asked: Array) -> Iterator[Passed]:
    movers = [i for i, axis in enumerate(axes) if _moves_parts(axis.key)]
    if not len(asked) or not (prepare(scenario).power or any(a.key == "power.kind" for a in axes)):
        return
    most = int(MOST_PLACES ** (1.0 / max(len(movers), 1)))
    looked = [_places(axes[i], most) for i in movers]
    nearest = [_nearest(axes[i], look, asked[:, i]) for i, look in zip(movers, looked, strict=True)]
    places = np.array(nearest, dtype=int).reshape(len(movers), len(asked))
    over = {
        place: _over(scenario, [(axes[i], at) for i, at in zip(movers, place, strict=True)])
        for place in itertools.product(*looked)
    }
    by_row = [over[tuple(place)] for place in places.T.tolist()]
    for part in sorted({part for found in by_row for part in found}):
        beyond = np.array([1.0 if part in found else -1.0 for found in by_row])
        yield Passed(Sentence(f"{part} over its limit"), "limit given in the file", beyond)


def _moves_parts(key: str) -> bool:
    return key.startswith(("power.", "air.")) and key != NOT_OF_THE_PARTS


def _places(axis: Axis, most: int) -> tuple[int, ...]:
    """Where along an axis to look: everywhere, or evenly; at every word."""
    if axis.knob is None or len(axis) <= most:
        return tuple(range(len(axis)))
    return tuple(np.unique(np.linspace(0, len(axis) - 1, most).round().astype(int)).tolist())


def _nearest(axis: Axis, look: tuple[int, ...], values: Array) -> list[int]:
    """The place looked at that is nearest to each value, shape (rows,)."""
    places = np.abs(values[:, None] - axis.values[list(look)]).argmin(axis=1)
    return [look[int(place)] for place in places]


def _over(scenario: Scenario, places: list[tuple[Axis, int]]) -> tuple[str, ...]:
    """What is over its limit with these laid over; nothing where they make no scenario."""
    texts = [
        axis.knob.override(float(axis.values[at])) if axis.knob else f"{axis.key}={axis.words[at]}"
        for axis, at in places
    ]
    try:
        return limits_passed(with_overrides(scenario, texts) if texts else scenario)
    except ScenarioError:
        return ()
