"""From lattice solutions at a few heights and pitch attitudes to the smooth `AeroTable`.

Free air is solved once, level. Near the strip three pitch attitudes are solved at four heights
each, from wheels-down upward; the differences to free air are carried by `u^i p^j`, i = 1..4,
j = 0..2, exactly through these twelve solutions. Below wheels-down nothing is asked for.
"""

import math
from dataclasses import dataclass

import numpy as np

from sim.aeroplane.body import moment_slope
from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.lattice import Lattice, columns, tilt
from sim.aeroplane.panels import aeroplane_panels
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
"""`height_scale` over the wing span; chosen where the measured interpolation error is least."""
_HEIGHT_NODES = 0.5 - 0.5 * np.cos(np.pi * np.arange(1, HEIGHT_TERMS) / (HEIGHT_TERMS - 1))
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


def stance(aeroplane: Aeroplane) -> Stance:
    """Attitudes on both axles and on mains and scrape point; points as (x aft, z up, radius)."""
    main, nose = aeroplane.main, aeroplane.nose
    rise = (nose.height - nose.radius) - (main.height - main.radius)
    # both gaps are zero at once; with unequal radii tan is good to the second order
    ground = -math.atan2(rise, main.station - nose.station)
    lift = aeroplane.scrape_height - (main.height - main.radius)
    strike = math.atan2(lift, aeroplane.scrape_station - main.station)
    station, height = aeroplane.cg_station, aeroplane.cg_height
    points = (
        (main.station - station, main.height - height, main.radius),
        (nose.station - station, nose.height - height, nose.radius),
        (aeroplane.scrape_station - station, aeroplane.scrape_height - height, 0.0),
    )
    return Stance(ground, strike, points)


def make_lattice(aeroplane: Aeroplane, strips: int = 12, refine: int = 1) -> Lattice:
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
    """Three attitudes [rad] from a little below the ground attitude to about tail strike."""
    low = stand.ground_attitude - math.radians(3)
    high = min(max(stand.strike_attitude, low + math.radians(10)), low + math.radians(20))
    return low, 0.5 * (low + high), high


def node_heights(lowest: float, height_scale: float) -> Array:
    """Four CG heights [m], from wheels-down up, even in `1 - cos` of u."""
    top = 1 / (1 + (lowest / height_scale) ** 2)
    return np.asarray(height_scale * np.sqrt(1 / (top * _HEIGHT_NODES[::-1]) - 1))


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


def build_table(aeroplane: Aeroplane) -> AeroTable:
    """Solve the lattice at thirteen places and lay the table through them."""
    lattice, stand = make_lattice(aeroplane), stance(aeroplane)
    scale = HEIGHT_SHARE * aeroplane.wing.span
    free = columns(tilt(lattice, 0.0), math.inf)
    u, p, solved = [], [], []
    for theta in pitch_nodes(stand):
        tilted = tilt(lattice, theta)
        lowest = clear_height(lattice, stand, theta, aeroplane.wing.span)
        for height in node_heights(lowest, scale):
            u.append(1 / (1 + (height / scale) ** 2))
            p.append(PITCH_SPAN * math.tanh(theta / PITCH_SPAN))
            solved.append(columns(tilted, float(height)) - free)
    values = np.zeros((BASIS_TERMS, COLUMNS))
    basis = powers(np.array(u), np.array(p))[:, PITCH_TERMS:]
    values[PITCH_TERMS:] = np.linalg.solve(basis, np.array(solved))
    free[WING_MOMENT][1] += moment_slope(aeroplane.body, lattice.area, lattice.chord)
    values[0] = free
    return AeroTable(values=values, height_scale=scale)
