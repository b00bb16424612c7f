"""Propellers against open wind-tunnel data and the actuator disc."""

import numpy as np
import pytest

from sim.power.fan import disc_area, open_static_thrust
from sim.power.propeller import propeller_from_static, propeller_from_table
from sim.power.propeller_curves import ideal_power_coefficient
from sim.power.rotor import RPM

RHO = 1.225
# UIUC Propeller Data Site (Brandt, Deters, Ananda, Dantsker, Selig), a 9 in test propeller at
# rest: rotation [rpm], CT, CP. Mark: second-hand.
STATIC = [(3280.0, 0.130863, 0.083443), (5943.3, 0.140450, 0.080081)]
DIAMETER = 9.0 * 0.0254
STATIC_TEXT = "RPM       CT        CP\n" + "".join(f"{a}  {b}  {c}\n" for a, b, c in STATIC)
# First rows in the layout of the same site, second-hand from a listing of that layout (another
# propeller): J, CT, CP, eta.
ROWS = [
    (0.165, 0.0993, 0.0539, 0.304),
    (0.214, 0.0947, 0.0543, 0.374),
    (0.255, 0.0916, 0.0548, 0.427),
]
MOVING_TEXT = "J       CT       CP       eta\n" + "".join(
    "   ".join(str(value) for value in row) + "\n" for row in ROWS
)


def test_layout_of_the_open_data() -> None:
    propeller = propeller_from_table(DIAMETER, MOVING_TEXT)
    for ratio, thrust, power, efficiency in ROWS:
        j = np.array(ratio)
        assert float(propeller.curve.thrust_coefficient(j)) == pytest.approx(thrust)
        assert float(propeller.curve.power_coefficient(j)) == pytest.approx(power)
        # printed to three figures
        assert ratio * thrust / power == pytest.approx(efficiency, abs=0.002)


def test_static_row_stands_at_rest() -> None:
    """Thrust and power from the coefficients by hand: n = 99.055 rev/s, T = 4.610 N, P = 59.5 W."""
    propeller = propeller_from_table(DIAMETER, MOVING_TEXT, STATIC_TEXT)
    turning = 5943.3 * RPM
    n = 5943.3 / 60.0
    thrust = 0.140450 * RHO * n**2 * 0.2286**4
    power = 0.080081 * RHO * n**3 * 0.2286**5
    assert thrust == pytest.approx(4.610, abs=0.001) and power == pytest.approx(59.52, abs=0.02)
    assert float(propeller.thrust(turning, 0.0, RHO)) == pytest.approx(thrust, rel=1e-12)
    shaft = float(propeller.shaft_torque(turning, 0.0, RHO)) * turning
    assert shaft == pytest.approx(power, rel=1e-12)
    assert any("7%" in note for note in propeller.notes)  # CT 0.1309 to 0.1405


@pytest.mark.parametrize(("rpm", "thrust", "power"), STATIC)
def test_measured_propellers_stay_below_the_ideal_disc(
    rpm: float, thrust: float, power: float
) -> None:
    """Rankine-Froude: `T = (2 rho A P^2)^(1/3)`, an independent road to the same bound."""
    n = rpm / 60.0
    force = thrust * RHO * n**2 * DIAMETER**4
    watts = power * RHO * n**3 * DIAMETER**5
    assert force < open_static_thrust(watts, disc_area(DIAMETER), RHO)
    ideal = float(ideal_power_coefficient(np.array(0.0), np.array(thrust)))
    merit = (force / open_static_thrust(watts, disc_area(DIAMETER), RHO)) ** 1.5
    assert ideal / power == pytest.approx(merit, rel=1e-12)


@pytest.mark.parametrize("pitch", [0.3, 0.6, 1.0, 1.4])
def test_efficiency_never_passes_froude(pitch: float) -> None:
    """Froude's efficiency 2/(1 + sqrt(1 + c)), c = T/(rho/2 V^2 A). Mark: computed."""
    merit_power = 60.0
    propeller = propeller_from_static(
        DIAMETER, pitch * DIAMETER, 4.6, 5943.3 * RPM, merit_power, RHO
    )
    turning, area = 5943.3 * RPM, disc_area(DIAMETER)
    zero = propeller.curve.known_to * DIAMETER * 5943.3 / 60.0
    for speed in np.linspace(0.02, 0.999, 25) * zero:
        thrust = float(propeller.thrust(turning, speed, RHO))
        shaft = float(propeller.shaft_torque(turning, speed, RHO)) * turning
        loading = thrust / (0.5 * RHO * speed**2 * area)
        froude = 2.0 / (1.0 + np.sqrt(1.0 + loading))
        assert thrust * speed / shaft < froude
        assert float(propeller.jet_power(turning, speed, RHO)) == pytest.approx(
            thrust * speed / froude
        )
