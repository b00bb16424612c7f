"""The report of one roll as fast as it can be had, for a page that answers while a slider moves.

It is `sim.report` without the rolls beside it, with steps as long as a tolerance of 1e-4 allows:
what is shown keeps its digits, and the verdict is that of a careful roll.
"""

from dataclasses import replace

import numpy as np

from sim.prepare.prepared import Prepared
from sim.report import Report, report_on
from sim.roll.contacts import SETS
from sim.roll.engine import Settings
from sim.roll.result import Many, Result, simulate_many
from sim.study.advice import tail_stiff

LIVE = Settings(tolerance=1e-4, block_size=1, plain_numbers=True)
"""Longer steps than a careful roll's. Of two thousand rolls all along the sliders of the shipped
scenarios none has another verdict than at 1e-6; at 3e-4 the first ones do."""


def quick_report(prepared: Prepared, settings: Settings = LIVE) -> Report:
    """Report of one roll without advice and without the rolls at the ends of uncertain numbers."""
    stiff = tail_stiff(prepared)
    many = simulate_many([prepared.setup, *([stiff] if stiff else [])], settings, keep=(0,))
    return report_on(prepared, many, _result(many), with_stiff_tail=stiff is not None)


def _result(many: Many) -> Result:
    """The first lane's result with its trace; peaks, noted at the ends of steps, from its rows."""
    result = many.result(0)
    trace, lift_off = result.trace, result.event("lift-off")
    if lift_off is None or trace is None:
        return result
    airborne = np.asarray(trace.phase) == SETS.index(())
    early = airborne & (trace["time"] <= lift_off.time + 1.0)
    peaks = {
        name: float(np.max(trace[column], where=early, initial=0.0))
        for name, column in (("rate_peak", "pitch_rate"), ("wing_use_peak", "wing_use"))
    }
    return replace(result, figures=result.figures | peaks)
