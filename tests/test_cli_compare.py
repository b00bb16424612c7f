"""The command `wheelsoff compare`."""

import json

from sim.cli import main

GIVEN = "textbook-rotation"


def call(capsys, *words):
    code = main(list(words))
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_numbers_side_by_side(capsys):
    code, out, err = call(capsys, "compare", GIVEN, GIVEN)
    assert code == 0 and err == ""
    assert max(map(len, out.split("\n"))) <= 80
    assert "against the first" in out
    assert out.count(f"{GIVEN}: ") == 2


def test_json_of_a_comparison(capsys):
    code, out, err = call(capsys, "compare", GIVEN, GIVEN, "--json", "--set", "strip.length=66 m")
    data = json.loads(out)["compared"]
    assert code == 0 and err == ""
    assert [one["summary"]["strip_length_m"] for one in data] == [66.0, 66.0]


def test_picture_of_a_comparison(capsys, tmp_path):
    words = ["compare", GIVEN, GIVEN, "--plots", str(tmp_path)]
    assert call(capsys, *words)[0] == 0
    first = (tmp_path / "compared.png").read_bytes()
    code, out, err = call(capsys, *words)
    assert code == 2 and out == "" and "compared.png exists" in err
    assert call(capsys, *words, "--force")[0] == 0
    assert (tmp_path / "compared.png").read_bytes() == first


def test_one_is_not_a_comparison(capsys):
    code, out, err = call(capsys, "compare", GIVEN)
    assert code == 2 and out == "" and "two scenarios or more" in err


def test_a_missing_one_is_told(capsys):
    code, out, err = call(capsys, "compare", GIVEN, "no-such-jet")
    assert code == 2 and out == "" and "no-such-jet" in err
