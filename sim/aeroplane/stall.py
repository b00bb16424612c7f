"""Largest lift of wing and tail: from section to surface, and sections known by a plain name.

The tail's maximum lift is the largest aerodynamic uncertainty of a take-off: treat it as a range.
"""

import math
from dataclasses import dataclass

from sim.aeroplane.geometry import Section, Surface
from sim.aeroplane.section import zero_lift_angle


@dataclass(frozen=True)
class NamedSection:
    """A section known by a plain name; `max_lift_low` and `max_lift_high` bound its estimate."""

    section: Section
    max_lift_low: float
    max_lift_high: float


NAMED_SECTIONS: dict[str, NamedSection] = {
    # Estimates at chord Reynolds numbers of 1e5 to 5e5, marked so wherever they are shown.
    # Range judged after: flat plates 0.7-0.9 and thin symmetrical sections 0.8-1.1 at such
    # numbers; cambered ones 1.0-1.5 (Selig & Guglielmo 1997 for the fall with Reynolds number).
    "flat foam": NamedSection(Section(0.03, max_lift=0.75), 0.60, 0.90),
    "symmetrical": NamedSection(Section(0.09, max_lift=0.95), 0.80, 1.10),
    "semi-symmetrical": NamedSection(Section(0.11, 0.02, 0.4, max_lift=1.15), 0.95, 1.35),
    "cambered": NamedSection(Section(0.08, 0.05, 0.45, max_lift=1.35), 1.10, 1.60),
}


def named_section(name: str) -> NamedSection:
    """Look up a section by plain name; KeyError lists what is known."""
    if name not in NAMED_SECTIONS:
        raise KeyError(f"{name!r}: known sections are {', '.join(sorted(NAMED_SECTIONS))}")
    return NAMED_SECTIONS[name]


def section_min_lift(section: Section) -> float:
    """Magnitude of the largest downward lift coefficient [-].

    `max_lift - 2 cl0`, `cl0 = -2 pi alpha_L0`: camber shifts both limits by about the lift at zero
    incidence; never under 0.3. Range: camber to 5 %. Worked: 2412 with 1.68 gives 1.22 (measured
    about 1.25 at Re 6e6, NACA Report 824, from memory). Source: our fit to that report.
    """
    shift = max(0.0, -2 * math.pi * zero_lift_angle(section))
    return max(0.3, section.max_lift - 2 * shift)


def surface_max_lift(surface: Surface) -> float:
    """Maximum lift coefficient of a surface on its own area [-].

    `0.9 clmax cos(quarter-chord sweep)` unless given for the surface. Range: aspect ratio over 2.5,
    sweep under 40 deg, no strong taper below 0.3. Worked: clmax 1.0, 20 deg: 0.8457.
    Source: Raymer, Aircraft Design, eq. 12.15 (from memory).
    """
    return _of_whole_surface(surface, surface.section.max_lift)


def surface_min_lift(surface: Surface) -> float:
    """Magnitude of the largest downward lift coefficient of a surface on its own area [-]."""
    return _of_whole_surface(surface, section_min_lift(surface.section))


def _of_whole_surface(surface: Surface, section_lift: float) -> float:
    if surface.section.lift_is_surface:
        return section_lift
    return 0.9 * section_lift * math.cos(surface.sweep_at(0.25))


def tail_max_lift(tail: Surface, wing_area: float) -> float:
    """Largest tail lift, the lesser of up and down, on the wing's area [-].

    `CLmax St/S`. A tail mostly pulls down, so of a cambered tail the weaker side is taken. Range:
    as `surface_max_lift`. Worked: 0.75 with St/S = 0.22 gives 0.165. Source: definition.
    """
    return min(surface_max_lift(tail), surface_min_lift(tail)) * tail.area / wing_area
