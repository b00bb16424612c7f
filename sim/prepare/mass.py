"""Mass, CG and pitch inertia: given, weighed or estimated; the rows of the changes on top."""

import math
from types import SimpleNamespace

from sim.aeroplane.inertia import estimated_inertia, swung_inertia
from sim.aeroplane.ledger import Ledger, MassProperties, ledger
from sim.aeroplane.weighing import Wheels, level_station, nose_axle_height, tilted_height
from sim.prepare.draft import Draft
from sim.roll.attitude import ground_attitude, height_on_mains
from sim.scenario import Scenario, ScenarioError
from sim.scenario.aeroplane import Gear, Weighing
from sim.scenario.problems import Problem
from sim.scenario.units import quantity_text

UNEVEN = 0.03
"""Difference of the main wheels over their load above which it is told; judgement."""


UNUSUAL = 3.0
"""Factor from the estimate beyond which a pitch inertia is told; judgement."""


def lay_mass(draft: Draft, scenario: Scenario) -> Ledger:
    """Mass and pitch inertia of the whole, station and height of its CG.

    Raises
    ------
    ScenarioError
        When what is taken out and put in leaves no mass or no inertia.

    """
    wheels = wheels_of(scenario.aeroplane.gear)
    base = _base(draft, scenario, wheels)
    try:
        found = ledger(base, scenario.added)
    except ValueError as wrong:
        raise _refused(scenario, f"masses that leave an aeroplane: {wrong}") from None
    whole = found.total
    draft.parameters |= {"mass": whole.mass, "pitch_inertia": whole.pitch_inertia}
    draft.coefficients |= {
        "cg_station_m": whole.station,
        "cg_height_m": whole.height,
        "nose_axle_height_m": wheels.nose_height,
    }
    return found


def wheels_of(gear: Gear) -> Wheels:
    """The axles; the nose axle's height given, or from the attitude on three wheels [m]."""
    main, nose = gear.main, gear.nose
    height = nose.axle_height
    if height is None:
        assert gear.ground_attitude is not None
        height = nose_axle_height(
            (main.station, main.axle_height, main.wheel_diameter),
            (nose.station, nose.wheel_diameter),
            gear.ground_attitude,
        )
    return Wheels(nose.station, height, main.station, main.axle_height)


def _base(draft: Draft, scenario: Scenario, wheels: Wheels) -> MassProperties:
    """Mass properties without the rows of the changes."""
    a = scenario.aeroplane
    if a.weighing is not None:
        weighed_on = wheels_of(a.weighing.gear) if a.weighing.gear else wheels
        mass, station, measured = _weighed(draft, a.weighing, weighed_on)
    else:
        assert a.mass is not None and a.cg.station is not None
        mass, station, measured = a.mass, a.cg.station, None
    height = _cg_height(draft, scenario, measured if a.cg.height is None else a.cg.height)
    return MassProperties(mass, station, height, _pitch_inertia(draft, scenario, mass))


def mains_of(weighing: Weighing) -> float:
    """Load on both main wheels [kg]."""
    if weighing.mains is not None:
        return weighing.mains
    assert weighing.main_left is not None and weighing.main_right is not None
    return weighing.main_left + weighing.main_right


def _weighed(draft: Draft, weighing: Weighing, wheels: Wheels) -> tuple[float, float, float | None]:
    """Mass [kg], station and, weighed tilted too, height of the CG [m] from the scales."""
    mains = mains_of(weighing)
    mass, station = weighing.nose + mains, level_station(weighing.nose, mains, wheels)
    draft.notes.append(
        f"weighed: {quantity_text(mass, 'mass')}, CG at station {quantity_text(station, 'length')}"
    )
    _note_uneven(draft, weighing)
    tilted = weighing.tilted
    if tilted is None:
        return mass, station, None
    height = tilted_height(station, tilted.nose / mass, tilted.angle, wheels)
    apart = (wheels.main_station - wheels.nose_station) / math.tan(tilted.angle)
    per_hundredth = quantity_text(0.01 / mass * apart, "length")
    draft.notes.append(
        f"weighed tilted: CG at height {quantity_text(height, 'length')};"
        f" 10 g on the nose scale move it by {per_hundredth}"
    )
    return mass, station, height


def _note_uneven(draft: Draft, weighing: Weighing) -> None:
    left, right = weighing.main_left, weighing.main_right
    if left is None or right is None or abs(left - right) <= UNEVEN * (left + right):
        return
    side = "left" if left > right else "right"
    more, share = abs(left - right), abs(left - right) / (left + right)
    draft.notes.append(
        f"the {side} main wheel carries {1e3 * more:.3g} g more than the other, {100 * share:.2g} %"
        " of their load: check the lateral balance"
    )


def _cg_height(draft: Draft, scenario: Scenario, known: float | None) -> float:
    line, wing = scenario.power.thrust_line, scenario.aeroplane.wing
    heights = [line.height] if line else []
    heights += [wing.root_leading_edge.height] if wing else []
    guess = sum(heights) / len(heights) if heights else 0.0
    how = "between wing and thrust line" if heights else "at the height datum"
    return draft.given_or(known, "aeroplane.cg.height", guess, "length", how)


def _pitch_inertia(draft: Draft, scenario: Scenario, mass: float) -> float:
    a = scenario.aeroplane
    length = a.length or 2.5 * (a.gear.main.station - a.gear.nose.station)
    guess = estimated_inertia(mass, length)
    known = a.pitch_inertia
    if known is None and a.swing is not None:
        s = a.swing
        known = swung_inertia(s.mass or mass, s.string_separation, s.string_length, s.period)
    if known is not None:
        _note_unusual(draft, known / guess.typical)
    how = f"from mass and length, {guess.low:.3g} to {guess.high:.3g} kg m2"
    return draft.given_or(known, "aeroplane.pitch_inertia", guess.typical, "inertia", how)


def _note_unusual(draft: Draft, ratio: float) -> None:
    """An inertia far from what mass and length suggest is a slip in the swing, as a rule."""
    if not 1.0 / UNUSUAL <= ratio <= UNUSUAL:
        draft.notes.append(
            f"pitch inertia is {ratio:.2g} times what mass and length suggest: check the swing"
            " (the period is of one full swing, not of ten) and its unit"
        )


def check_stands(draft: Draft, scenario: Scenario, masses: Ledger) -> None:
    """A CG behind the mains gets its verdict; ahead of the nose wheel or in the ground is wrong.

    Raises
    ------
    ScenarioError
        When the rows of the changes bring it there.

    """
    if not masses.rows:
        return
    whole, nose = masses.total.station, scenario.aeroplane.gear.nose.station
    if whole <= nose:
        there, limit = (quantity_text(s, "length") for s in (whole, nose))
        raise _refused(
            scenario,
            f"masses that leave the CG behind the nose wheel (station {limit}, not {there})",
        )
    p = SimpleNamespace(**draft.parameters)
    up = float(height_on_mains(p, ground_attitude(p)))
    if up <= 0.0:
        deep = quantity_text(-up, "length")
        raise _refused(scenario, f"masses that leave the CG above the ground (not {deep} below it)")


def _refused(scenario: Scenario, allowed: str) -> ScenarioError:
    """The rows taken together are at fault: told at every change that brings some."""
    put_in = sum(row.mass for row in scenario.added)
    problem = Problem("add", f"{quantity_text(put_in, 'mass')} in all", allowed)
    applied = [scenario.changes[name] for name in scenario.applied]
    return ScenarioError(change.placed(problem) for change in applied if change.added)
