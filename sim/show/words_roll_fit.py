"""Plain words for keys fitted to measured rolls: what the rolls tell, and what they cannot."""

from collections.abc import Iterator
from math import floor, isfinite, log10, sqrt

from sim.scenario.measured_rolls import SEEN
from sim.scenario.measurements import ENTRIES
from sim.scenario.roll_files import LOG_DEVIATION
from sim.show.units import number_text, quantity
from sim.show.words_fit import FINE
from sim.strip.reading import Measured
from sim.study.fit import OUTLIER, Agreement
from sim.study.fit_rolls import DETERMINABLE, TOLD_APART, FittedKey, FittedNumber, RollFit
from sim.study.least_squares import FARTHEST
from sim.study.priors import GRIP, RESISTANCE, Prior

AGREEMENTS: dict[Agreement, str] = {
    Agreement.UNCHECKED: "A single number checks nothing: measure more of the roll, or more rolls.",
    Agreement.AGREE: "The rolls agree with the simulated ones within their uncertainties.",
    Agreement.SCATTER: (
        "The rolls scatter more than their uncertainties explain (it would happen by chance less"
        " than once in 20 times); the uncertainties are enlarged to the scatter."
    ),
    Agreement.CONTRADICT: (
        "The rolls contradict the simulated ones, or each other (by chance less than once in 1000"
        " times): something was otherwise on the day, or another key is wrong. The uncertainties"
        " are enlarged to the scatter; they do not cover that."
    ),
}
TELLS: dict[str, str] = {
    RESISTANCE: "tow tests in the same file",
    "power.static_thrust": 'static thrust on a scale, as --key "power.static_thrust=VALUE +/- ..."',
    "power.bench.thrust": 'the bench read again, as --key "power.bench.thrust=VALUE +/- ..."',
    "aeroplane.drag.zero_lift": "a speed log of a long roll: drag counts when it is fast",
    "aeroplane.wing.section.max_lift": "the speed at lift-off, from a video or a log",
    "aeroplane.tail.effectiveness": "rolls with the pull at several places",
    "aeroplane.mass": "scales",
}
"""Key -> the measurement that tells it apart from others."""
LOG_TELLS = "a speed log of the whole roll"
FAR = 2.5
"""Standard deviations of the prior from which a fitted value is pointed out."""
SYSTEMS = {"si": "metric", "imperial": "imperial"}
KINDS = {"distance": "distance", "time": "time", "ground_speed": "speed"}


def seen_kind(name: str) -> str:
    """Kind of quantity, of `sim.show.units`, of a number of a roll."""
    return KINDS[SEEN[name].column] if name in SEEN else "speed"


def key_value(prior: Prior, value: Measured, system: str = "si") -> str:
    """A key's value and uncertainty with two figures of it, such as "20.92 +/- 0.38 N"."""
    one = prior.knob.display(value.value, SYSTEMS[system])
    other = prior.knob.display(value.value + value.deviation, SYSTEMS[system])
    spread = abs(other.value - one.value)
    decimals = figures(spread)
    text = f"{number_text(one.value, decimals)} +/- {number_text(spread, decimals)} {one.unit}"
    return text.strip()


def figures(spread: float) -> int:
    """Decimals that show two figures of an uncertainty."""
    return max(0, 1 - floor(log10(spread))) if spread > 0.0 and isfinite(spread) else 3


def told_text(key: FittedKey) -> str:
    """Whether the rolls tell a key."""
    return "clearly" if key.determinable else "hardly"


def pair_texts(fit: RollFit) -> Iterator[str]:
    """Warnings of keys the rolls cannot tell apart, with the measurement that would."""
    logged = any(roll.log for roll in fit.rolls)
    for one, other, correlation in fit.not_told_apart():
        names = [key.prior.knob.key for key in (one, other)]
        towed = [key.prior.knob.key for key in (one, other) if key.prior.text == GRIP]
        ways = [TELLS[name] for name in names if name in TELLS and name not in towed]
        ways += [] if logged else [LOG_TELLS]
        same = "more" if correlation > 0.0 else "less"
        text = (
            f"{names[0]} and {names[1]} are not told apart (correlation {correlation:.2f}): more of"
            f" one with {same} of the other gives nearly the same rolls."
        )
        yield f"{text} What would tell: {'; '.join(ways)}." if ways else text


def caution_texts(fit: RollFit) -> Iterator[str]:
    """What else should be known before the values are believed."""
    for key in fit.keys:
        off = (key.value.value - key.prior.believed.value) / key.prior.believed.deviation
        if abs(off) > FARTHEST - 0.01:
            yield (
                f"{key.prior.knob.key} went as far as a fit lets it, {FARTHEST:g} standard"
                " deviations from what was believed: something else is wrong."
            )
        elif abs(off) > FAR:
            yield (
                f"{key.prior.knob.key} came out {abs(off):.1f} standard deviations from what was"
                " believed: perhaps something else is wrong and this key makes up for it."
            )
    if not fit.settled:
        yield "The search did not settle: take the values as a beginning, not as a result."


def agreement_text(fit: RollFit) -> str:
    """Whether the rolls can be believed, with the figures behind it."""
    text = AGREEMENTS[fit.agreement]
    if fit.freedom > 1:
        text += f" Squared residuals {fit.chi_square:.1f}, about {fit.freedom} expected."
    odd = [place_text(fit, number) for number in fit.numbers if is_odd(number)]
    return f"{text} Look at {', '.join(odd)}." if odd else text


def is_odd(number: FittedNumber) -> bool:
    """Whether a number lies too far from the fit to be chance."""
    return abs(number.residual) > OUTLIER


def place_text(fit: RollFit, number: FittedNumber) -> str:
    """Which number it is, such as "roll[2] lift off time"."""
    wanted = number.wanted
    name = fit.rolls[wanted.roll].label.name
    at = f" at {wanted.time:.1f} s" if wanted.name not in SEEN else ""
    return f"{name} {wanted.name.replace('_', ' ')}{at}"


def log_text(numbers: tuple[FittedNumber, ...], system: str = "si") -> str:
    """How a log of speeds lies about the fit."""
    before, fitted = (
        sqrt(sum((n.wanted.measured.value - getattr(n, w)) ** 2 for n in numbers) / len(numbers))
        for w in ("before", "fitted")
    )
    worst = max(numbers, key=lambda n: abs(n.residual))
    first, second = (quantity(v, "speed", system, 2) for v in (before, fitted))
    return (
        f"{len(numbers)} speeds of the log: {first} off on average as believed, {second} as fitted;"
        f" farthest {worst.residual:.1f} standard deviations, at {worst.wanted.time:.1f} s"
    )


def correlation_texts(fit: RollFit) -> Iterator[str]:
    """Each pair of keys and its correlation."""
    names = [key.prior.knob.key for key in fit.keys]
    for i, one in enumerate(names):
        for j in range(i + 1, len(names)):
            yield f"{one} with {names[j]}: {number_text(float(fit.correlation[i, j]), 2)}"


def assumption_texts(fit: RollFit, system: str = "si") -> Iterator[str]:
    """What the result rests on."""
    yield "Errors, and what was believed before, are taken as normally distributed."
    for key in fit.keys:
        yield f"Believed of {key.prior.knob.key} before: {key.prior.text}."
    yield (
        f"Told clearly: uncertain by less than {DETERMINABLE:g} of what it was before. Not told"
        f" apart: a correlation beyond {TOLD_APART:g} either way. Both limits are judgements."
    )
    yield (
        "Every roll was flown as the scenario's pilot flies: the same hold, pull and reaction,"
        " pulled where the roll says."
    )
    yield "Nose up, as it was seen, means that the nose wheel leaves the ground."
    if any(key.prior.knob.key == RESISTANCE for key in fit.keys):
        size = quantity(fit.measured_with, "length", system, FINE[system])
        yield f"The rolling resistance holds for wheels of {size}; others by the size law."
    yield (
        "An error that all rolls share, such as wind that was taken for calm, does not show in"
        " them: the keys make up for it."
    )
    if any(roll.log for roll in fit.rolls):
        yield (
            "Speeds of a log are taken to err each by itself; neighbours err together, so a fit to"
            " a log is surer of itself than it should be. A lift_off_time read off the log counts"
            " twice."
        )
    yield not_given_text(system)


def not_given_text(system: str = "si") -> str:
    """The uncertainties taken where none is given."""
    place, clock, speed = (ENTRIES[f"lift_off_{what}"] for what in ("distance", "time", "speed"))
    log = quantity(LOG_DEVIATION, "speed", system)
    return (
        f"Uncertainties not given: paces and eyes {quantity(place.least, 'distance', system)} or"
        f" {100.0 * place.share:g} %, clock {quantity(clock.least, 'time', system, 1)}, speed"
        f" {100.0 * speed.share:g} %, each speed of a log {log}; judgements."
    )
