"""The strip and the air over it."""

from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationInfo,
    field_validator,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sim.scenario.fields import Note, Part, Quantity, custom_error
from sim.scenario.limits import RoughnessClass

SurfaceWord = Literal[
    "pavement", "matting", "short grass", "mown grass", "long grass", "wet grass", "soft ground"
]
SURFACE_WORDS: tuple[str, ...] = get_args(SurfaceWord)


@dataclass(frozen=True)
class Resistance:
    """Rolling resistance as a range; one measured number makes all three alike [-]."""

    low: float
    typical: float
    high: float


@dataclass(frozen=True)
class ResistanceField:
    """A plain number, or a table of low, typical and high."""

    description: str
    left_out: str = ""
    unless: tuple[str, ...] = ()

    def read(self, given: object) -> Resistance:
        """The range that stands in the file.

        Raises
        ------
        PydanticCustomError
            For anything else than one number or three that rise.

        """
        number = Quantity("bare", "0", "2", "")
        names = ("low", "typical", "high")
        given = given if isinstance(given, dict) else dict.fromkeys(names, given)
        if set(given) != set(names):
            raise custom_error(self.allowed())
        try:
            low, typical, high = (number.read(given[name]) for name in names)
        except PydanticCustomError:
            raise custom_error(self.allowed()) from None
        if not low <= typical <= high:
            raise custom_error(f"{self.allowed()}, rising from low to high")
        return Resistance(low, typical, high)

    def allowed(self) -> str:
        """What may stand here, in words."""
        return "a plain number from 0 to 2, or { low = 0.09, typical = 0.13, high = 0.2 }"

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        plain: CoreSchema = core_schema.no_info_plain_validator_function(self.read)
        return core_schema.nullable_schema(plain)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {
            "type": ["number", "object"],
            "description": f"{self.description} Allowed: {self.allowed()}.",
        }


class Obstacle(Part):
    """What has to be cleared."""

    distance: Annotated[
        float, Quantity("distance", "1 m", "20000 m", "From the start of the roll.")
    ]
    height: Annotated[float, Quantity("distance", "0 m", "500 m", "Above the strip.")]


class Strip(Part):
    """The strip."""

    surface: Annotated[SurfaceWord | None, Note("A surface with a known range of resistance.")] = (
        None
    )
    rolling_resistance: Annotated[
        Resistance | None,
        ResistanceField("Measured rolling resistance: drag over load, instead of a surface."),
    ] = None
    sinkage: Annotated[
        float | None,
        Quantity(
            "length",
            "0 mm",
            "300 mm",
            "Depth of the rut the wheels leave, beside a surface: then the resistance follows from"
            " it and the wheel size instead of the surface's range. An order of magnitude only.",
        ),
    ] = None
    measured_with: Annotated[
        float | None,
        Quantity(
            "length",
            "5 mm",
            "3 m",
            "Diameter of the wheels rolling_resistance was measured with; left out, this"
            " aeroplane's own.",
        ),
    ] = None
    length: Annotated[float, Quantity("distance", "1 m", "20000 m", "Usable length.")]
    slope: Annotated[
        float, Quantity("fraction", "-30 %", "30 %", "Rise over run, uphill.", "taken as level")
    ] = 0.0
    screen_height: Annotated[
        float,
        Quantity(
            "distance",
            "0.05 m",
            "100 m",
            "Height of the main wheels at which it counts as up.",
            "taken as 2 m",
        ),
    ] = 2.0
    roughness: Annotated[
        RoughnessClass | None,
        Note("Class of ISO 8608, A smooth to H roughest, for check."),
    ] = None
    obstacle: Annotated[Obstacle | None, Note("Obstacle to be cleared, if any.")] = None

    @field_validator("sinkage", "measured_with")
    @classmethod
    def _beside_a_resistance(cls, value: float | None, info: ValidationInfo) -> float | None:
        """A rut or a wheel says nothing alone.

        Beside the other side it is left aside with a note, so that laying a measured resistance
        over a surface with a rut needs no second change.
        """
        other = {"sinkage": "surface", "measured_with": "rolling_resistance"}[str(info.field_name)]
        sides = ("surface", "rolling_resistance")
        unread = any(side not in info.data for side in sides)  # wrong itself, and told there
        if value is not None and not unread and all(info.data[side] is None for side in sides):
            raise custom_error(f"left out, or {other} beside it")
        return value


class Air(Part):
    """The air on the day."""

    temperature: Annotated[
        float,
        Quantity("temperature", "-50 degC", "60 degC", "In the shade.", "taken as 15 degC"),
    ] = 288.15
    elevation: Annotated[
        float | None,
        Quantity(
            "distance",
            "-450 m",
            "6000 m",
            "Of the strip above sea level.",
            "taken as sea level",
            ("pressure",),
        ),
    ] = None
    pressure: Annotated[
        float | None,
        Quantity(
            "pressure",
            "400 hPa",
            "1100 hPa",
            "As a barometer shows it on the strip, not reduced to sea level; instead of elevation.",
        ),
    ] = None
    humidity: Annotated[
        float, Quantity("fraction", "0 %", "100 %", "Relative humidity.", "taken as dry air")
    ] = 0.0
    headwind: Annotated[
        float,
        Quantity(
            "speed",
            "-30 m/s",
            "30 m/s",
            "Along the strip; negative for a tailwind.",
            "taken as calm",
        ),
    ] = 0.0
