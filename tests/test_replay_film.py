"""The replay as a film: what is drawn, looked at through its artists; files and command."""

import os
import stat
import sys
from functools import cache
from io import BytesIO

import numpy as np
import pytest
from matplotlib.colors import to_hex
from PIL import Image

from sim.cli import main
from sim.prepare import prepare
from sim.report import build_report
from sim.roll.verdict import Verdict
from sim.scenario import load_scenario
from sim.show.figures.style import PHASES
from sim.show.files import OutputError
from sim.show.page.palette import light
from sim.show.replay import output
from sim.show.replay.arrows import KINDS
from sim.show.replay.clock import shown_time
from sim.show.replay.film import WIDE, Film, pace_words, readout
from sim.show.replay.output import frame_times, gif_bytes, kind_of, replay_bytes
from sim.show.replay.story import story
from tests.test_show_reports import report_of

GIVEN = "textbook-rotation"


@cache
def story_of(name, system="si"):
    return story(build_report(prepare(load_scenario(name)), with_advice=False), system)


@cache
def jet():
    return Film([story_of("meadow-jet")])


def at_roll(film, time):
    film.show(float(shown_time(film.clock, time)))
    return film.acts[0]


def tip_and_foot(act, name):
    shape = act.stage.arrows[name].patch.get_xy()
    return shape[3], 0.5 * (shape[0] + shape[6])


@pytest.mark.parametrize("name", list(KINDS))
def test_arrows_are_as_long_as_their_force_and_point_its_way(name):
    act = at_roll(jet(), 4.0)
    columns = {"main": "main_load", "nose": "nose_load", "wing": "wing_lift", "tail": "tail_lift"}
    value = act.told.at(columns.get(name, name), 4.0)
    tip, foot = tip_and_foot(act, name)
    assert np.hypot(*(tip - foot)) == pytest.approx(abs(value) * act.stage.scale, rel=1e-3)
    assert np.hypot(*(tip - foot)) > 0.0
    way = {"weight": (0, -1), "tail": (0, -1), "thrust": (1, 0), "drag": (-1, 0)}.get(name, (0, 1))
    assert (tip - foot) @ way > 0.99 * np.hypot(*(tip - foot))
    words = act.stage.arrows[name].text.get_text()
    assert words == f"{KINDS[name].words} {abs(value):.1f} N"


def test_weight_begins_at_the_cg_and_wheel_loads_end_at_the_wheels():
    act = at_roll(jet(), 4.0)
    _, foot = tip_and_foot(act, "weight")
    assert foot == pytest.approx(np.array([0.0, act.stage.cg_height(4.0)]))
    for name, tyre in act.stage.tyres.items():
        tip, _ = tip_and_foot(act, name)
        x, z = tyre.get_center()
        assert tip == pytest.approx(np.array([x, z - tyre.get_radius()]))


def test_a_loaded_wheel_stands_on_the_ground_and_leaves_it_after():
    film = jet()
    events = {e["name"]: e["time"] for e in film.rolls[0].story["events"]}

    def gap(time, name):
        tyre = at_roll(film, time).stage.tyres[name]
        return tyre.get_center()[1] - tyre.get_radius()

    for time in (0.0, 2.0, events["nose-wheel-off"]):
        assert gap(time, "main") == pytest.approx(0.0, abs=2e-4)
        assert gap(time, "nose") == pytest.approx(0.0, abs=2e-4)
    assert gap(events["lift-off"] - 0.01, "nose") > 0.02
    assert gap(events["lift-off"] - 0.01, "main") == pytest.approx(0.0, abs=3e-4)
    assert gap(events["lift-off"] + 0.2, "main") > 0.05


def test_the_tail_turns_trailing_edge_up_when_it_is_pulled():
    film = jet()

    def trailing(time):
        stage = at_roll(film, time).stage
        shape = next(patch for patch, one, moving in stage.shapes if moving)
        points = shape.get_xy()
        return points[np.argmin(points[:, 0]), 1] - stage.cg_height(time)

    assert trailing(4.5) > trailing(1.0) + 0.01


def test_captions_numbers_and_marks_come_when_it_happens():
    film = jet()
    act = film.acts[0]
    for event in film.rolls[0].story["events"]:
        words = event["words"][1:12]
        at_roll(film, event["time"] - 0.02)
        assert words not in act.caption.get_text()
        at_roll(film, event["time"] + 0.004)
        if event["time"] + 0.004 < film.rolls[0].end:
            assert words in act.caption.get_text()
    at_roll(film, 4.0)
    assert act.readout.get_text() == readout(act.told, 4.0)
    assert act.readout.get_text().startswith("4.0 s   27.0 m   airspeed ")
    visible = [text.get_text() for _, _, text in film.map.events if text.get_visible()]
    assert visible == ["pull"]
    film.show(film.length)
    assert act.caption.get_text() == "It takes off in the strip"
    assert "lifts off at 50.8 m" in act.reason.get_text().replace("\n", " ")
    assert len([1 for _, _, text in film.map.events if text.get_visible()]) == 3


def test_the_balance_tips_with_the_moments():
    film = jet()
    events = {e["name"]: e["time"] for e in film.rolls[0].story["events"]}

    def nose_side(time):
        pans = at_roll(film, time).pans
        return pans.beam.get_ydata()[1], pans

    assert nose_side(2.0)[0] < nose_side(4.9)[0] < 0.0
    height, pans = nose_side(2.0)
    told = film.rolls[0]
    parts = told.moments(2.0)
    for name, block in pans.blocks.items():
        assert block.get_height() == pytest.approx(
            0.9 * abs(parts[name]) / told.largest_moment, abs=1e-9
        )
        assert (block.get_x() > 0.0) == (parts[name] < 0.0), "what holds it down is on the right"
    assert "held down by 3." in pans.outcome.get_text()
    height, pans = nose_side(events["nose-wheel-off"] + 0.1)
    assert height > 0.0 and "nose lifts" in pans.outcome.get_text()
    height, pans = nose_side(events["lift-off"] + 0.1)
    assert height == 0.0 and not any(block.get_height() for block in pans.blocks.values())


def test_the_strip_has_the_colour_it_has_on_the_page():
    """Of the pixels of a frame, a good part is exactly the page's soil, a tint of the house."""
    soil = light()["soil"]
    assert soil in PHASES.values()
    wanted = [int(soil[i : i + 2], 16) for i in (1, 3, 5)]
    assert np.all(jet().picture(1.0) == wanted, axis=2).mean() > 0.05


def test_the_strip_runs_out_under_a_roll_that_fails():
    film = Film([story_of("tail-stall")])
    end = {e["name"]: e["time"] for e in film.rolls[0].story["events"]}["strip-end"]
    ground = at_roll(film, end).stage.ground
    assert ground.post.get_xdata()[0] == pytest.approx(0.0, abs=0.02)
    assert ground.post_words.get_visible()
    assert ground.beyond.get_x() == pytest.approx(0.0, abs=0.02)
    far = at_roll(film, 2.0).stage.ground
    assert len(far.post.get_xdata()) == 0 and far.beyond.get_width() == 0.0
    film.show(film.length)
    assert to_hex(film.acts[0].caption.get_color()) == "#a3123a"


def test_marks_stand_at_their_distances_in_the_readers_units():
    for system, unit, step in (("si", "m", 2.0), ("imperial", "ft", 5 * 0.3048)):
        film = Film([story_of("meadow-jet", system)])
        act = at_roll(film, 4.0)
        seen = [t for t in act.stage.ground.numbers if t.get_visible()]
        assert seen and all(t.get_text().endswith(f" {unit}") for t in seen)
        place = float(seen[0].get_text().split()[0]) * (1.0 if unit == "m" else 0.3048)
        assert place % step == pytest.approx(0.0, abs=1e-6) or place % step == pytest.approx(step)
        shown = seen[0].get_position()[0] + act.told.at("distance", 4.0)
        assert shown == pytest.approx(place, abs=0.03)


def test_everything_written_stays_in_the_picture():
    film = Film([story_of("tail-stall", "imperial"), story_of("meadow-jet", "imperial")])
    for shown in (1.0, 0.5 * film.length, film.length):
        film.show(shown)
        film.figure.draw_without_rendering()
        texts = [*film.figure.texts]
        for axes in film.figure.axes:
            texts += [t for t in axes.texts if t.get_visible() and not t.get_clip_on()]
        for text in (t for t in texts if t.get_text() and t.get_visible()):
            box = text.get_window_extent()
            assert box.x0 >= -1 and box.x1 <= WIDE + 1, text.get_text()
            assert box.y0 >= -1 and box.y1 <= film.high + 1, text.get_text()
            assert text.get_fontsize() >= 9.0  # half of it is left on a phone


def test_two_rolls_share_a_clock_and_a_scale_of_forces():
    stories = [story_of("tail-stall"), story_of("meadow-jet")]
    film = Film(stories)
    assert len(film.acts) == 2 and len({act.stage.scale for act in film.acts}) == 1
    film.show(film.length)
    assert "too slow" in film.acts[0].caption.get_text()
    assert "takes off" in film.acts[1].caption.get_text()
    assert film.acts[1].readout.get_text().startswith(f"{film.rolls[1].end:.1f} s")
    with pytest.raises(ValueError, match="one roll or two"):
        Film(stories * 2)
    with pytest.raises(ValueError, match="one roll or two"):
        Film([])


@pytest.mark.parametrize("verdict", list(Verdict))
def test_every_verdict_can_be_drawn(verdict):
    film = Film([story(report_of(verdict, False))])
    first, last = film.picture(0.0), film.picture(film.length)
    assert first.shape == last.shape == (film.high, WIDE, 3) and film.high % 2 == 0
    assert film.acts[0].caption.get_text()


def test_paces_in_words():
    assert pace_words(5.0) == "slow motion 1/5"
    assert pace_words(1.0) == "" and pace_words(float("inf")) == ""
    assert pace_words(0.5) == "2.0 times as fast"


def test_a_gif_has_every_frame_the_right_time_and_the_same_bytes(monkeypatch):
    monkeypatch.setattr(output, "FRAME", 0.5)
    film = Film([story_of(GIVEN)])
    told = []
    made = gif_bytes(film, lambda done, total: told.append((done, total)))
    with Image.open(BytesIO(made)) as gif:
        lasting = []
        for i in range(gif.n_frames):
            gif.seek(i)
            lasting.append(gif.info["duration"])
        assert gif.size == (WIDE, film.high) and gif.n_frames > 10
        gif.seek(0)
        first = np.asarray(gif.convert("RGB"), dtype=int)
        gif.seek(gif.n_frames - 1)
        last = np.asarray(gif.convert("RGB"), dtype=int)
    assert sum(lasting) == pytest.approx(1000 * film.length, abs=20)
    assert lasting[-1] > 2000, "the last moment can be read"
    assert np.abs(first - film.picture(0.0)).mean() < 3.0
    assert np.abs(last - film.picture(film.length)).mean() < 3.0
    assert told[-1] == (len(lasting), len(lasting))
    assert gif_bytes(Film([story_of(GIVEN)])) == made


def test_frames_follow_the_clock_and_last_ten_to_twenty_seconds():
    times, lasting = frame_times(jet())
    assert len(times) == len(lasting) and np.all(np.diff(times) > 0.0)
    assert sum(lasting) == pytest.approx(1000 * jet().length, abs=10)
    assert 10_000 <= sum(lasting) <= 20_000 and set(lasting[:-1]) == {80}


def test_command_writes_a_gif_and_never_half_a_file(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(output, "FRAME", 2.0)
    target = tmp_path / "roll.gif"
    words = ["replay", GIVEN, "-o", str(target)]
    assert main(words) == 0
    kept = target.read_bytes()
    assert kept[:4] == b"GIF8"
    assert main(words) == 2 and "--force" in capsys.readouterr().err

    def fails(*given):
        raise OutputError("no")

    monkeypatch.setattr(output, "gif_bytes", fails)
    assert main([*words, "--force"]) == 2
    assert target.read_bytes() == kept and [p.name for p in tmp_path.iterdir()] == ["roll.gif"]


def test_command_writes_a_page_of_two_rolls(tmp_path):
    target = tmp_path / "two.html"
    assert main(["replay", GIVEN, "--beside", GIVEN, "-o", str(target), "--units", "imperial"]) == 0
    assert "<!doctype html>" in target.read_text().lower()


def test_names_that_mean_nothing_and_scenarios_are_refused(tmp_path, capsys):
    assert main(["replay", GIVEN, "-o", str(tmp_path / "roll.avi")]) == 2
    told = capsys.readouterr().err
    assert ".gif, .mp4 and .html" in told and not list(tmp_path.iterdir())
    mine = tmp_path / "mine.gif"
    mine.write_text(f'extends = "{GIVEN}.toml"\n')
    assert main(["replay", str(mine), "-o", str(mine), "--force"]) == 2
    assert mine.read_text().startswith("extends")


def test_without_ffmpeg_a_film_is_refused_before_anything_is_rolled(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("PATH", str(tmp_path))
    assert main(["replay", "no-such-scenario", "-o", str(tmp_path / "roll.mp4")]) == 2
    told = capsys.readouterr().err
    assert "ffmpeg" in told and ".gif" in told and not list(tmp_path.iterdir())


def stand_in(folder, script):
    """A program named ffmpeg that does what the script says."""
    path = folder / "ffmpeg"
    path.write_text(f"#!{sys.executable}\nimport sys\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)


def test_with_ffmpeg_every_frame_goes_to_it_and_what_it_made_is_written(tmp_path, monkeypatch):
    tools, made = tmp_path / "tools", tmp_path / "roll.mp4"
    tools.mkdir()
    monkeypatch.setenv("PATH", f"{tools}{os.pathsep}{os.environ['PATH']}")
    monkeypatch.setattr(output, "FILM_RATE", 2)
    stand_in(tools, "open(sys.argv[-1], 'w').write(str(len(sys.stdin.buffer.read())))")
    assert kind_of(made) == "mp4"
    assert main(["replay", GIVEN, "-o", str(made)]) == 0
    film = Film([story_of(GIVEN)])
    assert int(made.read_text()) == round(2 * film.length) * WIDE * film.high * 4


def test_when_ffmpeg_fails_nothing_is_written(tmp_path, monkeypatch):
    stand_in(tmp_path, "sys.stdin.buffer.read(); sys.exit(1)")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(output, "FILM_RATE", 2)
    with pytest.raises(OutputError, match="ffmpeg could not"):
        replay_bytes([story_of(GIVEN)], "mp4")


@pytest.mark.parametrize("name", ["long-grass", "weak-elevator", "meadow-jet"])
def test_the_verdict_stands_under_the_last_moment_whatever_was_rounded(name):
    film = Film([story_of(name)])
    film.show(film.length)
    words = film.rolls[0].story["verdict_words"]
    assert film.acts[0].caption.get_text().lower() == words.lower()


def test_a_wing_that_pushes_down_says_so():
    act = at_roll(Film([story_of("weak-elevator")]), 5.9)
    tip, foot = tip_and_foot(act, "wing")
    assert tip[1] < foot[1]
    assert act.stage.arrows["wing"].text.get_text().startswith("lift down ")
