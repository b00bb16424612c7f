"""Full-size handling figures brought down to the span of a model.

Dynamic (Froude) scaling: the same gravity and, at matched lift coefficient, the same load
factors on an aeroplane `n` times smaller. Lengths go with 1/n, times with 1/sqrt(n), so
angles per time with sqrt(n) and angles per time squared with n: a 1 m model that handles like
an 11 m aeroplane pitches 11 times as sharply. Gives a figure to stand beside a result, not a
limit.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class FullSizeFigure:
    """Typical full-size handling of one class of aeroplanes.

    Attributes
    ----------
    name: class of aeroplane.
    low, high: pitch acceleration as it rotates at take-off [deg/s2].
    span: reference span, an assumption of this project, not of the source [m].
    source, mark: where the range comes from and how it was seen.

    """

    name: str
    low: float
    high: float
    span: float
    source: str
    mark: str


@dataclass(frozen=True)
class ScaledFigure:
    """A full-size range at model span [deg/s2], with the assumption it rests on."""

    name: str
    low: float
    high: float
    note: str


_SADRAEY = "Sadraey, Aircraft Design: A Systems Engineering Approach, ch. 12"
PITCH_ACCELERATIONS = (
    FullSizeFigure("transports", 4.0, 8.0, 35.0, _SADRAEY, "from memory"),
    FullSizeFigure("light aircraft", 8.0, 12.0, 11.0, _SADRAEY, "from memory"),
    FullSizeFigure("fighters", 10.0, 20.0, 10.0, _SADRAEY, "from memory"),
)
"""Typical take-off pitch accelerations of full-size aeroplanes, with assumed spans."""


def scaled_acceleration(value: float, full_span: float, model_span: float) -> float:
    """Angular acceleration at model span, same unit as given.

    `a_m = a_f b_f/b_m` [spans in m], for geometrically similar aeroplanes; 8 deg/s2 at 11 m
    gives 88 deg/s2 at 1 m. Froude scaling (Wolowicz, Bowman & Gilbert, NASA TP-1435, 1979;
    title page read, the rule from memory).

    Raises
    ------
    ValueError
        For a span that is not positive.

    """
    return value * _ratio(full_span, model_span)


def scaled_rate(value: float, full_span: float, model_span: float) -> float:
    """Angular rate at model span, same unit as given.

    `q_m = q_f sqrt(b_f/b_m)` [spans in m], for geometrically similar aeroplanes; 3 deg/s at
    36 m gives 18 deg/s at 1 m. Froude scaling (as `scaled_acceleration`).

    Raises
    ------
    ValueError
        For a span that is not positive.

    """
    return float(value * _ratio(full_span, model_span) ** 0.5)


def model_pitch_accelerations(model_span: float) -> tuple[ScaledFigure, ...]:
    """Typical take-off pitch accelerations at a model's span [m -> deg/s2], one per class."""
    return tuple(
        ScaledFigure(
            figure.name,
            scaled_acceleration(figure.low, figure.span, model_span),
            scaled_acceleration(figure.high, figure.span, model_span),
            f"full size {figure.low:g}-{figure.high:g} deg/s2 ({figure.source}; {figure.mark}),"
            f" scaled with 1/span from an assumed {figure.span:g} m",
        )
        for figure in PITCH_ACCELERATIONS
    )


def _ratio(full_span: float, model_span: float) -> float:
    if not (full_span > 0.0 and model_span > 0.0):
        raise ValueError("spans must be positive")
    return full_span / model_span
