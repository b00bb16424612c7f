"""Brushless motor with its controller as a direct-current motor of three constants.

`Omega = Kv (v - i R)`, `Q = (i - i0)/Kv`: Drela, First-Order DC Electric Motor Model, MIT, 2007
(equations from memory). Iron and friction losses are `i0` times the back-EMF, so `i0` is taken
not to grow with speed; the second-order terms of the same author are left out. Full throttle.
"""

from dataclasses import dataclass, replace

import numpy as np

from sim.roll.aero_table import Array


@dataclass(frozen=True)
class Motor:
    """Three constants.

    Attributes
    ----------
    speed_constant: Kv [rad/s per V].
    resistance: of the winding, as the controller sees it [ohm].
    no_load_current: i0 [A].

    """

    speed_constant: float
    resistance: float
    no_load_current: float

    def __post_init__(self) -> None:
        if not (self.speed_constant > 0.0 and self.resistance > 0.0):
            raise ValueError("speed constant and winding resistance must be positive")
        if not self.no_load_current >= 0.0:
            raise ValueError("no-load current must not be negative")


def rotation(motor: Motor, voltage: float, current: float) -> float:
    """Speed of rotation [V, A -> rad/s].

    `Omega = Kv (v - i R)`; 1000 rpm/V, 0.05 ohm, 11.1 V, 20 A give 10,100 rpm. Source: Drela 2007.
    """
    return motor.speed_constant * (voltage - current * motor.resistance)


def torque(motor: Motor, current: float) -> float:
    """Torque at the shaft [A -> N m].

    `Q = (i - i0)/Kv`; 1000 rpm/V, 20 A, i0 1 A give 0.18144 N m. Source: Drela 2007.
    """
    return (current - motor.no_load_current) / motor.speed_constant


def shaft_power(motor: Motor, voltage: float, current: float) -> float:
    """Power at the shaft [V, A -> W].

    `P = (i - i0) (v - i R)`; 11.1 V, 20 A, 0.05 ohm, i0 1 A give 191.9 W. Source: Drela 2007.
    """
    return torque(motor, current) * rotation(motor, voltage, current)


def efficiency(motor: Motor, voltage: float, current: float) -> float:
    """Shaft power over power at the motor's terminals [V, A -> -].

    `eta = (1 - i0/i)(1 - i R/v)`, i > 0; 11.1 V, 20 A, 0.05 ohm, i0 1 A give 0.8644. Source:
    Drela 2007.
    """
    return shaft_power(motor, voltage, current) / (voltage * current)


def best_current(motor: Motor, voltage: float) -> float:
    """Current of the best efficiency at a voltage [V -> A].

    `i = sqrt(v i0/R)`; 11.1 V, 0.05 ohm, 1 A give 14.90 A. Where d eta/d i = 0; Source: Drela 2007.
    """
    return float(np.sqrt(voltage * motor.no_load_current / motor.resistance))


def peak_efficiency(motor: Motor, voltage: float) -> float:
    """Best efficiency at a voltage [V -> -].

    `eta = (1 - sqrt(i0 R/v))^2`; 11.1 V, 0.05 ohm, 1 A give 0.8703. Source: Drela 2007.
    """
    return float((1.0 - np.sqrt(motor.no_load_current * motor.resistance / voltage)) ** 2)


def current_at(motor: Motor, source_voltage: float, resistance: float, speed: Array) -> Array:
    """Current drawn through resistances in series at a speed of rotation [V, ohm, rad/s -> A].

    `i = (v_oc - Omega/Kv)/R_total`, winding included in the total; 23 V, 0.03 ohm and 20 V of
    back-EMF give 100 A. Source: Kirchhoff's voltage law, Drela 2007; negative: driven.
    """
    return np.asarray((source_voltage - speed / motor.speed_constant) / resistance)


def with_speed_factor(motor: Motor, factor: float) -> Motor:
    """Give the motor whose speed constant is so many times the label's [-]."""
    return replace(motor, speed_constant=motor.speed_constant * factor)
