"""Where along a study limits are passed, in words."""

from collections.abc import Iterator

import numpy as np

from sim.show.runs import runs_of
from sim.show.units import formatter
from sim.study.passed_limits import Passed
from sim.study.vary import Vary

MOST_SPANS = 3


def limit_notes(vary: Vary, system: str) -> Iterator[str]:
    """A line for each limit: which, where, by whom."""
    write = formatter(system)
    for passed in vary.passed:
        yield f"{passed.says.text(write)}: {_where(vary, passed, system)} ({passed.source})"


def in_order(vary: Vary) -> list[int]:
    """Rows of a study along one key, from the lowest value to the highest."""
    asked = vary.values[vary.rows.lanes, 0]
    return [int(i) for i in np.argsort(asked, kind="stable")]


def _where(vary: Vary, passed: Passed, system: str) -> str:
    count, rolls = int(passed.where.sum()), len(passed.where)
    if count == rolls:
        return "all along" if vary.rows.complete else "in all that were rolled"
    if len(vary.axes) > 1:
        return f"{count} of {rolls} rolls"
    axis = vary.axes[0]
    order = in_order(vary)
    texts = [axis.text(int(vary.rows.lanes[i]), system) for i in order]
    flags = [bool(passed.where[i]) for i in order]
    if axis.knob is None:
        return ", ".join(text for text, flag in zip(texts, flags, strict=True) if flag)
    spans = list(runs_of(flags))
    if len(spans) > MOST_SPANS:
        return f"{count} of {rolls} rolls"
    return " and ".join(_span_text(texts, *span) for span in spans)


def _span_text(texts: list[str], first: int, last: int) -> str:
    if first == 0:
        return f"up to {texts[last]}"
    if last == len(texts) - 1:
        return f"from {texts[first]}"
    return f"at {texts[first]}" if first == last else f"{texts[first]} to {texts[last]}"
