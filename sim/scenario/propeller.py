"""The propeller: a table of coefficients from a file, or the sizes on its label."""

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from sim.scenario.fields import Note, Part, Quantity, custom_error
from sim.scenario.problems import ScenarioError
from sim.scenario.table_files import TableFile, read_table


@dataclass(frozen=True)
class TableField(Note):
    """A file of coefficients, read as soon as it is named."""

    def read(self, given: object) -> TableFile:
        """Name and text of the file.

        Raises
        ------
        PydanticCustomError
            For a file that cannot be read.

        """
        if isinstance(given, TableFile):
            return given
        try:
            return read_table(given)
        except ScenarioError as error:
            raise custom_error(error.problems[0].allowed) from None

    def found(self, given: object) -> TableFile | None:
        """The file, or None when it cannot be read."""
        try:
            return self.read(given)
        except PydanticCustomError:
            return None

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        plain: CoreSchema = core_schema.no_info_plain_validator_function(self.read)
        return core_schema.nullable_schema(plain)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return {"type": "string", "description": self.description}


TABLE = TableField(
    "File of coefficients: headings J, CT and CP over columns apart by blanks (as open wind-tunnel"
    " data have them) or by commas. Beside the scenario file, or a whole path; with --set from the"
    " folder you are in."
)


class Propeller(Part):
    """The propeller, by a table or by its pitch."""

    diameter: Annotated[float, Quantity("length", "10 mm", "10 m", "Tip to tip.")]
    pitch: Annotated[
        float | None,
        Quantity("length", "1 mm", "10 m", "On its label; needs a reading at rest."),
    ] = None
    pitch_factor: Annotated[
        float | None,
        Quantity(
            "bare",
            "0.8",
            "2",
            "Airspeed of no thrust over pitch times speed of rotation.",
            "taken as usual",
            ("table",),
        ),
    ] = None
    table: Annotated[TableFile | None, TABLE] = None
    static_table: Annotated[
        TableFile | None, TableField("The same at rest: headings RPM, CT and CP.")
    ] = None
    most_rotation: Annotated[
        float | None, Quantity("rotation", "100 rpm", "500000 rpm", "Rated speed.")
    ] = None
