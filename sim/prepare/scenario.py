"""Walk the rooms in order: mass, gear, air, strip, power, aerodynamics, pilot."""

import math
from functools import partial
from typing import Any

from sim.aeroplane.build import build_aeroplane
from sim.aeroplane.ledger import MassProperties
from sim.prepare.draft import Draft
from sim.prepare.given import lay_coefficients
from sim.prepare.mass import check_stands, lay_mass
from sim.prepare.measured import Builder, Extras, flap_angles, lay_geometry
from sim.prepare.parts import parts_of
from sim.prepare.pilot import control_numbers, lay_pilot
from sim.prepare.power import lay_power
from sim.prepare.prepared import Estimate, Prepared
from sim.prepare.strip import lay_air, lay_strip
from sim.prepare.trim import first_climb
from sim.roll.parameters import OUT_OF_REACH, Parameters, Setup
from sim.scenario import Scenario
from sim.scenario.unit_table import DIMENSIONS


def prepare(scenario: Scenario, build: Builder = build_aeroplane) -> Prepared:
    """Make a scenario ready to roll: estimate what was not given, solve the lattice, mark it.

    Parameters
    ----------
    scenario
        as loaded.
    build
        who makes aerodynamics of geometry; a study that knows them already says so here.

    """
    draft = Draft()
    masses = lay_mass(draft, scenario)
    lay_gear(draft, scenario, masses.total)
    check_stands(draft, scenario, masses)
    air = lay_air(draft, scenario)
    resistance = lay_strip(draft, scenario)
    thrust_table = lay_power(draft, scenario)
    extras: Extras | None = None
    if scenario.aeroplane.coefficients is not None:
        table = lay_coefficients(draft, scenario)
    else:
        table, extras = lay_geometry(draft, scenario, air, build)
    lay_pilot(draft, scenario)
    climb = first_climb(draft.parameters, table)
    draft.parameters["law_trim"] = climb.stick
    wing = scenario.aeroplane.wing
    return Prepared(
        title=_title(scenario),
        setup=Setup(Parameters.of(draft.parameters), table, thrust_table),
        estimates=tuple(draft.estimates),
        notes=tuple(dict.fromkeys(draft.notes)),
        coefficients=draft.coefficients,
        resolve=partial(_resolved, scenario, draft.estimates, masses.total),
        track=scenario.aeroplane.gear.main.track,
        attitude_to_fly=climb.attitude,
        max_lift_flaps_up=extras.max_lift_flaps_up if extras else None,
        throw_more=partial(with_throw, scenario, 1.0, MORE_THROW),
        throw_less=partial(with_throw, scenario, LESS_THROW, 0.0),
        flaps_lower=extras.flaps_lower if extras else dict,
        resistance_range=resistance,
        tail_limit_range=extras.tail_limit_range if extras else None,
        span=wing.span if wing else None,
        power=draft.power,
        changes=tuple(scenario.changes[name] for name in scenario.applied),
        masses=masses,
        parts=partial(parts_of, scenario, draft.coefficients),
    )


MORE_THROW = math.radians(2.0)
"""Step of the trial that gives more up throw [rad]."""


LESS_THROW = 0.8
"""Share of the up throw in the trial that takes a fifth away [-]."""


def with_throw(scenario: Scenario, share: float, more: float) -> dict[str, float]:
    """Control parameters with another up throw at the same share of the stick; empty without.

    The up throw is multiplied by `share` and grows by `more` [rad].
    """
    a = scenario.aeroplane
    throw = a.tail.throw if a.tail else a.coefficients.throw if a.coefficients else None
    if throw is None:
        return {}
    mixing = a.tail.flap_mix if a.tail else 0.0
    start, dropped = (mixing * angle for angle in flap_angles(scenario))
    return control_numbers(scenario.pilot, share * throw.up + more, throw.down, (start, dropped))


def _resolved(
    scenario: Scenario, estimates: list[Estimate], total: MassProperties
) -> dict[str, Any]:
    found = with_estimates(scenario.resolved(), estimates)
    return found | {"mass_properties": total.record()}


def with_estimates(resolved: dict[str, Any], estimates: list[Estimate]) -> dict[str, Any]:
    """The scenario as it was rolled: estimated numbers where the file had none [SI].

    Keys of `resolved` carry their unit behind the name a file uses.
    """
    for estimate in estimates:
        *tables, name = estimate.key.split(".")
        place = resolved
        for table in tables:
            if place.get(table) is None:
                place[table] = {}
            place = place[table]
        named = [key for key in place if key == name or key.startswith(f"{name}_")]
        place[named[0] if named else _with_unit(name, estimate.kind)] = estimate.value
    return resolved


def _with_unit(name: str, kind: str) -> str:
    """The key as it is called when the file gives it: its unit behind it."""
    suffix = DIMENSIONS[kind].suffix if kind in DIMENSIONS else ""
    return f"{name}_{suffix}" if suffix else name


def lay_gear(draft: Draft, scenario: Scenario, whole: MassProperties) -> None:
    """Contact points in body axes at the CG of the whole."""
    a = scenario.aeroplane
    x, z = whole.station, whole.height
    main, nose, scrape = a.gear.main, a.gear.nose, a.scrape_point
    draft.parameters |= {
        "main_x": x - main.station,
        "main_z": main.axle_height - z,
        "main_radius": 0.5 * main.wheel_diameter,
        "nose_x": x - nose.station,
        "nose_z": draft.coefficients["nose_axle_height_m"] - z,
        "nose_radius": 0.5 * nose.wheel_diameter,
        "aft_x": x - (scrape.station if scrape else main.station + 1.0),
        "aft_z": scrape.height - z if scrape else OUT_OF_REACH,
    }


def _title(scenario: Scenario) -> str:
    """Title with the changes that were applied."""
    names = [scenario.changes[name].name for name in scenario.applied]
    return f"{scenario.title} with {', '.join(names)}".strip() if names else scenario.title
