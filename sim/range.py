"""A number known only as a range. Plain data, for every room; knows nothing of any."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Range:
    """A number known only so well: low, typical, high, in the unit its owner states.

    Raises
    ------
    ValueError
        When the three do not rise.

    """

    low: float
    typical: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.typical <= self.high:
            raise ValueError(f"range must rise: {self.low} {self.typical} {self.high}")

    def contains(self, value: float) -> bool:
        """Whether the value lies within, ends included."""
        return self.low <= value <= self.high
