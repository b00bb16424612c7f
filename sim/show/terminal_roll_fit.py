"""Keys fitted to measured rolls as text for the terminal, the result first."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.scenario.measured_rolls import SEEN
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.terminal_fit import with_spread
from sim.show.units import number, number_text, unit_of
from sim.show.words_roll_fit import (
    agreement_text,
    assumption_texts,
    caution_texts,
    correlation_texts,
    is_odd,
    key_value,
    log_text,
    pair_texts,
    seen_kind,
    told_text,
)
from sim.strip.reading import Measured
from sim.study.fit_rolls import FittedNumber, RollFit
from sim.study.priors import GRIP

LONGEST_KEY = 32
"""Letters of a key before it is folded."""


def print_roll_fit(
    fit: RollFit, source: str, grip: Measured | None, console: Console, system: str = "si"
) -> None:
    """Print the fit to a console.

    Parameters
    ----------
    fit, source
        the result, and the file of measurements.
    grip
        rolling resistance from tow tests and coast-downs in the same file, if there were any.
    console, system
        where to, and in which units.

    """
    parts: list[RenderableType] = [*_head(fit, source, grip, system)]
    for heading, content in _sections(fit, system):
        parts += [Text(), Text(heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    console.print(Group(*parts), highlight=False)


def _head(
    fit: RollFit, source: str, grip: Measured | None, system: str
) -> Iterator[RenderableType]:
    yield Text(fit.title, style="bold")
    count = f"{len(fit.rolls)} roll{'s' if len(fit.rolls) > 1 else ''}"
    yield Text(f"Fitted to {count} of {source}; +/- is one standard deviation.")
    yield Text()
    yield _key_table(fit, system)
    yield Text()
    if grip:
        used = any(key.prior.text == GRIP for key in fit.keys)
        unused = "" if used else " It is not used: rolling resistance is not among the keys."
        yield Text(
            f"Tow tests and coast-downs alone: rolling resistance {with_spread(grip)}.{unused}"
        )
    for text in (*pair_texts(fit), *caution_texts(fit)):
        yield Text.assemble(("Careful: ", "bold"), text)
    yield Text(agreement_text(fit))


def _key_table(fit: RollFit, system: str) -> Table:
    table = plain_table()
    longest = max(len(key.prior.knob.key) for key in fit.keys)
    table.add_column("key", overflow="fold", min_width=min(longest, LONGEST_KEY))
    for heading in ("believed", "fitted"):
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("told by the rolls")
    for key in fit.keys:
        table.add_row(
            key.prior.knob.key,
            key_value(key.prior, key.prior.believed, system),
            Text(key_value(key.prior, key.value, system), style="bold"),
            told_text(key),
        )
    return table


def _sections(fit: RollFit, system: str) -> Iterator[tuple[str, RenderableType]]:
    yield "Measured and simulated", _number_table(fit, system)
    logs = [
        f"{roll.label.name}: {log_text(numbers, system)}"
        for i, roll in enumerate(fit.rolls)
        if (numbers := logged(fit, i))
    ]
    if logs:
        yield "Speed logs", bullets(logs)
    if len(fit.keys) > 1:
        yield "Correlation", bullets(correlation_texts(fit))
    yield "What the numbers assume", bullets(assumption_texts(fit, system))


def logged(fit: RollFit, roll: int) -> tuple[FittedNumber, ...]:
    """The speeds of one roll's log, empty without one."""
    return tuple(n for n in fit.numbers if n.wanted.roll == roll and n.wanted.name not in SEEN)


def _number_table(fit: RollFit, system: str) -> Table:
    """What was seen of each roll beside what the simulated ones show."""
    table = plain_table()
    table.add_column("roll", no_wrap=True)
    table.add_column("seen", no_wrap=True)
    for heading in ("measured", "+/-", "believed", "fitted", "", "residual"):
        table.add_column(heading, justify="left" if not heading else "right", no_wrap=True)
    for n in (n for n in fit.numbers if n.wanted.name in SEEN):
        kind, measured = seen_kind(n.wanted.name), n.wanted.measured
        values = (measured.value, measured.deviation, n.before, n.fitted)
        table.add_row(
            fit.rolls[n.wanted.roll].label.name,
            n.wanted.name.replace("_", " "),
            *(number(value, kind, system) for value in values),
            unit_of(kind, system).symbol,
            f"{number_text(n.residual, 1)}{' !' if is_odd(n) else ''}",
        )
    return table
