"""From lattice solutions at a few heights and pitch attitudes to the smooth `AeroTable`.

Free air is solved once, level. Near the strip three pitch attitudes are solved at four heights
each, from wheels-down upward; the differences to free air are carried by `u^i p^j`, i = 1..4,
j = 0..2, exactly through these twelve solutions. Below wheels-down nothing is asked for.

Tilting does something in free air too: the tail sinks out of the wing's wake. The table has no
pitch in free air (incidence and pitch part company there), so that part is kept whole at
wheels-down, where the two are one angle, and fades with height (`wake_weight`).
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.aeroplane.body import moment_slope
from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.lattice import Lattice, columns, tilt
from sim.aeroplane.panels import STRIPS, aeroplane_panels
from sim.roll.aero_table import (
    BASIS_TERMS,
    COLUMNS,
    HEIGHT_TERMS,
    PITCH_SPAN,
    PITCH_TERMS,
    WING_MOMENT,
    AeroTable,
    Array,
)

HEIGHT_SHARE = 0.30
"""`height_scale` over the wing span: with 0.25-0.35 the measured interpolation error is least."""
_NODE_SHARES = 0.5 - 0.5 * np.cos(np.pi * np.arange(1, HEIGHT_TERMS) / (HEIGHT_TERMS - 1))
_LEAST_CLEARANCE = 0.01
"""No lifting surface is put closer to the strip than this share of the span."""


@dataclass(frozen=True)
class Stance:
    """How the aeroplane can stand: attitudes [rad] and the points that touch, from the CG [m]."""

    ground_attitude: float
    strike_attitude: float
    points: tuple[tuple[float, float, float], ...]

    def lowest_height(self, theta: float) -> float:
        """CG height [m] at which the first point touches the strip at pitch `theta` [rad]."""
        return max(
            radius + x * math.sin(theta) - z * math.cos(theta) for x, z, radius in self.points
        )


def both_touch(front: tuple[float, float, float], rear: tuple[float, float, float]) -> float:
    """Pitch [rad] at which two points (x aft, z up, radius) [m] touch the strip together.

    `A cos(theta) - B sin(theta) = C`, with A and C the height and radius of `rear` over `front`.
    """
    behind, above, larger = (r - f for f, r in zip(front, rear, strict=True))
    return math.atan2(above, behind) - math.asin(larger / math.hypot(above, behind))


def stance(aeroplane: Aeroplane) -> Stance:
    """Attitudes on both axles, and on mains and scrape point, with the points that can touch."""
    station, height = aeroplane.cg_station, aeroplane.cg_height
    main, nose = (
        (axle.station - station, axle.height - height, axle.radius)
        for axle in (aeroplane.main, aeroplane.nose)
    )
    scrape = (aeroplane.scrape_station - station, aeroplane.scrape_height - height, 0.0)
    return Stance(both_touch(nose, main), both_touch(main, scrape), (main, nose, scrape))


def make_lattice(aeroplane: Aeroplane, strips: int = STRIPS, refine: int = 1) -> Lattice:
    """Panel the aeroplane; moments about the quarter point of the wing's mean chord."""
    wing, tail = aeroplane_panels(aeroplane, strips, refine)
    return Lattice(
        wing=wing,
        tail=tail,
        area=aeroplane.wing.area,
        chord=aeroplane.wing.mean_chord,
        lift_x=aeroplane.wing.quarter_station - aeroplane.cg_station,
    )


def pitch_nodes(stand: Stance) -> tuple[float, float, float]:
    """Three attitudes [rad]: on all wheels, and two up to short of tail strike.

    The roll on three wheels is thus met exactly; the last node lies at 0.86 of the way to tail
    strike, where the largest error in between is least.
    """
    rise = min(max(stand.strike_attitude - stand.ground_attitude, math.radians(6)), 0.3)
    ground = stand.ground_attitude
    return ground, ground + 0.43 * rise, ground + 0.86 * rise


def node_heights(lowest: float, height_scale: float) -> Array:
    """Four CG heights [m] down to wheels-down, spaced as `1 - cos` in u."""
    top = 1 / (1 + (lowest / height_scale) ** 2)
    return np.asarray(height_scale * np.sqrt(1 / (top * _NODE_SHARES) - 1))


def clear_height(lattice: Lattice, stand: Stance, theta: float, span: float) -> float:
    """Lowest CG height [m] to solve at `theta`: wheels-down, or a surface just off the strip."""
    x = np.concatenate([lattice.wing.nodes.reshape(-1, 3), lattice.tail.nodes.reshape(-1, 3)])
    depth = float(np.max(x[:, 0] * math.sin(theta) - x[:, 2] * math.cos(theta)))
    return max(stand.lowest_height(theta), depth + _LEAST_CLEARANCE * span)


def powers(u: Array, p: Array) -> Array:
    """The monomials u^i p^j at points, shape (points, 15), in the table's order."""
    height = u[:, None] ** np.arange(HEIGHT_TERMS)
    pitch = p[:, None] ** np.arange(PITCH_TERMS)
    return np.asarray((height[:, :, None] * pitch[:, None, :]).reshape(len(u), BASIS_TERMS))


def evaluate(table: AeroTable, height: float, theta: float) -> Array:
    """Coefficients of a table at one CG height [m] and pitch [rad], shape (32,)."""
    u = np.array([1 / (1 + (height / table.height_scale) ** 2)])
    p = np.array([PITCH_SPAN * math.tanh(theta / PITCH_SPAN)])
    return np.asarray((powers(u, p) @ table.values)[0])


def wake_weight(u: float, top: float) -> float:
    """How much of the tilt's own effect is kept, 1 at wheels-down, 0 in free air [-]."""
    share = u / top
    return share * (2 - share)


@dataclass(frozen=True)
class Solver:
    """One aeroplane's lattice, ready to be solved at any height and pitch.

    Attributes
    ----------
    lattice: its panels.
    stand: how it can stand.
    span: of the wing [m].
    body_moment: slope of the body's own moment [1/rad].
    level: coefficients in free air, body included, shape (32,).

    """

    lattice: Lattice
    stand: Stance
    span: float
    body_moment: float
    level: Array

    @property
    def height_scale(self) -> float:
        """Height at which u is one half [m]."""
        return HEIGHT_SHARE * self.span

    def share(self, height: Array) -> Array:
        """The table's u at CG heights [m]."""
        return np.asarray(1 / (1 + (height / self.height_scale) ** 2))

    def lowest(self, theta: float) -> float:
        """Lowest CG height [m] solved at a pitch [rad]."""
        return clear_height(self.lattice, self.stand, theta, self.span)

    def above_strip(self, theta: float, heights: Array) -> Array:
        """Coefficients less those of free air at one pitch [rad], shape (heights, 32)."""
        tilted = tilt(self.lattice, theta)
        bare = self.level.copy()
        bare[WING_MOMENT][1] -= self.body_moment
        drift = columns(tilted, math.inf) - bare
        top = float(self.share(np.array([self.lowest(theta)]))[0])
        return np.array(
            [
                columns(tilted, float(h)) - bare - (1 - wake_weight(float(u), top)) * drift
                for h, u in zip(heights, self.share(heights), strict=True)
            ]
        )


def make_solver(aeroplane: Aeroplane) -> Solver:
    """Panel an aeroplane and solve it in free air."""
    lattice = make_lattice(aeroplane)
    slope = moment_slope(aeroplane.body, lattice.area, lattice.chord)
    level = columns(tilt(lattice, 0.0), math.inf)
    level[WING_MOMENT][1] += slope
    return Solver(lattice, stance(aeroplane), aeroplane.wing.span, slope, level)


def build_table(solver: Solver) -> AeroTable:
    """Solve the lattice at thirteen places over the strip and lay the table through them."""
    bases, solved = [], []
    for theta in pitch_nodes(solver.stand):
        heights = node_heights(solver.lowest(theta), solver.height_scale)
        pitch = np.full(len(heights), PITCH_SPAN * math.tanh(theta / PITCH_SPAN))
        bases.append(powers(solver.share(heights), pitch)[:, PITCH_TERMS:])
        solved.append(solver.above_strip(theta, heights))
    values = np.zeros((BASIS_TERMS, COLUMNS))
    values[0] = solver.level
    values[PITCH_TERMS:] = np.linalg.solve(np.concatenate(bases), np.concatenate(solved))
    return AeroTable(values=values, height_scale=solver.height_scale)
