"""The checks of the parts as somebody reads them: table, sentences, document, picture."""

import json

import pytest

from sim.checks.finding import Finding, Standing
from sim.cli import main
from sim.prepare import prepare
from sim.report import build_report
from sim.scenario import load_scenario
from sim.show.figures.save import picture_bytes
from sim.show.figures.strength import limited, strength_sheet
from sim.show.strength_words import (
    change_texts,
    finding_record,
    limit_text,
    missing_text,
    verdict_text,
    verdict_word,
)

OVER = Finding("hatch", "load", 55.0, limit=45.0, source="given by you", reserve=1.5)
LOW = Finding("ground clearance", "fan", 0.030, "length", limit=0.040, at_least=True)


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert main(["check", *words]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def test_sentences_add_up() -> None:
    assert verdict_text(OVER) == "Hatch, load: 55.0 N, 10.0 N over the most, 45.0 N."
    assert verdict_text(LOW) == "Ground clearance, fan: 30 mm, 10 mm short of the least, 40 mm."
    assert (verdict_word(OVER), verdict_word(LOW)) == ("OVER", "UNDER")
    assert (limit_text(OVER), limit_text(LOW)) == ("max 45.0 N", "min 40 mm")


def test_a_change_is_told_by_what_moves() -> None:
    better = Finding("hatch", "load", 20.0, limit=45.0, source="another", reserve=1.5)
    assert change_texts((OVER,), (better,)) == (
        "hatch, load: 55.0 N, now 20.0 N (OVER, now holds)",
    )
    assert change_texts((OVER,), (OVER,)) == ()


def test_missing_keys_are_named() -> None:
    spar = Finding("tail load", "spar stress, in the roll", 1e6, "stress", missing=("a.b", "a.c"))
    assert missing_text(spar) == "tail load, spar stress, in the roll: give a.b or a.c."


def test_record_is_plain_and_has_its_unit() -> None:
    record = finding_record(LOW)
    assert (record["unit"], record["limit_is"], record["verdict"]) == ("m", "least", "fails")
    assert record["margin"] == pytest.approx(-0.010) and record["share_of_limit"] > 1.0
    assert finding_record(Finding("m", "n"))["value"] is None
    json.dumps(record, allow_nan=False)


def test_the_table_of_the_workshop(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "workshop")
    lines = out.split("\n")
    assert max(map(len, lines)) <= 80 and "…" not in out
    for words in ("Ground clearance", "Tail load", "Tail twist", "Servo", "Hatch", "Wheels"):
        assert f"  {words}\n" in out
    assert "Past its limit" in out and "Not checked yet" not in out
    assert any("spar stress, full stick" in line and "OVER" in line for line in lines)


def test_every_row_names_a_source_that_is_listed(capsys: pytest.CaptureFixture[str]) -> None:
    section = told(capsys, "workshop").split("What the parts stand")[1]
    rows = [line for line in section.split("\n") if " max " in line or " min " in line]
    numbers = {line.split("[")[-1].rstrip("] ") for line in rows if line.rstrip().endswith("]")}
    assert len(numbers) > 8
    for number in numbers:
        assert f"  - [{number}] " in section


def test_missing_keys_stand_below(capsys: pytest.CaptureFixture[str]) -> None:
    out = " ".join(told(capsys, "meadow-jet").split())
    for key in ("tail_spar", "top_speed", "tail_servo", "hatch", "main_leg", "nose_leg"):
        assert f"aeroplane.limits.{key}" in out
    assert "strip.roughness" in out


def test_before_and_after(capsys: pytest.CaptureFixture[str]) -> None:
    out = " ".join(told(capsys, "workshop", "--with", "tail-spar").split())
    assert "What was laid over it does to these checks" in out and "(OVER, now holds)" in out


def test_document(capsys: pytest.CaptureFixture[str]) -> None:
    strength = json.loads(told(capsys, "workshop", "--json"))["checks"]["strength"]
    assert strength["before"] is None
    for row in strength["findings"]:
        assert row["verdict"] in [str(standing) for standing in Standing]
        if row["limit"] is not None:
            assert row["source"] and row["margin"] is not None
    after = json.loads(told(capsys, "workshop", "--with", "tail-spar", "--json"))
    assert after["checks"]["strength"]["before"] == strength["findings"]


def test_imperial(capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "workshop", "--units", "imperial").split("What the parts stand")[1]
    assert "lbf/in^2" in out and "N*m" not in out and " mm" not in out and "m/s" not in out


def test_picture() -> None:
    """What stood before a change is marked; a bar for each check against a limit."""
    after, before = (
        build_report(prepare(load_scenario("workshop", (), c)), with_advice=False)
        for c in (("tail-spar",), ())
    )
    figures = [strength_sheet(after, before), strength_sheet(after)]
    first, alone = (picture_bytes(figure) for figure in figures)
    assert first != alone and first.startswith(b"\x89PNG")
    assert len(figures[0].axes[0].patches) == len(limited(after))
