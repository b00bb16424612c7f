"""Loads on a wheel: touchdown and rough ground. Orders of magnitude, and said to be so."""

from math import pi, sqrt

REFERENCE = 0.1
"""Spatial frequency at which ISO 8608 names its classes [cycles/m]."""
ROUGHNESS: dict[str, float] = {
    name: 16e-6 * 4.0**step for step, name in enumerate(("A", "B", "C", "D", "E", "F", "G", "H"))
}
"""Displacement spectrum `Gd(n0)` at the middle of each class of ISO 8608 [m3]: A 16e-6, every class
four times the one before (from memory)."""
DAMPING = 0.15
"""Damping of a sprung leg with its tyre over the critical one [-]; judgement, 0.1 to 0.3."""
PEAK = 3.0
"""Peak over root mean square: passed by one peak in some ninety of a narrow band (Rayleigh)."""
LIFT_AT_TOUCH = 2.0 / 3.0
"""Lift over weight as it touches, the most 14 CFR 23.473 allows for (from memory)."""


def touchdown_load(mass: float, gravity: float, sink: float, stiffness: float) -> float:
    """Largest load of all legs together, straight springs without damping [N].

    `F = W' + sqrt(W'^2 + k m v^2)`, `W' = (1 - L/W) m g` with L/W 2/3: work of weight and sinking
    into the spring, `m v^2/2 + W' s = k s^2/2` [kg, m/s2, m/s, N/m -> N]. Range: small pitch,
    legs that do not bottom. Worked: 3 kg, 9.80665, 1 m/s, 10 kN/m gives 183.3 N. Source: energy;
    14 CFR 23.473, 23.725 (from memory).
    """
    weight = (1.0 - LIFT_AT_TOUCH) * mass * gravity
    return weight + sqrt(weight**2 + stiffness * mass * sink**2)


def velocity_spectrum(roughness: float, speed: float) -> float:
    """Spectrum of the ground's vertical velocity under a wheel [m2/s2 per Hz], flat.

    `G = (2 pi n0)^2 Gd(n0) V`, from `Gd(n) = Gd(n0) (n/n0)^-2` and `f = n V` [m3, m/s -> m2/s].
    Worked: class D, 1024e-6 m3, 15 m/s gives 6.064e-3. Source: ISO 8608 (from memory).
    """
    return (2.0 * pi * REFERENCE) ** 2 * roughness * speed


def rough_acceleration(spectrum: float, natural: float, damping: float = DAMPING) -> float:
    """Root mean square of the spring's push on a mass over its wheel, over the mass [m/s2].

    `a = sqrt(G w^3/(8 zeta))`, the exact mean square of one mass on a spring and damper over a
    ground whose velocity is white; the tyre's own mass left out [m2/s, rad/s, -]. Range: an order
    of magnitude; beyond 1 g the wheel hops and the sum no longer holds. Worked: G 6.064e-3,
    44 rad/s, 0.15 gives 20.7. Source: Crandall & Mark, Random Vibration (from memory); checked by
    quadrature.
    """
    return sqrt(spectrum * natural**3 / (8.0 * damping))


def rough_load(static: float, gravity: float, stiffness: float, spectrum: float) -> float:
    """Peak load of one wheel on rough ground [N].

    `F = N + 3 m a`, m = N/g the mass the wheel carries, a by `rough_acceleration` at
    `w = sqrt(k/m)` [N, m/s2, N/m]. Worked: 10 N, 9.80665, 1970 N/m, G 6.064e-3 gives 73.4 N.
    Source: as above; three times the root mean square is a judgement.
    """
    mass = static / gravity
    return static + PEAK * mass * rough_acceleration(spectrum, sqrt(stiffness / mass))
