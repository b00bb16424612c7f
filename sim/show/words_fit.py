"""Plain words for a fit of measurements: what the readings say of each other, how to measure."""

import re
from decimal import Decimal

from sim.scenario.measurements import ENTRIES
from sim.show.units import number_text, quantity
from sim.strip.reading import Measured
from sim.study.fit import OUTLIER, Agreement, FittedReading, GripFit

FINE = {"si": 1, "imperial": 2}
"""Decimals of a wheel in millimetres or inches."""

AGREEMENTS: dict[Agreement, str] = {
    Agreement.UNCHECKED: (
        "There are no more readings than unknowns, so nothing checks them: repeat the measurement."
    ),
    Agreement.AGREE: "The readings agree within their uncertainties.",
    Agreement.SCATTER: (
        "The readings scatter more than their uncertainties explain (it would happen by chance"
        " less than once in 20 times); the result's uncertainty is enlarged to the scatter."
    ),
    Agreement.CONTRADICT: (
        "The readings contradict each other (by chance less than once in 1000 times): the ground"
        " changed, or a reading is not what it says. The uncertainty is enlarged to the scatter."
    ),
}

ADVICE: dict[str, str] = {
    "tow test": (
        "Tow test: pull it along the ground at axle height, at a steady walk, and read the scale;"
        " both ways along the strip, three times each. Pack disconnected, everybody else clear."
    ),
    "coast-down": (
        "Coast-down: let it roll to a stop straight ahead, wheels free, power off: the idle thrust"
        " of a running fan falsifies it. Everybody clear of its path; never run after it."
    ),
}
"""How to measure, each with its caution."""

SHARED_ERROR = (
    "An error that all readings share, such as a scale that reads wrong, does not show in them."
)
AIR = (
    "Coast-downs include lift and drag at the ground attitude with the controls as held in the"
    " roll; the drag of a stopped fan is not in them."
)
SHARED = (
    "The tow tests bear on each axle by itself; a scenario holds one value for both, under the"
    " loads of this aeroplane."
)


def agreement_text(fit: GripFit) -> str:
    """Whether the readings can be believed together, with the figures behind it."""
    text = AGREEMENTS[fit.agreement]
    if fit.freedom:
        text += f" Squared residuals {fit.chi_square:.1f}, about {fit.freedom} expected."
    odd = [r.label.name for r in fit.readings if is_odd(r, fit)]
    return f"{text} Look at {', '.join(odd)}." if odd else text


def is_odd(reading: FittedReading, fit: GripFit) -> bool:
    """Whether a reading lies too far from the others to be chance."""
    return fit.freedom > 0 and abs(reading.residual) > OUTLIER


def assumption_texts(fit: GripFit, system: str = "si") -> tuple[str, ...]:
    """What the result rests on."""
    coasted = any(r.kind == "coast-down" for r in fit.readings)
    size = quantity(fit.measured_with, "length", system, FINE[system])
    note = (
        f"It holds for wheels of {size}, as on this aeroplane, one size for both axles; other"
        " wheels are scaled by the size law."
    )
    found = (note, SHARED_ERROR, not_given_text(system))
    return (*found, *((AIR,) if coasted else ()), *((SHARED,) if fit.main else ()))


def not_given_text(system: str = "si") -> str:
    """The uncertainties taken where none is given."""
    pull, load, tape, watch, speed = (
        ENTRIES[name] for name in ("pull", "load", "distance_to_stop", "time_to_stop", "speed")
    )
    fine = FINE[system] + 1
    least = [
        quantity(entry.least, kind, system, digits)
        for entry, kind, digits in (
            (pull, "force", fine), (load, "force", fine), (tape, "height", 1), (watch, "time", 1),
        )
    ]  # fmt: skip
    shares = [f"{100.0 * entry.share:g} %" for entry in (pull, load, speed)]
    return (
        f"Uncertainties not given: spring scale {shares[0]} or {least[0]}, weighing {shares[1]} or"
        f" {least[1]}, tape {least[2]}, stopwatch {least[3]}, speed {shares[2]}; one standard"
        " deviation each."
    )


SURE = 2.0
"""Standard deviations from nothing at which a slope is more than chance."""


def slope_known(fit: GripFit) -> bool:
    """Whether readings both ways tell a slope beyond chance."""
    return fit.slope is not None and abs(fit.slope.value) > SURE * fit.slope.deviation


def slope_text(extra: Measured) -> str:
    """The slope beyond the scenario's with its uncertainty, such as "0.56 +/- 0.25 %"."""
    value, spread = (number_text(100.0 * v, 2) for v in (extra.value, extra.deviation))
    return f"{value} +/- {spread} %"


AS_READ = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)([^0-9]*\+/- ?)([0-9]+(?:\.[0-9]+)?)")


def as_read(text: str) -> str:
    """What was read, value and uncertainty with as many decimals: 4 +/- 0.1 is 4.0 +/- 0.1."""

    def padded(found: re.Match[str]) -> str:
        value, sign, spread = found.groups()
        most = max(len(number.partition(".")[2]) for number in (value, spread))
        return f"{Decimal(value):.{most}f}{sign}{Decimal(spread):.{most}f}"

    return AS_READ.sub(padded, text)
