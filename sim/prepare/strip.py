"""Strip and air of a scenario, as numbers of the roll."""

import math

from sim.prepare.draft import Draft
from sim.prepare.prepared import Estimate
from sim.roll.parameters import NEVER
from sim.scenario import Scenario
from sim.strip.air import AirState, air_density
from sim.strip.surface import CAVEAT, SCRAPING, SURFACES, wheel_notes

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
    """Slope, lengths and rolling resistance; returns the range of the latter if it has one."""
    strip, aeroplane = scenario.strip, scenario.aeroplane
    low, typical, high = _resistance(draft, scenario)
    draft.parameters |= {
        "slope": math.atan(strip.slope),
        "strip_length": strip.length,
        "screen_height": strip.screen_height,
        "obstacle_distance": strip.obstacle.distance if strip.obstacle else NEVER,
        "obstacle_height": strip.obstacle.height if strip.obstacle else 0.0,
        "main_friction": typical,
        "nose_friction": typical,
        "aft_friction": draft.given_or(
            aeroplane.scraping_friction,
            "aeroplane.scraping_friction",
            SCRAPING.typical,
            "fraction",
            f"common for a tail on the ground, {SCRAPING.low:g} to {SCRAPING.high:g}",
        ),
    }
    draft.coefficients["rolling_resistance"] = typical
    return (low, high) if low < high else None


def _resistance(draft: Draft, scenario: Scenario) -> tuple[float, float, float]:
    strip, gear = scenario.strip, scenario.aeroplane.gear
    given = strip.rolling_resistance
    if given is not None:
        return given.low, given.typical, given.high
    surface = SURFACES[str(strip.surface)]
    draft.notes.extend(wheel_notes(surface, gear.main.wheel_diameter, gear.nose.wheel_diameter))
    found = surface.rolling_resistance
    draft.estimates.append(
        Estimate(
            "strip.rolling_resistance",
            found.typical,
            "fraction",
            f"typical of {surface.name}, {found.low:g} to {found.high:g} ({surface.source})",
        )
    )
    draft.notes.append(CAVEAT)
    return found.low, found.typical, found.high
