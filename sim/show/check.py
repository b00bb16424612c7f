"""What `check` tells: one section per matter, each with its text and its part of the document."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from sim.show.power_document import power_record
from sim.show.power_words import lift_off_airspeed
from sim.show.strength_words import strength_record
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_power import power_check
from sim.show.terminal_strength import strength_check
from sim.show.units import quantity

if TYPE_CHECKING:
    from sim.report import Report


@dataclass(frozen=True)
class Checked:
    """A scenario and, when something was laid over it, the same without that."""

    report: "Report"
    before: "Report | None" = None


@dataclass(frozen=True)
class Section:
    """One matter that is checked.

    Attributes
    ----------
    key: of its part in the document.
    heading: above its text.
    content: text of a checked scenario in a system of units.
    record: its part of the document.

    """

    key: str
    heading: str
    content: Callable[[Checked, str], RenderableType]
    record: Callable[[Checked], dict[str, Any]]


def _power_record(checked: Checked) -> dict[str, Any]:
    at = lift_off_airspeed(checked.report)
    before = power_record(checked.before, at) if checked.before else None
    return {**power_record(checked.report, before=checked.before), "before": before}


def _strength_record(checked: Checked) -> dict[str, Any]:
    before = strength_record(checked.before) if checked.before else None
    return {"findings": strength_record(checked.report), "before": before}


SECTIONS: tuple[Section, ...] = (
    Section(
        "power",
        "Power",
        lambda checked, system: power_check(checked.report, checked.before, system),
        _power_record,
    ),
    Section(
        "strength",
        "What the parts stand",
        lambda checked, system: strength_check(checked.report, checked.before, system),
        _strength_record,
    ),
)
"""Every matter, in the order it is told."""


def check_document(checked: Checked) -> dict[str, Any]:
    """Document of a check; numbers in SI, None for what is not known."""
    from sim.report import versions  # noqa: PLC0415 - loads the whole roll

    report = checked.report
    estimates = report.prepared.estimates
    return {
        "checks": {section.key: section.record(checked) for section in SECTIONS},
        "verdict": str(report.result.verdict),
        "estimated": [
            {"key": e.key, "value_si": e.value, "kind": e.kind, "how": e.how} for e in estimates
        ],
        "notes": list(report.prepared.notes),
        "cautions": list(report.cautions),
        "scenario": report.prepared.resolved,
        "versions": versions(),
    }


def print_check(checked: Checked, console: Console, system: str = "si") -> None:
    """Print every section to a console."""
    console.print(check_group(checked, system), highlight=False)


def check_group(checked: Checked, system: str) -> Group:
    """Every section as one rich renderable."""
    prepared = checked.report.prepared
    parts: list[RenderableType] = [Text(prepared.title, style="bold")]
    if checked.before is not None:
        parts.append(Text("Before: the file as it stands. After: with what was laid over it."))
    for section in SECTIONS:
        content = section.content(checked, system)
        parts += [Text(), Text(section.heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    rests = [
        f"estimated: {e.key} = {quantity(e.value, e.kind, system)} ({e.how})"
        for e in prepared.estimates
        if e.key.startswith("power.")
    ]
    known = prepared.power
    rests += known.remarks if known is not None else ()
    if rests:
        parts += [Text(), Text("What these numbers assume", style="bold")]
        parts.append(Padding(bullets(rests), (0, 0, 0, 2)))
    parts += [Text(), Text("Mind", style="bold")]
    parts.append(Padding(bullets(checked.report.cautions), (0, 0, 0, 2)))
    return Group(*parts)
