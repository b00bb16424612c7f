"""What the air asks of a servo."""

from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array


def servo_torque(hinge_moment: Array, ratio: float, count: int) -> Array:
    """Torque at one servo [N m].

    `T = |H|/(r n)`, r the servo's turn over the surface's turn near neutral (length of the horn
    over length of the arm), n servos alike [N m -> N m]. Range: linkages near square to their arms,
    without friction. Worked: 0.9 N m at a horn of 18 mm on an arm of 12 mm, two servos: 0.30 N m.
    Source: virtual work, statics.
    """
    return np.asarray(np.abs(hinge_moment) / (ratio * count))


def stall_speed(speeds: Array, torque: Array, rated: float) -> float:
    """Lowest speed at which the torque asked for passes the rated one [m/s]; inf if none does.

    Straight between neighbouring speeds, shape (n,), rising. Worked: torque 0.001 V^2 on a fine
    grid, rated 0.4 N m: 20 m/s. Source: interpolation.
    """
    over = np.flatnonzero(torque > rated)
    if not over.size:
        return float("inf")
    i = int(over[0])
    if i == 0:
        return float(speeds[0])
    share = (rated - torque[i - 1]) / (torque[i] - torque[i - 1])
    return float(speeds[i - 1] + share * (speeds[i] - speeds[i - 1]))


@dataclass(frozen=True)
class Hinge:
    """A flap or elevator on one half, cut into strips.

    Attributes
    ----------
    widths, chords: of the surface's strips, shape (s,) [m].
    covered: share of each strip's width that the flap covers, shape (s,) [-].
    chord_fraction: flap chord over chord [-].
    per_lift, per_angle: hinge-moment coefficient per section lift, and per deflection with that
        lift held [-, 1/rad].

    """

    widths: Array
    chords: Array
    covered: Array
    chord_fraction: float
    per_lift: float
    per_angle: float

    def moment(self, pressure: Array, lift: Array, angle: Array) -> Array:
        """Hinge moment of both halves, trailing edge down positive [N m].

        `H = 2 sum of q (a c_l + b delta) (E c)^2 w` [Pa, m -> N m], `c_l = L/(q c w)` of the strip.
        Range: attached flow, small angles; theory is above measurement. Worked: q 300 Pa, E 0.25,
        chord 0.2 m, width 0.3 m, c_l 0.5, 15 deg gives -0.0908 N m. Source: Glauert, R&M 1095, and
        strip theory.

        Parameters
        ----------
        pressure
            dynamic pressure, shape (n,) [Pa].
        lift
            of each strip of one half, shape (s, n) [N].
        angle
            deflection, trailing edge down, shape (n,) [rad].

        """
        own = (self.chord_fraction * self.chords) ** 2 * self.widths * self.covered
        by_lift = self.per_lift * (own / (self.chords * self.widths)) @ lift
        by_angle = self.per_angle * own.sum() * pressure * angle
        return np.asarray(2.0 * (by_lift + by_angle))
