"""Keys fitted to measured rolls as plain data, and as a scenario file that extends the old one."""

import json
from pathlib import Path
from typing import Any

from sim.show.document import json_text
from sim.show.fit_document import extends_line, measured_record, printable, resistance_lines
from sim.show.words_roll_fit import (
    agreement_text,
    assumption_texts,
    caution_texts,
    figures,
    key_value,
    pair_texts,
    told_text,
)
from sim.strip.reading import Measured
from sim.study.fit_rolls import FittedKey, FittedNumber, RollFit
from sim.study.knobs import RESISTANCE_RANGE, SI_UNITS
from sim.study.priors import RESISTANCE

MORE_FIGURES = 2
"""Figures of a value in a file beyond those its uncertainty deserves: it is computed with."""


def roll_fit_document(fit: RollFit, source: str, grip: Measured | None) -> dict[str, Any]:
    """The fit with every number plain [-] or SI."""
    return {
        "source": source,
        "title": fit.title,
        "keys": [_key(key) for key in fit.keys],
        "correlation": fit.correlation.tolist(),
        "not_told_apart": [
            [one.prior.knob.key, other.prior.knob.key, correlation]
            for one, other, correlation in fit.not_told_apart()
        ],
        "tow_tests_and_coast_downs": measured_record(grip),
        "measured_with_m": fit.measured_with,
        "agreement": str(fit.agreement),
        "chi_square": fit.chi_square,
        "expected_chi_square": fit.freedom,
        "settled": fit.settled,
        "words": [agreement_text(fit), *pair_texts(fit), *caution_texts(fit)],
        "numbers": [_number(fit, number) for number in fit.numbers],
        "assumptions": list(assumption_texts(fit)),
    }


def roll_fit_json(fit: RollFit, source: str, grip: Measured | None) -> str:
    """The document as text."""
    return json_text(roll_fit_document(fit, source, grip))


def _key(key: FittedKey) -> dict[str, Any]:
    return {
        "key": key.prior.knob.key,
        "unit": SI_UNITS[key.prior.knob.dimension]
        if key.prior.knob.dimension != "fraction"
        else "",
        "believed": measured_record(key.prior.believed),
        "believed_from": key.prior.text,
        "fitted": measured_record(key.value),
        "narrowed_to": key.narrowed,
        "determinable": key.determinable,
        "words": told_text(key),
    }


def _number(fit: RollFit, number: FittedNumber) -> dict[str, Any]:
    wanted = number.wanted
    return {
        "roll": fit.rolls[wanted.roll].label.name,
        "name": wanted.name,
        "time_s": wanted.time,
        "measured": measured_record(wanted.measured),
        "believed": number.before,
        "fitted": number.fitted,
        "residual_in_standard_deviations": number.residual,
    }


def roll_fitted_scenario(fit: RollFit, scenario: str, source: str, target: Path) -> str:
    """A scenario file that extends the old one with the fitted keys.

    Parameters
    ----------
    fit
        the result.
    scenario
        name of a shipped scenario, or path of a file.
    source
        the file of measurements, for the comment.
    target
        where the text will stand.

    """
    lines = [f"# Fitted to measured rolls: {printable(source)}. One standard deviation each:"]
    for key in fit.keys:
        was, now = (key_value(key.prior, v) for v in (key.prior.believed, key.value))
        lines.append(f"# {key.prior.knob.key}: was {was}, is {now}, told {told_text(key)}")
    lines.append(extends_line(scenario, target))
    tables: dict[str, list[str]] = {}
    for key in fit.keys:
        table, _, name = key.prior.knob.key.rpartition(".")
        tables.setdefault(table, []).extend(_lines(fit, key, name))
    for table, found in tables.items():
        lines += ["", f"[{table}]", *found]
    return "\n".join(lines) + "\n"


def _lines(fit: RollFit, key: FittedKey, name: str) -> list[str]:
    """A key as it stands in a file; a rolling resistance with its range."""
    knob, value = key.prior.knob, key.value
    if knob.key == RESISTANCE:
        least, most = RESISTANCE_RANGE
        low, high = (value.value + sign * 2.0 * value.deviation for sign in (-1.0, 1.0))
        spans = (max(low, least), value.value, min(high, most))
        return resistance_lines(spans, fit.measured_with)
    decimals = figures(value.deviation) + MORE_FIGURES
    text = knob.text(min(max(round(value.value, decimals), knob.low), knob.high))
    bare = knob.dimension == "bare" or knob.form == "whole"
    return [f"{name} = {text if bare else json.dumps(text)}"]
