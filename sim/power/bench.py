"""One reading on the bench: volts, amps and newtons at standstill, and what cannot be true in it.

Volts are read at the controller's input. Motor voltage is `v_m = v - i R_c`, back-EMF
`E = v_m - i R`, shaft power `(i - i0) E` whatever the speed constant. A reading of rotation
shows the speed constant as it really is, `Kv_eff = Omega/E`; its ratio to the label's, the
speed factor, covers label errors and timing, and is kept for other motors of the same build.
"""

from dataclasses import dataclass

from sim.power.battery import FULL_CELL_VOLTAGE
from sim.power.fan import open_static_thrust, static_thrust
from sim.power.motor import Motor, with_speed_factor
from sim.power.rotor import RPM

SPEED_FACTOR_BAND = (0.8, 1.2)
"""Measured over labelled speed constant that is still believed (judgement, no source) [-]."""

LOW_EFFICIENCY = 0.25
"""Jet power over shaft power below which it is remarked upon (judgement, no source) [-]."""


@dataclass(frozen=True)
class BenchReading:
    """What stood on the meters, full throttle, at rest.

    Attributes
    ----------
    voltage: at the controller's input [V].
    current: there [A].
    thrust: on the scale [N].
    density: of the air on that day [kg/m3].
    rotation: None when not read [rad/s].

    """

    voltage: float
    current: float
    thrust: float
    density: float
    rotation: float | None = None

    def __post_init__(self) -> None:
        if not self.density > 0.0:
            raise ValueError("air density at the bench must be positive")


@dataclass(frozen=True)
class BenchFault:
    """One thing that cannot be true: which reading, and the number that shows it."""

    key: str
    message: str


@dataclass(frozen=True)
class BenchState:
    """What the reading says about the shaft.

    Attributes
    ----------
    motor: with the speed constant as it really is.
    speed_factor: real over labelled speed constant; 1 without a reading of rotation [-].
    rotation: [rad/s].
    torque: [N m].

    """

    motor: Motor
    speed_factor: float
    rotation: float
    torque: float

    @property
    def shaft_power(self) -> float:
        """Torque times rotation [W]."""
        return self.torque * self.rotation


def back_emf(reading: BenchReading, motor: Motor, controller_resistance: float) -> float:
    """Voltage left for turning [V].

    `E = v - i (R_c + R)`; 21.8 V, 78 A, 2 + 12 mohm give 20.708 V. Source: Drela 2007.
    """
    return reading.voltage - reading.current * (controller_resistance + motor.resistance)


def bench_faults(
    reading: BenchReading,
    motor: Motor,
    controller_resistance: float,
    area: float,
    *,
    ducted: bool,
) -> tuple[BenchFault, ...]:
    """Everything in a reading that cannot be true, empty when it can.

    Parameters
    ----------
    reading
        as read.
    motor
        label values.
    controller_resistance
        [ohm].
    area
        of the duct's exit, or of the open disc [m2].
    ducted
        whether the jet leaves through that area or contracts behind it.

    """
    faults = _sign_faults(reading)
    if faults:
        return tuple(faults)
    faults = _electrical_faults(reading, motor, controller_resistance)
    shaft = 0.0
    if not faults:
        emf = back_emf(reading, motor, controller_resistance)
        shaft = (reading.current - motor.no_load_current) * emf
        faults += _rotation_faults(reading, motor, emf)
    faults += _thrust_faults(reading, shaft, area, ducted)
    return tuple(faults)


def _sign_faults(reading: BenchReading) -> list[BenchFault]:
    values = {
        "voltage": reading.voltage,
        "current": reading.current,
        "thrust": reading.thrust,
        "rotation": 1.0 if reading.rotation is None else reading.rotation,
    }
    return [
        BenchFault(key, f"{key} on the bench must be positive, it is {value:g}")
        for key, value in values.items()
        if not value > 0.0
    ]


def _electrical_faults(
    reading: BenchReading, motor: Motor, controller_resistance: float
) -> list[BenchFault]:
    faults = []
    if reading.current <= motor.no_load_current:
        faults.append(
            BenchFault(
                "current",
                f"{reading.current:.3g} A on the bench is no more than the no-load current of"
                f" {motor.no_load_current:.3g} A, which leaves nothing to turn the rotor",
            )
        )
    resistance = controller_resistance + motor.resistance
    lost = reading.current * resistance
    if lost >= reading.voltage:
        faults.append(
            BenchFault(
                "voltage",
                f"{reading.current:.3g} A through {resistance * 1e3:.3g} mohm of controller and"
                f" winding lose {lost:.3g} V, all of the {reading.voltage:.3g} V read",
            )
        )
    return faults


def _rotation_faults(reading: BenchReading, motor: Motor, emf: float) -> list[BenchFault]:
    if reading.rotation is None:
        return []
    rpm, unloaded = reading.rotation / RPM, motor.speed_constant * reading.voltage
    expected = motor.speed_constant * emf
    factor = reading.rotation / expected
    if reading.rotation > unloaded:
        return [
            BenchFault(
                "rotation",
                f"{rpm:,.0f} rpm under load is above {unloaded / RPM:,.0f} rpm, speed constant"
                " times voltage: an efficiency above one, so rotation or speed constant is wrong",
            )
        ]
    low, high = SPEED_FACTOR_BAND
    if not low <= factor <= high:
        return [
            BenchFault(
                "rotation",
                f"{rpm:,.0f} rpm is {factor:.3g} of the {expected / RPM:,.0f} rpm that volts, amps"
                f" and speed constant give; outside {low:g} to {high:g} one of them is wrong",
            )
        ]
    return []


def _thrust_faults(
    reading: BenchReading, shaft: float, area: float, ducted: bool
) -> list[BenchFault]:
    """Momentum theory bounds thrust by power and area: first at the shaft, then at the meters."""
    limit = static_thrust if ducted else open_static_thrust
    electrical = reading.voltage * reading.current
    place = "exit" if ducted else "disc"
    for name, power in (("electrical", electrical), ("shaft", shaft)):
        most = limit(power, area, reading.density) if power > 0.0 else float("inf")
        if reading.thrust > most:
            text = (
                f"{reading.thrust:.3g} N is more than the {most:.3g} N that all {power:.0f} W of"
                f" {name} power could make through {area * 1e4:.3g} cm2 of {place}"
            )
            return [BenchFault("thrust", text)]
    return []


def bench_state(reading: BenchReading, motor: Motor, controller_resistance: float) -> BenchState:
    """Rotation and torque behind a possible reading.

    `Q = (i - i0)/Kv_eff`, `Kv_eff = Omega/E`, or the label's; 1500 rpm/V, 21.8 V, 78 A, 14 mohm,
    3 A give 31,062 rpm, 0.4775 N m, 1553 W; units [V, A, ohm -> rad/s, N m]. Source: Drela 2007.

    Raises
    ------
    ValueError
        When nothing is left to turn the rotor.

    """
    emf = back_emf(reading, motor, controller_resistance)
    if emf <= 0.0 or reading.current <= motor.no_load_current:
        raise ValueError("the bench reading leaves nothing to turn the rotor")
    expected = motor.speed_constant * emf
    turning = expected if reading.rotation is None else reading.rotation
    real = with_speed_factor(motor, turning / expected)
    torque = (reading.current - motor.no_load_current) / real.speed_constant
    return BenchState(real, turning / expected, turning, torque)


def checked_state(
    reading: BenchReading,
    motor: Motor,
    controller_resistance: float,
    area: float,
    *,
    ducted: bool,
) -> BenchState:
    """`bench_state` of a reading without faults.

    Raises
    ------
    ValueError
        With every fault of `bench_faults`, in one message.

    """
    faults = bench_faults(reading, motor, controller_resistance, area, ducted=ducted)
    if faults:
        raise ValueError("; ".join(fault.message for fault in faults))
    return bench_state(reading, motor, controller_resistance)


def efficiency_remarks(efficiency: float) -> tuple[str, ...]:
    """Say so when at rest hardly any of the shaft's power reaches the air behind [-]."""
    if efficiency >= LOW_EFFICIENCY:
        return ()
    return (
        f"only {100.0 * efficiency:.0f} % of the shaft's power at rest is found in the air behind"
        " the rotor: check thrust, current and sizes, or the rotor is badly matched",
    )


def voltage_remarks(voltage: float, cells: int) -> tuple[str, ...]:
    """Say so when more volts were read under load than full cells have at rest [V].

    `v > 4.20 n`; 6 cells have 25.2 V. Common practice, from memory, no source.
    """
    full = cells * FULL_CELL_VOLTAGE
    if voltage <= full:
        return ()
    return (
        f"{voltage:.1f} V on the bench are more than the {full:.1f} V of {cells} full"
        f" lithium-polymer cells at rest ({FULL_CELL_VOLTAGE:.2f} V each): volts or cells are"
        " wrong, or it was read on another battery",
    )
