"""How much of its linear lift a surface really carries: slope one, a top of one, a fall.

    g(x) = x - f(x) + f(-x),   f(x) = w [(1 + k) sp((x - x0)/w) - k sp((x - x1)/w)],   sp(y) = ln(1 + e^y)

`x` is linear lift over maximum lift. The form is ours: one value for each x, smooth to every
order so that the integrator keeps its order through the stall.
"""

import math
from typing import Any

import numpy as np

WIDTH = 0.06
FALL = 0.35
LEVEL_AT = 2.0
KNEE = 1.0 + WIDTH * ((1.0 + FALL) * math.log(1.0 + FALL) - FALL * math.log(FALL))
TOP_AT = KNEE - WIDTH * math.log(FALL)
"""Linear lift over maximum lift at which the top is reached: the stall."""


def _excess(x: Any) -> Any:
    first = np.logaddexp(0.0, (x - KNEE) / WIDTH)
    second = np.logaddexp(0.0, (x - LEVEL_AT) / WIDTH)
    return WIDTH * ((1.0 + FALL) * first - FALL * second)


def carried(x: Any) -> Any:
    """Lift carried over maximum lift, for linear lift over maximum lift `x` [-], any shape."""
    size = np.abs(x)
    return np.copysign(size - _excess(size) + _excess(-size), x)
