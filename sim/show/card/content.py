"""Everything that stands on a card, worked out once for paper and for the browser."""

from dataclasses import dataclass

from sim.checks.abort import Abort, abort_mark
from sim.prepare import prepare
from sim.report import Report, build_report
from sim.scenario import Scenario
from sim.show.card.field_log import Headings, log_tables
from sim.show.card.measures import Group, measures, not_known
from sim.show.card.travel import travel_notes, travels
from sim.show.card.words import PRACTICE, abort_heading, abort_lines, first_day, limit_lines
from sim.show.units import formatter
from sim.study.ranges import range_setups


@dataclass(frozen=True)
class Card:
    """One card.

    Attributes
    ----------
    scenario, report, abort: what it was made of.
    system: "si" or "imperial".
    title: of the scenario and its changes.
    reason: why the roll ended as it did.
    groups: every measurement to build to, throws last.
    notes: how they are meant, and what is not known.
    heading, why: the abort mark.
    limits, cautions, days: lines; the first day's are numbered.
    practice: where the first day's order comes from.
    logs: headings of the field log, a table for rolls and one for grip.

    """

    scenario: Scenario
    report: Report
    abort: Abort
    system: str
    title: str
    reason: str
    groups: tuple[Group, ...]
    notes: tuple[str, ...]
    heading: str
    why: tuple[str, ...]
    limits: tuple[str, ...]
    cautions: tuple[str, ...]
    days: tuple[str, ...]
    practice: str
    logs: tuple[Headings, ...]

    @property
    def pull(self) -> float:
        """Where the pilot pulls, in this roll or else as set [m]; infinite for nowhere."""
        event = self.report.result.event("pull")
        planned = float(self.report.prepared.setup.parameters.pull_place)
        return event.distance if event is not None else planned


def card_of(scenario: Scenario, system: str = "si") -> Card:
    """Roll a scenario, its uncertain ends and its aborts, and gather what a card tells.

    Raises
    ------
    sim.scenario.ScenarioError
        For a scenario that cannot be made ready.

    """
    prepared = prepare(scenario)
    report = build_report(prepared)
    abort = abort_mark(prepared.setup, [setup for *_, setup in range_setups(prepared)])
    throws = Group("Throws", tuple((t.name, t.text(system)) for t in travels(scenario)))
    groups = measures(scenario, prepared, system)
    return Card(
        scenario=scenario,
        report=report,
        abort=abort,
        system=system,
        title=prepared.title,
        reason=report.reason.text(formatter(system)),
        groups=(*groups, throws) if throws.rows else groups,
        notes=(*travel_notes(scenario), *not_known(scenario)),
        heading=abort_heading(abort, system),
        why=abort_lines(abort, system),
        limits=limit_lines(report, abort, system),
        cautions=report.cautions,
        days=first_day(report, abort, system),
        practice=PRACTICE,
        logs=log_tables(system),
    )
