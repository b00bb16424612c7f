"""One scenario made ready to roll: its numbers and what is worth telling about them."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from sim.aeroplane.ledger import Ledger
from sim.power.known import KnownPower
from sim.roll.parameters import Setup
from sim.scenario import Change

if TYPE_CHECKING:
    from sim.prepare.parts import Parts


@dataclass(frozen=True)
class Estimate:
    """A number that was not given and had to be estimated, or a default that was taken.

    Attributes
    ----------
    key: where it could be given.
    value: what was used [SI].
    kind: kind of quantity, for units.
    how: from what it was estimated, in plain words.

    """

    key: str
    value: float
    kind: str
    how: str


Replaced = Callable[[], dict[str, float]]
"""Parameters of the roll that a trial replaces, by name, worked out when they are wanted."""


@dataclass(frozen=True)
class Prepared:
    """The numbers of one scenario.

    Attributes
    ----------
    title: of the scenario, and the names of the changes applied.
    setup: what the core computes from.
    estimates: values not given.
    notes: out-of-range remarks, in plain words.
    coefficients: flat aerodynamic and other numbers for the result document.
    resolve: works out `resolved` when it is wanted; a study of many rolls never asks.
    track: distance between the main wheels [m], or None.
    attitude_to_fly: pitch at which it flies level at 1.2 times its stall speed [rad], or None.
    flaps_lower: what is replaced when the flaps are set 5 degrees lower; empty without flaps.
    throw_more: what is replaced with 2 degrees more up throw; empty without an elevator.
    throw_less: the same with a fifth less up throw.
    max_lift_flaps_up: largest wing CL with the flaps up [-], or None if not known apart.
    resistance_range: low and high rolling resistance of the surface, or None if given exactly.
    tail_limit_range: low and high maximum lift of the tail on S, or None if given.
    span: wing span [m], or None.
    power: what is known of the power system, its operating points if it was solved.
    changes: those applied, in their order.
    masses: the aeroplane as given or weighed, what the changes put in and take out, the total.
    parts: gathers what a check of the parts wants, when it is wanted.

    """

    title: str
    setup: Setup
    estimates: tuple[Estimate, ...] = ()
    notes: tuple[str, ...] = ()
    coefficients: dict[str, float] = field(default_factory=dict)
    resolve: Callable[[], dict[str, Any]] = dict
    track: float | None = None
    attitude_to_fly: float | None = None
    flaps_lower: Replaced = dict
    throw_more: Replaced = dict
    throw_less: Replaced = dict
    max_lift_flaps_up: float | None = None
    resistance_range: tuple[float, float] | None = None
    tail_limit_range: tuple[float, float] | None = None
    span: float | None = None
    power: KnownPower | None = None
    changes: tuple[Change, ...] = ()
    masses: Ledger | None = None
    parts: Callable[[], "Parts"] | None = None

    @property
    def resolved(self) -> dict[str, Any]:
        """The scenario as it was rolled, SI, for the result document."""
        return self.resolve()
