"""What a tape measure gives: lifting surfaces, flaps, tail, body and wheels [SI, rad].

Stations are aft-positive and heights up-positive in the builder's own datum; only differences
count. Spanwise places are measured from the centreline. All objects are frozen and hashable, so
that whatever is computed from them can be kept and found again.
"""

import math
from dataclasses import dataclass
from typing import Literal

FlapKind = Literal["plain", "split", "slotted"]
TailKind = Literal["all-moving", "hinged"]


@dataclass(frozen=True)
class Section:
    """An aerofoil section.

    Attributes
    ----------
    thickness: largest thickness over chord [-].
    camber: largest height of the 4-digit mean line over chord [-].
    camber_position: its place behind the leading edge over chord [-].
    zero_lift_angle: given angle of zero lift [rad]; None: from the mean line.
    moment: given moment coefficient about the quarter chord [-]; None: from the mean line.
    max_lift: largest lift coefficient [-].
    lift_is_surface: True when `max_lift` holds for the whole surface, not the section.

    """

    thickness: float
    camber: float = 0.0
    camber_position: float = 0.4
    zero_lift_angle: float | None = None
    moment: float | None = None
    max_lift: float = 1.0
    lift_is_surface: bool = False


@dataclass(frozen=True)
class Flaps:
    """Trailing-edge flaps between two spanwise places [m], both sides; chord as a fraction [-]."""

    kind: FlapKind
    inboard: float
    outboard: float
    chord_fraction: float


@dataclass(frozen=True)
class Surface:
    """A straight-tapered lifting surface, carried through to the centreline.

    Attributes
    ----------
    span, root_chord, tip_chord: tip to tip, on the centreline, at the tip [m].
    sweep: of the leading edge, aft positive [rad].
    root_station, root_height: leading edge on the centreline, builder's datum [m].
    incidence: of the root chord to the reference line, nose up positive [rad].
    washout: tip nose-down relative to the root [rad].
    dihedral: tips up positive [rad].
    section: the aerofoil.

    """

    span: float
    root_chord: float
    tip_chord: float
    sweep: float
    root_station: float
    root_height: float
    section: Section
    incidence: float = 0.0
    washout: float = 0.0
    dihedral: float = 0.0

    @property
    def half_span(self) -> float:
        """Centreline to tip [m]."""
        return 0.5 * self.span

    @property
    def taper(self) -> float:
        """Tip chord over root chord [-]."""
        return self.tip_chord / self.root_chord

    @property
    def area(self) -> float:
        """Planform area, the part inside the body included [m2]."""
        return 0.5 * self.span * (self.root_chord + self.tip_chord)

    @property
    def aspect_ratio(self) -> float:
        """Span squared over area [-]."""
        return self.span**2 / self.area

    @property
    def mean_chord(self) -> float:
        """Mean aerodynamic chord, integral of c^2 dy over integral of c dy [m]."""
        t = self.taper
        return 2 / 3 * self.root_chord * (1 + t + t * t) / (1 + t)

    @property
    def mean_chord_place(self) -> float:
        """Spanwise place where the chord equals the mean aerodynamic chord [m]."""
        t = self.taper
        return self.span / 6 * (1 + 2 * t) / (1 + t)

    @property
    def quarter_station(self) -> float:
        """Station of the quarter point of the mean aerodynamic chord [m]."""
        return self.leading_edge_at(self.mean_chord_place) + 0.25 * self.mean_chord

    @property
    def mean_chord_height(self) -> float:
        """Height of the surface where the mean aerodynamic chord lies [m]."""
        return self.root_height + self.mean_chord_place * math.tan(self.dihedral)

    def chord_at(self, place: float) -> float:
        """Chord [m] at a spanwise place [m]."""
        return self.root_chord + (self.tip_chord - self.root_chord) * place / self.half_span

    def leading_edge_at(self, place: float) -> float:
        """Station [m] of the leading edge at a spanwise place [m]."""
        return self.root_station + place * math.tan(self.sweep)

    def sweep_at(self, fraction: float) -> float:
        """Sweep [rad] of the line through the chord fraction `fraction` [-]."""
        narrowing = (self.tip_chord - self.root_chord) / self.half_span
        return math.atan(math.tan(self.sweep) + fraction * narrowing)

    def area_between(self, inboard: float, outboard: float) -> float:
        """Area [m2] of both sides between two spanwise places [m]."""
        return (outboard - inboard) * (self.chord_at(inboard) + self.chord_at(outboard))


@dataclass(frozen=True)
class Tail:
    """The horizontal tail.

    Attributes
    ----------
    surface: its planform.
    kind: "all-moving" or "hinged".
    elevator_chord_fraction: hinged share of the chord [-], for a hinged tail.
    pivot_station: axis of an all-moving tail [m], used for loads only.

    """

    surface: Surface
    kind: TailKind
    elevator_chord_fraction: float | None = None
    pivot_station: float | None = None


@dataclass(frozen=True)
class Body:
    """The fuselage: largest length, width, depth [m]; height of its middle (None: at the wing)."""

    length: float
    width: float
    depth: float
    centre_height: float | None = None


@dataclass(frozen=True)
class Axle:
    """Wheels on one axle: place, radius and width [m]; `wheels` of them abreast."""

    station: float
    height: float
    radius: float
    wheels: int = 1
    width: float | None = None


@dataclass(frozen=True)
class Aeroplane:
    """Everything measured that shapes the aerodynamics; places in the builder's datum [m].

    `strips` is no measure: of each part of the half span, how many strips the lattice has there.
    None: by their widths. A study keeps them, so that its numbers do not step where a width does.
    """

    wing: Surface
    tail: Tail
    body: Body
    main: Axle
    nose: Axle
    cg_station: float
    cg_height: float
    scrape_station: float
    scrape_height: float
    flaps: Flaps | None = None
    fin_area: float | None = None
    strips: tuple[int, ...] | None = None
