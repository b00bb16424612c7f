"""Rows of many rolls: each the same as the roll alone, however the work is cut and sent."""

import os
import signal
import subprocess
import sys
import time
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.prepare import prepare
from sim.report import build_report
from sim.roll.columns import EVENT_COLUMNS
from sim.roll.events import Happening
from sim.roll.result import simulate_many
from sim.study.batch import roll_rows
from sim.study.executors import worker_pool
from sim.study.knobs import knob_of
from sim.study.outcome_columns import OUTCOME_COLUMNS, USUAL
from sim.study.rows import REFUSED, Rows
from sim.study.sources import Lane, Scenarios, Variants, variants_of

KEYS = ("aeroplane.mass", "aeroplane.gear.main.station", "pilot.pull_at", "strip.surface")
LOW, HIGH = (2.8, 0.64, 8.0, -1.0), (3.6, 0.67, 30.0, 1.0)


@pytest.fixture(scope="module")
def study() -> Variants:
    """Sixty variants with a refused one among them; 12 places of the mains."""
    scenario = sim.load_scenario("meadow-jet")
    values = np.random.default_rng(5).uniform(LOW, HIGH, size=(60, 4))
    values[:, 1] = np.linspace(LOW[1], HIGH[1], 12)[np.arange(60) % 12]
    values[7, 0] = 0.001
    return variants_of(scenario, [knob_of(scenario, key) for key in KEYS], values)


def equal(one: Rows, other: Rows) -> None:
    """The same to the last bit."""
    assert one.columns == other.columns and one.refused == other.refused
    assert np.array_equal(one.lanes, other.lanes)
    assert np.array_equal(one.verdicts, other.verdicts)
    assert np.array_equal(one.values, other.values, equal_nan=True)


def test_rows_are_the_results_of_the_rolls_one_by_one(study: Variants) -> None:
    every = tuple(f"{what.label}.{name}" for what in Happening for name in EVENT_COLUMNS)
    rows = roll_rows(study, every)
    lanes = list(study.task(0, 60).lanes())
    for index, lane in enumerate(lanes[:24]):
        if isinstance(lane, str):
            assert index == 7 and rows.refused == {7: lane} and rows.verdict(7) == "refused"
            assert rows.verdicts[7] == REFUSED and np.isnan(rows.values[:, 7]).all()
            continue
        result = simulate_many([lane.setup]).result(0)
        assert rows.verdict(index) == result.verdict
        for what in Happening:
            event = result.event(what.label)
            for name in EVENT_COLUMNS:
                value = rows[f"{what.label}.{name}"][index]
                assert (value == getattr(event, name)) if event else np.isnan(value)
    assert rows.complete and len(rows) == 60
    assert sum(rows.counts().values()) == 60


def test_of_an_event_that_happens_again_and_again_the_first_is_told() -> None:
    """A nervous pilot who wants one degree: it touches again some forty times."""
    nervous = ["pilot.climb_attitude=1 deg", "pilot.pull_at=35 m", "pilot.gain=5"]
    scenario = sim.load_scenario("meadow-jet", nervous)
    result = simulate_many([prepare(scenario).setup]).result(0)
    offs = [event for event in result.events if event.name == "lift-off"]
    assert len(offs) > 2
    rows = roll_rows(Scenarios((scenario,)), ("lift-off.time", "lift-off.pitch", "lift_off_time_s"))
    assert rows.values[:, 0].tolist() == [offs[0].time, offs[0].pitch, offs[0].time]


@pytest.mark.parametrize(
    "name",
    ["meadow-jet", "flaps-25", "weak-elevator", "tail-stall", "sunday-tailwind", "thin-thrust",
     "abort-drill", "tail-strike"],
)  # fmt: skip
def test_figures_are_those_of_the_summary_of_one_roll(name: str) -> None:
    scenario = sim.load_scenario(name)
    alone = sim.summary(build_report(prepare(scenario), with_advice=False))
    rows = roll_rows(Scenarios((scenario,)), tuple(alone))
    degrees = np.degrees(1.0)
    for key, expected in alone.items():
        value = float(rows[key][0]) * (degrees if "_deg" in key else 1.0)
        if expected is None:
            assert np.isnan(value), key
        else:
            assert value == pytest.approx(expected, rel=1e-9, abs=1e-9), key


def test_every_key_of_the_summary_is_a_column() -> None:
    report = build_report(prepare(sim.load_scenario("meadow-jet")), with_advice=False)
    assert set(sim.summary(report)) <= set(OUTCOME_COLUMNS)


COSTLY = (*USUAL, "least_nose_load_N", "speed_needed_m_per_s", "tip_back_deg", "nose_share")


def test_results_do_not_depend_on_how_the_work_is_cut(study: Variants) -> None:
    whole = roll_rows(study, COSTLY)
    for chunk in (13, 59):
        equal(whole, roll_rows(study, COSTLY, chunk=chunk))
    few = replace(study, values=study.values[4:9])
    alone = roll_rows(few, COSTLY, chunk=1)
    assert np.array_equal(alone.values, whole.values[:, 4:9], equal_nan=True)


def test_processes_give_the_same_bits_and_progress_is_told(study: Variants) -> None:
    told: list[tuple[int, int]] = []
    with worker_pool(2) as executor:
        sent = roll_rows(
            study, executor=executor, chunk=13, progress=lambda *pair: told.append(pair)
        )
    equal(roll_rows(study), sent)
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert told[-1] == (60, 60) and len(told) == 5


def test_an_executor_of_a_cluster_gives_the_same_bits(study: Variants) -> None:
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(
            n_workers=1,
            threads_per_worker=1,
            processes=False,
            dashboard_address=None,
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        executor: Executor = client.get_executor()
        equal(roll_rows(study), roll_rows(study, executor=executor, chunk=17))


def test_surrogates_give_the_same_bits_wherever_they_are_asked() -> None:
    scenario = sim.load_scenario("meadow-jet")
    values = np.random.default_rng(2).uniform(0.62, 0.69, size=(70, 1))
    source = variants_of(scenario, [knob_of(scenario, "aeroplane.gear.main.station")], values)
    assert source.lattices.surrogates
    here = roll_rows(source)
    equal(here, roll_rows(source, chunk=9))
    with worker_pool(2) as executor:
        equal(here, roll_rows(source, executor=executor, chunk=30))
    # threads take turns often here, so that one would be answered for another if it could
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(4) as executor:
            equal(here, roll_rows(source, executor=executor, chunk=17))
    finally:
        sys.setswitchinterval(usual)


class Interrupting(Variants):
    """A study in which Ctrl-C is pressed as the third task is made."""

    def task(self, first: int, last: int):  # type: ignore[no-untyped-def]
        if first >= 20:
            raise KeyboardInterrupt
        return super().task(first, last)


def test_what_is_finished_is_left_after_an_interrupt(study: Variants) -> None:
    broken = Interrupting(study.base, study.values, study.lattices, study.packed)
    rows = roll_rows(broken, chunk=10)
    assert not rows.complete and rows.asked == 60
    assert rows.lanes.tolist() == list(range(20)) and rows.refused.keys() == {7}
    whole = roll_rows(study)
    assert np.array_equal(rows.values, whole.values[:, :20], equal_nan=True)
    with worker_pool(1) as executor:
        assert not roll_rows(broken, chunk=10, executor=executor).complete


INTERRUPTED = """
import numpy as np, sim
from sim.study.batch import roll_rows
from sim.study.executors import worker_pool
from sim.study.knobs import knob_of
from sim.study.sources import variants_of
if __name__ == "__main__":
    scenario = sim.load_scenario("meadow-jet")
    source = variants_of(scenario, [knob_of(scenario, "aeroplane.mass")],
                         np.linspace(3.0, 3.2, 20000)[:, None])
    with worker_pool(2) as executor:
        rows = roll_rows(source, executor=executor, chunk=50,
                         progress=lambda done, asked: print("done", done, flush=True))
    print("left", len(rows), rows.complete, bool(np.isfinite(rows.values[2]).all()), flush=True)
"""


@pytest.mark.skipif(os.name != "posix", reason="signals to a group of processes")
def test_ctrl_c_on_a_terminal_leaves_the_finished_tasks(tmp_path: Path) -> None:
    """The signal goes to the whole group, workers included, as a terminal sends it."""
    script = tmp_path / "interrupted.py"
    script.write_text(INTERRUPTED)
    root = Path(sim.__file__).parent.parent
    with subprocess.Popen(
        [sys.executable, str(script)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(root)},
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline().startswith("done")
        time.sleep(0.1)
        os.killpg(process.pid, signal.SIGINT)
        out, err = process.communicate(timeout=60)
    last = out.strip().splitlines()[-1].split()
    assert last[0] == "left" and "Traceback" not in err, err
    assert 50 <= int(last[1]) < 20000 and last[2:] == ["False", "True"]


def test_bad_requests_are_refused(study: Variants) -> None:
    with pytest.raises(ValueError, match="nearest"):
        roll_rows(study, ("lift-off.distanc",))
    with pytest.raises(ValueError, match="at least one lane"):
        roll_rows(study, chunk=0)
    with pytest.raises(KeyError):
        roll_rows(study, ("stall_margin",))["lift-off.distance"]


def test_equal_tables_are_stored_once(study: Variants) -> None:
    """Twelve places of the mains, twelve tables, whatever else is turned."""
    lanes = [lane for lane in study.task(0, 60).lanes() if isinstance(lane, Lane)]
    assert len({id(lane.setup.table) for lane in lanes}) == 12
