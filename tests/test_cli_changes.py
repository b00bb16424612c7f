"""`--with` on the command line."""

import json

import pytest

from sim.cli import main
from tests.test_changes import LEG, OTHERS

BASE = 'extends = "textbook-rotation"\n'
LUMP = """
[change.lump]
text = "A lump at the nose wheel"
add = [{ item = "lump", mass = "1 kg", station = "-1 m", height = "1 m" }]
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "own.toml"
    path.write_text(BASE + LUMP)
    return path


def call(capsys, *words):
    code = main(list(words))
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_run_with_a_change(capsys, file):
    code, out, err = call(capsys, "run", str(file), "--with", "lump", "--no-advice")
    assert code == 0 and err == ""
    assert "with lump" in out.split("\n")[0] or "with lump" in out.split("\n")[1]
    assert "Mass ledger" in out and "lump (lump)" in out
    data = json.loads(call(capsys, "run", str(file), "--with", "lump", "--no-advice", "--json")[1])
    assert data["scenario"]["changes"] == ["lump"]
    plain = json.loads(call(capsys, "run", str(file), "--no-advice", "--json")[1])
    before = data["mass_ledger"]["before"]
    assert plain["scenario"]["mass_properties"] == before
    assert data["mass_ledger"]["after"]["mass_kg"] == pytest.approx(before["mass_kg"] + 1.0)


def test_set_comes_after_with(capsys, file):
    words = ["run", str(file), "--no-advice", "--json", "--with", "lump", "--set"]
    data = json.loads(call(capsys, *words, "strip.length=77 m")[1])
    assert data["summary"]["strip_length_m"] == 77.0 and data["changes"][0]["name"] == "lump"


def test_an_unknown_name_lists_what_there_is(capsys, file):
    code, out, err = call(capsys, "run", str(file), "--with", "lumps")
    assert code == 2 and out == ""
    assert "  lump: A lump at the nose wheel" in err and "nearest: lump" in err


def test_a_change_of_another_file(capsys, file, tmp_path):
    (tmp_path / "shop.toml").write_text(LUMP)
    plain = tmp_path / "plain.toml"
    plain.write_text(BASE)
    words = ["--with", f"{tmp_path / 'shop.toml'}:lump", "--no-advice", "--json"]
    one = json.loads(call(capsys, "run", str(plain), *words)[1])
    other = json.loads(call(capsys, "run", str(file), "--with", "lump", *words[2:])[1])
    assert one["summary"] == other["summary"] and one["mass_ledger"] == other["mass_ledger"]


def test_compare_applies_changes_to_all(capsys, file, tmp_path):
    twin = tmp_path / "twin.toml"
    twin.write_text(BASE + LUMP + '[strip]\nlength = "900 m"\n')
    out = call(capsys, "compare", str(file), str(twin), "--with", "lump", "--json")[1]
    both = json.loads(out)["compared"]
    assert [one["scenario"]["changes"] for one in both] == [["lump"], ["lump"]]
    code, _, err = call(capsys, "compare", str(file), "meadow-jet", "--with", "lump")
    assert code == 2 and "no tables [change.NAME]" in err


def test_conflicts_and_help(capsys, tmp_path):
    path = tmp_path / "jet.toml"
    path.write_text('extends = "meadow-jet"\n' + LEG + OTHERS)
    code, _, err = call(
        capsys, "run", str(path), "--with", "long-nose-leg", "--with", "short-nose-leg"
    )
    assert code == 2 and "only one of the changes long-nose-leg and short-nose-leg" in err
    out = call(capsys, "run", "--help")[1]
    assert "--with NAME" in out and "[change.long-nose-leg]" in out and "--set KEY=VALUE" in out
    assert "--with" in call(capsys, "compare", "--help")[1]
