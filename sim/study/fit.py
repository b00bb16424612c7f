"""Rolling resistance from field measurements: weighted least squares over readings of any kind.

Every kind of reading reduces to a rolling resistance with an uncertainty (`sim.strip.reading`).
They then obey one linear law, so one line of algebra holds for all kinds:

    mu_i = share_i mu_main + (1 - share_i) mu_nose + sense_i ds

with the share of the load on the mains and `ds` what the strip slopes beyond what the scenario
says, seen with opposite sign in opposite directions.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaincc, stdtrit

from sim.checks.stance import nose_share
from sim.prepare.prepared import Prepared
from sim.roll.attitude import ground_attitude
from sim.roll.block import batch_of
from sim.roll.quasi_static import one_block, rolling_forces
from sim.scenario.measurements import MeasurementError, Reading
from sim.scenario.problems import Problem
from sim.strip.coast_down import CoastPastMarks, CoastToStop, reduce_past_marks, reduce_to_stop
from sim.strip.reading import Course, ImpossibleReading, Label, Measured, Reduced, Roller
from sim.strip.tow import TowReading, reduce_tow
from sim.strip.wheels import common_diameter

Array = NDArray[np.float64]

LEAST_SHARE_SPREAD = 0.15
"""Difference of load shares between tow tests from which main and nose wheels are told apart."""

AIR_PROBE = 5.0
"""Airspeed at which the coefficients of the ground attitude are taken [m/s]."""

LARGEST = 2.0
"""Rolling resistance beyond which a reading is a slip of the pen [-]."""

ONE_SIDED = 0.8413447
"""Share of a normal distribution below one standard deviation."""

OUTLIER = 2.5
"""Residual in standard deviations from which a reading is pointed out."""


@dataclass(frozen=True)
class Kind:
    """A kind of reading: what it is called and how it becomes a rolling resistance."""

    name: str
    reduce: Callable[[Any, Roller], Reduced]


KINDS: dict[type, Kind] = {
    TowReading: Kind("tow test", reduce_tow),
    CoastToStop: Kind("coast-down", reduce_to_stop),
    CoastPastMarks: Kind("coast-down", reduce_past_marks),
}


class Agreement(StrEnum):
    """Whether the readings fit one law within their uncertainties."""

    UNCHECKED = "unchecked"
    AGREE = "agree"
    SCATTER = "scatter"
    CONTRADICT = "contradict"


@dataclass(frozen=True)
class FittedReading:
    """One reading beside the fit.

    Attributes
    ----------
    label: where it was read.
    kind: its name.
    own: rolling resistance from it alone, with its uncertainty [-].
    fitted: what the fit says it should have shown [-].

    """

    label: Label
    kind: str
    own: Measured
    fitted: float

    @property
    def residual(self) -> float:
        """Own less fitted, in its standard deviations."""
        return (self.own.value - self.fitted) / self.own.deviation


@dataclass(frozen=True)
class GripFit:
    """Rolling resistance from readings.

    Attributes
    ----------
    resistance: of both axles together, under this aeroplane's static loads [-].
    main, nose: of either axle, where loads told them apart [-]; else None.
    slope: beyond the scenario's, uphill in take-off direction, where readings in both directions
        told it [rise over run]; else None.
    reading_deviation: of the resistance, from the uncertainty of the readings alone [-].
    scatter: standard deviation of single readings about the fit, by kind [-]; empty with nothing
        to spare.
    chi_square, freedom: sum of squared residuals and the number expected of it [-].
    agreement: what that says.
    readings: each beside the fit.
    measured_with: diameter of the wheels it holds for, one for both axles [m].

    """

    resistance: Measured
    main: Measured | None
    nose: Measured | None
    slope: Measured | None
    reading_deviation: float
    scatter: dict[str, float]
    chi_square: float
    freedom: int
    agreement: Agreement
    readings: tuple[FittedReading, ...]
    measured_with: float


def roller_of(prepared: Prepared) -> Roller:
    """The aeroplane of a scenario rolling without power in take-off direction.

    Lift and drag are the core's own at the ground attitude, controls and flaps as held in the roll.
    """
    p = prepared.setup.parameters
    block = one_block(batch_of([prepared.setup]), np.array([0]))
    air = rolling_forces(block, AIR_PROBE, np.array([p.hold_elevator])).air
    return Roller(
        mass=float(p.mass),
        gravity=float(p.gravity),
        main_share=_main_share(prepared),
        lift_per_square=float(np.ravel(air.across)[0]) / AIR_PROBE**2,
        drag_per_square=float(np.ravel(air.drag)[0]) / AIR_PROBE**2,
        slope=float(p.slope),
        headwind=float(p.headwind),
    )


def _main_share(prepared: Prepared) -> float:
    """Share of the weight on the mains, level and at rest; all of it where the nose is light."""
    p = prepared.setup.parameters
    return 1.0 - min(max(nose_share(p, ground_attitude(p), 0.0), 0.0), 1.0)


def wheel_of(prepared: Prepared) -> float:
    """One diameter for both axles' wheels [m]."""
    p = prepared.setup.parameters
    sizes = 2.0 * p.main_radius, 2.0 * p.nose_radius
    return common_diameter(*sizes, _main_share(prepared))


def on_course(roller: Roller, course: Course, mass: float | None) -> Roller:
    """The same on the way one reading was taken."""
    own, wind = course.slope, course.headwind
    return replace(
        roller,
        mass=roller.mass if mass is None else mass,
        slope=course.sense * roller.slope if own is None else math.atan(own),
        headwind=course.sense * roller.headwind if wind is None else wind,
    )


def fit_grip(prepared: Prepared, readings: Sequence[Reading]) -> GripFit:
    """Rolling resistance of the strip under this aeroplane's wheels.

    Parameters
    ----------
    prepared
        the aeroplane, strip and air the readings were taken with.
    readings
        one or more, of any kinds.

    Raises
    ------
    MeasurementError
        With every reading that no rolling resistance explains.

    """
    roller = roller_of(prepared)
    reduced = _reduce_all(readings, roller)
    shares = np.array([r.main_share for r, _ in reduced])
    own = tuple(m for _, m in reduced)
    design, apart, sloped = _design(readings, [r for r, _ in reduced], shares)
    values, covariance, chi_square = least_squares(design, own)
    freedom = len(own) - design.shape[1]
    enlarged = enlargement(chi_square, freedom)
    whole = np.zeros(design.shape[1])
    whole[: 1 + apart] = [roller.main_share, 1.0 - roller.main_share] if apart else [1.0]
    inner = math.sqrt(whole @ covariance @ whole)
    spread = enlarged * np.sqrt(np.diag(covariance))
    each = [Measured(float(v), float(s)) for v, s in zip(values, spread, strict=True)]
    fitted = design @ values
    names = [KINDS[type(r)].name for r in readings]
    return GripFit(
        resistance=Measured(float(whole @ values), enlarged * inner),
        main=each[0] if apart else None,
        nose=each[1] if apart else None,
        slope=each[-1] if sloped else None,
        reading_deviation=inner,
        scatter=scatter_about(names, own, fitted, freedom),
        chi_square=chi_square,
        freedom=freedom,
        agreement=agreement_of(chi_square, freedom),
        readings=tuple(
            FittedReading(r.label, name, m, float(f))
            for r, name, m, f in zip(readings, names, own, fitted, strict=True)
        ),
        measured_with=wheel_of(prepared),
    )


def _reduce_all(readings: Sequence[Reading], roller: Roller) -> list[tuple[Reduced, Measured]]:
    """Every reading as a rolling resistance, or everything impossible at once."""
    done, problems = [], []
    for reading in readings:
        laid = on_course(roller, reading.course, getattr(reading, "mass", None))
        try:
            reduced = KINDS[type(reading)].reduce(reading, laid)
            own = Measured(reduced.value(), reduced.deviation())
            _check_possible(own)
            done.append((reduced, own))
        except ImpossibleReading as wrong:
            problems.append(_problem(reading.label, wrong))
    if problems:
        raise MeasurementError(problems)
    return done


def _check_possible(own: Measured) -> None:
    """Below nothing by more than its uncertainty, or beyond any ground, is no resistance."""
    if own.value < -2.0 * own.deviation:
        raise ImpossibleReading("", "a reading that slope, wind and drag leave some resistance to")
    if own.value > LARGEST:
        raise ImpossibleReading("", f"a reading of less than {LARGEST:g} times its load")


def _problem(label: Label, wrong: ImpossibleReading) -> Problem:
    gap = " " if label.name.startswith("row") else "."
    key = f"{label.name}{gap}{wrong.name}" if wrong.name else label.name
    given = label.parts.get(wrong.name) or ", ".join(f"{k} {v}" for k, v in label.parts.items())
    return Problem(key, given, wrong.allowed, line=label.line)


def _design(
    readings: Sequence[Reading], reduced: Sequence[Reduced], shares: Array
) -> tuple[Array, bool, bool]:
    """Matrix of the law, shape (readings, unknowns); whether axles and slope are among them."""
    told = shares[[r.loads_told for r in reduced]]
    apart = bool(told.size >= 2 and np.ptp(told) >= LEAST_SHARE_SPREAD)
    columns = [shares, 1.0 - shares] if apart else [np.ones(shares.size)]
    sense = np.array([0.0 if r.course.slope is not None else r.course.sense for r in readings])
    both = sense.min() < 0.0 < sense.max()
    whole = np.column_stack([*columns, sense])
    # loads that change with the direction cannot tell a slope from an axle
    sloped = bool(both and np.linalg.matrix_rank(whole) == whole.shape[1])
    return whole if sloped else np.column_stack(columns), apart, sloped


def least_squares(design: Array, own: Sequence[Measured]) -> tuple[Array, Array, float]:
    """Weighted linear least squares: unknowns, their covariance, sum of squared residuals.

    Parameters
    ----------
    design
        shape (readings, unknowns), of full rank.
    own
        what each row should give.

    """
    weight = np.array([1.0 / m.deviation for m in own])
    rows = design * weight[:, None]
    right = np.array([m.value for m in own]) * weight
    values = np.linalg.lstsq(rows, right, rcond=None)[0]
    covariance = np.linalg.pinv(rows.T @ rows)
    return values, covariance, float(np.sum((right - rows @ values) ** 2))


def scatter_about(
    names: Sequence[str], own: Sequence[Measured], fitted: Array, freedom: int
) -> dict[str, float]:
    """Standard deviation of single readings about the fit for each kind read twice or more.

    What the unknowns took up is shared out evenly over the readings.
    """
    if freedom < 1:
        return {}
    gaps = np.array([m.value for m in own]) - fitted
    found = {}
    for name in dict.fromkeys(names):
        mine = gaps[[other == name for other in names]]
        if mine.size > 1:
            found[name] = math.sqrt(float(mine @ mine) / mine.size * gaps.size / freedom)
    return found


def enlargement(chi_square: float, freedom: int) -> float:
    """What scatter beyond the readings' own uncertainty multiplies the result's by, never below 1.

    `t sqrt(chi^2/f)` [-] with t Student's factor for 68 % of f readings to spare; 100 for 3 gives
    6.91. Common practice of combining measurements (Birge's ratio), Student's t from memory.
    """
    if freedom < 1 or chi_square <= freedom:
        return 1.0
    return float(stdtrit(freedom, ONE_SIDED)) * math.sqrt(chi_square / freedom)


def agreement_of(chi_square: float, freedom: int) -> Agreement:
    """What the sum of squared residuals says: rarer than 1 in 20, than 1 in 1000, or usual."""
    if freedom < 1:
        return Agreement.UNCHECKED
    chance = float(gammaincc(0.5 * freedom, 0.5 * chi_square))
    if chance < 0.001:
        return Agreement.CONTRADICT
    return Agreement.SCATTER if chance < 0.05 else Agreement.AGREE


def written_range(fit: GripFit) -> tuple[float, float, float]:
    """Low, typical, high for a scenario: two standard deviations either way, within 0 to 2."""
    typical, reach = fit.resistance.value, 2.0 * fit.resistance.deviation
    low, middle, high = (
        min(max(v, 0.0), LARGEST) for v in (typical - reach, typical, typical + reach)
    )
    return low, middle, high
