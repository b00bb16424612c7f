"""Speeds, measured here and now: `python -m tests.benchmark`. Prints; asserts nothing."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does, before numpy

import numpy as np

import sim
from sim.aeroplane import build
from sim.prepare import prepare
from sim.report import build_report
from sim.roll.result import simulate_many, simulate_setup

MANY = 10_000


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """Best of several runs [s]."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def cold(*words: str) -> float:
    """A command in a fresh process, best of three [s]."""
    command = [sys.executable, *words]
    return seconds(lambda: subprocess.run(command, capture_output=True, check=True))


def line(name: str, value: float, unit: str, wanted: str = "") -> None:
    """Print one row."""
    print(f"{name:<58}{value:>10.3f} {unit:<8}{wanted}")


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

    rng = np.random.default_rng(1)
    spread = [
        replace(
            setup,
            parameters=replace(
                setup.parameters,
                static_thrust=21.0 * rng.uniform(0.9, 1.1),
                main_friction=rng.uniform(0.09, 0.2),
                headwind=rng.normal(0.0, 1.0),
            ),
        )
        for _ in range(MANY)
    ]
    took = seconds(lambda: simulate_many(spread), times=1)
    line(f"{MANY} rolls side by side, one process", MANY / took, "rolls/s")


if __name__ == "__main__":
    main()
