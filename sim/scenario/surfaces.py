"""Wing, flaps, tail and their sections, as a tape measure finds them."""

from typing import Annotated, Literal

from sim.scenario.fields import Note, Part, Quantity

SectionName = Literal["flat foam", "symmetrical", "semi-symmetrical", "cambered"]


class Point(Part):
    """A point on the aeroplane."""

    station: Annotated[
        float, Quantity("length", "-100 m", "100 m", "Distance aft of the datum for stations.")
    ]
    height: Annotated[
        float, Quantity("length", "-20 m", "20 m", "Height above the level datum for heights.")
    ]


class StationOnly(Part):
    """A place along the aeroplane."""

    station: Annotated[
        float, Quantity("length", "-100 m", "100 m", "Distance aft of the datum for stations.")
    ]


class Throw(Part):
    """How far the elevator or the all-moving tail goes."""

    up: Annotated[float, Quantity("angle", "0 deg", "45 deg", "Trailing edge up, nose up.")]
    down: Annotated[float, Quantity("angle", "0 deg", "45 deg", "Trailing edge down.")]


class Section(Part):
    """An aerofoil section. Numbers given beside a name replace what the name stands for."""

    name: Annotated[
        SectionName | None,
        Note("The section in plain words.", "taken as symmetrical", ("camber", "zero_lift_angle")),
    ] = None
    thickness: Annotated[
        float | None,
        Quantity("fraction", "0.5 %", "30 %", "Thickness of the chord.", "by the section's name"),
    ] = None
    camber: Annotated[
        float | None, Quantity("fraction", "-12 %", "12 %", "Largest height of the mean line.")
    ] = None
    camber_position: Annotated[
        float | None, Quantity("fraction", "5 %", "95 %", "Where the mean line is highest.")
    ] = None
    zero_lift_angle: Annotated[
        float | None,
        Quantity("angle", "-15 deg", "15 deg", "Incidence of zero lift, measured or published."),
    ] = None
    moment: Annotated[
        float | None,
        Quantity("bare", "-0.5", "0.5", "Moment coefficient about the quarter chord, nose up."),
    ] = None
    max_lift: Annotated[
        float | None,
        Quantity(
            "bare",
            "0.1",
            "3.5",
            "Largest lift coefficient of the section itself.",
            "estimated from the section: a large uncertainty",
            ("surface_max_lift",),
        ),
    ] = None
    surface_max_lift: Annotated[
        float | None,
        Quantity("bare", "0.1", "3.5", "Largest lift coefficient of the whole surface."),
    ] = None


class Flaps(Part):
    """Flaps on both sides of the wing."""

    kind: Annotated[Literal["plain", "split", "slotted"], Note("Kind of flap.")]
    inboard: Annotated[
        float, Quantity("length", "0 mm", "20 m", "Inner end, measured from the centreline.")
    ]
    outboard: Annotated[
        float, Quantity("length", "1 mm", "20 m", "Outer end, measured from the centreline.")
    ]
    chord_fraction: Annotated[float, Quantity("bare", "0.05", "0.6", "Flap chord over wing chord.")]
    deflection: Annotated[
        float,
        Quantity(
            "angle",
            "-20 deg",
            "80 deg",
            "Deflection at the start, trailing edge down.",
            "taken as 0 deg",
        ),
    ] = 0.0
    travel_time: Annotated[
        float | None,
        Quantity(
            "time",
            "0 s",
            "20 s",
            "Time for flaps dropped in the roll to travel.",
            "taken from the servo's usual speed",
        ),
    ] = None


class Surface(Part):
    """What wing and tail have in common."""

    span: Annotated[float, Quantity("length", "20 mm", "40 m", "Tip to tip.")]
    root_chord: Annotated[
        float, Quantity("length", "5 mm", "20 m", "Chord on the centreline, through the body.")
    ]
    tip_chord: Annotated[float, Quantity("length", "1 mm", "20 m", "Chord at the tip.")]
    sweep: Annotated[float, Quantity("angle", "-60 deg", "75 deg", "Of the leading edge, aft.")]
    root_leading_edge: Annotated[Point, Note("Leading edge on the centreline.")]
    incidence: Annotated[
        float,
        Quantity(
            "angle",
            "-15 deg",
            "15 deg",
            "Root chord to reference line, nose up.",
            "taken as 0 deg",
        ),
    ] = 0.0
    section: Annotated[
        Section | None, Note("Section.", "taken as symmetrical, its limits estimated")
    ] = None


class Wing(Surface):
    """The wing."""

    washout: Annotated[
        float,
        Quantity("angle", "-15 deg", "15 deg", "Tip twisted nose down.", "taken as 0 deg"),
    ] = 0.0
    dihedral: Annotated[
        float, Quantity("angle", "-30 deg", "30 deg", "Tips up.", "taken as 0 deg")
    ] = 0.0
    flaps: Annotated[Flaps | None, Note("Flaps; leave out when there are none.")] = None


class Tail(Surface):
    """The horizontal tail."""

    kind: Annotated[
        Literal["all-moving", "hinged"], Note("All-moving, or fixed with a hinged elevator.")
    ]
    throw: Annotated[Throw, Note("Throws of the elevator, or of the whole tail.")]
    pivot: Annotated[
        StationOnly | None, Note("Pivot of an all-moving tail, for the servo's load.")
    ] = None
    elevator_chord_fraction: Annotated[
        float | None,
        Quantity("bare", "0.05", "0.8", "Elevator chord over tail chord, when hinged."),
    ] = None
    throw_rate: Annotated[
        float | None,
        Quantity(
            "turn_rate",
            "5 deg/s",
            "2000 deg/s",
            "How fast the servo moves it.",
            "taken from the usual speed of a servo",
        ),
    ] = None
    flap_mix: Annotated[
        float,
        Quantity("bare", "-1", "1", "Degrees of elevator, up positive, per degree of flap."),
    ] = 0.0
    twist_per_newton: Annotated[
        float,
        Quantity(
            "twist",
            "0 deg/N",
            "5 deg/N",
            "Incidence the tail gives way by, per load.",
            "taken as stiff",
        ),
    ] = 0.0
    effectiveness: Annotated[
        float,
        Quantity(
            "bare",
            "0.3",
            "1.5",
            "What the elevator does, in shares of what is worked out; set by a fit.",
            "taken as 1",
        ),
    ] = 1.0
