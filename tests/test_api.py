"""The public names, and what they cost to import."""

import subprocess
import sys

import numpy as np

import sim
import sim.api


def test_the_public_names_are_these_and_no_others() -> None:
    assert sorted(sim.PUBLIC) == sorted(sim.api.__all__) == dir(sim)
    for name in sim.PUBLIC:
        assert getattr(sim, name) is getattr(sim.api, name)


def test_an_unknown_name_is_an_attribute_error() -> None:
    try:
        _ = sim.nothing
    except AttributeError as error:
        assert "nothing" in str(error)
    else:
        raise AssertionError("expected an AttributeError")


def test_importing_the_package_loads_nothing_heavy() -> None:
    heavy = "{'numpy', 'pint', 'rich', 'matplotlib'}"
    code = f"import sys, sim; print(sorted({heavy} & set(sys.modules)))"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_load_simulate_and_read_columns() -> None:
    result = sim.simulate(sim.load_scenario("meadow-jet"))
    assert result.verdict is sim.Verdict.AIRBORNE
    assert result.trace is not None
    distance, speed = result.trace["distance"], result.trace["ground_speed"]
    assert distance.shape == speed.shape == (len(result.trace),)
    lift_off = result.event("lift-off")
    assert lift_off is not None
    assert np.isclose(np.interp(lift_off.distance, distance, speed), lift_off.ground_speed)


def test_same_scenario_same_numbers() -> None:
    scenario = sim.load_scenario("pavement")
    first, second = sim.simulate(scenario), sim.simulate(scenario)
    assert first.events == second.events
    assert first.trace is not None and second.trace is not None
    for name, column in first.trace.columns.items():
        np.testing.assert_array_equal(column, second.trace[name])
