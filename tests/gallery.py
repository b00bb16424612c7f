"""Regenerate `plots/`, the pictures of the shipped scenarios: `python -m tests.gallery`.

Byte-identical twice on one machine; elsewhere fonts and libraries may differ, so the test compares
pixels with a stated tolerance.
"""

import os
import sys
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does: the last digits follow

import sim
from sim.show.figures import save_pictures

PLOTS = Path(__file__).parents[1] / "plots"


def draw(folder: Path, names: list[str] | None = None) -> dict[str, str]:
    """Draw every picture into a folder; returns what happened to each: new, same or changed."""
    folder.mkdir(parents=True, exist_ok=True)
    fate = {}
    for name in names or sorted(sim.shipped_scenarios()):
        before = {path.name: path.read_bytes() for path in folder.glob(f"{name}-*.png")}
        report = sim.make_report(sim.load_scenario(name))
        for path in save_pictures(report, folder, name=name, force=True):
            old = before.get(path.name)
            fate[path.name] = (
                "new" if old is None else "same" if old == path.read_bytes() else "changed"
            )
    return fate


def main() -> None:
    """Draw them all, or those named on the command line."""
    for name, what in draw(PLOTS, sys.argv[1:] or None).items():
        print(f"{what:<8} {name}")


if __name__ == "__main__":
    main()
