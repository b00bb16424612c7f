"""How much of its linear lift a surface really carries: slope one, a top of one, a fall.

    g(x) = x - f(x) + f(-x),   f(x) = w [(1 + k) sp((x - x0)/w) - k sp((x - x1)/w)]
    sp(y) = ln(1 + e^y)

`x` is linear lift over maximum lift. The form is ours: one value for each x, smooth to every
order so that the integrator keeps its order through the stall.
"""

import math
from typing import Any

from sim.roll.arithmetic import Rows

WIDTH = 0.06
FALL = 0.35
LEVEL_AT = 2.0
KNEE = 1.0 + WIDTH * ((1.0 + FALL) * math.log(1.0 + FALL) - FALL * math.log(FALL))
TOP_AT = KNEE - WIDTH * math.log(FALL)
"""Linear lift over maximum lift at which the top is reached: the stall."""
BEYOND = 30.0
"""Past this the lift carried is level to the last digit."""

_LEVEL_OVER_KNEE = math.exp((KNEE - LEVEL_AT) / WIDTH)
_LEAD = (1.0 + FALL) * math.exp(-2.0 * KNEE / WIDTH) - FALL * math.exp(-(LEVEL_AT + KNEE) / WIDTH)


def carried(x: Any, of: Any = Rows) -> Any:
    """Lift carried over maximum lift, for linear lift over maximum lift `x` [-], any shape.

    `of`: the functions that go with it (`arithmetic.py`).
    One exponential serves all four terms: e^((x - KNEE)/w) stays below 1e210 up to BEYOND.
    f(-|x|) is taken as its leading terms e^y: y <= -x0/w < -17, so the rest is below 1e-16.
    """
    size = of.minimum(abs(x), BEYOND)
    knee = of.exp((size - KNEE) * (1.0 / WIDTH))
    lost = of.log1p(knee) * (WIDTH * (1.0 + FALL))
    lost -= of.log1p(knee * _LEVEL_OVER_KNEE) * (WIDTH * FALL)
    lost -= (WIDTH * _LEAD) / knee
    size -= lost
    return of.copysign(size, x)
