"""Keys of a scenario from measured rolls: values, uncertainty, and what the rolls cannot tell.

Least squares with priors (`sim.study.least_squares`): the rolls are simulated, what was seen is
weighed by its uncertainty, what was believed before by its own. Uncertainties are one standard
deviation of the normal distribution about the best fit.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.scenario import Scenario, with_overrides
from sim.scenario.measured_rolls import MeasuredRoll
from sim.scenario.measurements import MeasurementError
from sim.scenario.problems import Problem
from sim.strip.reading import Measured
from sim.study.batch import Progress
from sim.study.draws import even_draws
from sim.study.fit import Agreement, agreement_of, wheel_of
from sim.study.least_squares import Fitted, NoStart, fit_all
from sim.study.priors import RESISTANCE, Prior, priors_of
from sim.study.roll_model import RollModel, Wanted, roll_model

START_DRAWS = 24
"""Places within the priors that are tried when what was seen does not happen in their middle."""
TOLD_APART = 0.9
"""Correlation beyond which two keys count as not told apart; judgement."""
DETERMINABLE = 0.5
"""A key is determinable when its uncertainty is below this share of what it was; judgement."""
MOST_SPEEDS = 30
"""Speeds taken from one log, evenly spread: neighbours in a log err together."""
LOG_RATIO = (0.4, 2.5)
"""Top speed of a log over that of the roll simulated, within which its unit is believed."""


@dataclass(frozen=True)
class FittedKey:
    """One key.

    Attributes
    ----------
    prior: what was believed.
    value: best fit and one standard deviation [SI].

    """

    prior: Prior
    value: Measured

    @property
    def narrowed(self) -> float:
        """Uncertainty now over what it was [-]."""
        return self.value.deviation / self.prior.believed.deviation

    @property
    def determinable(self) -> bool:
        """Whether the rolls say clearly more than was believed before."""
        return self.narrowed < DETERMINABLE


@dataclass(frozen=True)
class FittedNumber:
    """One measured number beside the rolls simulated: as believed before, and as fitted [SI]."""

    wanted: Wanted
    before: float
    fitted: float

    @property
    def residual(self) -> float:
        """Measured less fitted, in standard deviations."""
        return (self.wanted.measured.value - self.fitted) / self.wanted.measured.deviation


@dataclass(frozen=True)
class RollFit:
    """Keys from measured rolls.

    Attributes
    ----------
    title: of the scenario.
    rolls: as measured.
    keys: in the order asked for.
    correlation: of the keys, shape (keys, keys).
    numbers: everything measured.
    chi_square, freedom, agreement: sum of squared residuals, priors included; the number expected
        of it; what that says.
    settled: whether the search ended by itself.
    measured_with: diameter of the wheels a fitted rolling resistance holds for [m].
    model: of the rolls; its last point.

    """

    title: str
    rolls: tuple[MeasuredRoll, ...]
    keys: tuple[FittedKey, ...]
    correlation: Array
    numbers: tuple[FittedNumber, ...]
    chi_square: float
    freedom: int
    agreement: Agreement
    settled: bool
    measured_with: float
    model: RollModel
    point: Array

    def not_told_apart(self) -> tuple[tuple[FittedKey, FittedKey, float], ...]:
        """Pairs of keys that the rolls cannot tell apart, with their correlation."""
        count = len(self.keys)
        return tuple(
            (self.keys[i], self.keys[j], float(self.correlation[i, j]))
            for i in range(count)
            for j in range(i + 1, count)
            if abs(self.correlation[i, j]) > TOLD_APART
        )


def fit_rolls(
    scenario: Scenario,
    rolls: Sequence[MeasuredRoll],
    keys: Sequence[str] = (),
    grip: Measured | None = None,
    progress: Progress | None = None,
) -> RollFit:
    """Fit keys of a scenario to measured rolls.

    Parameters
    ----------
    scenario
        the aeroplane, strip and day; each roll may have changes and a day of its own.
    rolls
        one or more.
    keys
        `KEY` or `KEY=VALUE +/- TOLERANCE`; rolling resistance and thrust when there are none.
    grip
        rolling resistance from tow tests and coast-downs, with its uncertainty.
    progress
        called as the search goes on.

    Raises
    ------
    ScenarioError
        For keys and changes that do not fit the scenario.
    MeasurementError
        When nothing within the priors shows what was measured.

    """
    rolls, ground = on_their_ground(scenario, rolls)
    prepared = prepare(ground)
    priors = priors_of(ground, prepared, keys, grip)
    _refuse_two_surfaces(rolls, priors)
    wanted = [w for i, roll in enumerate(rolls) for w in _wanted(i, roll)]
    model = roll_model(ground, prepared, rolls, priors, wanted)
    _check_units(model)
    measured = np.array([[w.measured.value for w in wanted]])
    deviations = np.array([w.measured.deviation for w in wanted])
    try:
        fitted = fit_all(model, measured, deviations, starts_for(model), progress)
    except NoStart:
        raise _never_seen(model) from None
    return _gathered(prepared, rolls, model, fitted)


def _gathered(
    prepared: Prepared, rolls: Sequence[MeasuredRoll], model: RollModel, fitted: Fitted
) -> RollFit:
    """What a fit of the rolls says of the keys."""
    priors, wanted, z = model.priors, model.wanted, fitted.values[0]
    chi_square, freedom = float(np.sum(fitted.residuals**2) + np.sum(z**2)), len(wanted)
    agreement = agreement_of(chi_square, freedom) if freedom > 1 else Agreement.UNCHECKED
    covariance = fitted.covariance[0, : len(priors), : len(priors)]
    scale = np.sqrt(np.diag(covariance))
    spread = scale * _enlarged(agreement, chi_square, freedom)
    values = model.values(z[None])[0]
    return RollFit(
        title=prepared.title,
        rolls=tuple(rolls),
        keys=tuple(
            FittedKey(p, Measured(float(v), float(s * p.believed.deviation)))
            for p, v, s in zip(priors, values, spread, strict=True)
        ),
        correlation=covariance / np.outer(scale, scale),
        numbers=_numbers(model, fitted),
        chi_square=chi_square,
        freedom=freedom,
        agreement=agreement,
        settled=bool(fitted.settled[0]),
        measured_with=wheel_of(prepared),
        model=model,
        point=z,
    )


def _numbers(model: RollModel, fitted: Fitted) -> tuple[FittedNumber, ...]:
    """Everything measured, with the keys as believed, the logs' starts as fitted, and as fitted.

    Only what the keys do shows between them.
    """
    keys = np.arange(model.unknowns) < len(model.priors)
    before = model(np.where(keys, 0.0, fitted.values[0])[None])[0]
    return tuple(
        FittedNumber(w, float(b), w.measured.value - w.measured.deviation * float(r))
        for w, b, r in zip(model.wanted, before, fitted.residuals[0], strict=True)
    )


def starts_for(model: RollModel) -> Array:
    """Points to begin from: the middle of the priors, then within two deviations of it."""
    names = [p.knob.key for p in model.priors] + [f"start {roll}" for roll in model.starts]
    spread = 4.0 * even_draws(1, names, 0, START_DRAWS) - 2.0
    return np.vstack([np.zeros(model.unknowns), spread])


def _enlarged(agreement: Agreement, chi_square: float, freedom: int) -> float:
    """Only where chance does not explain the scatter is the uncertainty enlarged to it."""
    doubtful = agreement in (Agreement.SCATTER, Agreement.CONTRADICT)
    return float(np.sqrt(chi_square / freedom)) if doubtful else 1.0


def _wanted(index: int, roll: MeasuredRoll) -> list[Wanted]:
    found = [Wanted(index, name, value) for name, value in roll.seen.items()]
    if roll.log is None:
        return found
    log = roll.log
    count = min(MOST_SPEEDS, len(log.times))
    picks = np.unique(np.round(np.linspace(0, len(log.times) - 1, count)).astype(int))
    # fewer numbers than the log has, each as good as one of the log: neighbours err together
    return found + [
        Wanted(
            index, "speed", Measured(float(log.speeds[i]), log.deviation),
            float(log.times[i] - log.start.value),
        )
        for i in picks
    ]  # fmt: skip


SURFACE = "strip.surface="


def on_their_ground(
    scenario: Scenario, rolls: Sequence[MeasuredRoll]
) -> tuple[list[MeasuredRoll], Scenario]:
    """The rolls without the surface they have in common, and the scenario on that surface.

    The scenario's own surface, named once more, is no other.
    """
    own = f"{SURFACE}{scenario.strip.surface}"
    told = [{o for o in roll.overrides if o.startswith(SURFACE)} - {own} for roll in rolls]
    common = set.intersection(*told) if told else set()
    drop = {own, *common}
    plain = [replace(r, overrides=tuple(o for o in r.overrides if o not in drop)) for r in rolls]
    return plain, with_overrides(scenario, sorted(common)) if common else scenario


def _refuse_two_surfaces(rolls: Sequence[MeasuredRoll], priors: Sequence[Prior]) -> None:
    """One rolling resistance cannot be that of two surfaces."""
    several = any(o.startswith(SURFACE) for roll in rolls for o in roll.overrides)
    if several and any(prior.knob.key == RESISTANCE for prior in priors):
        allowed = "rolls on one surface, or --key without rolling resistance"
        raise MeasurementError([Problem("surface", "rolls on several surfaces", allowed)])


def _check_units(model: RollModel) -> None:
    """A log whose top speed is nowhere near the roll's is in another unit than it says."""
    if not model.starts:
        return
    shown = model(np.zeros((1, model.unknowns)))[0]
    for roll in model.starts:
        columns = [i for i, w in enumerate(model.wanted) if w.roll == roll and w.name == "speed"]
        top = max(model.wanted[i].measured.value for i in columns)
        expected = float(np.max(shown[columns]))
        low, high = LOG_RATIO
        if np.isfinite(expected) and not low * expected <= top <= high * expected:
            log = model.rolls[roll].log
            assert log is not None
            given = f"{top:.1f} m/s at most in {log.name}"
            allowed = f"about {expected:.0f} m/s, as simulated: is the unit of its speed right?"
            raise MeasurementError([Problem(model.rolls[roll].label.name, given, allowed)])


def _never_seen(model: RollModel) -> MeasurementError:
    """Which roll saw what never happens within the priors."""
    shown = model(starts_for(model))
    never = [w for i, w in enumerate(model.wanted) if np.isnan(shown[:, i]).all()]
    problems = [
        Problem(
            f"{model.rolls[w.roll].label.name}.{w.name}", f"{w.measured.value:.3g}",
            "something that happens in the rolls simulated; within what was believed of the keys it"
            " never does (are changes, surface and wind those of the day?)",
        )
        for w in never
    ]  # fmt: skip
    together = Problem("rolls", "all of them together", "rolls that go with one scenario")
    return MeasurementError(problems or [together])
