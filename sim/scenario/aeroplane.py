"""The aeroplane: mass, CG, gear, and one of the two roads to its aerodynamics."""

from typing import Annotated

from sim.scenario.coefficients import Coefficients
from sim.scenario.fields import Note, Part, Quantity
from sim.scenario.limits import Limits
from sim.scenario.surfaces import Point, Tail, Wing


class Body(Part):
    """Fuselage at its thickest."""

    width: Annotated[float, Quantity("length", "5 mm", "10 m", "Largest width.")]
    depth: Annotated[float, Quantity("length", "5 mm", "10 m", "Largest depth.")]


class CentreOfGravity(Part):
    """Balance point, ready for take-off."""

    station: Annotated[
        float | None,
        Quantity(
            "length", "-100 m", "100 m", "Aft of the datum for stations; or give weighing instead."
        ),
    ] = None
    height: Annotated[
        float | None,
        Quantity(
            "length",
            "-20 m",
            "20 m",
            "Height above the level datum, from weighing tilted.",
            "estimated from the layout",
        ),
    ] = None


class Swing(Part):
    """Two-string swing: hung on its side by two equal strings, turned and let go."""

    mass: Annotated[
        float | None,
        Quantity(
            "mass",
            "5 g",
            "200000 kg",
            "Mass hung up, if not as for take-off.",
            "taken as the mass of the aeroplane",
        ),
    ] = None
    string_separation: Annotated[
        float, Quantity("length", "10 mm", "20 m", "Distance between the strings.")
    ]
    string_length: Annotated[float, Quantity("length", "10 mm", "50 m", "Length of each string.")]
    period: Annotated[float, Quantity("time", "0.1 s", "100 s", "Time of one full swing.")]


class MainWheels(Part):
    """The main wheels, both alike."""

    station: Annotated[
        float, Quantity("length", "-100 m", "100 m", "Axle, aft of the datum for stations.")
    ]
    axle_height: Annotated[
        float, Quantity("length", "-20 m", "20 m", "Axle, legs as loaded, above the level datum.")
    ]
    wheel_diameter: Annotated[float, Quantity("length", "5 mm", "3 m", "Diameter.")]
    wheel_width: Annotated[
        float | None,
        Quantity("length", "1 mm", "1 m", "Width of the tyre.", "taken in proportion"),
    ] = None
    track: Annotated[
        float | None,
        Quantity(
            "length",
            "10 mm",
            "30 m",
            "Left to right wheel, middle to middle.",
            "the overturn angle is not worked out",
        ),
    ] = None


class NoseWheel(Part):
    """The nose wheel."""

    station: Annotated[
        float, Quantity("length", "-100 m", "100 m", "Axle, aft of the datum for stations.")
    ]
    axle_height: Annotated[
        float | None,
        Quantity("length", "-20 m", "20 m", "Axle above the level datum, or give ground_attitude."),
    ] = None
    wheel_diameter: Annotated[float, Quantity("length", "5 mm", "3 m", "Diameter.")]
    wheel_width: Annotated[
        float | None,
        Quantity("length", "1 mm", "1 m", "Width of the tyre.", "taken in proportion"),
    ] = None


class Gear(Part):
    """The undercarriage."""

    main: Annotated[MainWheels, Note("Main wheels.")]
    nose: Annotated[NoseWheel, Note("Nose wheel.")]
    ground_attitude: Annotated[
        float | None,
        Quantity(
            "angle",
            "-20 deg",
            "20 deg",
            "Reference line to the ground on its wheels, nose up; instead of the nose axle height.",
        ),
    ] = None


class TiltedWeighing(Part):
    """The nose raised, the mains level as before: gives the height of the CG."""

    angle: Annotated[float, Quantity("angle", "3 deg", "45 deg", "Reference line, nose up.")]
    nose: Annotated[float, Quantity("mass", "0.1 g", "200000 kg", "Nose scale, nose raised.")]


class Weighing(Part):
    """Scales under the wheels, the reference line level, ready for take-off."""

    nose: Annotated[float, Quantity("mass", "0.1 g", "200000 kg", "Nose scale.")]
    mains: Annotated[
        float | None,
        Quantity("mass", "0.1 g", "200000 kg", "Both main wheels, or give left and right."),
    ] = None
    main_left: Annotated[
        float | None, Quantity("mass", "0.1 g", "200000 kg", "Left main wheel.")
    ] = None
    main_right: Annotated[
        float | None, Quantity("mass", "0.1 g", "200000 kg", "Right main wheel.")
    ] = None
    tilted: Annotated[
        TiltedWeighing | None, Note("Weighed again with the nose raised, for the CG's height.")
    ] = None
    gear: Annotated[
        Gear | None, Note("The undercarriage it was weighed on, when another is fitted now.")
    ] = None


class MeasuredDrag(Part):
    """Drag known better than the estimate."""

    zero_lift: Annotated[
        float,
        Quantity(
            "bare",
            "0.001",
            "1",
            "Drag coefficient without lift, flaps up, gear down, on the wing area.",
        ),
    ]


class Aeroplane(Part):
    """The aeroplane as it stands on the strip."""

    mass: Annotated[
        float | None,
        Quantity("mass", "5 g", "200000 kg", "Ready for take-off; or give weighing instead."),
    ] = None
    cg: Annotated[CentreOfGravity, Note("Balance point.")] = CentreOfGravity()
    weighing: Annotated[
        Weighing | None, Note("Wheels on scales, instead of mass and station of the CG.")
    ] = None
    gear: Annotated[Gear, Note("Undercarriage.")]
    length: Annotated[
        float | None, Quantity("length", "50 mm", "100 m", "Nose to the end of the fuselage.")
    ] = None
    body: Annotated[Body | None, Note("Fuselage at its thickest.")] = None
    scrape_point: Annotated[
        Point | None, Note("What touches first when it over-rotates.", "nothing can scrape")
    ] = None
    scraping_friction: Annotated[
        float | None,
        Quantity(
            "bare",
            "0",
            "2",
            "Friction coefficient of the scrape point.",
            "a typical value",
        ),
    ] = None
    pitch_inertia: Annotated[
        float | None,
        Quantity(
            "inertia",
            "1e-6 kg*m^2",
            "1e9 kg*m^2",
            "Moment of inertia in pitch about the CG.",
            "estimated from mass and size",
            ("swing",),
        ),
    ] = None
    swing: Annotated[Swing | None, Note("Two-string swing that gives the inertia.")] = None
    drag: Annotated[
        MeasuredDrag | None,
        Note("Measured drag.", "zero-lift drag is estimated part by part", ("coefficients",)),
    ] = None
    wing: Annotated[Wing | None, Note("Wing.")] = None
    tail: Annotated[Tail | None, Note("Horizontal tail.")] = None
    coefficients: Annotated[
        Coefficients | None, Note("Given coefficients, instead of wing and tail.")
    ] = None
    limits: Annotated[Limits | None, Note("What its parts stand, read by check alone.")] = None
