"""The replay as one page: what is in the file, read as a browser's parser reads it."""

import json
import re
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from importlib.resources import files
from typing import Any

import numpy as np
import pytest

from sim.show.figures.style import INK, LINES, PAPER
from sim.show.page.palette import contrast, dark, light, mixed
from sim.show.replay.clock import joined
from sim.show.replay.page.build import COMPONENT, START, bundle, data_block, replay_page
from tests.replay_stories import hostile, stories

LARGEST = 1_000_000  # bytes, as asked for
NAMESPACE = "http://www.w3.org/2000/svg"
POLICY = ("default-src 'none'", "base-uri 'none'", "form-action 'none'")


class Reader(HTMLParser):
    """Elements in order with their attributes, and the raw text of scripts and styles."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.raw: list[tuple[str, dict[str, str | None], str]] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self.raw.append((tag, dict(attrs), ""))

    def handle_data(self, data: str) -> None:
        if self.cdata_elem:
            tag, attributes, text = self.raw.pop()
            self.raw.append((tag, attributes, text + data))


def policy_of(reader: Reader) -> str:
    """What the page's policy says."""
    metas = [a for tag, a in reader.elements if tag == "meta"]
    return next(
        str(a["content"]) for a in metas if a.get("http-equiv") == "Content-Security-Policy"
    )


def stories_in(reader: Reader) -> Any:
    """The stories a page holds."""
    blocks = [text for tag, a, text in reader.raw if a.get("type") == "application/json"]
    assert len(blocks) == 1
    return json.loads(blocks[0])


@pytest.mark.parametrize("count", [1, 2])
def test_the_page_is_small_and_holds_its_stories(count: int) -> None:
    told = list(stories().values())[:count]
    text = replay_page(told)
    assert len(text.encode()) < LARGEST
    read = stories_in(Reader(text))
    clock = told[0]["clock"] if count == 1 else joined(told[0]["clock"], told[1]["clock"])
    assert read == [one | {"clock": clock} for one in told]


def test_only_what_is_hashed_runs() -> None:
    reader = Reader(replay_page([stories()["works"]]))
    policy = policy_of(reader)
    directives = [part.strip() for part in policy.split(";")]
    assert set(POLICY) <= set(directives)
    assert "unsafe" not in policy and "*" not in policy and "http" not in policy
    for tag, attributes, text in reader.raw:
        if attributes.get("type") == "application/json":
            continue
        digest = b64encode(sha256(text.encode()).digest()).decode()
        kind = {"script": "script-src", "style": "style-src"}[tag]
        assert f"{kind} 'sha256-{digest}'" in directives
    order = [
        tag for tag, attributes in reader.elements if tag != "meta" or "http-equiv" in attributes
    ]
    assert order.index("meta") < min(order.index("style"), order.index("script"))


def test_nothing_in_the_markup_runs_or_loads() -> None:
    reader = Reader(replay_page([stories()["works"]]))
    names = {name for _, attributes in reader.elements for name in attributes}
    assert not names & {"style", "src", "href", "srcset", "data", "action"}
    assert not [name for name in names if name.startswith("on")]


def test_no_address_but_the_namespace_stands_in_the_page() -> None:
    text = replay_page([stories()["works"]])
    assert set(re.findall(r"(?:https?:)?//[\w-]+\.[^\s\"'<>;]+", text)) == {NAMESPACE}
    assert not re.search(r"@import|url\(|\bfetch\(|XMLHttpRequest|WebSocket|\bimport\(", text)


def test_hostile_words_cannot_leave_the_data() -> None:
    plain, bad = replay_page([stories()["works"]]), replay_page([hostile(stories()["works"])])
    assert [e[0] for e in Reader(bad).elements] == [e[0] for e in Reader(plain).elements]
    assert stories_in(Reader(bad)) == [hostile(stories()["works"])]
    data = next(t for _, a, t in Reader(bad).raw if a.get("type") == "application/json")
    assert not set("<>&\u2028\u2029") & set(data)


def test_words_only_ever_become_text() -> None:
    for name in (*COMPONENT, START):
        module = files("sim.show.replay.page").joinpath(name).read_text()
        assert not re.search(r"innerHTML|outerHTML|insertAdjacent|document\.write|\beval\b", module)


def test_braces_in_a_story_stay_as_they_are() -> None:
    story = stories()["works"] | {"title": "{script} {style_hash} \\g<1> {{x}}"}
    assert stories_in(Reader(replay_page([story]))) == [story]


def test_every_module_is_in_the_bundle_without_imports() -> None:
    there = {f.name for f in files("sim.show.replay.page").iterdir() if f.name.endswith(".js")}
    assert there == {*COMPONENT, START}
    assert not re.search(r"^\s*(import|export)\b", bundle((*COMPONENT, START)), re.MULTILINE)


def test_modules_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match=r"clock\.js must stand after reading\.js"):
        bundle(("clock.js", "reading.js"))


@pytest.mark.parametrize("count", [0, 3])
def test_one_or_two_stories(count: int) -> None:
    with pytest.raises(ValueError, match=f"one roll or two, not {count}"):
        replay_page([stories()["works"]] * count)


def test_numbers_that_json_does_not_know_are_refused() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        data_block({"time": float("nan")})


def test_contrast_is_that_of_the_guideline() -> None:
    """WCAG 2.2, "contrast ratio": white on black 21:1; #767676 is the lightest grey of 4.5 on white
    (W3C "Understanding SC 1.4.3", from memory)."""
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") > 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("scheme", [light(), dark()], ids=["light", "dark"])
def test_everything_written_can_be_read(scheme: dict[str, str]) -> None:
    for name in ("ink", "faint", "limit", *LINES):
        for ground in ("paper", "sky"):
            assert contrast(scheme[name], scheme[ground]) >= 4.5, (name, ground)
    assert contrast(scheme["ink"], scheme["body"]) >= 4.5  # words on buttons
    assert contrast(scheme["ink"], scheme["soil"]) >= 4.5  # distances in the soil


def test_colours_are_those_of_the_house() -> None:
    style = next(
        text for tag, _, text in Reader(replay_page([stories()["works"]])).raw if tag == "style"
    )
    for colour in (INK, PAPER, *LINES.values()):
        assert colour in style
    written = files("sim.show.replay.page").joinpath("page.css").read_text()
    assert not re.findall(r"#[0-9a-fA-F]{3,8}\b", written)


CONFUSED = {
    "deuteranopia": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413),
                     (-0.011820, 0.042940, 0.968881)),
    "protanopia": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216),
                   (-0.003882, -0.048116, 1.051998)),
}  # fmt: skip
"""Linear sRGB as seen without one kind of cone: Machado, Oliveira and Fernandes (2009), IEEE Trans.
Visualization and Computer Graphics 15(6), severity 1.0; from memory."""


@pytest.mark.parametrize("scheme", [light(), dark()], ids=["light", "dark"])
@pytest.mark.parametrize("eye", CONFUSED)
def test_up_and_down_differ_without_red_or_green_cones(scheme: dict[str, str], eye: str) -> None:
    """CIE 1976 colour difference of the two colours of bars and lines; 2.3 is just noticed
    (Mahy and others 1994, from memory), ten times that is plain."""
    one, other = (_lab(scheme[name], np.array(CONFUSED[eye])) for name in ("first", "second"))
    assert np.linalg.norm(one - other) > 23.0


def _lab(colour: str, seen: Any) -> Any:
    """CIE L*a*b* (D65) of a colour as seen through a matrix on linear sRGB (IEC 61966-2-1)."""
    srgb = np.array([int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)])
    linear = np.where(srgb < 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    to_xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    )
    xyz = to_xyz @ np.clip(seen @ linear, 0.0, 1.0) / (to_xyz @ np.ones(3))
    f = np.where(xyz > 0.008856, np.cbrt(xyz), 7.787 * xyz + 16.0 / 116.0)
    return np.array([116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2])])


def test_mixing_goes_from_one_colour_to_the_other() -> None:
    assert mixed("#102030", "#ffffff", 0.0) == "#102030"
    assert mixed("#102030", "#ffffff", 1.0) == "#ffffff"
    assert mixed("#000000", "#ffffff", 0.5) == "#808080"
