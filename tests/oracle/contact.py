"""Contacts of the oracle: Lagrange's equations with multipliers in (X, Z, theta).

Gap g_i(q) = Z + r_iz(theta) - R_i, its Jacobian row G_i = (0, 1, r_ix); the axle's own place
X + r_ix has the row H_i = (1, 0, -r_iz). A load N_i with its friction s mu_i N_i against X does
the generalised forces N_i (G_i - s mu_i H_i), so that

    [ M   -(G - s mu H)^T ] [ qddot ]   [      Q      ]
    [ G          0        ] [   N   ] = [ -Gdot qdot  ],   Gdot qdot = -r_iz omega^2
"""

import itertools
import math

import numpy as np
from scipy.optimize import brentq

from sim.roll.parameters import Parameters

MAIN, NOSE, AFT = 0, 1, 2
NAMES = ("main", "nose", "aft")
Touching = tuple[int, ...]
Triple = tuple[float, float, float]
Solution = tuple[list[float], dict[int, float]]


class Contacts:
    """Geometry and inertia of one aeroplane and its three contact points."""

    def __init__(self, p: Parameters) -> None:
        self.mass, self.inertia = float(p.mass), float(p.pitch_inertia)
        self.weight = self.mass * float(p.gravity)
        self.x = [float(v) for v in (p.main_x, p.nose_x, p.aft_x)]
        self.z = [float(v) for v in (p.main_z, p.nose_z, p.aft_z)]
        self.radius = [float(p.main_radius), float(p.nose_radius), 0.0]
        self.friction = [float(v) for v in (p.main_friction, p.nose_friction, p.aft_friction)]

    def arm(self, i: int, theta: float) -> tuple[float, float]:
        """Point i from the CG along X and Z [m]."""
        s, c = math.sin(theta), math.cos(theta)
        return self.x[i] * c - self.z[i] * s, self.x[i] * s + self.z[i] * c

    def gap(self, i: int, height: float, theta: float) -> float:
        """Distance of the lowest point of contact i from the strip [m]."""
        return height + self.arm(i, theta)[1] - self.radius[i]

    def pitch_on(self, i: int, j: int) -> float:
        """Pitch at which both gaps are zero at once [rad]."""
        front, back = (i, j) if self.x[i] > self.x[j] else (j, i)
        dx, dz = self.x[front] - self.x[back], self.z[front] - self.z[back]
        rise = (self.radius[front] - self.radius[back]) / math.hypot(dx, dz)
        return math.asin(rise) - math.atan2(dz, dx)

    def project(self, touching: Touching, q: list[float], qdot: list[float]) -> None:
        """Take the integrator's drift off: gaps and normal speeds of `touching` to zero."""
        if not touching:
            return
        if len(touching) == 2:
            q[2], qdot[2] = self.pitch_on(*touching), 0.0
        r_x, r_z = self.arm(touching[0], q[2])
        q[1], qdot[1] = self.radius[touching[0]] - r_z, -r_x * qdot[2]

    def _system(self, theta: float, touching: Touching, s: float) -> np.ndarray:
        n = len(touching)
        matrix = np.zeros((3 + n, 3 + n))
        matrix[0, 0] = matrix[1, 1] = self.mass
        matrix[2, 2] = self.inertia
        for k, i in enumerate(touching, start=3):
            r_x, r_z = self.arm(i, theta)
            normal, axle = (0.0, 1.0, r_x), (1.0, 0.0, -r_z)
            for row in range(3):
                matrix[row, k] = s * self.friction[i] * axle[row] - normal[row]
                matrix[k, row] = normal[row]
        return matrix

    def accelerate(
        self, theta: float, omega: float, force: Triple, touching: Touching, s: float
    ) -> Solution:
        """Solve for (Xddot, Zddot, thetaddot) and the loads, friction factor s given."""
        right = list(force)
        for i in touching:
            right.append(self.arm(i, theta)[1] * omega * omega)
        out = np.linalg.solve(self._system(theta, touching, s), right).tolist()
        return out[:3], dict(zip(touching, out[3:], strict=True))

    def rest_factor(
        self, theta: float, omega: float, force: Triple, touching: Touching
    ) -> float | None:
        """Friction factor in [-1, 1] that keeps V at zero; None where friction cannot hold."""

        def surge(s: float) -> float:
            return self.accelerate(theta, omega, force, touching, s)[0][0]

        forward, backward = surge(1.0), surge(-1.0)
        if not forward <= 0.0 <= backward:
            return None
        if forward == 0.0 or backward == 0.0:
            return 1.0 if forward == 0.0 else -1.0
        return float(brentq(surge, -1.0, 1.0, xtol=1e-15, rtol=1e-14))

    def normal_acceleration(self, i: int, theta: float, omega: float, qddot: list[float]) -> float:
        """Second derivative of a gap [m/s2]."""
        r_x, r_z = self.arm(i, theta)
        return qddot[1] + r_x * qddot[2] - r_z * omega * omega

    def hit(
        self, theta: float, qdot: list[float], points: Touching, s: float, active: Touching
    ) -> tuple[list[float], dict[int, float], dict[int, float]]:
        """Speeds after, impulses and normal speeds after when exactly `active` are stopped."""
        momentum = [self.mass * qdot[0], self.mass * qdot[1], self.inertia * qdot[2]]
        right = momentum + [0.0] * len(active)
        out = np.linalg.solve(self._system(theta, active, s), right).tolist()
        impulses = dict.fromkeys(points, 0.0) | dict(zip(active, out[3:], strict=True))
        after = {i: out[1] + self.arm(i, theta)[0] * out[2] for i in points}
        return out[:3], impulses, after | dict.fromkeys(active, 0.0)

    def impact(
        self, theta: float, qdot: list[float], points: Touching, s: float
    ) -> tuple[list[float], dict[int, float], dict[int, float]]:
        """Enumerate the subsets for J >= 0, v >= 0, J v = 0; the most decided one."""
        best, margin = None, -math.inf
        scale = max(abs(qdot[1] + self.arm(i, theta)[0] * qdot[2]) for i in points)
        for size in range(min(len(points), 2) + 1):
            for active in itertools.combinations(points, size):
                trial = self.hit(theta, qdot, points, s, active)
                values = [trial[1][i] / self.mass if i in active else trial[2][i] for i in points]
                if min(values) > margin:
                    best, margin = trial, min(values)
        if best is None or margin < -1e-9 * scale:
            raise ArithmeticError(f"no subset of impulses fits: {points}, margin {margin}")
        return best

    def kinetic(self, qdot: list[float]) -> float:
        """Kinetic energy [J]."""
        moving = self.mass * (qdot[0] ** 2 + qdot[1] ** 2)
        return 0.5 * (moving + self.inertia * qdot[2] ** 2)
