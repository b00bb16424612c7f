"""The report of one roll as fast as it can be had, for a page that answers while a slider moves.

It is `sim.report` without the rolls beside it, its one roll worked on in plain numbers: the same
steps as anywhere else, and the same numbers but for rounding.
"""

from sim.prepare.prepared import Prepared
from sim.report import Report, report_on
from sim.roll.engine import Settings
from sim.roll.result import simulate_many
from sim.study.advice import tail_stiff

LIVE = Settings(block_size=1, plain_numbers=True)


def quick_report(prepared: Prepared) -> Report:
    """Report of one roll without advice and without the rolls at the ends of uncertain numbers."""
    stiff = tail_stiff(prepared)
    many = simulate_many([prepared.setup, *([stiff] if stiff else [])], LIVE, keep=(0,))
    return report_on(prepared, many, many.result(0), with_stiff_tail=stiff is not None)
