"""The page harness can fail: each kind of trouble is provoked and must be noticed."""

from pathlib import Path

import pytest

from tests.browser import (
    PHONE,
    SCHEMES,
    axe,
    chromium,
    chromium_path,
    forgive,
    library,
    open_file,
    outside,
    overhang,
    watched_page,
)

FINE = "<!DOCTYPE html><html lang=en><meta charset=utf-8><title>Fine</title><main><h1>Hay</h1>"
DOT = "<img alt='' src='data:image/gif;base64,R0lGODlhAQABAAAAACw='>"
TROUBLE = {
    "console error": ("<script>console.error('hay on the strip')</script>", "hay on the strip"),
    "uncaught error": ("<script>setTimeout(() => { throw Error('wet hay') })</script>", "wet hay"),
    "rejected promise": ("<script>Promise.reject(Error('late hay'))</script>", "late hay"),
    "picture from elsewhere": ("<img alt='' src='http://hay.invalid/a.png'>", "hay.invalid"),
    "style from elsewhere": ("<link rel=stylesheet href='https://192.0.2.1/a'>", "192.0.2.1"),
    "socket": ("<script>new WebSocket('ws://hay.invalid/')</script>", "asked for ws://hay.invalid"),
    "missing file": ("<img alt='' src='not-there.png'>", "ERR_FILE_NOT_FOUND"),
    "against the policy": (
        "<meta http-equiv=Content-Security-Policy content=\"script-src 'none'\">"
        "<script>window.hay = 1</script>",
        "Content Security Policy",
    ),
}


@pytest.fixture
def written(tmp_path: Path):
    def write(body: str) -> Path:
        path = tmp_path / "page.html"
        path.write_text(FINE + body, encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize("kind", TROUBLE)
def test_trouble_on_a_page_fails_its_test(browser, written, kind):
    body, words = TROUBLE[kind]
    with pytest.raises(AssertionError, match=words), watched_page(browser) as page:
        open_file(page, written(body))
        page.wait_for_timeout(50)


def test_a_page_without_trouble_passes(page, written):
    open_file(page, written(f"<p>Grass.</p>{DOT}"))
    assert page.inner_text("h1") == "Hay"
    assert forgive(page) == [] and axe(page) == [] and overhang(page) == 0


def test_trouble_can_be_provoked_and_forgiven(page, written):
    open_file(page, written(TROUBLE["console error"][0]))
    assert forgive(page) == ["hay on the strip"]


def test_barriers_are_found(page, written):
    open_file(page, written("<p style='color: #ccc'>faint</p><img src='data:,'><input>"))
    found = {line.split(" at ")[0] for line in axe(page)}
    assert found >= {"color-contrast", "image-alt", "label"}


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_scheme_asked_for_is_shown(page, written, scheme):
    style = "<style>@media (prefers-color-scheme: dark) { h1 { display: none } }</style>"
    open_file(page, written(style), scheme=scheme)
    assert page.locator("h1").is_visible() == (scheme == "light")


def test_sideways_scrolling_is_measured(page, written):
    open_file(page, written("<div style='width: 500px; height: 1px; margin: -8px'>"), PHONE)
    assert overhang(page) >= 120


@pytest.mark.parametrize(
    ("url", "fine"),
    [
        ("file:///tmp/a.html", True),
        ("data:,", True),
        ("http://127.0.0.1:8000/", True),
        ("http://[::1]:8000/", True),
        ("http://localhost/", True),
        ("http://192.0.2.1/", False),
        ("https://localhost.invalid/", False),
        ("http://127.0.0.1@hay.invalid/", False),
        ("ftp://hay.invalid", False),
    ],
)
def test_what_is_outside(url, fine):
    assert (outside(url) == []) == fine


@pytest.mark.parametrize(
    ("asked", "outcome"), [("", pytest.skip.Exception), ("required", pytest.fail.Exception)]
)
def test_without_a_browser(monkeypatch, asked, outcome):
    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("WHEELSOFF_CHROMIUM", raising=False)
    monkeypatch.setenv("WHEELSOFF_BROWSER", asked)
    assert chromium_path() is None
    with pytest.raises(outcome, match="need Chromium"), chromium():
        pass


def test_without_a_library(monkeypatch):
    monkeypatch.setenv("WHEELSOFF_BROWSER", "required")
    with pytest.raises(pytest.fail.Exception, match="need no_such_library"):
        library("no_such_library.part")
