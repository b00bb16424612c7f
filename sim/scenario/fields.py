"""What stands behind each key of a scenario: kind, bounds, description, and how it is read."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sim.scenario.problems import ScenarioError
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import parse_quantity


class Part(BaseModel):
    """A table of the scenario file: strict, no unknown keys, never changed after reading."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True, allow_inf_nan=False)


@dataclass(frozen=True)
class Note:
    """Description of a key.

    Attributes
    ----------
    description: for the builder.
    left_out: what happens when the key is missing; "" when there is nothing to tell.
    unless: other keys of the same table that make `left_out` beside the point.

    """

    description: str
    left_out: str = ""
    unless: tuple[str, ...] = ()


def custom_error(allowed: str, nearest: str | None = None) -> PydanticCustomError:
    """An error that carries the words of a `Problem`."""
    return PydanticCustomError("scenario", "{allowed}", {"allowed": allowed, "nearest": nearest})


def _schema(read: Callable[[Any], Any], source: Any) -> CoreSchema:
    """A plain reader; None passes where the annotation says so."""
    schema: CoreSchema = core_schema.no_info_plain_validator_function(read)
    if type(None) in getattr(source, "__args__", ()):
        return core_schema.nullable_schema(schema)
    return schema


@dataclass(frozen=True)
class Quantity:
    """A number with a unit, or a bare one.

    Attributes
    ----------
    dimension: key of `DIMENSIONS`; "bare" for a plain number.
    low, high: bounds as written in a scenario, both allowed.
    description, left_out, unless: as in `Note`.
    also_bare: a plain number is taken as the SI value.

    """

    dimension: str
    low: str
    high: str
    description: str
    left_out: str = ""
    unless: tuple[str, ...] = ()
    also_bare: bool = False

    def read(self, given: object) -> float:
        """SI value of what stands in the file.

        Raises
        ------
        PydanticCustomError
            Carrying what is allowed and what was probably meant.

        """
        number = isinstance(given, int | float) and not isinstance(given, bool)
        if number and (self.dimension == "bare" or self.also_bare):
            value = self._plain(given)
        elif isinstance(given, str) and self.dimension != "bare":
            value = self._quantity(given)
        else:
            raise custom_error(self.allowed(), self._hint(given))
        if not self.bound(self.low) <= value <= self.bound(self.high):
            raise custom_error(self.allowed())
        return value

    def bound(self, text: str) -> float:
        """A bound in SI; a hair of rounding is allowed for."""
        value = float(text) if self.dimension == "bare" else parse_quantity(text, self.dimension)
        slack = 1e-12 * abs(value)
        return value + (slack if text == self.high else -slack)

    def allowed(self) -> str:
        """What may stand here, in words."""
        kind = DIMENSIONS[self.dimension]
        if self.dimension == "bare":
            return f"a plain number without a unit, from {self.low} to {self.high}"
        bare = " (or a plain number, in SI)" if self.also_bare else ""
        text = f"{kind.noun} with its unit, from {self.low} to {self.high}"
        return f'{text}, such as "{kind.example}"{bare}'

    def _plain(self, given: object) -> float:
        try:
            value = float(given)  # type: ignore[arg-type]
        except OverflowError:
            raise custom_error(self.allowed()) from None
        if not math.isfinite(value):
            raise custom_error(f"{self.allowed()}, finite")
        return value

    def _quantity(self, given: str) -> float:
        try:
            return parse_quantity(given, self.dimension)
        except ScenarioError as error:
            problem = error.problems[0]
            raise custom_error(problem.allowed, problem.nearest) from None

    def _hint(self, given: object) -> str | None:
        """A number in quotes or in percent, as a plain one. A missing unit is never guessed."""
        if self.dimension != "bare" or not isinstance(given, str) or len(given) > 30:
            return None
        number = given.strip()
        try:
            value = float(number.removesuffix("%")) / (100.0 if number.endswith("%") else 1.0)
        except ValueError:
            return None
        return f"{value:g}" if math.isfinite(value) else None

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return _schema(self.read, source)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """A string with an example, or a number with its bounds."""
        kind = DIMENSIONS[self.dimension]
        if self.dimension == "bare":
            low, high = float(self.low), float(self.high)
            return {"type": "number", "minimum": low, "maximum": high} | self._words()
        types = ["string", "number"] if self.also_bare else "string"
        return {"type": types, "examples": [kind.example]} | self._words()

    def _words(self) -> dict[str, Any]:
        return {"description": f"{self.description} Allowed: {self.allowed()}."}


@dataclass(frozen=True)
class Trigger:
    """When something is done.

    Attributes
    ----------
    kind: "place" [m from the start of the roll], "airspeed" [m/s] or "time" [s].
    value: SI.

    """

    kind: str
    value: float


TRIGGER_KINDS = {
    "place": Quantity("distance", "0 m", "20000 m", "Distance rolled."),
    "airspeed": Quantity("speed", "0 m/s", "200 m/s", "Airspeed."),
    "time": Quantity("time", "0 s", "90 s", "Time since the start."),
}


@dataclass(frozen=True)
class TriggerField:
    """A place, an airspeed or a time, told apart by the unit."""

    kinds: tuple[str, ...]
    description: str
    left_out: str = ""
    unless: tuple[str, ...] = ()

    def read(self, given: object) -> Trigger:
        """The trigger that stands in the file."""
        fitting = None
        for kind in self.kinds if isinstance(given, str) else ():
            try:
                parse_quantity(str(given), TRIGGER_KINDS[kind].dimension)
            except ScenarioError:
                continue
            fitting = kind
        if fitting is None:
            raise custom_error(self.allowed())
        return Trigger(fitting, TRIGGER_KINDS[fitting].read(given))

    def allowed(self) -> str:
        """What may stand here, in words."""
        names = {"place": 'a place ("20 m")', "airspeed": 'an airspeed ("12 m/s")'}
        names["time"] = 'a time ("3 s")'
        return " or ".join(names[kind] for kind in self.kinds)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return _schema(self.read, source)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return {"type": "string", "description": f"{self.description} Allowed: {self.allowed()}."}


Described = Note | Quantity | TriggerField
"""What a field's metadata may be; `sim.scenario.keys` collects them."""
