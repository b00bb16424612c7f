"""A fit as plain data for other programs, and as a scenario file of a few lines."""

import json
import os
from pathlib import Path
from typing import Any

from sim.show.document import json_text
from sim.show.words_fit import (
    ADVICE,
    agreement_text,
    assumption_texts,
    slope_known,
    slope_text,
)
from sim.strip.reading import Measured
from sim.study.fit import FittedReading, GripFit, written_range


def fit_document(fit: GripFit, source: str) -> dict[str, Any]:
    """The fit with every number plain [-] or SI with its unit in the key."""
    low, typical, high = written_range(fit)
    return {
        "source": source,
        "rolling_resistance": measured_record(fit.resistance),
        "main": measured_record(fit.main),
        "nose": measured_record(fit.nose),
        "extra_slope": measured_record(fit.slope),
        "extra_slope_is_more_than_chance": slope_known(fit),
        "range": {"low": low, "typical": typical, "high": high},
        "measured_with_m": fit.measured_with,
        "reading_uncertainty": fit.reading_deviation,
        "scatter": fit.scatter,
        "agreement": str(fit.agreement),
        "chi_square": fit.chi_square,
        "expected_chi_square": fit.freedom,
        "words": agreement_text(fit),
        "readings": [_reading(r) for r in fit.readings],
        "assumptions": list(assumption_texts(fit)),
        "measuring": list(ADVICE.values()),
    }


def fit_json(fit: GripFit, source: str) -> str:
    """The document as text."""
    return json_text(fit_document(fit, source))


def measured_record(value: Measured | None) -> dict[str, float] | None:
    """A value and its uncertainty [SI]."""
    if value is None:
        return None
    return {"value": value.value, "standard_deviation": value.deviation}


def _reading(r: FittedReading) -> dict[str, Any]:
    return {
        "name": r.label.name,
        "kind": r.kind,
        "read": dict(r.label.parts),
        "note": r.label.note,
        "alone": measured_record(r.own),
        "fitted": r.fitted,
        "residual_in_standard_deviations": r.residual,
    }


def fitted_scenario(
    fit: GripFit, scenario: str, source: str, target: Path, slope: float = 0.0
) -> str:
    """A scenario file that extends the old one with what was measured of the strip.

    Parameters
    ----------
    fit
        the result.
    scenario
        name of a shipped scenario, or path of a file.
    source
        the file of measurements, for the comment.
    target
        where the text will stand: the path of the old file is written relative to it.
    slope
        of the strip as the scenario has it, which the measured one is beyond [rise over run].

    """
    lines = [
        f"# Rolling resistance measured: {printable(source)}.",
        "# Low and high are two standard deviations either way of typical.",
        extends_line(scenario, target),
        "",
        "[strip]",
        *resistance_lines(written_range(fit), fit.measured_with),
    ]
    return "\n".join(lines) + f"\n{_slope_line(fit, slope)}"


def printable(text: str) -> str:
    """A text that may stand in a comment."""
    return "".join(c if c.isprintable() else "?" for c in text)


def extends_line(scenario: str, target: Path) -> str:
    """The line that names the old scenario, by its path as seen from the new file."""
    path = Path(scenario)
    base = os.path.relpath(path, target.parent) if path.is_file() else scenario
    return f"extends = {json.dumps(Path(base).as_posix(), ensure_ascii=False)}"


def resistance_lines(spans: tuple[float, float, float], measured_with: float) -> list[str]:
    """Low, typical and high rolling resistance [-], and the wheels they hold for [m]."""
    low, typical, high = spans
    return [
        f"rolling_resistance = {{ low = {low:.4f}, typical = {typical:.4f}, high = {high:.4f} }}",
        f'measured_with      = "{1000.0 * measured_with:.2f} mm"',
    ]


def _slope_line(fit: GripFit, before: float) -> str:
    """The slope told by readings both ways, or why it stays as it is; "" when they do not tell."""
    if fit.slope is None:
        return ""
    told = slope_text(fit.slope)
    if not slope_known(fit):
        return f"# slope: {told} beyond the scenario's is no more than chance; left as it is\n"
    return f'slope              = "{100.0 * (before + fit.slope.value):.2f} %"  # {told} more\n'
