"""One operating point of the electric chain, and where every watt of the battery goes."""

from dataclasses import dataclass


@dataclass(frozen=True)
class OperatingPoint:
    """Full throttle at one airspeed, steady.

    Attributes
    ----------
    airspeed: [m/s].
    open_voltage: of the pack with nothing drawn [V].
    battery_voltage: at the controller's input [V].
    motor_voltage: [V].
    current: [A].
    rotation: [rad/s].
    torque: asked by the rotor [N m].
    thrust: [N].
    efflux_velocity: [m/s].
    battery_power: open voltage times current [W].
    battery_loss, controller_loss, winding_loss, no_load_loss, rotor_loss: [W].
    jet_power: what an ideal rotor would have needed [W].

    """

    airspeed: float
    open_voltage: float
    battery_voltage: float
    motor_voltage: float
    current: float
    rotation: float
    torque: float
    thrust: float
    efflux_velocity: float
    battery_power: float
    battery_loss: float
    controller_loss: float
    winding_loss: float
    no_load_loss: float
    rotor_loss: float
    jet_power: float

    @property
    def electrical_power(self) -> float:
        """Power at the controller's input, as a meter there shows it [W]."""
        return self.battery_voltage * self.current

    @property
    def shaft_power(self) -> float:
        """Torque times rotation [W]."""
        return self.torque * self.rotation

    @property
    def motor_efficiency(self) -> float:
        """Shaft power over power at the motor's terminals, 0 where the air drives it [-]."""
        given = self.motor_voltage * self.current
        return self.shaft_power / given if given > 0.0 and self.torque > 0.0 else 0.0

    @property
    def rotor_efficiency(self) -> float:
        """Jet power over shaft power, 0 where the air drives the rotor [-]."""
        return self.jet_power / self.shaft_power if self.torque > 0.0 else 0.0

    def trail(self) -> tuple[tuple[str, float], ...]:
        """Where the battery's power goes, by name [W]; the parts add up to `battery_power`."""
        return (
            ("battery", self.battery_loss),
            ("controller", self.controller_loss),
            ("winding", self.winding_loss),
            ("no load", self.no_load_loss),
            ("rotor", self.rotor_loss),
            ("jet", self.jet_power),
        )
