"""The power system: thrust as measured, an ideal ducted fan, a propeller, or electric parts."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from sim.scenario.electric import Battery, Bench, Controller, Fan, Motor
from sim.scenario.fields import Note, Part, Quantity, custom_error
from sim.scenario.propeller import Propeller

MOST_POINTS = 200
COMMON_KEYS = ("kind", "spool_time", "power_at_start", "thrust_line")
KIND_KEYS = {
    "measured": (
        "static_thrust",
        "zero_thrust_airspeed",
        "fall_off",
        "exit_diameter",
        "points",
    ),
    "ducted-fan": ("exit_diameter", "static_thrust", "jet_power"),
    "propeller": (
        "propeller",
        "static_thrust",
        "rotation",
        "shaft_power",
        "constant",
        "read_with",
    ),
    "electric": ("battery", "controller", "motor", "fan", "propeller", "bench"),
}
"""Keys each kind takes beside the common ones."""


class ThrustPoint(Part):
    """One reading."""

    airspeed: Annotated[float, Quantity("speed", "0 m/s", "400 m/s", "Airspeed.")]
    thrust: Annotated[float, Quantity("force", "-1000 kN", "1000 kN", "Thrust there.")]


class ThrustLine(Part):
    """Where thrust acts."""

    height: Annotated[
        float, Quantity("length", "-20 m", "20 m", "Above the level datum, at the CG's station.")
    ]
    tilt: Annotated[
        float,
        Quantity("angle", "-30 deg", "30 deg", "Pushing up positive.", "taken as 0 deg"),
    ] = 0.0


def _points(given: Any) -> Any:
    if not isinstance(given, list | tuple) or not 2 <= len(given) <= MOST_POINTS:
        raise custom_error(
            f'a list of 2 to {MOST_POINTS} points such as {{ airspeed = "0 m/s", thrust = "24 N" }}'
        )
    return tuple(given)


class Power(Part):
    """The power system; which keys it takes depends on its kind."""

    kind: Annotated[
        Literal["measured", "ducted-fan", "propeller", "electric"],
        Note(
            "Measured on a scale, worked out for an ideal ducted fan or a propeller on a shaft, or"
            " predicted from battery, motor and rotor."
        ),
    ]
    static_thrust: Annotated[
        float | None, Quantity("force", "0.01 N", "1000 kN", "Thrust at rest, full throttle.")
    ] = None
    zero_thrust_airspeed: Annotated[
        float | None,
        Quantity("speed", "1 m/s", "1000 m/s", "Airspeed at which no thrust is left."),
    ] = None
    fall_off: Annotated[
        Literal["linear", "quadratic", "constant"] | None,
        Note("How thrust falls with airspeed."),
    ] = None
    exit_diameter: Annotated[
        float | None,
        Quantity(
            "length",
            "5 mm",
            "3 m",
            "Of the nozzle; gives the zero-thrust airspeed when that is not known.",
        ),
    ] = None
    points: Annotated[
        tuple[ThrustPoint, ...] | None,
        BeforeValidator(_points),
        Field(json_schema_extra={"minItems": 2, "maxItems": MOST_POINTS}),
        Note("Thrust measured at several airspeeds."),
    ] = None
    jet_power: Annotated[
        float | None, Quantity("power", "1 W", "100000 kW", "Power left in the jet at rest.")
    ] = None
    propeller: Annotated[Propeller | None, Note("The propeller that is fitted.")] = None
    rotation: Annotated[
        float | None,
        Quantity("rotation", "100 rpm", "500000 rpm", "Of the propeller, full throttle."),
    ] = None
    shaft_power: Annotated[
        float | None, Quantity("power", "1 W", "10000 kW", "At the propeller, full throttle.")
    ] = None
    constant: Annotated[
        Literal["rotation", "shaft power"] | None,
        Note(
            "What stays the same as airspeed grows, when both are known.",
            "rotation, the cautious one",
        ),
    ] = None
    read_with: Annotated[
        Propeller | None,
        Note("The propeller static_thrust was read with, when another is fitted now."),
    ] = None
    battery: Annotated[Battery | None, Note("The pack.")] = None
    controller: Annotated[Controller | None, Note("The speed controller.")] = None
    motor: Annotated[Motor | None, Note("The motor that is fitted.")] = None
    fan: Annotated[Fan | None, Note("The ducted fan that is fitted, or a propeller.")] = None
    bench: Annotated[
        Bench | None,
        Note(
            "A reading at rest on the bench. It belongs to the parts it was taken with: when a"
            " change, --set or an extending file replaces one, the old one is kept with it."
        ),
    ] = None
    spool_time: Annotated[
        float | None,
        Quantity(
            "time",
            "0 s",
            "30 s",
            "Time constant of spooling up; 0 s for thrust at once.",
            "taken as usual for a fan",
        ),
    ] = None
    power_at_start: Annotated[
        float,
        Quantity(
            "fraction",
            "0 %",
            "100 %",
            "Share of full thrust when the brakes or hands let go.",
            "taken as 0 %",
            also_bare=True,
        ),
    ] = 0.0
    thrust_line: Annotated[
        ThrustLine | None, Note("Line along which thrust acts.", "taken through the CG")
    ] = None

    @property
    def thrust_points(self) -> tuple[ThrustPoint, ...] | None:
        """The points, led by static thrust when they do not start at rest; None without points."""
        if self.points is None:
            return None
        if self.static_thrust is None or self.points[0].airspeed <= 0.0:
            return self.points
        return (_at_rest(self.static_thrust), *self.points)


def _at_rest(thrust: float) -> ThrustPoint:
    """A point of SI numbers, which a file could not give: they are already validated."""
    return ThrustPoint.model_construct(airspeed=0.0, thrust=thrust)
