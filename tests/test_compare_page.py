"""Before and after on one page: what it says, without a browser."""

import re
from base64 import b64decode
from functools import lru_cache
from html import unescape
from itertools import product
from math import inf, nan

import pytest

from sim.cli import main
from sim.prepare import prepare
from sim.report import CAUTIONS, build_report
from sim.roll.verdict import Verdict
from sim.scenario import find_scenario, load_scenario, shipped_scenarios
from sim.show.compare import ROWS, Named, Row
from sim.show.compare_keys import differences
from sim.show.compare_page import Shown, compare_page
from sim.show.compare_words import _change, headline, lines
from sim.show.page.shell import shell, tag
from sim.show.units import formatter
from tests.test_show_reports import report_of

BEFORE, AFTER = "mains-far-aft", "meadow-jet"


@lru_cache
def shown(name, *overrides):
    scenario = load_scenario(name, overrides)
    return Shown(Named(name, build_report(prepare(scenario), with_advice=False)), scenario)


@lru_cache
def page():
    return compare_page(shown(BEFORE), shown(AFTER)).decode()


@pytest.fixture
def unpainted(monkeypatch):
    """The page with an empty picture in place of each, for what is said about it."""
    monkeypatch.setattr("sim.show.compare_page.picture_bytes", lambda figure: b"")
    return lambda *rolls: compare_page(*rolls).decode()


def told(markup):
    """Rows of all tables, cells as plain text."""
    rows = re.findall(r"<tr>(.*?)</tr>", markup, re.DOTALL)
    cells = (re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row.replace("<wbr>", "")) for row in rows)
    return {row[0]: tuple(map(unescape, row[1:])) for row in cells}


def test_verdicts_and_reasons_of_both():
    for one, words in ((BEFORE, "it leaps off and stalls"), (AFTER, "it takes off in the strip")):
        report = shown(one).named.report
        assert f"Verdict: {words} ({report.result.verdict})" in page()
        assert f"<p>{report.reason.text(formatter('si'))}</p>" in page()
        assert shown(one).scenario.title in page()


def test_what_was_changed_is_what_the_files_say():
    """Read off the two scenario files."""
    rows = told(page())
    assert rows["aeroplane.gear.main.station"] == ("700 mm", "655 mm")
    assert rows["aeroplane.tail.throw.up"] == ("15 deg", "10 deg")
    assert len(differences(shown(BEFORE).scenario, shown(AFTER).scenario)) == 2


def test_numbers_with_better_and_worse_in_words():
    rows = told(page())
    far, near = (shown(n).named.report.result.event("lift-off").distance for n in (BEFORE, AFTER))
    assert rows["lift-off at"] == (
        f"{far:.1f} m", f"{near:.1f} m", f"better: {far - near:.1f} m less",
    )  # fmt: skip
    assert rows["tail-strike angle"][2].startswith("worse: ")
    assert rows["stall, flaps up"][2] == "as before"
    assert rows["stall margin in 1 s"][2].endswith(" percentage points more")


def test_the_other_way_round_everything_turns():
    forth = lines(shown(BEFORE).named, shown(AFTER).named)
    back = lines(shown(AFTER).named, shown(BEFORE).named)
    turned = {"better": "worse", "worse": "better", "": ""}
    assert [turned[line.sense] for line in forth] == [line.sense for line in back]
    assert {"better", "worse", ""} == {line.sense for line in forth}


def test_imperial(unpainted):
    markup = unpainted(shown(BEFORE), shown(AFTER), "imperial")
    rows = told(markup)
    assert rows["aeroplane.gear.main.station"] == ("27.56 in", "25.79 in")
    assert rows["lift-off at"][0].endswith(" ft")
    assert not re.search(r"\d (m|m/s|mm|N)\b", markup)


@pytest.mark.parametrize(
    ("better", "pair", "words"),
    [
        (1, (1.0, 2.0), ("better: 1.0 m more", "better")),
        (1, (2.0, 1.0), ("worse: 1.0 m less", "worse")),
        (-1, (2.0, 1.0), ("better: 1.0 m less", "better")),
        (-1, (1.0, 2.0), ("worse: 1.0 m more", "worse")),
        (0, (1.0, 2.0), ("1.0 m more", "")),
        (1, (1.0, 1.04), ("as before", "")),
        (1, (1.04, 1.06), ("better: a little more", "better")),
        (1, (1.0, inf), ("better: more", "better")),
        (-1, (inf, 1.0), ("better: less", "better")),
        (1, (inf, inf), ("as before", "")),
        (1, (nan, 1.0), ("only after", "")),
        (1, (1.0, nan), ("only before", "")),
    ],
)
def test_how_a_number_moved(better, pair, words):
    assert _change(Row("hay", "distance", lambda r: 0.0, better), pair, "si") == words


def test_every_row_knows_its_sense():
    senses = {row.words.strip(): row.better for row in ROWS}
    assert senses["lift-off at"] == senses["speed needed to rotate"] == -1
    assert senses["strip left"] == senses["tail-strike angle"] == 1
    assert senses["tip-back angle"] == senses["nose-wheel share"] == 0


@pytest.mark.parametrize("after", list(Verdict))
@pytest.mark.parametrize("before", [Verdict.NEVER_ROTATES, Verdict.AIRBORNE])
def test_a_headline_for_every_pair_of_verdicts(before, after):
    text = headline(Named("a", report_of(before, False)), Named("b", report_of(after, False)))
    assert ("Before and after" in text) == (before == after)
    both_lift = all(report_of(v, False).result.event("lift-off") for v in (before, after))
    assert ("It lifts off" in text) == both_lift


def test_the_same_twice_has_no_difference(unpainted):
    same = unpainted(shown(AFTER), shown(AFTER))
    assert "No key of the file differs." in same
    assert {row[2] for row in told(same).values() if len(row) == 3} == {"as before", "how it moved"}
    assert "It lifts off at the same place." in same
    assert "Before and after: aeroplane.pitch_inertia" in same


def test_units_and_written_defaults_are_no_difference():
    base = load_scenario(AFTER)
    for text in ("aeroplane.gear.main.station=0.655 m", "power.static_thrust=21 N"):
        assert differences(base, load_scenario(AFTER, (text,))) == ()
    (found,) = differences(base, load_scenario(AFTER, ("power.static_thrust=21.0001 N",)))
    assert (found.before, found.after) == ("21 N", "21.0001 N")


@pytest.mark.parametrize(
    ("given", "key", "after"),
    [
        ("pilot.pull_at=12 m/s", "pilot.pull_at", "12 m/s"),
        ("pilot.abort_at=50 m", "pilot.abort_at", "50 m"),
        ("strip.surface=long grass", "strip.surface", "long grass"),
        ("pilot.holds_attitude=false", "pilot.holds_attitude", "no"),
        ("strip.rolling_resistance=0.07", "strip.rolling_resistance", "0.07"),
    ],
)
def test_every_kind_of_value(given, key, after):
    *others, found = differences(load_scenario(AFTER), load_scenario(AFTER, (given,)))
    assert (found.key, found.after) == (key, after)
    # a measured resistance takes the place of the surface's
    assert [one.key for one in others] == ["strip.surface"] * (key == "strip.rolling_resistance")


def test_any_two_shipped_scenarios_can_be_held_against_each_other():
    base, others = load_scenario(AFTER), map(load_scenario, shipped_scenarios())
    for other, system in product(others, ("si", "imperial")):
        for found in differences(base, other, system):
            assert found.before != found.after and "(" not in found.before + found.after


def test_changes_are_told_with_their_masses(unpainted):
    scenario = load_scenario("workshop", (), ("hot-motor",))
    after = Shown(Named("hot", build_report(prepare(scenario), with_advice=False)), scenario)
    markup = unpainted(shown("workshop"), after)
    assert "After, these changes are laid over the file:" in markup
    assert "Before, these changes" not in markup
    assert "(motor, new 0.305 kg; motor, old -0.298 kg)" in markup
    assert told(markup)["power.motor.speed_constant"] == ("1380 rpm/V", "1520 rpm/V")
    assert "anybody in its plane" in markup  # the caution about rotors


def test_cautions_and_estimates_stand_on_it():
    assert all(unescape(page()).count(line) == 1 for line in CAUTIONS)
    assert "aeroplane.pitch_inertia" in page()


def test_one_small_file_without_script_or_address():
    markup = page()
    assert len(markup.encode()) < 1_000_000
    assert not re.search(r"<script|<link|<iframe|https?:|\bon\w+=|url\(", markup, re.IGNORECASE)
    sources = re.findall(r'src="([^"]{0,40})', markup)
    assert len(sources) == 3
    assert all(source.startswith("data:image/png;base64,") for source in sources)
    png = b64decode(re.search(r"base64,([^\"]+)", markup)[1])
    assert png.startswith(b"\x89PNG")
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', markup)[1]
    assert policy.startswith("default-src 'none'; style-src 'sha256-") and "unsafe" not in policy


def test_words_stay_words():
    assert b"<title>&lt;b&gt;&quot;&amp;&#x27;</title>" in shell("<b>\"&'", "")
    assert tag("p", "<i>", '"x') == '<p class="&quot;x">&lt;i&gt;</p>\n'
    shell("hay\udcff", "")  # a file's name need not be letters


def run(capsys, *words):
    code = main(["compare", *map(str, words)])
    return code, capsys.readouterr()


def test_the_command_writes_it_and_keeps_what_is_there(capsys, tmp_path):
    path = tmp_path / "page.html"
    path.write_text("mine")
    code, said = run(capsys, BEFORE, AFTER, "--html", path)
    assert code == 2 and "page.html exists" in said.err and path.read_text() == "mine"
    code, said = run(capsys, BEFORE, AFTER, "--html", path, "--force")
    assert code == 0 and "against the first" in said.out
    assert path.read_text(encoding="utf-8") == page()
    assert [one.name for one in tmp_path.iterdir()] == ["page.html"]


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ((BEFORE, AFTER, AFTER, "--html", "page.html"), "two scenarios"),
        ((BEFORE, AFTER, "--html", "page.txt"), "does not end in .html"),
        ((BEFORE, "own.html", "--html", "own.html", "--force"), "own.html"),
    ],
)
def test_the_command_refuses(capsys, tmp_path, monkeypatch, words, answer):
    monkeypatch.chdir(tmp_path)
    before = sorted(tmp_path.iterdir())
    code, said = run(capsys, *words)
    assert code == 2 and said.out == "" and answer in said.err
    assert sorted(tmp_path.iterdir()) == before


def test_a_scenario_is_never_replaced_by_its_page(capsys, tmp_path):
    own = tmp_path / "own.toml"
    words = find_scenario(AFTER).read_bytes()
    own.write_bytes(words)
    page = tmp_path / "page.html"
    page.symlink_to(own)
    code, said = run(capsys, AFTER, own, "--html", page, "--force")
    assert code == 2 and "worked out from" in said.err
    assert own.read_bytes() == words
