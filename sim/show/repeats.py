"""What happens over and over is told a few times and then counted."""

from collections import Counter
from dataclasses import dataclass

from sim.roll.result import Event

MOST = 3
"""Events of one name that are told in full."""


@dataclass(frozen=True)
class Told:
    """Events told in full, and how many more there were of each name."""

    events: tuple[Event, ...]
    more: dict[str, int]
    until: float  # time of the last one left out [s]

    def words(self, time: str) -> str:
        """Such as "and 5 more nose-wheel-down-again until 8.70 s"; empty if all were told."""
        if not self.more:
            return ""
        counted = ", ".join(f"{count} more {name}" for name, count in self.more.items())
        return f"and {counted} until {time}"


def tell(events: tuple[Event, ...], most: int = MOST) -> Told:
    """Keep the first few events of each name."""
    seen: Counter[str] = Counter()
    told: list[Event] = []
    left: list[Event] = []
    for event in events:
        seen[event.name] += 1
        (told if seen[event.name] <= most else left).append(event)
    more = Counter(event.name for event in left)
    return Told(tuple(told), dict(more), max((event.time for event in left), default=0.0))
