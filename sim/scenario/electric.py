"""Pack, controller, motor, rotor and the bench reading that ties them together.

A reading on the bench belongs to the parts it was taken with. When a file that extends another, a
`--set` or a change replaces a key of one of those parts, the part as it was goes with the reading
(`bench.motor`, `bench.fan`, ...), so that the new one is predicted from it.
"""

from typing import Annotated

from sim.scenario.fields import Note, Part, Quantity
from sim.scenario.propeller import Propeller
from sim.scenario.whole import Whole

TAKEN_WITH = "The {} the reading was taken with, when another is fitted now."


class Battery(Part):
    """The pack."""

    cells: Annotated[int, Whole("bare", "1", "40", "Cells in series.")]
    state_of_charge: Annotated[
        float | None,
        Quantity("fraction", "0 %", "100 %", "Charge left.", "taken as full", ("cell_voltage",)),
    ] = None
    cell_voltage: Annotated[
        float | None,
        Quantity("voltage", "0.5 V", "5 V", "Of one cell at rest, instead of state_of_charge."),
    ] = None
    cell_resistance: Annotated[
        float | None,
        Quantity("resistance", "0 mohm", "1 ohm", "Of one cell.", "estimated from the capacity"),
    ] = None
    capacity: Annotated[
        float | None, Quantity("charge", "10 mAh", "1000 Ah", "Of the pack; tells the minutes.")
    ] = None
    most_current: Annotated[
        float | None, Quantity("current", "0.1 A", "5000 A", "Most it may deliver.")
    ] = None


class Controller(Part):
    """The speed controller."""

    resistance: Annotated[
        float | None, Quantity("resistance", "0 mohm", "1 ohm", "Battery to motor.", "estimated")
    ] = None
    most_current: Annotated[
        float | None, Quantity("current", "0.1 A", "5000 A", "Most it may carry.")
    ] = None


class Motor(Part):
    """The motor by its three constants, as on its label."""

    speed_constant: Annotated[
        float, Quantity("motor_constant", "5 rpm/V", "50000 rpm/V", "Unloaded speed per volt.")
    ]
    resistance: Annotated[
        float, Quantity("resistance", "0.05 mohm", "20 ohm", "Of the winding, wire to wire.")
    ]
    no_load_current: Annotated[
        float, Quantity("current", "0 A", "500 A", "Drawn with nothing on the shaft.")
    ]
    most_current: Annotated[
        float | None, Quantity("current", "0.1 A", "5000 A", "Most it may draw.")
    ] = None
    most_power: Annotated[
        float | None, Quantity("power", "1 W", "1000 kW", "Most it may take at its wires.")
    ] = None


class Fan(Part):
    """The ducted fan."""

    diameter: Annotated[float, Quantity("length", "10 mm", "3 m", "Of the rotor.")]
    hub_diameter: Annotated[float, Quantity("length", "0 mm", "3 m", "Of the hub.")]
    exit_diameter: Annotated[float, Quantity("length", "5 mm", "3 m", "Of the nozzle.")]
    zero_thrust_ratio: Annotated[
        float | None,
        Quantity(
            "bare",
            "1.05",
            "3",
            "Airspeed of no thrust at one speed of rotation over the jet's speed at rest.",
            "taken as usual",
        ),
    ] = None
    most_rotation: Annotated[
        float | None, Quantity("rotation", "100 rpm", "500000 rpm", "Rated speed of the rotor.")
    ] = None


class Bench(Part):
    """One reading at rest, full throttle, volts and amps at the controller's input."""

    voltage: Annotated[float, Quantity("voltage", "0.5 V", "1000 V", "Under load.")]
    current: Annotated[float, Quantity("current", "0.05 A", "5000 A", "From the pack.")]
    thrust: Annotated[float, Quantity("force", "0.01 N", "100 kN", "On the scale.")]
    rotation: Annotated[
        float | None,
        Quantity("rotation", "100 rpm", "500000 rpm", "If read; else from volts and amps."),
    ] = None
    air_density: Annotated[
        float | None,
        Quantity("density", "0.3 kg/m^3", "2 kg/m^3", "On that day.", "taken as standard air"),
    ] = None
    controller: Annotated[Controller | None, Note(TAKEN_WITH.format("controller"))] = None
    motor: Annotated[Motor | None, Note(TAKEN_WITH.format("motor"))] = None
    fan: Annotated[Fan | None, Note(TAKEN_WITH.format("fan"))] = None
    propeller: Annotated[Propeller | None, Note(TAKEN_WITH.format("propeller"))] = None
