"""The pilot as a technique: elevator by hand, then the law that holds the climb attitude."""

from typing import Any

import numpy as np

from sim.roll.block import Block


def perceived_rate(block: Block, pitch: Any, perceived: Any) -> Any:
    """Rate at which the perceived pitch follows the real one [rad/s]."""
    return (pitch - perceived) * (1.0 / block.thin.reaction_time)


def law_rate(block: Block, seen: Any, perceived: Any, elevator: Any) -> Any:
    """Elevator rate under the holding law, smooth within throws and throw rate [rad/s].

    `seen`: rate of the perceived pitch [rad/s].
    """
    p = block.thin
    command = p.climb_attitude - perceived
    command -= p.law_lead * seen
    command *= p.law_gain
    command += p.law_trim - block.throw_middle
    command *= 1.0 / block.throw_half
    command = block.math.tanh(command)
    command *= block.throw_half
    command += block.throw_middle
    command -= elevator
    command *= 1.0 / (p.elevator_rate * p.servo_lag)
    command = block.math.tanh(command)
    command *= p.elevator_rate
    return command


def elevator_rate(block: Block, seen: Any, perceived: Any, elevator: Any) -> Any:
    """Elevator rate: steady while moving by hand, the law's once it steers [rad/s].

    `seen`: rate of the perceived pitch [rad/s].
    """
    s = block.s
    if not block.math.any(s.law):
        return s.elevator_slope
    if block.math.all(s.law):
        return law_rate(block, seen, perceived, elevator)
    by_law = law_rate(block, seen, perceived, elevator)
    return block.math.where(s.law > 0.0, by_law, s.elevator_slope)


def start_movement(block: Block, which: Any, elevator: Any, target: Any, now: Any) -> None:
    """Begin moving the elevator of some lanes by hand towards a target."""
    s = block.s
    travel = target - elevator
    s.elevator_target[which] = target
    s.elevator_slope[which] = np.sign(travel) * block.p.elevator_rate[which]
    s.elevator_stop[which] = now + np.abs(travel) / block.p.elevator_rate[which]
