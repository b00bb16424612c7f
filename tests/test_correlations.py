"""Every published formula carries its text, units, a worked number and where it comes from."""

import inspect
import re
from collections.abc import Callable
from typing import Any

import pytest

from sim.aeroplane import body, drag, flaps, hinge, inertia, ledger, section, stall, weighing
from sim.checks import clearance, hatch, servo, spar, wheel_load
from sim.power import (
    battery,
    bench,
    ducted_rotor,
    electric,
    fan,
    motor,
    propeller,
    propeller_curves,
)
from sim.strip import air, coast_down, surface, tow, wheels

POWER = (battery, bench, ducted_rotor, electric, fan, motor, propeller, propeller_curves)
AEROPLANE = (body, drag, flaps, hinge, inertia, ledger, section, stall, weighing)
CHECKS = (clearance, hatch, servo, spar, wheel_load)
STRIP = (air, coast_down, surface, tow, wheels)
ROOMS = (*AEROPLANE, *POWER, *CHECKS, *STRIP)
SOURCE = re.compile(
    r"Source|ISO|NACA|ARC|Raymer|Torenbeek|Buck|Bekker|[Mm]omentum|Common practice|definition|Munk"
    r"|Own derivation from"
)


def _formulas() -> list[Any]:
    found = []
    for room in ROOMS:
        for name, function in inspect.getmembers(room, inspect.isfunction):
            own = function.__module__ == room.__name__ and not name.startswith("_")
            # a formula in the text has an equals sign or a power within back quotes
            if own and re.search(r"`[^`]*[=^*/][^`]*`", function.__doc__ or "", flags=re.DOTALL):
                found.append(pytest.param(function, id=f"{room.__name__}.{name}"))
    return found


def test_there_are_formulas_to_look_at() -> None:
    assert len(_formulas()) >= 25


@pytest.mark.parametrize("function", _formulas())
def test_a_formula_says_what_it_needs(function: Callable[..., Any]) -> None:
    text = function.__doc__ or ""
    assert re.search(r"\[[^\]]+\]", text), "units in brackets"
    assert re.search(r"Worked|gives?\b", text), "a worked number"
    assert re.search(r"\d", text), "a worked number"
    assert SOURCE.search(text) or SOURCE.search(inspect.getmodule(function).__doc__ or ""), "source"
