"""Sentences on a bench reading beside what the parts as described give."""

from sim.power.battery import FULL_CELL_VOLTAGE
from sim.power.bench_check import TOLERANCE, BenchCheck
from sim.show.units import number_text, quantity, unit_of


def bench_lines(check: BenchCheck, rotor: str, system: str = "si") -> tuple[str, ...]:
    """What the reading says of the parts, then of the battery; `rotor` is "fan" or "propeller"."""
    return (parts_line(check, rotor), *battery_lines(check, system))


def parts_line(check: BenchCheck, rotor: str) -> str:
    """How the parts compare with the reading at the volts of the bench."""
    if check.matched:
        return (
            f"The {rotor} is set by this reading, so at the volts of the bench the parts give it"
            " back as it is."
        )
    apart = _apart(check)
    if check.other_parts:
        others = " and ".join(check.other_parts)
        return f"Read with another {others}: at the same volts those fitted now give {apart}."
    if max(abs(share) for share in _shares(check)) <= TOLERANCE:
        return f"At the volts of the bench the parts agree with the reading: {apart}."
    return f"At the volts of the bench the parts disagree with the reading: they give {apart}."


def _shares(check: BenchCheck) -> tuple[float, float]:
    """Thrust and current of the parts over those read, less one [-]."""
    at, read = check.at_bench_volts, check.reading
    return at.thrust / read.thrust - 1.0, at.current / read.current - 1.0


def _apart(check: BenchCheck) -> str:
    thrust, current = (percent(share) for share in _shares(check))
    return f"{thrust} thrust and {current} current"


def percent(share: float) -> str:
    """A difference with its sign, such as "+6 %"; "0 %" when it rounds to nothing [-]."""
    whole = round(100.0 * share)
    return f"{whole:+d} %" if whole else "0 %"


def battery_lines(check: BenchCheck, system: str = "si") -> tuple[str, ...]:
    """Whether the battery as described is the one that was on the bench, and what follows."""
    held, read, current = _amounts(check, system)
    if check.other_battery:
        return (
            f"The battery is not the one in the file as it stands: changed, it holds {held} at the"
            f" {current} of the bench, where {read} were read. {_taken_from(check, system)}",
        )
    if check.battery_agrees:
        return (
            f"The battery as described holds {held} at the {current} of the bench:"
            f" {percent(check.volts_apart)} against the {read} read, which fits.",
        )
    share = abs(round(100.0 * check.volts_apart))
    side = "more" if check.volts_apart > 0.0 else "less"
    # from the numbers shown, so that the sentence adds up
    shown = [round(unit_of("voltage").shown(v), 1) for v in (check.held, check.reading.voltage)]
    apart = number_text(abs(shown[0] - shown[1]), 1)
    return (
        f"The battery as described does not fit the reading: at the {current} of the bench it"
        f" holds {held}, {apart} V ({share} %) {side} than the {read} read."
        f" {_taken_from(check, system)}",
        _fitting(check, system),
    )


def _taken_from(check: BenchCheck, system: str) -> str:
    """What the volts do to the thrust of the roll."""
    here, bench, rolled = (
        quantity(thrust, "force", system)
        for thrust in (
            check.with_battery.thrust, check.at_bench_volts.thrust, check.rolled_thrust,
        )
    )  # fmt: skip
    air = (
        f", both in the air of the bench; {rolled} in the air of the roll" if rolled != here else ""
    )
    return (
        "The roll takes its thrust from the battery described, not from the bench: at rest"
        f" {here} where the volts of the bench give {bench} ({percent(check.thrust_apart)}){air}."
    )


def battery_remark(check: BenchCheck, system: str = "si") -> str:
    """The same in short for the report of a roll; "" when the battery fits."""
    if check.battery_agrees:
        return ""
    held, read, current = _amounts(check, system)
    volts, thrust = percent(check.volts_apart), percent(check.thrust_apart)
    return (
        f"the battery as described holds {held} at the {current} of the bench, where {read} were"
        f" read ({volts}), which makes {thrust} of thrust at rest in the same air; the command"
        " check tells more"
    )


def _amounts(check: BenchCheck, system: str) -> tuple[str, str, str]:
    """Volts held, volts read, amps read."""
    read = check.reading
    return (
        quantity(check.held, "voltage", system),
        quantity(read.voltage, "voltage", system),
        quantity(read.current, "current", system),
    )


def _cause(check: BenchCheck) -> str:
    if check.volts_apart > 0.0:
        return "The battery on the bench was emptier, colder or more worn than the one described"
    return "The battery on the bench was fuller, fresher or warmer than the one described"


def _fitting(check: BenchCheck, system: str) -> str:
    """What the battery would have to be, for a builder to choose from."""
    fits = []
    volts, ohms = check.fitting_cell_voltage, check.fitting_cell_resistance
    if volts <= FULL_CELL_VOLTAGE:
        charge = quantity(check.fitting_charge, "share", system)
        fits.append(f"cells that rest at {volts:.2f} V ({charge} charge)")
    if ohms is not None:
        fits.append(f"{quantity(ohms, 'resistance', system)} a cell")
    if not fits:
        return "No charge and no resistance of so many cells fits the reading: count the cells."
    return (
        f"{_cause(check)}: the reading fits {' or '.join(fits)}. If that is the one you fly, put it"
        " into power.battery."
    )
