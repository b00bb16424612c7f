"""The small numeric object in which both roads, lattice and given coefficients, end.

Every aerodynamic coefficient is linear in the five inputs (1, alpha, flap, elevator, q), the
induced drag a quadratic form in the first four, and each number varies smoothly with height
and, near the ground, with pitch:

    u = 1 / (1 + (Z / height_scale)^2)          Z: height above the strip [m]; u = 0 in free air
    p = 0.35 tanh(theta / 0.35)                 theta: pitch from the strip [rad]
    c(Z, theta) = sum_ij values[3 i + j, column] u^i p^j      i = 0..4, j = 0..2

Z is the height of a point of the aeroplane, `table_x` and `table_z` of the parameters, and q turns
about it: a table made of geometry takes the lift point and knows nothing of the CG.

The inputs: alpha [rad] of the reference line, in lift and moment as that point meets the air, in
drag and downwash as the CG does; flap and elevator are *effective* deflections
[rad] (trailing edge down for the flap, up for the elevator); q = thetadot c / (2 U) [-].
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

INDUCED_PAIRS = tuple((i, j) for i in range(4) for j in range(i, 4))
HEIGHT_TERMS = 5
PITCH_TERMS = 3
BASIS_TERMS = HEIGHT_TERMS * PITCH_TERMS
PITCH_SPAN = 0.35

WING_LIFT = slice(0, 5)
"""Lift coefficient of wing and flaps with the tail's small upwash, per input."""
WING_MOMENT = slice(5, 10)
"""Moment coefficient of wing, flaps and body about the lift point, on S and c, nose up."""
TAIL_LIFT = slice(10, 15)
"""Lift coefficient of the tail on the wing's area S, downwash included, per input."""
TAIL_MOMENT = slice(15, 20)
"""Moment coefficient of the tail about the lift point, on S and c, nose up."""
TAIL_OWN = slice(20, 22)
"""Tail lift from its own angle alone (1, alpha): what it would carry without downwash."""
INDUCED = slice(22, 32)
"""Induced-drag coefficient: sum over INDUCED_PAIRS (i <= j) of value * input_i * input_j."""
COLUMNS = 32


@dataclass(frozen=True)
class AeroTable:
    """Aerodynamic coefficients of one aeroplane against height and pitch.

    Attributes
    ----------
    values:
        Shape (15, 32): row 3 i + j multiplies u^i p^j, columns as named in this module [-].
    height_scale:
        Height at which u falls to one half [m].

    """

    values: Array
    height_scale: float


def constant_table(columns: Array) -> AeroTable:
    """Make a table of coefficients, shape (32,), that change with neither height nor pitch."""
    values = np.zeros((BASIS_TERMS, COLUMNS))
    values[0] = columns
    return AeroTable(values=values, height_scale=1.0)
