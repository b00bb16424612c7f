"""The command `wheelsoff fit`, as somebody types it."""

import json
import re
import tomllib

import pytest

from sim.cli import main
from sim.prepare import prepare
from sim.scenario import load_scenario
from sim.scenario.measurement_files import read_measurements
from sim.show.words_fit import as_read

GIVEN = "textbook-rotation"
TOWS = """
[[tow]]
pull = "4.1 N +/- 0.2 N"
note = "dry"
[[tow]]
pull = "4.4 N"
direction = "opposite"
[[tow]]
pull = "4.2 N"
[[coast_down]]
speed = "8.2 m/s"
distance_to_stop = "24.3 m"
"""


def call(capsys, *words):
    code = main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.fixture
def tows(tmp_path):
    path = tmp_path / "strip.toml"
    path.write_text(TOWS)
    return path


def test_the_report(capsys, tows):
    code, out, err = call(capsys, "fit", "meadow-jet", tows)
    assert code == 0 and err == ""
    assert max(map(len, out.split("\n"))) <= 80
    lines = out.split("\n")
    assert lines[1].startswith("Rolling resistance: 0.141")
    # by hand, of 30.4 N: one way 4.1 and 4.2 N (the coast-down hardly counts), the other 4.4 N;
    # the mean of 0.1375 and 0.1447
    words = " ".join(out.split())
    for text in (
        "Both directions averaged",
        "agree within their uncertainties",
        "from the uncertainty of the readings alone",
        "scatter of a single tow test about the fit",
        "Pack disconnected",
        "Everybody clear",
        "the idle thrust of a running fan falsifies it",
        "one standard deviation each",
    ):
        assert text in words, text
    for name in ("tow[1]", "tow[2]", "tow[3]", "coast_down[1]"):
        assert any(line.strip().startswith(name) for line in lines)


def test_the_document_is_strict_and_tells_the_same(capsys, tows):
    code, out, err = call(capsys, "fit", "meadow-jet", tows, "--json")
    data = json.loads(out, parse_constant=pytest.fail)
    assert code == 0 and err == ""
    grip = data["rolling_resistance"]
    assert data["range"]["typical"] == grip["value"]
    assert data["range"]["high"] == pytest.approx(grip["value"] + 2 * grip["standard_deviation"])
    assert data["main"] is None and data["agreement"] == "agree"
    assert [r["name"] for r in data["readings"]][:2] == ["tow[1]", "tow[2]"]
    assert data["readings"][0]["note"] == "dry"
    assert set(data["scatter"]) == {"tow test"}


def test_a_scenario_of_a_few_lines_holds_what_was_measured(capsys, tows, tmp_path):
    target = tmp_path / "measured.toml"
    assert call(capsys, "fit", "meadow-jet", tows, "-o", target)[0] == 0
    text = target.read_text()
    assert len(text.splitlines()) <= 8 and "two standard deviations" in text
    assert "# slope: -0.36 +/- " in text and "no more than chance" in text
    data = tomllib.loads(text)
    assert data["extends"] == "meadow-jet" and set(data["strip"]) == {
        "rolling_resistance",
        "measured_with",
    }
    document = json.loads(call(capsys, "fit", "meadow-jet", tows, "--json")[1])
    ready = prepare(load_scenario(target))
    p = ready.setup.parameters
    # the aeroplane's own two wheels under its static loads roll as the one that was measured
    share = 0.7662
    both = share * p.main_friction + (1 - share) * p.nose_friction
    assert both == pytest.approx(document["range"]["typical"], abs=1e-4)
    assert p.main_friction < p.nose_friction
    low, high = ready.resistance_range
    assert low < p.main_friction < high
    code, out, err = call(capsys, "fit", "meadow-jet", tows, "-o", target)
    assert code == 2 and out == "" and "--force" in err
    assert call(capsys, "fit", "meadow-jet", tows, "-o", target, "--force")[0] == 0
    assert target.read_text() == text


BOTH_WAYS = """
[[tow]]
pull = "4.6 N +/- 0.02 N"
load = "30 N +/- 0.06 N"
[[tow]]
pull = "3.4 N +/- 0.02 N"
load = "30 N +/- 0.06 N"
direction = "opposite"
"""


def test_a_slope_told_by_tows_both_ways_is_written(capsys, tmp_path):
    # by hand: (4.6 - 3.4)/2/30 = 2 % in all, one beyond the scenario's, and 4/30 of resistance
    path, target = tmp_path / "both.toml", tmp_path / "m.toml"
    path.write_text(BOTH_WAYS)
    words = ("fit", "meadow-jet", path, "--set", "strip.slope=1 %", "-o", target)
    code, out, _ = call(capsys, *words)
    assert code == 0 and "slopes 1.00 +/- " in " ".join(out.split())
    new = load_scenario(target)
    assert new.strip.slope == pytest.approx(0.02, abs=2e-4)
    assert new.strip.rolling_resistance.typical == pytest.approx(4 / 30, abs=2e-4)
    # against the scenario with that slope the same readings show no more of it
    again = json.loads(call(capsys, "fit", target, path, "--json")[1])
    assert abs(again["extra_slope"]["value"]) < 2e-4
    assert not again["extra_slope_is_more_than_chance"]


def test_imperial_units_reach_every_line_but_what_was_typed(capsys, tows):
    code, out, _ = call(capsys, "fit", "meadow-jet", tows, "--units", "imperial")
    words = " ".join(out.split())
    own = words.index("Readings"), words.index("Uncertainty")
    told = words[: own[0]] + words[own[1] :]
    assert code == 0 and not re.search(r"[0-9] ?(mm|m|N|kg|m/s)\b", told)
    assert "spring scale 2 % or 0.022 lbf" in told and "tape 0.3 ft" in told
    assert "wheels of 2.71 in" in told
    plain = " ".join(call(capsys, "fit", "meadow-jet", tows)[1].split())
    for text in ("spring scale 2 % or 0.10 N", "1 % or 0.05 N", "tape 0.1 m", "stopwatch 0.1 s"):
        assert text in plain, text


def test_a_value_and_its_uncertainty_have_as_many_decimals(capsys, tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("kind,pull [N],load [kg]\ntow,4 +/- 0.1,3.1\ntow,4.25 +/- 0.1,3.1\n")
    words = " ".join(call(capsys, "fit", "meadow-jet", path)[1].split())
    assert "pull 4.0 N +/- 0.1 N" in words and "pull 4.25 N +/- 0.10 N" in words
    assert as_read("18 N; 5 m, 10 m") == "18 N; 5 m, 10 m"


def test_it_extends_a_file_from_where_it_will_stand(capsys, tows, tmp_path, monkeypatch):
    jets = tmp_path / "jets"
    jets.mkdir()
    (jets / "my jet.toml").write_text('extends = "meadow-jet"\ntitle = "Mine"\n')
    monkeypatch.chdir(tmp_path)
    words = ("fit", "jets/my jet.toml", "strip.toml", "-o", "out/measured.toml")
    assert call(capsys, *words)[0] == 0
    assert load_scenario(tmp_path / "out" / "measured.toml").title == "Mine"


def test_a_rut_in_the_old_file_gives_way_to_the_measurement(capsys, tows, tmp_path):
    old, new = tmp_path / "old.toml", tmp_path / "new.toml"
    old.write_text('extends = "meadow-jet"\n[strip]\nsinkage = "1 mm"\n')
    assert call(capsys, "fit", old, tows, "-o", new)[0] == 0
    assert load_scenario(new).strip.rolling_resistance.typical > 0.1
    assert call(capsys, "run", new, "--no-advice")[0] == 0


def test_overrides_count_and_are_told(capsys, tows, tmp_path):
    target = tmp_path / "m.toml"
    words = ("fit", "meadow-jet", tows, "--set", "aeroplane.mass=6.2 kg", "--json")
    half = json.loads(call(capsys, *words, "-o", target)[1])["readings"][0]["alone"]["value"]
    assert half == pytest.approx(4.1 / (6.2 * 9.80665))
    assert "--set aeroplane.mass=6.2 kg" in target.read_text().split("\n")[0]


@pytest.mark.parametrize(
    ("command", "wanted"), [("run", "rolled"), ("check", "checked"), ("fit", "used for a fit")]
)
def test_a_scenario_with_mistakes_says_what_it_was_wanted_for(capsys, tows, command, wanted):
    files = (tows,) if command == "fit" else ()
    code, out, err = call(capsys, command, "meadow-jet", *files, "--set", "pilot.pull=7")
    assert code == 2 and out == ""
    assert err.startswith(f"This scenario cannot be {wanted}; one thing is wrong:")


def test_given_coefficients_will_do(capsys, tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("kind,pull [N],load [kg]\ntow,2.4,3\n")
    code, out, _ = call(capsys, "fit", GIVEN, path)
    assert code == 0 and "nothing checks them" in " ".join(out.split())


def test_axles_apart_are_told(capsys, tmp_path):
    path = tmp_path / "a.csv"
    rows = ["tow,3.9,28,4,0.02", "tow,4.5,16,16,0.02", "tow,4.2,22,10,0.02"]
    head = "kind,pull [N],main load [N],nose load [N],pull tolerance [N]"
    path.write_text("\n".join([head, *rows]))
    code, out, _ = call(capsys, "fit", "meadow-jet", path)
    assert code == 0 and "Mains 0.1" in out and "one value for both" in " ".join(out.split())


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ('[[tow]]\npull = "40 N"\n', "tow[1].pull"),
        ('[[tow]]\npull = 4\n[[coast_down]]\nspeed = "8"\n', "3 things are wrong"),
        ('[[coast_down]]\nmarks=["5 m","10 m"]\ntimes=["2 s","2.5 s"]', "slows down"),
        ('[[coast_down]]\nspeed = "9 m/s"\ndistance_to_stop = "1 m"', "times its load"),
    ],
)
def test_impossible_readings_are_refused(capsys, tmp_path, text, wanted):
    path, target = tmp_path / "strip.toml", tmp_path / "out.toml"
    path.write_text(text)
    code, out, err = call(capsys, "fit", "meadow-jet", path, "-o", target)
    assert code == 2 and out == "" and wanted in err
    assert err.startswith("These measurements cannot be used")
    assert not target.exists()


def test_a_missing_scenario_or_file_is_told(capsys, tows, tmp_path):
    assert "no-such-jet" in call(capsys, "fit", "no-such-jet", tows)[2]
    code, out, err = call(capsys, "fit", "meadow-jet", tmp_path / "none.toml")
    assert code == 2 and out == "" and "none.toml" in err


def test_the_help_shows_files_that_can_be_read(capsys, tmp_path):
    """The examples of the help, taken out of it and fitted."""
    text = call(capsys, "fit", "--help")[1]
    lines = [line.strip() for line in text.split("\n")]
    first = lines.index("[[coast_down]]                       # power off, from a mark to the stop")
    start = next(i for i, line in enumerate(lines) if line.startswith("[[tow]]"))
    end = next(i for i, line in enumerate(lines) if i > first and not line)
    (tmp_path / "a.toml").write_text("\n".join(lines[start:end]))
    head = next(i for i, line in enumerate(lines) if line.startswith("kind,"))
    stop = next(i for i, line in enumerate(lines) if i > head and not line)
    (tmp_path / "a.csv").write_text("\n".join(lines[head:stop]))
    for name in ("a.toml", "a.csv"):
        found = json.loads(call(capsys, "fit", "meadow-jet", tmp_path / name, "--json")[1])
        assert len(found["readings"]) == 3
        assert 0.1 < found["rolling_resistance"]["value"] < 0.2
    start = lines.index("[[roll]]")
    (tmp_path / "b.toml").write_text("\n".join(lines[start : lines.index("", start)]))
    rows = [f"{12.0 + 0.2 * i:.1f},{4 * i}" for i in range(40)]
    (tmp_path / "flight-3.csv").write_text("\n".join(["Time [s],GNSS speed [km/h]", *rows]))
    (tmp_path / "b.csv").write_text("\n".join(lines[stop + 1 : lines.index("", stop + 1)]))
    seen, logged = read_measurements(tmp_path / "b.toml")
    (row,) = read_measurements(tmp_path / "b.csv")
    assert seen.changes == ("mains-forward",) and row.changes == ("mains-forward", "more-throw")
    assert logged.log.times[-1] == 17.2 and logged.log.start.value == 12.4
    assert {s.seen["nose_up_distance"].deviation for s in (seen, row)} == {2.0}


@pytest.mark.parametrize("name", ["jet.toml", "base.toml", "changes.toml", "strip.toml"])
def test_what_it_was_worked_out_from_is_never_replaced(capsys, tows, tmp_path, name):
    (tmp_path / "base.toml").write_text(f'extends = "{GIVEN}"\ntitle = "mine"\n')
    (tmp_path / "changes.toml").write_text('[change.a]\ntext = "a"\npilot.hold = 0.1\n')
    jet = tmp_path / "jet.toml"
    jet.write_text('extends = "base.toml"\nchanges_from = "changes.toml"\ntitle = "mine too"\n')
    before = (tmp_path / name).read_bytes()
    code, out, err = call(capsys, "fit", jet, tows, "-o", tmp_path / name, "--force")
    assert code == 2 and out == "" and "worked out from" in err
    assert (tmp_path / name).read_bytes() == before
