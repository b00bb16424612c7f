"""Aerodynamic coefficients given as numbers, instead of a wing and a tail to measure."""

from typing import Annotated

from sim.scenario.fields import Note, Part, Quantity
from sim.scenario.surfaces import Point, Throw

_AT_CG = "taken at the CG"


def _per_angle(description: str) -> Quantity:
    """A derivative by an angle: a plain number is per radian."""
    return Quantity("per_angle", "-30 1/rad", "30 1/rad", description, also_bare=True)


def _bare(low: str, high: str, description: str) -> Quantity:
    return Quantity("bare", low, high, description)


class Coefficients(Part):
    """Coefficients on the reference area and chord; moments about the lift point, nose up.

    Lift, drag and moment without the tail; the tail's own lift separately. What is left out
    is zero, except where it says otherwise.
    """

    reference_area: Annotated[
        float, Quantity("area", "1 dm^2", "1000 m^2", "Wing area all coefficients refer to.")
    ]
    reference_chord: Annotated[
        float, Quantity("length", "10 mm", "20 m", "Chord of moments and pitch rate.")
    ]
    lift_at_zero: Annotated[float, _bare("-3", "3", "Lift with the reference line level.")] = 0.0
    lift_slope: Annotated[float, _per_angle("Lift per incidence.")] = 0.0
    lift_per_flap: Annotated[float, _per_angle("Lift per flap angle.")] = 0.0
    max_lift: Annotated[float, _bare("0.1", "5", "Largest lift, flaps as at the start.")]
    max_lift_flaps_dropped: Annotated[
        float | None,
        Quantity(
            "bare", "0.1", "5", "The same with flaps dropped in the roll.", "taken as max_lift"
        ),
    ] = None
    moment_at_zero: Annotated[float, _bare("-2", "2", "Moment with the reference line level.")] = (
        0.0
    )
    moment_slope: Annotated[float, _per_angle("Moment per incidence.")] = 0.0
    moment_per_flap: Annotated[float, _per_angle("Moment per flap angle.")] = 0.0
    moment_per_pitch_rate: Annotated[
        float, _bare("-100", "100", "Moment per pitch rate times chord over twice the airspeed.")
    ] = 0.0
    lift_point: Annotated[Point | None, Note("Where lift acts.", _AT_CG)] = None
    drag_point: Annotated[Point | None, Note("Where drag acts.", _AT_CG)] = None
    tail_lift_at_zero: Annotated[
        float, _bare("-3", "3", "Tail lift, reference line level, on the reference area.")
    ] = 0.0
    tail_lift_slope: Annotated[float, _per_angle("Tail lift per incidence, downwash included.")] = (
        0.0
    )
    tail_lift_per_elevator: Annotated[
        float, _per_angle("Tail lift per elevator angle: negative, up elevator lowers it.")
    ] = 0.0
    tail_lift_per_pitch_rate: Annotated[
        float, _bare("-100", "100", "Tail lift per pitch rate times chord over twice the airspeed.")
    ] = 0.0
    tail_max_lift: Annotated[
        float | None,
        Quantity(
            "bare",
            "0.001",
            "3",
            "Largest tail lift either way, on the reference area.",
            "not limited",
        ),
    ] = None
    tail_point: Annotated[Point | None, Note("Where tail lift acts.")] = None
    drag_at_zero_lift: Annotated[
        float, _bare("0", "1", "Drag without lift; gear and flaps as at the start.")
    ] = 0.0
    induced_drag_factor: Annotated[float, _bare("0", "2", "Drag per lift squared.")] = 0.0
    ground_effect_factor: Annotated[
        float, _bare("0", "1", "Multiplies the drag that comes with lift.")
    ] = 1.0
    throw: Annotated[
        Throw | None, Note("Throws of the elevator.", "no elevator: 0 deg either way")
    ] = None
    throw_rate: Annotated[
        float | None,
        Quantity(
            "turn_rate",
            "5 deg/s",
            "2000 deg/s",
            "How fast the elevator moves.",
            "taken from the usual speed of a servo",
        ),
    ] = None
    flaps_deflection: Annotated[
        float, Quantity("angle", "-20 deg", "80 deg", "Flap angle at the start.")
    ] = 0.0
