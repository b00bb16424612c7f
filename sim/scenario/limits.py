"""What the parts stand, as far as the builder knows it: read by `check`, never by the roll."""

from typing import Annotated, Literal

from pydantic import model_validator

from sim.scenario.fields import Note, Part, Quantity, custom_error
from sim.scenario.whole import Whole

Material = Literal["carbon", "glass fibre", "aluminium", "spring steel", "spruce"]
HatchPlace = Literal["nose", "top", "side", "belly"]
RoughnessClass = Literal["A", "B", "C", "D", "E", "F", "G", "H"]


class Spar(Part):
    """What carries the bending of one half of the tail into the fuselage."""

    shape: Annotated[Literal["tube", "rod", "flat bar"], Note("Cross-section.")]
    diameter: Annotated[
        float | None, Quantity("length", "0.5 mm", "500 mm", "Outer, of a tube or rod.")
    ] = None
    bore: Annotated[float | None, Quantity("length", "0 mm", "500 mm", "Inner, of a tube.")] = None
    height: Annotated[
        float | None,
        Quantity("length", "0.2 mm", "500 mm", "Of a flat bar, the way the tail bends."),
    ] = None
    width: Annotated[
        float | None, Quantity("length", "0.2 mm", "500 mm", "Of a flat bar, along the chord.")
    ] = None
    root: Annotated[
        float,
        Quantity(
            "length",
            "0 mm",
            "5 m",
            "Where it is held, from the centreline.",
            "taken as 0 mm",
        ),
    ] = 0.0
    material: Annotated[
        Material | None,
        Note("Gives a judged stress when none was measured.", "", ("most_stress",)),
    ] = None
    most_stress: Annotated[
        float | None,
        Quantity(
            "stress", "1 MPa", "5000 MPa", "Stress it may carry in use, better than material."
        ),
    ] = None
    most_stress_is: Annotated[
        Literal["judged", "measured"], Note("How most_stress is known.", "taken as judged")
    ] = "judged"

    @model_validator(mode="after")
    def _measures(self) -> "Spar":
        """Every shape has measures of its own."""
        needs = {
            "tube": ("diameter", "bore"),
            "rod": ("diameter",),
            "flat bar": ("height", "width"),
        }[self.shape]
        measures = ("diameter", "bore", "height", "width")
        there = {name for name in measures if getattr(self, name) is not None}
        if there != set(needs):
            raise custom_error(f"a {self.shape} with {' and '.join(needs)}, nothing else")
        if self.shape == "tube" and not (self.bore or 0.0) < (self.diameter or 0.0):
            raise custom_error("a bore smaller than the diameter")
        return self


class Servo(Part):
    """A servo and its linkage."""

    torque: Annotated[
        float,
        Quantity("torque", "0.001 N*m", "200 N*m", "Rated at the volts it gets (kgf*cm is fine)."),
    ]
    count: Annotated[
        int, Whole("bare", "1", "8", "How many share the surfaces of both sides.", "taken as 1")
    ] = 1
    linkage_ratio: Annotated[
        float,
        Quantity(
            "bare",
            "0.1",
            "10",
            "Servo turn over surface turn: length of the horn over length of the servo's arm.",
            "horn and arm taken alike",
        ),
    ] = 1.0


class Hatch(Part):
    """A hatch or canopy that the air tries to lift off."""

    area: Annotated[float, Quantity("area", "1 cm^2", "10 m^2", "As seen from outside.")]
    place: Annotated[HatchPlace, Note("Where it sits; the nose means its upper side.")]
    latch_hold: Annotated[
        float | None,
        Quantity("force", "0.1 N", "100000 N", "Pull on a scale, in its middle, that opens it."),
    ] = None


class Leg(Part):
    """What one undercarriage leg stands."""

    most_load: Annotated[
        float, Quantity("force", "0.1 N", "1e6 N", "Load on its wheel that it still stands.")
    ]
    travel: Annotated[
        float, Quantity("length", "0.5 mm", "1 m", "How far it gives under that load.")
    ]


class Limits(Part):
    """Limits of the parts, for `check`; each check says which key it misses."""

    top_speed: Annotated[
        float | None, Quantity("speed", "3 m/s", "300 m/s", "Fastest it is ever flown.")
    ] = None
    sink_speed: Annotated[
        float | None,
        Quantity("speed", "0.05 m/s", "10 m/s", "Hardest touchdown it shall stand."),
    ] = None
    rotor_station: Annotated[
        float | None,
        Quantity("length", "-100 m", "100 m", "Of the propeller or fan, for its ground clearance."),
    ] = None
    tail_spar: Annotated[Spar | None, Note("Spar or joiner of one half of the tail.")] = None
    tail_servo: Annotated[Servo | None, Note("Servo of the elevator or the whole tail.")] = None
    flap_servo: Annotated[Servo | None, Note("Servo of the flaps.")] = None
    hatch: Annotated[Hatch | None, Note("Hatch or canopy.")] = None
    main_leg: Annotated[Leg | None, Note("One main leg.")] = None
    nose_leg: Annotated[Leg | None, Note("Nose leg.")] = None
