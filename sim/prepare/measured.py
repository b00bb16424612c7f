"""The road of the tape measure: geometry through the lattice to the numbers of the roll."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from sim.aeroplane.build import AeroBuild
from sim.aeroplane.drag import Stream
from sim.aeroplane.flaps import FadeLaw, fade_law, flap_drag, flap_max_lift
from sim.aeroplane.geometry import Aeroplane, Axle, Body, Flaps, Section, Surface, Tail
from sim.aeroplane.stall import NamedSection, named_section, tail_max_lift
from sim.prepare.draft import Draft
from sim.prepare.pilot import USUAL_THROW_RATE, control_numbers
from sim.prepare.prepared import Replaced
from sim.roll.aero_table import TAIL_LIFT, WING_LIFT, AeroTable
from sim.scenario import Scenario, surfaces
from sim.strip.air import AirState

LOWER = math.radians(5.0)
"""Step of the trial that sets the flaps lower [rad]."""
WING_LOADINGS = (2.0, 25.0)
"""Wing loadings of model jets [kg/m2]; common practice, no source, taken wide."""
ASPECT_RATIOS = (1.5, 9.0)
"""Aspect ratios of model jets [-]; common practice, no source, taken wide."""
FLAP_RATE = math.radians(30.0)
"""Flaps on a slowed servo; common practice, no source [rad/s]."""


Builder = Callable[[Aeroplane, Stream], AeroBuild]
"""What makes aerodynamics of geometry, as `build_aeroplane`."""


def lay_geometry(
    draft: Draft, scenario: Scenario, air: AirState, build_it: Builder
) -> tuple[AeroTable, "Extras"]:
    """Aerodynamic parameters and table from measured geometry."""
    plane = aeroplane_of(draft, scenario)
    area = plane.wing.area
    mass = draft.parameters["mass"]
    weight = mass * draft.parameters["gravity"]
    speed = math.sqrt(2.0 * weight / (air.density * area * 0.8))
    build = build_it(plane, Stream(speed, air.density))
    x, z = draft.coefficients["cg_station_m"], draft.coefficients["cg_height_m"]
    draft.parameters |= {
        "reference_area": build.reference_area,
        "reference_chord": build.reference_chord,
        "lift_x": x - build.lift_station,
        "lift_z": build.lift_height - z,
        "table_x": x - build.lift_station,
        "table_z": build.lift_height - z,
        "drag_x": x - build.drag_station,
        "drag_z": build.drag_height - z,
        "wing_centre_x": x - build.wing_centre_station,
        "tail_centre_x": x - build.tail_centre_station,
        "tail_lag_length": build.tail_lag_length,
        "wing_min_lift": build.wing_min_lift,
        "tail_max_lift": build.tail_max_lift,
    }
    draft.notes.extend(build.notes)
    draft.notes.extend(_unusual(mass, plane))
    base_drag = _lay_flaps(draft, scenario, plane, build)
    _lay_tail(draft, scenario)
    _describe(draft, build)
    lower = partial(_flap_settings, scenario, plane, build, base_drag, LOWER)
    flaps_lower = lower if plane.flaps else dict
    return build.table, Extras(flaps_lower, _tail_range(scenario, plane), build.wing_max_lift)


@dataclass(frozen=True)
class Extras:
    """What the report wants beside the parameters; fields as those of `Prepared`."""

    flaps_lower: Replaced
    tail_limit_range: tuple[float, float] | None
    max_lift_flaps_up: float


def _named(given: surfaces.Section | None) -> NamedSection:
    """What the plain name of a section stands for; symmetrical when it has none."""
    return named_section((given.name if given else None) or "symmetrical")


def section_of(draft: Draft, given: surfaces.Section | None, key: str) -> Section:
    """Section with what was given laid over what its plain name stands for."""
    named = _named(given)
    section = named.section
    if given is not None:
        fields = ("thickness", "camber", "camber_position", "zero_lift_angle", "moment", "max_lift")
        laid = {f: getattr(given, f) for f in fields}
        section = Section(**vars(section) | {f: v for f, v in laid.items() if v is not None})
        if given.surface_max_lift is not None:
            return replace(section, max_lift=given.surface_max_lift, lift_is_surface=True)
        if given.max_lift is not None:
            return section
    name = (given.name if given else None) or "symmetrical"
    draft.given_or(
        None,
        f"{key}.section.max_lift",
        section.max_lift,
        "fraction",
        f"a {name} section at model size, {named.max_lift_low:g} to {named.max_lift_high:g}",
    )
    return section


def _surface_of(draft: Draft, given: surfaces.Wing | surfaces.Tail, key: str) -> Surface:
    edge = given.root_leading_edge
    wing = given if isinstance(given, surfaces.Wing) else None
    return Surface(
        span=given.span,
        root_chord=given.root_chord,
        tip_chord=given.tip_chord,
        sweep=given.sweep,
        root_station=edge.station,
        root_height=edge.height,
        section=section_of(draft, given.section, key),
        incidence=given.incidence,
        washout=wing.washout if wing else 0.0,
        dihedral=wing.dihedral if wing else 0.0,
    )


def aeroplane_of(draft: Draft, scenario: Scenario) -> Aeroplane:
    """Geometry of the scenario as the aeroplane room wants it."""
    a = scenario.aeroplane
    assert a.wing is not None and a.tail is not None and a.body is not None and a.length is not None
    flaps = a.wing.flaps
    main, nose = a.gear.main, a.gear.nose
    scrape = a.scrape_point
    end = a.wing.root_leading_edge.station + a.length  # far enough aft when nothing can scrape
    return Aeroplane(
        wing=_surface_of(draft, a.wing, "aeroplane.wing"),
        tail=Tail(
            _surface_of(draft, a.tail, "aeroplane.tail"),
            a.tail.kind,
            a.tail.elevator_chord_fraction,
            a.tail.pivot.station if a.tail.pivot else None,
        ),
        body=Body(a.length, a.body.width, a.body.depth),
        main=Axle(main.station, main.axle_height, 0.5 * main.wheel_diameter, 2, main.wheel_width),
        nose=Axle(
            nose.station,
            draft.coefficients["nose_axle_height_m"],
            0.5 * nose.wheel_diameter,
            1,
            nose.wheel_width,
        ),
        cg_station=draft.coefficients["cg_station_m"],
        cg_height=draft.coefficients["cg_height_m"],
        scrape_station=scrape.station if scrape else end,
        scrape_height=scrape.height if scrape else a.wing.root_leading_edge.height,
        flaps=Flaps(flaps.kind, flaps.inboard, flaps.outboard, flaps.chord_fraction)
        if flaps
        else None,
    )


def _flap_numbers(
    plane: Aeroplane, build: AeroBuild, base_drag: float, angle: float, which: str
) -> dict[str, float]:
    """Parameters that follow from a flap deflection; `which` is start or dropped."""
    law = fade_law(plane.flaps.kind) if plane.flaps else FadeLaw(0.0, 0.0)
    lift = "wing_max_lift_up" if which == "start" else "wing_max_lift_dropped"
    return {
        f"flap_{which}": law.effective(angle),
        f"zero_lift_drag_{which}": base_drag + flap_drag(plane, angle),
        lift: build.wing_max_lift + flap_max_lift(plane, angle),
    }


def _unusual(mass: float, plane: Aeroplane) -> list[str]:
    """Cautions about measures that look like a slip of unit or decimal point."""
    loading, slender = mass / plane.wing.area, plane.wing.aspect_ratio
    notes = []
    if not WING_LOADINGS[0] <= loading <= WING_LOADINGS[1]:
        notes.append(
            f"wing loading {loading:.3g} kg/m2 is unusual for a model: check mass, span, chords"
        )
    if not ASPECT_RATIOS[0] <= slender <= ASPECT_RATIOS[1]:
        notes.append(f"aspect ratio {slender:.3g} is unusual for a jet: check span and chords")
    return notes


def _lay_flaps(draft: Draft, scenario: Scenario, plane: Aeroplane, build: AeroBuild) -> float:
    """Flap parameters; returns the zero-lift drag with the flaps up."""
    a, pilot = scenario.aeroplane, scenario.pilot
    assert a.wing is not None
    measured = a.drag.zero_lift if a.drag else None
    base = draft.given_or(
        measured, "aeroplane.drag.zero_lift", build.zero_lift_drag, "fraction",
        "summed part by part: wing, tail, body, gear",
    )  # fmt: skip
    draft.parameters |= _flap_settings(scenario, plane, build, base, 0.0)
    start, dropped = flap_angles(scenario)
    flaps, drop = a.wing.flaps, pilot.drop_flaps
    duration = drop.duration if drop and drop.duration is not None else None
    if duration is None and flaps is not None:
        duration = flaps.travel_time
    draft.parameters["drop_duration"] = max(
        duration if duration is not None else abs(dropped - start) / FLAP_RATE, 1e-3
    )
    return base


def flap_angles(scenario: Scenario) -> tuple[float, float]:
    """Flap deflection at the start and after dropping them [rad]; zero without flaps."""
    wing, drop = scenario.aeroplane.wing, scenario.pilot.drop_flaps
    start = wing.flaps.deflection if wing and wing.flaps else 0.0
    return start, drop.to if drop else start


def _flap_settings(
    scenario: Scenario, plane: Aeroplane, build: AeroBuild, base_drag: float, lower: float
) -> dict[str, float]:
    """All that follows from the flap deflections, set `lower` [rad] more; the mixing included."""
    tail = scenario.aeroplane.tail
    assert tail is not None
    start, dropped = (angle + lower for angle in flap_angles(scenario))
    mix = (tail.flap_mix * start, tail.flap_mix * dropped)
    return {
        **_flap_numbers(plane, build, base_drag, start, "start"),
        **_flap_numbers(plane, build, base_drag, dropped, "dropped"),
        **control_numbers(scenario.pilot, tail.throw.up, tail.throw.down, mix),
    }


def _lay_tail(draft: Draft, scenario: Scenario) -> None:
    tail = scenario.aeroplane.tail
    assert tail is not None
    law = fade_law(tail.kind)
    draft.parameters |= {
        "elevator_effect": law.effect * tail.effectiveness,
        "elevator_fade": law.fade,
        "elevator_rate": draft.given_or(
            tail.throw_rate,
            "aeroplane.tail.throw_rate",
            USUAL_THROW_RATE,
            "angular_rate",
            "usual for a small servo and linkage",
        ),
        "tail_twist_per_newton": tail.twist_per_newton,
    }
    eaten = tail.flap_mix * max(flap_angles(scenario))
    if eaten > 0.0:
        draft.notes.append(f"flap mixing takes {math.degrees(eaten):.1f} deg of the up throw away")


def _tail_range(scenario: Scenario, plane: Aeroplane) -> tuple[float, float] | None:
    """Low and high maximum lift of the tail on S when it was not given."""
    given = scenario.aeroplane.tail.section if scenario.aeroplane.tail else None
    if given and (given.max_lift is not None or given.surface_max_lift is not None):
        return None
    named = _named(given)
    tail = plane.tail.surface
    low, high = (
        tail_max_lift(replace(tail, section=replace(tail.section, max_lift=v)), plane.wing.area)
        for v in (named.max_lift_low, named.max_lift_high)
    )
    return low, high


def _describe(draft: Draft, build: AeroBuild) -> None:
    free = build.table.values[0]
    draft.coefficients |= {
        "wing_area_m2": build.reference_area,
        "mean_chord_m": build.reference_chord,
        "lift_slope_per_rad": float(free[WING_LIFT][1] + free[TAIL_LIFT][1]),
        "tail_lift_per_elevator_per_rad": float(free[TAIL_LIFT][3]),
        "wing_max_lift": draft.parameters["wing_max_lift_up"],
        "wing_max_lift_flaps_dropped": draft.parameters["wing_max_lift_dropped"],
        "tail_max_lift": build.tail_max_lift,
        "zero_lift_drag": draft.parameters["zero_lift_drag_start"],
        **{f"zero_lift_drag_{part.name.replace(' ', '_')}": part.coefficient
           for part in build.drag_parts},
    }  # fmt: skip
