"""Where the lanes of a study come from: variants of one scenario, or a list of scenarios.

A source cuts itself into tasks that can be sent to any worker: the base goes along packed, the
values of the task as a small matrix. A worker unpacks the base once and keeps it.
"""

import pickle
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np

from sim.prepare.prepared import Prepared
from sim.roll.aero_table import AeroTable, Array
from sim.roll.parameters import Setup, ThrustTable
from sim.scenario import Scenario, ScenarioError
from sim.study.geometry import Lattices, lattices_for
from sim.study.knobs import Knob
from sim.study.lattices import prepared_with
from sim.study.variants import Base, base_for, variant


@dataclass(frozen=True)
class Lane:
    """One roll to compute; its largest wing lift with the flaps up, nan when not known apart."""

    setup: Setup
    max_lift_flaps_up: float


class Task(Protocol):
    """A part of a study that a worker can make ready by itself; it can be pickled."""

    def lanes(self) -> Iterator[Lane | str]:
        """Rolls to compute, or the reason why one is refused, in order."""
        ...


class Source(Protocol):
    """All lanes of a study."""

    def __len__(self) -> int: ...

    @property
    def quick(self) -> bool:
        """Whether lanes are made ready without solving a lattice each."""
        ...

    def task(self, first: int, last: int) -> Task:
        """The lanes from `first` up to but without `last`."""
        ...


@dataclass(frozen=True)
class VariantTask:
    """Some rows of values over a packed base."""

    packed: bytes
    values: Array

    def lanes(self) -> Iterator[Lane | str]:
        """Variants made ready one after the other; equal tables are shared between them."""
        base, lattices = _unpacked(self.packed)
        surface = [i for i, knob in enumerate(base.knobs) if knob.form == "surface"]
        shared = Shared()
        for row in self.values:
            try:
                prepared = prepared_with(variant(base, row), lattices.at(row))
                setup = shared.setup(prepared.setup)
                for index in surface:
                    setup = on_surface(setup, prepared, float(row[index]))
            except (ScenarioError, ValueError, ArithmeticError) as wrong:
                yield reason_of(wrong)
                continue
            yield Lane(setup, _number(prepared.max_lift_flaps_up))


@lru_cache(maxsize=2)
def _unpacked(packed: bytes) -> tuple[Base, Lattices]:
    found: tuple[Base, Lattices] = pickle.loads(packed)
    return found


@dataclass(frozen=True)
class Variants:
    """Variants of one scenario, a row of values each.

    Attributes
    ----------
    base: scenario and knobs.
    values: shape (n, knobs) [SI].
    lattices: who answers for the aerodynamics.
    packed: base and lattices as sent to workers.

    """

    base: Base
    values: Array
    lattices: Lattices
    packed: bytes

    def __len__(self) -> int:
        return len(self.values)

    @property
    def quick(self) -> bool:
        """Whether lattice numbers are known before the variants are made ready."""
        return not self.lattices.each_solved

    def task(self, first: int, last: int) -> VariantTask:
        """Rows from `first` up to `last`."""
        return VariantTask(self.packed, self.values[first:last])


def variants_of(scenario: Scenario, knobs: Sequence[Knob], values: Array) -> Variants:
    """Make a scenario ready to be turned: corners validated, lattices solved or interpolated.

    Parameters
    ----------
    scenario
        the base.
    knobs
        each key once.
    values
        shape (n, knobs) [SI], one row for each variant.

    Raises
    ------
    ScenarioError
        When the keys cannot be laid over the scenario at all.

    """
    values = np.asarray(values, dtype=float).reshape(-1, len(knobs))
    base = base_for(scenario, knobs, values)
    lattices = lattices_for(base, values)
    return Variants(base, values, lattices, pickle.dumps((base, lattices)))


@dataclass(frozen=True)
class Scenarios:
    """A list of scenarios, such as a base with changes laid over it in every combination.

    Also its own task: a part of the list.
    """

    scenarios: tuple[Scenario, ...]

    def __len__(self) -> int:
        return len(self.scenarios)

    @property
    def quick(self) -> bool:
        """False: any of them may be a geometry of its own."""
        return False

    def task(self, first: int, last: int) -> "Scenarios":
        """Scenarios from `first` up to `last`."""
        return Scenarios(self.scenarios[first:last])

    def lanes(self) -> Iterator[Lane | str]:
        """Scenarios made ready one after the other."""
        shared = Shared()
        for scenario in self.scenarios:
            try:
                prepared = prepared_with(scenario, None)
            except (ScenarioError, ValueError, ArithmeticError) as wrong:
                yield reason_of(wrong)
                continue
            yield Lane(shared.setup(prepared.setup), _number(prepared.max_lift_flaps_up))


class Shared:
    """Tables of equal content made one object: the core stores each object once."""

    def __init__(self) -> None:
        """Begin with none."""
        self._aero: dict[tuple[bytes, float], AeroTable] = {}
        self._thrust: dict[tuple[bytes, bytes], ThrustTable] = {}

    def setup(self, setup: Setup) -> Setup:
        """The same roll with tables that are shared."""
        aero, thrust = setup.table, setup.thrust_table
        aero = self._aero.setdefault((aero.values.tobytes(), aero.height_scale), aero)
        if thrust is not None:
            content = (thrust.airspeed.tobytes(), thrust.thrust.tobytes())
            thrust = self._thrust.setdefault(content, thrust)
        if aero is setup.table and thrust is setup.thrust_table:
            return setup
        return Setup(setup.parameters, aero, thrust)


def on_surface(setup: Setup, prepared: Prepared, place: float) -> Setup:
    """The roll with the rolling resistance at a place of its range, -1 low, 0 typical, +1 high.

    Either axle has the range of its own wheel.

    Raises
    ------
    ValueError
        When the resistance has no range.

    """
    main = prepared.resistance_range
    if main is None:
        raise ValueError("strip.surface: the rolling resistance is one number and has no range")
    ends = prepared.coefficients
    nose = (ends["rolling_resistance_nose_low"], ends["rolling_resistance_nose_high"])
    end, share = (1, place) if place >= 0.0 else (0, -place)
    p = setup.parameters
    return setup.but(
        main_friction=p.main_friction + share * (main[end] - p.main_friction),
        nose_friction=p.nose_friction + share * (nose[end] - p.nose_friction),
    )


def reason_of(wrong: Exception) -> str:
    """Why a variant is refused, on one line."""
    if isinstance(wrong, ScenarioError):
        return "; ".join(f"{p.key}: given {p.given}; allowed: {p.allowed}" for p in wrong.problems)
    return " ".join(str(wrong).split()) or type(wrong).__name__


def _number(value: float | None) -> float:
    return float("nan") if value is None else value
