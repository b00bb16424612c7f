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
from sim.power.margins import Margin
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
TIP_BACK, TAIL_STRIKE = "tip_back_deg", "tail_strike_deg"
STANCE_COLUMNS = (*(column for _, column, *_ in STANCE), TAIL_STRIKE)
MOST_PLACES = 64
"""Places at which the parts are looked at; between them their margins are interpolated."""
WIND = "air.headwind"
"""The one key of the air that no part feels at full throttle and a given airspeed."""


@dataclass(frozen=True)
class Passed:
    """One limit that some rolls pass.

    Attributes
    ----------
    says: what is beyond what, such as "tip-back angle under 15 deg".
    source: of the limit.
    beyond: how far each row of the study is beyond it [SI], nan where it has none, shape (rows,).

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


def parts_over(scenario: Scenario) -> tuple[str, ...]:
    """What carries more than it may at full throttle, such as "controller current"."""
    return tuple(name for name, margin in _margins(scenario).items() if margin.exceeded)


def _margins(scenario: Scenario) -> dict[str, Margin]:
    power = prepare(scenario).power
    return {f"{m.part} {m.quantity}": m for m in power.margins} if power else {}


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
    over_tail = Passed(
        Sentence("tip-back angle under the tail-strike angle"),
        f"{TIP_BACK_LIMIT.source}; {TIP_BACK_LIMIT.mark}",
        rows[TAIL_STRIKE] - rows[TIP_BACK],
    )
    if over_tail.where.any():
        yield over_tail


def _of_the_parts(scenario: Scenario, axes: tuple[Axis, ...], asked: Array) -> Iterator[Passed]:
    movers = [i for i, axis in enumerate(axes) if _moves_parts(axis.key)]
    if not len(asked) or not (prepare(scenario).power or any(a.key == "power.kind" for a in axes)):
        return
    most = int(MOST_PLACES ** (1.0 / max(len(movers), 1)))
    looked = [_places(axes[i], most) for i in movers]
    found = {
        place: _margins_at(scenario, [(axes[movers[k]], at) for k, at in enumerate(place)])
        for place in itertools.product(*looked)
    }
    weights = [_weights(axes[i], look, asked[:, i]) for i, look in zip(movers, looked, strict=True)]
    whole = all(len(look) == len(axes[i]) for i, look in zip(movers, looked, strict=True))
    for name in sorted({name for margins in found.values() for name in margins}):
        known = [margins[name] for margins in found.values() if name in margins]
        values = [-m[name].spare if name in m else np.nan for m in found.values()]
        grid = np.array(values).reshape([len(look) for look in looked])
        passed = Passed(
            _over_words(name, known),
            known[0].key + ("" if whole else f", worked out at {len(found)} places"),
            _interpolated(grid, weights, len(asked)),
        )
        if passed.where.any():
            yield passed


def _over_words(name: str, margins: list[Margin]) -> Sentence:
    limits = {m.limit for m in margins}
    if len(limits) > 1:
        return Sentence(f"{name} over its limit")
    return sentence(f"{name} over its {{limit}}", limit=(limits.pop(), margins[0].kind))


def _moves_parts(key: str) -> bool:
    return key.startswith(("power.", "air.")) and key != WIND


def _places(axis: Axis, most: int) -> tuple[int, ...]:
    """Where along an axis to look: everywhere, or evenly; at every word."""
    if axis.knob is None or len(axis) <= most:
        return tuple(range(len(axis)))
    return tuple(np.unique(np.linspace(0, len(axis) - 1, most).round().astype(int)).tolist())


def _weights(axis: Axis, look: tuple[int, ...], values: Array) -> Array:
    """How much each place looked at counts for each value, shape (rows, places)."""
    there = axis.values[list(look)]
    order = np.argsort(there)
    hats = np.eye(len(look))
    if len(look) == 1:
        return np.ones((len(values), 1))
    return np.array([np.interp(values, there[order], hat[order]) for hat in hats]).T


def _interpolated(grid: Array, weights: list[Array], rows: int) -> Array:
    """Multilinear between the places; a place without a number leaves what lies at it without."""
    if not weights:
        return np.full(rows, float(grid))
    bare, known = np.nan_to_num(grid), np.isnan(grid).astype(float)
    letters = "ab"[: len(weights)]
    form = ",".join([letters, *(f"r{letter}" for letter in letters)]) + "->r"
    missing = np.einsum(form, known, *weights) > 0.0
    return np.where(missing, np.nan, np.einsum(form, bare, *weights))


def _margins_at(scenario: Scenario, places: list[tuple[Axis, int]]) -> dict[str, Margin]:
    """Margins with these laid over; none where they make no scenario."""
    texts = [
        axis.knob.override(float(axis.values[at])) if axis.knob else f"{axis.key}={axis.words[at]}"
        for axis, at in places
    ]
    try:
        return _margins(with_overrides(scenario, texts) if texts else scenario)
    except ScenarioError:
        return {}
