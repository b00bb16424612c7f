"""Random scenarios: documents drawn from a seed and a number, the same whatever else is drawn.

Most are wild on purpose. A `slant` tilts the draw towards an outcome that blind chance would
bring too seldom.
"""

from typing import Any

import numpy as np

from tests.documents import Document, laid, read
from tests.test_trade_facts import HERON

SLANTS = ("none", "none", "none", "none", "abort", "abort", "tail", "stuck", "stuck", "weak", "low")
SURFACES = ("pavement", "short grass", "mown grass", "long grass", "wet grass", "soft ground")


class Draw:
    """Numbers of one document."""

    def __init__(self, seed: int, number: int) -> None:
        sequence = np.random.SeedSequence(seed, spawn_key=(number,))
        self._random = np.random.default_rng(sequence)

    def between(self, low: float, high: float) -> float:
        """Any number between two."""
        return float(self._random.uniform(low, high))

    def chance(self, share: float) -> bool:
        """True in that share of the draws."""
        return bool(self._random.random() < share)

    def one_of(self, things: tuple[str, ...]) -> str:
        """One of several."""
        return things[int(self._random.integers(len(things)))]

    def scaled(self, low: float, high: float) -> float:
        """A number between two, even in its logarithm."""
        return float(np.exp(self._random.uniform(np.log(low), np.log(high))))


def pilot(draw: Draw, slant: str) -> Document:
    """A technique."""
    speed, place, time = draw.between(4, 25), draw.between(0, 60), draw.between(0, 6)
    pull = draw.one_of((f"{speed} m/s", f"{place} m", f"{time} s"))
    keys: Document = {
        "pull_at": "80 m" if slant == "barrow" else pull,
        "hold": draw.between(-0.4, 1) if draw.chance(0.4) else 0.0,
        "pull": draw.between(0.3, 1.0),
        "climb_attitude": f"{draw.between(3, 18)} deg",
        "reaction_time": f"{draw.between(0.1, 0.6)} s",
        "holds_attitude": draw.chance(0.7),
    }
    if slant == "barrow":
        keys["hold"] = draw.between(-1.0, -0.3)
    if slant == "abort":
        keys |= {"abort_at": f"{draw.between(5, 40)} m", "pull_at": "45 m", "hold": 0.0}
    if draw.chance(0.1):
        keys["rolling_start"] = f"{draw.between(0, 8)} m/s"
    return keys


def surroundings(draw: Draw) -> tuple[Document, Document]:
    """Strip and air."""
    strip: Document = {
        "surface": draw.one_of(SURFACES),
        "length": f"{draw.between(30, 200)} m",
        "slope": f"{draw.between(-5, 5)} %" if draw.chance(0.4) else "0 %",
    }
    if draw.chance(0.2):
        strip["obstacle"] = {
            "distance": f"{draw.between(40, 250)} m",
            "height": f"{draw.between(0.5, 10)} m",
        }
    air: Document = {
        "temperature": f"{draw.between(-10, 40)} degC",
        "elevation": f"{draw.between(0, 2500)} m",
        "headwind": f"{draw.between(-4, 8)} m/s" if draw.chance(0.4) else "0 m/s",
    }
    return strip, air


def power(draw: Draw, weight: float, slant: str) -> Document:
    """A power system of one of the kinds; `weight` [N]."""
    thrust = weight * (draw.between(0.02, 0.3) if slant == "stuck" else draw.scaled(0.2, 1.5))
    line = {
        "height": f"{draw.between(-40, 60)} mm",
        "tilt": f"{draw.between(-4, 4)} deg" if draw.chance(0.3) else "0 deg",
    }
    spool = draw.between(0.1, 1.2) if draw.chance(0.8) else 0.0
    common: Document = {"spool_time": f"{spool} s", "thrust_line": line}
    kind = draw.one_of(("linear", "quadratic", "fan", "points"))
    if kind == "fan":
        own: Document = {
            "kind": "ducted-fan",
            "exit_diameter": f"{draw.between(50, 110)} mm",
            "static_thrust": f"{thrust} N",
        }
    elif kind == "points":
        shares = ((0, 1.0), (12, 0.85), (25, 0.6), (45, 0.15))
        own = {
            "kind": "measured",
            "points": [{"airspeed": f"{u} m/s", "thrust": f"{k * thrust} N"} for u, k in shares],
        }
    else:
        own = {
            "kind": "measured",
            "static_thrust": f"{thrust} N",
            "fall_off": kind,
            "zero_thrust_airspeed": f"{draw.between(35, 90)} m/s",
        }
    return common | own


def _coefficients(draw: Draw, slant: str, area: float, chord: float) -> Document:
    slope, arm = draw.between(3.0, 5.0), draw.between(0.5, 0.9)
    weak = slant == "weak"
    return {
        "reference_area": f"{area} m^2",
        "reference_chord": f"{chord} m",
        "lift_at_zero": draw.between(0.5, 1.1) if slant == "barrow" else draw.between(-0.1, 0.45),
        "lift_slope": slope,
        "max_lift": draw.between(0.75, 1.6),
        "moment_at_zero": draw.between(-0.1, 0.02),
        "moment_slope": draw.between(-0.2, 0.2),
        "lift_point": {"station": f"{draw.between(-20, 40)} mm", "height": "5 mm"},
        "drag_at_zero_lift": draw.between(0.02, 0.08),
        "induced_drag_factor": draw.between(0.05, 0.15),
        "tail_lift_at_zero": draw.between(-0.04, 0.06),
        "tail_lift_slope": draw.between(0.2, 0.7),
        "tail_lift_per_elevator": -draw.between(0.02, 0.15) if weak else -draw.between(0.2, 0.8),
        "tail_lift_per_pitch_rate": draw.between(0.5, 4.0),
        "tail_max_lift": draw.between(0.02, 0.06) if weak else draw.between(0.08, 0.3),
        "tail_point": {"station": f"{1000 * arm} mm", "height": f"{draw.between(-20, 80)} mm"},
        "throw": {"up": f"{draw.between(3, 25)} deg", "down": f"{draw.between(3, 25)} deg"},
    }


def given_document(seed: int, number: int) -> Document:
    """A random aeroplane by coefficients, CG at the origin of all measures."""
    draw = Draw(seed, number)
    slant = draw.one_of(SLANTS)
    mass, area, chord = draw.scaled(0.8, 8.0), draw.between(0.2, 0.6), draw.between(0.2, 0.45)
    behind = draw.between(-60, -1) if slant == "tail" else draw.scaled(8, 160)
    height = draw.between(80, 170)
    radius = draw.between(20, 50)
    sink = height * (draw.between(0.6, 0.95) if slant == "low" else draw.between(-0.3, 0.6))
    if slant == "low":
        behind = draw.scaled(15, 60)
    strip, air = surroundings(draw)
    aeroplane: Document = {
        "mass": f"{mass} kg",
        "pitch_inertia": f"{mass * draw.between(0.02, 0.12)} kg*m^2",
        "cg": {"station": "0 mm", "height": "0 mm"},
        "gear": {
            "main": _wheel(behind, radius - height, radius),
            "nose": _wheel(-draw.between(200, 500), radius - height, radius)
            | {"axle_height": f"{radius - height - draw.between(-8, 12)} mm"},
        },
        "coefficients": _coefficients(draw, slant, area, chord),
    }
    if draw.chance(0.8) or slant == "low":
        back = max(behind, 0.0) + draw.between(350, 700)
        aeroplane["scrape_point"] = {"station": f"{back} mm", "height": f"{-sink} mm"}
    return {
        "title": f"random {number}, {slant}",
        "aeroplane": aeroplane,
        "power": power(draw, mass * 9.81, slant),
        "strip": strip,
        "air": air,
        "pilot": pilot(draw, slant),
    }


def _wheel(station: float, axle: float, radius: float) -> Document:
    return {
        "station": f"{station} mm",
        "axle_height": f"{axle} mm",
        "wheel_diameter": f"{2 * radius} mm",
    }


def measured_document(seed: int, number: int) -> Document:
    """The measured jet of the trade facts with everything random that leaves its shape alone."""
    draw = Draw(seed, number)
    slant = draw.one_of(("none", "none", "abort", "stuck", "barrow"))
    mass = draw.between(1.8, 5.0)
    strip, air = surroundings(draw)
    air |= {"temperature": "15 degC", "elevation": "0 m"}
    keys: dict[str, Any] = {
        "title": f"measured {number}, {slant}",
        "aeroplane__mass": "3.3 kg" if draw.chance(0.5) else f"{round(mass)} kg",
        "aeroplane__pitch_inertia": f"{mass * draw.between(0.03, 0.08)} kg*m^2",
        "aeroplane__wing__flaps__deflection": f"{draw.between(0, 45)} deg",
        "aeroplane__tail__flap_mix": draw.between(-0.1, 0.2),
        "aeroplane__tail__twist_per_newton": f"{draw.between(0, 0.3)} deg/N",
        "aeroplane__tail__throw": {
            "up": f"{draw.between(3, 25)} deg",
            "down": f"{draw.between(3, 20)} deg",
        },
        "power": power(draw, mass * 9.81, slant),
        "strip": strip,
        "air": air,
        "pilot": pilot(draw, slant),
    }
    if draw.chance(0.3):
        keys["pilot"]["drop_flaps"] = {
            "at": f"{draw.between(5, 60)} m",
            "to": f"{draw.between(10, 50)} deg",
            "duration": f"{draw.between(0, 2)} s",
        }
    return laid(read(HERON), **keys)
