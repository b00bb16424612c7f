"""A field of a whole number."""

from dataclasses import dataclass

from sim.scenario.fields import Quantity, custom_error


@dataclass(frozen=True)
class Whole(Quantity):
    """A plain number without a fraction, such as a count of cells."""

    def read(self, given: object) -> int:
        """The number that stands in the file.

        Raises
        ------
        PydanticCustomError
            For anything else.

        """
        value = super().read(given)
        if value != int(value):
            raise custom_error(self.allowed())
        return int(value)

    def allowed(self) -> str:
        """What may stand here, in words."""
        return f"a whole number, from {self.low} to {self.high}"
