"""Speeds, measured here and now: `python -m tests.benchmark`. Prints; asserts nothing.

`python -m tests.benchmark lanes 100000` prints only the seconds and the memory of so many rolls.
"""

import cProfile
import os
import pstats
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any
from unittest import mock

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does, before numpy

import numpy as np
from scipy.integrate import solve_ivp

import sim
from sim.aeroplane import build
from sim.prepare import prepare
from sim.report import build_report
from sim.roll.alone import Alone
from sim.roll.block import batch_of
from sim.roll.dynamics import derivatives
from sim.roll.engine import initial_states
from sim.roll.parameters import Setup
from sim.roll.phases import AIRBORNE
from sim.roll.quasi_static import one_block
from sim.roll.result import simulate_many, simulate_setup
from sim.study.knobs import knob_of
from sim.study.sources import Lane, variants_of
from tests import benchmark_page
from tests.oracle import roll as oracle
from tests.oracle.motion import Motion

MANY = 10_000


def seconds(
    work: Callable[[], object], times: int = 3, clock: Callable[[], float] = time.perf_counter
) -> float:
    """Best of several runs [s]."""
    best = float("inf")
    for _ in range(times):
        start = clock()
        work()
        best = min(best, clock() - start)
    return best


def busy(work: Callable[[], object]) -> float:
    """The same in seconds of the processor, whatever else the machine is doing [s]."""
    return seconds(work, clock=time.process_time)


def cold(*words: str) -> float:
    """A command in a fresh process, best of three [s]."""
    command = [sys.executable, *words]
    return seconds(lambda: subprocess.run(command, capture_output=True, check=True))


def line(name: str, value: float, unit: str, wanted: str = "") -> None:
    """Print one row."""
    print(f"{name:<58}{value:>10.3f} {unit:<8}{wanted}")


def spread_of(setup: Setup, count: int) -> list[Setup]:
    """The same jet with other thrust, grass and wind, many times."""
    rng = np.random.default_rng(1)
    return [
        replace(
            setup,
            parameters=replace(
                setup.parameters,
                static_thrust=21.0 * rng.uniform(0.9, 1.1),
                main_friction=rng.uniform(0.09, 0.2),
                headwind=rng.normal(0.0, 1.0),
            ),
        )
        for _ in range(count)
    ]


def one_after_the_other(setups: list[Setup]) -> float:
    """Rolls a second by a plain loop over scipy's RK45 at 1e-6, on the scalar equations."""

    def by_rk45(*args: Any, **options: Any) -> Any:
        return solve_ivp(*args, **{**options, "method": "RK45", "max_step": np.inf})

    quiet = mock.patch.object(oracle._Run, "watch", lambda *args: None)
    with mock.patch.object(oracle, "solve_ivp", by_rk45), quiet:
        took = busy(lambda: [oracle.oracle_roll(s, 1e-6, 1.0) for s in setups])
    return len(setups) / took


def compare_with_a_plain_loop(setup: Setup, ours: float) -> float:
    """Rolls a second of the plain loop, printed with what one evaluation costs either way."""
    plain = one_after_the_other(spread_of(setup, 5))
    line("one after the other, scipy's RK45 at 1e-6", plain, "rolls/s")
    line("side by side over one after the other", ours / plain, "times", "at least 150")
    block = one_block(batch_of([setup]), np.zeros(1, dtype=int))
    y = initial_states(block)
    lane = seconds(lambda: [derivatives(AIRBORNE, block, block.s.time, y) for _ in range(100)])
    motion, start = Motion(setup), np.full(12, 0.1)
    scalar = seconds(lambda: [motion.derivative(1e-3 * k, start) for k in range(100)])
    line("one right-hand side: lane code with one lane", lane * 1e4, "us")
    alone, state = Alone(block), y[:, 0].tolist()
    numbers = seconds(lambda: [derivatives(AIRBORNE, alone, 0.0, state, None, [0.0] * y.size)
                               for _ in range(100)])  # fmt: skip
    line("one right-hand side: the same in plain numbers", numbers * 1e4, "us")
    line("one right-hand side: scalar function", scalar * 1e4, "us")
    return plain


def lanes_alone(count: int) -> None:
    """Print seconds and peak memory above that of the empty program, for a fresh process."""
    setup = prepare(sim.load_scenario("meadow-jet")).setup
    setups = spread_of(setup, count)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start, wall = time.process_time(), time.perf_counter()
    simulate_many(setups)
    took, wall = time.process_time() - start, time.perf_counter() - wall
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(took, peak / 1024.0, (peak - before) / 1024.0, wall)


def grow() -> None:
    """Print cost and memory against the number of rolls, each in a process of its own."""
    for count in (MANY, 10 * MANY):
        words = [sys.executable, "-m", "tests.benchmark", "lanes", str(count)]
        out = subprocess.run(words, capture_output=True, check=True, text=True).stdout
        took, peak, ours, _ = (float(word) for word in out.split())
        line(f"{count} rolls, each", 1e6 * took / count, "us", "the same for any number")
        line(f"{count} rolls, memory at the peak", peak, "MB")
        line(f"{count} rolls, without their set-ups", ours, "MB", "under 300")


def in_two_processes(plain: float) -> None:
    """Print what two processes at once do with 100,000 rolls, against the plain loop in one."""
    words = [sys.executable, "-m", "tests.benchmark", "lanes", str(5 * MANY)]
    both = [subprocess.Popen(words, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    found = [[float(word) for word in p.communicate()[0].split()] for p in both]
    rate = sum(5 * MANY / took for took, *_ in found)
    line(f"{10 * MANY} rolls in two processes, by their CPU seconds", rate, "rolls/s")
    line("the same over one after the other", rate / plain, "times", "at least 250")
    by_clock = 10 * MANY / max(wall for *_, wall in found)
    line("by the clock, whatever else runs here", by_clock, "rolls/s")


GEOMETRIES = (
    (
        ("aeroplane.gear.main.station", "aeroplane.gear.nose.axle_height"),
        (0.63, -0.13),
        (0.68, -0.12),
    ),
    (("aeroplane.gear.main.station", "aeroplane.tail.span"), (0.63, 0.45), (0.68, 0.50)),
)
"""Keys that move the lattice and where from and to: legs, and a tail whose strips change."""


def a_study_of_geometry(
    scenario: sim.Scenario, count: int, keys: tuple[str, ...], low: Any, high: Any
) -> None:
    """Print how a study of a geometry of its own for each roll divides its CPU seconds."""
    values = np.random.default_rng(2).uniform(low, high, size=(count, 2))
    knobs = [knob_of(scenario, key) for key in keys]
    times = [time.process_time()]
    source = variants_of(scenario, knobs, values)
    times.append(time.process_time())
    lanes = [lane for lane in source.task(0, count).lanes() if isinstance(lane, Lane)]
    times.append(time.process_time())
    simulate_many([lane.setup for lane in lanes])
    times.append(time.process_time())
    solved, ready, rolled = np.diff(times) / (times[-1] - times[0])
    print(f"{count} geometries, {' and '.join(keys)}")
    line("  in all", times[-1] - times[0], "s")
    if source.quick:
        line("  lattices at the nodes, the others interpolated", 100.0 * solved, "%", "under 50")
        line("  variants made ready", 100.0 * ready, "%")
    else:  # one is solved where a variant is made ready
        line("  lattices, one each, and variants made ready", 100.0 * (solved + ready), "%")
    line("  rolls, each with a table of its own", 100.0 * rolled, "%")
    line("  the same, each", 1e6 * (times[-1] - times[-2]) / count, "us")


def where_the_time_goes(setups: list[Setup], rows: int = 12) -> None:
    """Print the functions in which most of the time is spent."""
    profile = cProfile.Profile()
    profile.runcall(simulate_many, setups)
    pstats.Stats(profile).strip_dirs().sort_stats("tottime").print_stats(rows)


def main() -> None:
    """Measure and print."""
    scenario = sim.load_scenario("meadow-jet")
    setup = prepare(scenario).setup
    line("an empty Python, cold", cold("-c", "pass"), "s")
    line("import sim, cold", cold("-c", "import sim"), "s", "under 0.3")
    line("wheelsoff run, no pictures, cold", cold("-m", "sim.cli", "run"), "s", "under 1.5")
    line("load a scenario, warm", seconds(lambda: sim.load_scenario("meadow-jet")), "s")

    def rebuild() -> None:
        build.build_aeroplane.cache_clear()
        build._solve.cache_clear()
        prepare(scenario)

    line("build one aeroplane, lattice included", seconds(rebuild), "s", "under 0.3")
    line("build it again, nothing changed", seconds(lambda: prepare(scenario)), "s")
    line("one roll with its trace", seconds(lambda: simulate_setup(setup)), "s")
    line("one roll with advice and report", seconds(lambda: build_report(prepare(scenario))), "s")

    spread = spread_of(setup, MANY)
    rate = MANY / busy(lambda: simulate_many(spread))
    line(f"{MANY} rolls side by side, one process", rate, "rolls/s", "at least 10 000")
    plain = compare_with_a_plain_loop(setup, rate)
    grow()
    in_two_processes(plain)
    for count in (MANY // 50, MANY // 10, MANY):
        for keys, low, high in GEOMETRIES:
            a_study_of_geometry(scenario, count, keys, low, high)
    where_the_time_goes(spread)
    benchmark_page.main()


if __name__ == "__main__":
    if sys.argv[1:2] == ["lanes"]:
        lanes_alone(int(sys.argv[2]))
    else:
        main()
