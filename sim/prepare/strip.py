"""Strip and air of a scenario, as numbers of the roll."""

import math
from collections.abc import Callable

from sim.prepare.draft import Draft
from sim.prepare.prepared import Estimate
from sim.range import Range
from sim.roll.parameters import NEVER
from sim.scenario import Scenario, quantity_text
from sim.scenario.problems import fail, shown
from sim.strip.air import AirState, air_density
from sim.strip.surface import CAVEAT, SCRAPING, SURFACES, wheel_notes
from sim.strip.wheels import (
    SINKAGE_REACH,
    AxleRanges,
    measured_resistance,
    rut_resistance,
    surface_resistance,
)

GRAVITY = 9.80665
"""Standard gravity, ISO 80000-3 [m/s2]."""


def lay_air(draft: Draft, scenario: Scenario) -> AirState:
    """Air density, gravity and headwind."""
    air = scenario.air
    state = air_density(air.temperature, air.elevation, air.pressure, air.humidity)
    draft.parameters |= {
        "air_density": state.density,
        "gravity": GRAVITY,
        "headwind": air.headwind,
    }
    draft.coefficients |= {
        "air_density_kg_per_m3": state.density,
        "density_altitude_m": state.density_altitude,
    }
    draft.notes.extend(state.notes)
    return state


def lay_strip(draft: Draft, scenario: Scenario) -> tuple[float, float] | None:
    """Slope, lengths and rolling resistance of each axle.

    Returns the range of the main wheels' resistance if it has one; the nose wheel's ends stand in
    the coefficients.
    """
    strip, aeroplane = scenario.strip, scenario.aeroplane
    axles = _axles(draft, scenario)
    draft.parameters |= {
        "slope": math.atan(strip.slope),
        "strip_length": strip.length,
        "screen_height": strip.screen_height,
        "obstacle_distance": strip.obstacle.distance if strip.obstacle else NEVER,
        "obstacle_height": strip.obstacle.height if strip.obstacle else 0.0,
        "main_friction": axles.main.typical,
        "nose_friction": axles.nose.typical,
        "aft_friction": draft.given_or(
            aeroplane.scraping_friction,
            "aeroplane.scraping_friction",
            SCRAPING.typical,
            "fraction",
            f"common for a tail on the ground, {SCRAPING.low:g} to {SCRAPING.high:g}",
        ),
    }
    draft.coefficients |= {
        "rolling_resistance": axles.main.typical,
        "rolling_resistance_nose": axles.nose.typical,
    }
    if axles.main.low >= axles.main.high:
        return None
    draft.coefficients |= {
        "rolling_resistance_nose_low": axles.nose.low,
        "rolling_resistance_nose_high": axles.nose.high,
    }
    return axles.main.low, axles.main.high


def _axles(draft: Draft, scenario: Scenario) -> AxleRanges:
    """Resistance of either axle: measured, from a rut, or of the surface, by its wheel."""
    strip = scenario.strip
    if strip.rolling_resistance is not None:
        axles, how = _measured(draft, scenario), "the measured rolling resistance"
        if strip.measured_with is None:
            return axles
    elif strip.sinkage and strip.surface != "pavement":
        axles, how = _from_rut(draft, scenario, strip.sinkage), "a rolling resistance from a rut"
    else:
        axles, how = _of_surface(draft, scenario), f"the rolling resistance of {strip.surface}"
        if strip.surface == "pavement":
            return axles
    draft.notes.append(_size_note(how, axles))
    return axles


def _both(scenario: Scenario, law: Callable[[float], Range]) -> AxleRanges:
    """A law of the wheel diameter applied to either axle."""
    gear = scenario.aeroplane.gear
    return AxleRanges(law(gear.main.wheel_diameter), law(gear.nose.wheel_diameter))


def _measured(draft: Draft, scenario: Scenario) -> AxleRanges:
    given, wheel = scenario.strip.rolling_resistance, scenario.strip.measured_with
    assert given is not None
    if scenario.strip.sinkage is not None:
        draft.notes.append("strip.sinkage is left aside: the rolling resistance is measured")
    span = Range(given.low, given.typical, given.high)
    return _both(scenario, lambda diameter: measured_resistance(span, wheel, diameter))


def _from_rut(draft: Draft, scenario: Scenario, sinkage: float) -> AxleRanges:
    gear = scenario.aeroplane.gear
    smallest = min(gear.main.wheel_diameter, gear.nose.wheel_diameter)
    if sinkage > smallest / 2.0:
        given = shown(quantity_text(sinkage, "length"))
        most = quantity_text(SINKAGE_REACH * smallest, "length")
        raise fail("strip.sinkage", given, f"a sixth of the smallest wheel's diameter ({most})")
    if sinkage > SINKAGE_REACH * smallest:
        draft.notes.append("strip.sinkage is deeper than a sixth of a wheel: outside its formula")
    axles = _both(scenario, lambda diameter: rut_resistance(sinkage, diameter))
    _record(draft, scenario, axles, f"from a rut of {1000 * sinkage:g} mm by sinkage theory")
    return axles


def _of_surface(draft: Draft, scenario: Scenario) -> AxleRanges:
    surface = SURFACES[str(scenario.strip.surface)]
    gear = scenario.aeroplane.gear
    axles = _both(scenario, lambda diameter: surface_resistance(surface.name, diameter))
    if surface.name != "pavement":
        wheels = (gear.main.wheel_diameter, gear.nose.wheel_diameter)
        draft.notes.extend(wheel_notes(surface, *wheels))
    if scenario.strip.sinkage:
        draft.notes.append("strip.sinkage is left aside: pavement keeps no rut")
    span = surface.rolling_resistance
    words = f"typical of {surface.name}, {span.low:g} to {span.high:g} ({surface.source})"
    if surface.name != "pavement":
        words += f", made that of wheels of {1000 * gear.main.wheel_diameter:g} mm"
    _record(draft, scenario, axles, words)
    return axles


def _record(draft: Draft, scenario: Scenario, axles: AxleRanges, how: str) -> None:
    """Mark the resistance as estimated, and what was left aside."""
    draft.estimates.append(
        Estimate("strip.rolling_resistance", axles.main.typical, "fraction", how)
    )
    draft.notes.append(CAVEAT)
    if scenario.strip.measured_with is not None:
        draft.notes.append("strip.measured_with is left aside: no measured rolling resistance")


def _size_note(how: str, axles: AxleRanges) -> str:
    """What wheel size made of it, axle by axle where they differ."""
    main, nose = axles.main.typical, axles.nose.typical
    each = f"{main:.3f}" if main == nose else f"mains {main:.3f}, nose wheel {nose:.3f}"
    return f"wheel size changes {how} to an order of magnitude only: {each} taken"
