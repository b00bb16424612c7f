"""A scenario as the cross-checks see it: what is written, and what of it can be read."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sim.scenario.merging import value_at
from sim.scenario.problems import Problem, shown


@dataclass(frozen=True)
class Facts:
    """A scenario as written, and those of its values that can be read [SI]."""

    data: Mapping[str, Any]
    values: Mapping[str, Any]

    def get(self, *paths: str) -> tuple[float, ...] | None:
        """Numbers at several paths, None when one is missing or unreadable."""
        found = [self.values.get(path) for path in paths]
        if any(not isinstance(value, float) for value in found):
            return None
        return tuple(float(value) for value in found if value is not None)

    def given(self, path: str) -> bool:
        """Whether something stands at a path."""
        return value_at(self.data, path) is not None

    def problem(self, path: str, allowed: str) -> Problem:
        """A problem with what stands at a path."""
        return Problem(path, shown(value_at(self.data, path)), allowed)
