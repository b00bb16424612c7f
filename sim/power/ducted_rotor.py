"""Ducted fan with a work line: how its jet answers to rotation, airspeed, size and nozzle.

With tip speed `u = Omega D/2`, flow through the disc `V_d = V_e A_e/A_d` and `phi = V_d/u`, the jet
gains per mass of air

    (V_e^2 - V^2)/2 = u^2 psi_0 (1 - phi/phi_max)

Euler's equation with blades that turn the flow to a fixed angle: work falls in a straight line
with flow. (Source: Dixon & Hall, Fluid Mechanics and Thermodynamics of Turbomachinery, ch. 5, from
memory.) Losses are a constant share of shaft power. Thrust `T = rho A_e V_e (V_e - V)`, jet power
`P = rho A_e V_e (V_e^2 - V^2)/2 = eta Q Omega`: momentum theory, exit at ambient pressure.

One bench reading gives `psi_0` and `eta`. The shape needs one number it cannot show: the
airspeed, over the jet's velocity at rest, where work vanishes at that rotation. Left out: stall of
the blades when the nozzle is closed, intake losses, swirl, Reynolds and Mach number.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from sim.power.bench import BenchReading, checked_state
from sim.power.fan import disc_area
from sim.power.motor import Motor
from sim.power.rotor import tip_remarks
from sim.range import Range
from sim.roll.aero_table import Array

ZERO_THRUST_RATIO = Range(1.15, 1.3, 1.6)
"""Airspeed of no thrust at fixed rotation over efflux velocity at rest (judgement) [-]."""
WIDE_EXIT = 1.1
"""Exit over rotor diameter above which a size is remarked upon (judgement, no source) [-]."""


@dataclass(frozen=True)
class FanSize:
    """Diameters [m]: tip of the rotor, hub of the rotor, exit of the duct (full circle)."""

    diameter: float
    hub_diameter: float
    exit_diameter: float

    def __post_init__(self) -> None:
        if not (0.0 <= self.hub_diameter < self.diameter and self.exit_diameter > 0.0):
            raise ValueError("a fan needs a hub smaller than its diameter and an exit")

    @property
    def disc_area(self) -> float:
        """Between hub and tip [m2]."""
        return disc_area(self.diameter, self.hub_diameter)

    @property
    def exit_area(self) -> float:
        """Of the duct's exit [m2]."""
        return disc_area(self.exit_diameter)

    def scaled_to(self, diameter: float) -> "FanSize":
        """Give the same shape at another rotor diameter [m]."""
        k = diameter / self.diameter
        return FanSize(diameter, self.hub_diameter * k, self.exit_diameter * k)


@dataclass(frozen=True)
class DuctedRotor:
    """A ducted fan known by its work line.

    Attributes
    ----------
    size: diameters.
    work_coefficient: psi_0, jet work per mass over tip speed squared without flow [-].
    flow_limit: phi_max, flow coefficient at which work vanishes [-].
    efficiency: jet power over shaft power [-].
    notes: remarks on how it was anchored.

    """

    size: FanSize
    work_coefficient: float
    flow_limit: float
    efficiency: float
    notes: tuple[str, ...] = field(default=())

    @property
    def diameter(self) -> float:
        """Tip diameter [m]."""
        return self.size.diameter

    def efflux_velocity(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """Velocity of the jet [rad/s, m/s -> m/s].

        Positive root of `V_e^2 + b V_e - (V^2 + a) = 0`, `a = 2 psi_0 u^2`,
        `b = 2 psi_0 u A_e/(A_d phi_max)`, in the form that loses no digits; a = 100, b = 15 at rest
        give 5.0 m/s. Density does not matter. Source: the module's, momentum.
        """
        u = np.asarray(rotation) * self.diameter / 2.0
        gain = 2.0 * self.work_coefficient * u
        half_b = 0.5 * gain * self.size.exit_area / (self.size.disc_area * self.flow_limit)
        energy = np.asarray(airspeed) ** 2 + gain * u
        return np.asarray(energy / (half_b + np.sqrt(half_b**2 + energy)))

    def thrust(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """`T = rho A_e V_e (V_e - V)` [N]; 1.225, 50 cm2, 65 m/s at rest give 25.88 N. Momentum."""
        efflux = self.efflux_velocity(rotation, airspeed, density)
        return np.asarray(density * self.size.exit_area * efflux * (efflux - airspeed))

    def jet_power(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """`P = T (V_e + V)/2` [W]; 26 N at 65 m/s of jet and at rest give 845 W. Momentum."""
        efflux = self.efflux_velocity(rotation, airspeed, density)
        return np.asarray(0.5 * self.thrust(rotation, airspeed, density) * (efflux + airspeed))

    def shaft_torque(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """`Q = P_jet/(eta Omega)` [N m]; 845 W, 0.55, 3250 rad/s give 0.473 N m. Momentum.

        Driven by the air (P_jet < 0) the shaft receives `eta P_jet` and not more.
        """
        jet = self.jet_power(rotation, airspeed, density)
        share = np.where(jet >= 0.0, 1.0 / self.efficiency, self.efficiency)
        return np.asarray(share * jet / rotation)

    def remarks(self, rotation: Array | float, airspeed: Array | float) -> tuple[str, ...]:
        """Say what lies outside the range this fan is known in."""
        return tip_remarks(self, rotation)


def anchored_fan(
    reading: BenchReading,
    motor: Motor,
    controller_resistance: float,
    fan: FanSize,
    zero_thrust_ratio: float = ZERO_THRUST_RATIO.typical,
) -> DuctedRotor:
    """Fan that gives back a bench reading.

    At rest `V_e = sqrt(T/(rho A_e))`, `k = V_e/u`; `phi_max = r k A_e/A_d`,
    `psi_0 = k^2/(2 (1 - 1/r))`, eta = jet power over shaft power. [V, A, N, m]: 26 N through 80 mm
    and 3253 rad/s of 90 mm give V_e 64.98 m/s, k 0.4439, psi_0 0.4270 at r = 1.3. Source: module.

    Parameters
    ----------
    reading
        at the controller's input, at rest.
    motor
        label values; the speed factor of the reading is found here and in `bench_state` alike.
    controller_resistance
        [ohm].
    fan
        diameters.
    zero_thrust_ratio
        above 1 [-].

    Raises
    ------
    ValueError
        For an impossible reading, all faults at once, or a ratio of 1 and less.

    """
    if not zero_thrust_ratio > 1.0:
        raise ValueError(f"zero-thrust ratio {zero_thrust_ratio:g} must be above 1")
    state = checked_state(reading, motor, controller_resistance, fan.exit_area, ducted=True)
    efflux = float(np.sqrt(reading.thrust / (reading.density * fan.exit_area)))
    k = efflux / (state.rotation * fan.diameter / 2.0)
    efficiency = 0.5 * reading.thrust * efflux / state.shaft_power
    return DuctedRotor(
        size=fan,
        work_coefficient=k * k / (2.0 * (1.0 - 1.0 / zero_thrust_ratio)),
        flow_limit=zero_thrust_ratio * k * fan.exit_area / fan.disc_area,
        efficiency=efficiency,
        notes=_ratio_remarks(zero_thrust_ratio),
    )


def _ratio_remarks(ratio: float) -> tuple[str, ...]:
    known = ZERO_THRUST_RATIO
    if known.low <= ratio <= known.high:
        return ()
    return (f"zero-thrust ratio {ratio:g} is outside {known.low:g} to {known.high:g}",)


def exit_remarks(fan: FanSize) -> tuple[str, ...]:
    """Say so when the exit is much wider than the rotor, which would have to slow the air."""
    share = fan.exit_diameter / fan.diameter
    if share <= WIDE_EXIT:
        return ()
    return (
        f"the duct's exit is {share:.2f} times as wide as the rotor, its area"
        f" {fan.exit_area / fan.disc_area:.2f} times what the blades sweep: check the diameters;"
        " air does not fill a duct that opens so far, and the jet is then misread",
    )


def resized(rotor: DuctedRotor, fan: FanSize) -> DuctedRotor:
    """Give another size, hub or exit to the same blades: work line and efficiency stay.

    With all diameters alike thrust goes as `Omega^2 D^4`, torque as `Omega^2 D^5` [N, N m]: 10 %
    more gives 1.464 and 1.611. Another exit alone moves the flow along the work line. Source:
    module's.
    """
    return replace(rotor, size=fan)
