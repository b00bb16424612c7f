"""Plain words for a fit of measurements: what the readings say of each other, how to measure."""

from sim.study.fit import OUTLIER, Agreement, FittedReading, GripFit

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

ASSUMED = (
    "An error that all readings share, such as a scale that reads wrong, does not show in them.",
    "Uncertainties not given: spring scale 2 % or 0.1 N, weighing 1 % or 0.05 N, tape 0.1 m,"
    " stopwatch 0.1 s, speed 5 %; one standard deviation each.",
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


def assumption_texts(fit: GripFit) -> tuple[str, ...]:
    """What the result rests on."""
    coasted = any(r.kind == "coast-down" for r in fit.readings)
    wheel = f"It holds for wheels of {1000 * fit.measured_with:.1f} mm, as on this aeroplane"
    note = f"{wheel}, one size for both axles; other wheels are scaled by the size law."
    return (note, *ASSUMED, *((AIR,) if coasted else ()), *((SHARED,) if fit.main else ()))
