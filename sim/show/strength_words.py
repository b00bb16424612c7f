"""The checks of the parts in words and in a document."""

from math import isfinite, isnan
from typing import TYPE_CHECKING, Any

from sim.checks.finding import Finding, Standing
from sim.show.units import formatter, quantity
from sim.study.strength import findings

if TYPE_CHECKING:
    from sim.report import Report

CHANGED = 0.02
"""Share by which a value must move to be told beside the one before."""
WORDS = {
    Standing.HOLDS: "holds",
    Standing.CLOSE: "close",
    Standing.NOT_KNOWN: "no limit",
    Standing.TOLD: "-",
}
SI_UNITS = {
    "force": "N", "moment": "N_m", "stress": "Pa", "speed": "m_per_s", "angle": "rad",
    "length": "m", "share": "",
}  # fmt: skip


def verdict_word(finding: Finding) -> str:
    """One word for the table; capitals where the limit is passed."""
    if finding.standing == Standing.FAILS:
        return "UNDER" if finding.at_least else "OVER"
    return WORDS[finding.standing]


def limit_text(finding: Finding, system: str = "si") -> str:
    """Such as "max 300 MPa"; a dash where there is none."""
    if not isfinite(finding.limit):
        return "-"
    side = "min" if finding.at_least else "max"
    return f"{side} {quantity(finding.limit, finding.kind, system)}"


def verdict_text(finding: Finding, system: str = "si") -> str:
    """A sentence, such as "Hatch, outward load ...: 55 N, 10 N over the 45 N it may have."."""
    value = quantity(finding.value, finding.kind, system)
    lead = f"{finding.matter.capitalize()}, {finding.name}"
    if not isfinite(finding.limit) or not isfinite(finding.value):
        return f"{lead}: {value}.{note_text(finding, system)}"
    spare = quantity(abs(finding.spare), finding.kind, system)
    side = {True: ("short of", "above"), False: ("over", "under")}[finding.at_least]
    word = side[0] if finding.spare < 0.0 else side[1]
    bound = quantity(finding.limit, finding.kind, system)
    kind = "least" if finding.at_least else "most"
    return f"{lead}: {value}, {spare} {word} the {kind}, {bound}.{note_text(finding, system)}"


def note_text(finding: Finding, system: str = "si") -> str:
    """The note, led by a blank; "" without one."""
    return f" {finding.note.text(formatter(system))}" if finding.note else ""


def missing_text(finding: Finding, system: str = "si") -> str:
    """Which keys would make a check possible, in one line."""
    last = " and ".join(finding.missing)
    if finding.name.startswith("spar stress") and len(finding.missing) == 2:
        last = " or ".join(finding.missing)
    note = note_text(finding, system) if isnan(finding.value) else ""
    return f"{finding.matter}, {finding.name}: give {last}.{note}"


def change_texts(
    before: tuple[Finding, ...], after: tuple[Finding, ...], system: str = "si"
) -> tuple[str, ...]:
    """What a change does to the checks, a line for each that moves."""
    old = by_name(before)
    pairs = [(old.get(name), finding) for name, finding in by_name(after).items()]
    return tuple(_change(a, b, system) for a, b in pairs if a is not None and _moved(a, b))


def by_name(found: tuple[Finding, ...]) -> dict[tuple[str, str, int], Finding]:
    """Findings by matter, name and which of several of that name."""
    named: dict[tuple[str, str, int], Finding] = {}
    for finding in found:
        count = sum(key[:2] == (finding.matter, finding.name) for key in named)
        named[(finding.matter, finding.name, count)] = finding
    return named


def _moved(a: Finding, b: Finding) -> bool:
    if isnan(a.value) or isnan(b.value):
        return isnan(a.value) != isnan(b.value)
    return a.standing != b.standing or abs(a.value - b.value) > CHANGED * abs(a.value)


def _change(a: Finding, b: Finding, system: str) -> str:
    values = [quantity(f.value, f.kind, system) for f in (a, b)]
    words = [verdict_word(f) for f in (a, b)]
    turned = "" if words[0] == words[1] else f" ({words[0]}, now {words[1]})"
    return f"{b.matter}, {b.name}: {values[0]}, now {values[1]}{turned}"


def finding_record(finding: Finding) -> dict[str, Any]:
    """One check; SI, the unit beside the number, None for what is not known."""
    numbers = {"value": finding.value, "limit": finding.limit, "margin": finding.spare}
    return {
        "matter": finding.matter,
        "name": finding.name,
        "unit": SI_UNITS[finding.kind],
        **{name: float(v) if isfinite(v) else None for name, v in numbers.items()},
        "limit_is": "least" if finding.at_least else "most",
        "share_of_limit": float(finding.use) if isfinite(finding.use) else None,
        "source": finding.source,
        "verdict": str(finding.standing),
        "note": note_text(finding).strip(),
        "missing": list(finding.missing),
    }


def strength_record(report: "Report") -> list[dict[str, Any]]:
    """Every check of a report."""
    return [finding_record(finding) for finding in findings(report)]
