"""How fast the live page answers, measured in a real browser from the hand to the picture.

`python -m tests.benchmark_page` prints it alone; `python -m tests.benchmark` with the rest.
"""

import re
import signal
import subprocess
import sys
from statistics import median
from typing import Any

import pytest

from tests.browser import chromium, watched_page

ROUNDS = 15
MOVE = """async ([key, value]) => {
  const page = document.documentElement;
  const slider = document.querySelector(`[data-key="${key}"] input[type=range]`);
  const start = performance.now();
  slider.value = String(value);
  slider.dispatchEvent(new Event("input"));
  while (page.dataset.answered !== page.dataset.asked) {
    await new Promise((done) => {
      const watch = new MutationObserver(() => { watch.disconnect(); done(); });
      watch.observe(page, { attributes: true });
    });
  }
  const answered = performance.now() - start;
  await new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)));
  return [answered, performance.now() - start];
}"""
"""Milliseconds until the page has taken the answer in, and until it is on the screen."""
KEYS = (
    ("power.static_thrust", 24.0, 0.2, "under 100"),
    ("aeroplane.wing.flaps.deflection", 2.0, 0.2, "under 100"),
    ("aeroplane.tail.throw.up", 12.0, 0.2, "under 100"),
    ("strip.rolling_resistance", 0.1, 0.002, "under 100"),
    ("aeroplane.cg.station", 560.0, 1.0, "under 100"),
    ("pilot.pull_at", 20.0, 0.5, "under 100"),
    ("air.headwind", 0.0, 0.1, "under 100"),
    ("aeroplane.gear.main.station", 600.0, 2.0, "under 400"),
    ("aeroplane.gear.ground_attitude", 0.0, 0.1, "under 400"),
)
"""Key, first value, step, what is wanted [ms]; the last two solve the lattice anew each time."""


def measure(page: Any) -> None:
    """Print the times of every key alone, the first answer of each left out."""
    for key, first, step, wanted in KEYS:
        page.click("text=All as loaded")
        places = [first + step * i for i in range(ROUNDS + 1)]
        times = [page.evaluate(MOVE, [key, round(place, 3)]) for place in places][1:]
        for name, found in zip(("answered", "drawn"), zip(*times, strict=True), strict=True):
            words = f"live page, {key}: {name}, median"
            print(f"{words:<66}{median(found):>6.0f} ms     {wanted} (worst {max(found):.0f})")


def main() -> None:
    """Start the command as anybody does, and move its sliders; nothing without a browser."""
    words = [sys.executable, "-m", "sim.cli", "tinker", "meadow-jet", "--no-browser", "--port", "0"]
    try:
        with chromium() as browser, watched_page(browser) as page:
            run = subprocess.Popen(words, stdout=subprocess.PIPE, text=True)
            assert run.stdout is not None
            found = re.search(r"http://\S+/", run.stdout.readline())
            assert found is not None
            page.emulate_media(reduced_motion="reduce")
            page.goto(found[0])
            page.wait_for_selector("html[data-answered]")
            measure(page)
            page.goto("about:blank")
            run.send_signal(signal.SIGINT)
            run.wait(10.0)
    except pytest.skip.Exception as why:
        print(f"live page: not measured, {why}")


if __name__ == "__main__":
    main()
