"""Zero-lift drag built up from its parts: skin friction, shape, wheels and legs, openings.

Each part is a drag area over the wing area S, to be overridden as a whole by a measured value.
Model-size Reynolds numbers (1e5 to 1e6) are taken at their real value; the flow is taken as
turbulent but for `LAMINAR_SHARE`: moulded foam and covering joints trip it early.
"""

import math
from dataclasses import dataclass

from sim.aeroplane.geometry import Aeroplane, Axle, Body, Surface

LAMINAR_SHARE = 0.10
"""Share of the length that stays laminar [-]: judged (Raymer, table 12.4, gives 0.10 for production
metal wings and 0.05 for bodies; from memory)."""
WHEEL_DRAG = 0.25
"""On the frontal area of wheel and tyre [-]. Raymer, table 12.6 (from memory); Hoerner,
Fluid-Dynamic Drag, ch. 13, gives 0.3 for bare wheels (from memory)."""
LEG_DRAG = 1.1
"""Round leg wire across the stream, Reynolds number 1e3 to 1e5 [-].
Hoerner, ch. 3 (from memory)."""
LEG_THICKNESS_SHARE = 0.075
"""Leg diameter over wheel diameter [-]: about 5 mm wire with 65 mm wheels, judged."""
WHEEL_WIDTH_SHARE = 0.35
"""Wheel width over diameter [-] when not measured, judged."""
GEAR_INTERFERENCE = 1.2
"""Legs meeting wheels and body [-]. Raymer, section 12.5 (from memory)."""
FIN_SHARE = 0.12
"""Fin area over wing area [-] when not measured, judged."""
OPENINGS_SHARE = 0.15
"""Gaps, hinges, horns, inlets and outlets on top of the clean surfaces [-]. Raymer gives 5-10 % for
leakage and protuberances (from memory); judged higher for ducted-fan models."""
SURFACE_INTERFERENCE = 1.05
"""Tail and fin junctions [-]. Raymer, section 12.5: 1.04-1.05 (from memory)."""


@dataclass(frozen=True)
class DragPart:
    """One part of the zero-lift drag: coefficient on S [-] and the height it acts at [m]."""

    name: str
    coefficient: float
    height: float


@dataclass(frozen=True)
class Stream:
    """The air it is worked out for: airspeed [m/s], density [kg/m3], viscosity [Pa s]."""

    airspeed: float
    density: float = 1.225
    viscosity: float = 1.789e-5

    def reynolds(self, length: float) -> float:
        """Reynolds number on a length [m], never under 1e4 [-]."""
        return max(1e4, self.density * self.airspeed * length / self.viscosity)


def friction(reynolds: float) -> float:
    """Skin friction of a flat plate, one side, mostly turbulent [-].

    `x 1.328/sqrt(Re) + (1 - x) 0.455/(log10 Re)^2.58`, x = 0.10. Range: 1e4 < Re < 1e9. Worked:
    Re 3.6e5 gives 0.00513 (turbulent alone 0.00545). Source: Blasius; Prandtl and Schlichting, in
    Raymer, eq. 12.26-12.27 and Schlichting, Boundary-Layer Theory, ch. 21.
    """
    laminar = 1.328 / math.sqrt(reynolds)
    turbulent = 0.455 * math.exp(-2.58 * math.log(math.log10(reynolds)))
    return LAMINAR_SHARE * laminar + (1 - LAMINAR_SHARE) * turbulent


def surface_form_factor(thickness: float) -> float:
    """Growth of a surface's friction by its thickness [-].

    `1 + 2 t + 60 t^4`. Range: t/c to 0.25. Worked: 0.09 gives 1.1839. Source: Hoerner,
    Fluid-Dynamic Drag (1965), ch. 6 eq. 6 (from memory).
    """
    return 1 + 2 * thickness + 60 * thickness**4


def body_form_factor(fineness: float) -> float:
    """Growth of a body's friction by its shape [-].

    `1 + 60/f^3 + f/400`. Range: fineness over 4. Worked: f = 10 gives 1.085. Source: Raymer,
    eq. 12.31 (from memory).
    """
    return 1 + 60 / fineness**3 + fineness / 400


def surface_drag(surface: Surface, exposed_area: float, stream: Stream, wing_area: float) -> float:
    """Zero-lift drag of a lifting surface on S [-].

    `Cf FF Swet/S`, `Swet = 2 (1 + 0.2 t/c) exposed area`. Range: as its parts. Worked: exposed
    0.27 m2, t/c 0.09, c 0.354 m, 15 m/s, S 0.3275 m2: 0.0102. Source: Raymer, section 12.5.
    """
    thickness = surface.section.thickness
    wetted = 2 * (1 + 0.2 * thickness) * exposed_area
    rub = friction(stream.reynolds(surface.mean_chord))
    return rub * surface_form_factor(thickness) * wetted / wing_area


def body_wetted_area(body: Body) -> float:
    """Wetted area of the fuselage [m2]: 0.8 of an elliptic cylinder's, ends tapered (judged)."""
    a, b = 0.5 * body.width, 0.5 * body.depth
    around = math.pi * (3 * (a + b) - math.sqrt((3 * a + b) * (a + 3 * b)))
    return 0.8 * around * body.length


def body_drag(body: Body, stream: Stream, wing_area: float) -> float:
    """Zero-lift drag of the fuselage on S [-].

    `Cf FF Swet/S`. Range: fineness over 4. Worked: 1.28 x 0.13 x 0.12 m, 15 m/s, S 0.3275 m2:
    0.0052. Source: Raymer, section 12.5.
    """
    fineness = body.length / math.sqrt(body.width * body.depth)
    rub = friction(stream.reynolds(body.length))
    return rub * body_form_factor(fineness) * body_wetted_area(body) / wing_area


def wheel_drag(axle: Axle, wing_area: float) -> float:
    """Drag of an axle's wheels on S [-].

    `n 0.25 D w/S`. Range: bare wheels. Worked: two of 64 x 22.4 mm, S 0.3275 m2: 0.00263.
    Source: `WHEEL_DRAG`.
    """
    diameter = 2 * axle.radius
    width = WHEEL_WIDTH_SHARE * diameter if axle.width is None else axle.width
    return axle.wheels * WHEEL_DRAG * diameter * width * GEAR_INTERFERENCE / wing_area


def leg_drag(axle: Axle, leg_length: float, wing_area: float) -> float:
    """Drag of an axle's legs on S [-].

    `n 1.1 d length/S` times interference 1.2. Range: round wire, Re 1e3-1e5. Worked: two of 4.8 mm,
    60 mm long, S 0.3275 m2: 0.00232. Source: `LEG_DRAG`.
    """
    thickness = LEG_THICKNESS_SHARE * 2 * axle.radius
    return axle.wheels * LEG_DRAG * thickness * leg_length * GEAR_INTERFERENCE / wing_area


def body_height(aeroplane: Aeroplane) -> float:
    """Height of the middle of the body [m]; taken at the wing root when not measured."""
    given = aeroplane.body.centre_height
    return aeroplane.wing.root_height if given is None else given


def _exposed(surface: Surface, width: float) -> float:
    """Area outside a body of that width [m2]."""
    return surface.area_between(min(0.5 * width, 0.9 * surface.half_span), surface.half_span)


def drag_parts(aeroplane: Aeroplane, stream: Stream) -> tuple[DragPart, ...]:
    """Every part of the zero-lift drag, flaps up and gear down, in a fixed order."""
    wing, tail, area = aeroplane.wing, aeroplane.tail.surface, aeroplane.wing.area
    middle, body = body_height(aeroplane), aeroplane.body
    fin_area = FIN_SHARE * area if aeroplane.fin_area is None else aeroplane.fin_area
    fin = surface_drag(tail, fin_area, stream, area) * SURFACE_INTERFERENCE
    clean = [
        DragPart(
            "wing",
            surface_drag(wing, _exposed(wing, body.width), stream, area),
            wing.mean_chord_height,
        ),
        DragPart(
            "tail",  # half as wide a body there
            surface_drag(tail, _exposed(tail, 0.5 * body.width), stream, area)
            * SURFACE_INTERFERENCE,
            tail.mean_chord_height,
        ),
        DragPart("fin", fin, middle + 0.5 * body.depth + 0.4 * math.sqrt(fin_area)),
        DragPart("body", body_drag(body, stream, area), middle),
    ]
    rough = OPENINGS_SHARE * sum(part.coefficient for part in clean)
    return (*clean, DragPart("openings and gaps", rough, middle), *_gear_parts(aeroplane))


def _gear_parts(aeroplane: Aeroplane) -> tuple[DragPart, ...]:
    """Wheels and legs of both axles."""
    parts = []
    belly = body_height(aeroplane) - 0.5 * aeroplane.body.depth
    for name, axle in (("main", aeroplane.main), ("nose", aeroplane.nose)):
        length = max(0.0, belly - axle.height)
        parts.append(DragPart(f"{name} wheels", wheel_drag(axle, aeroplane.wing.area), axle.height))
        parts.append(
            DragPart(
                f"{name} legs",
                leg_drag(axle, length, aeroplane.wing.area),
                axle.height + 0.5 * length,
            )
        )
    return tuple(parts)


def total_drag(parts: tuple[DragPart, ...]) -> float:
    """Sum of the parts on S [-]."""
    return sum(part.coefficient for part in parts)


def drag_height(parts: tuple[DragPart, ...]) -> float:
    """Height [m] of the line of the zero-lift drag: parts weighted by what they drag."""
    return sum(part.coefficient * part.height for part in parts) / total_drag(parts)
