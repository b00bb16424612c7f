"""What is gathered while a scenario is made ready: parameters by name, estimates, notes."""

from dataclasses import dataclass, field
from typing import Any

from sim.power.known import KnownPower
from sim.prepare.prepared import Estimate


@dataclass
class Draft:
    """Filled room by room, then frozen into `Prepared`.

    Attributes
    ----------
    parameters: fields of `sim.roll.parameters.Parameters` [SI].
    estimates: numbers that were not given.
    notes: remarks in plain words.
    coefficients: flat numbers for the result document.
    power: what is known of the power system.

    """

    parameters: dict[str, Any] = field(default_factory=dict)
    estimates: list[Estimate] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    coefficients: dict[str, float] = field(default_factory=dict)
    power: KnownPower | None = None

    def given_or(self, given: float | None, key: str, value: float, kind: str, how: str) -> float:
        """The given number, or an estimate that is recorded as one."""
        if given is not None:
            return given
        self.estimates.append(Estimate(key, value, kind, how))
        return value
