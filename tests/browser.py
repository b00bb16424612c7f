"""Pages in a real browser: what a test needs to open one, watch it and look for barriers.

`page` of `conftest.py` is a fresh page whose test fails when anything on it complains or asks for
something from elsewhere. The browser is a Chromium of the system (Debian: `apt-get install
chromium`), found on the path or named by WHEELSOFF_CHROMIUM. Without one these tests are skipped,
unless WHEELSOFF_BROWSER=required.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn
from urllib.parse import urlsplit

import pytest

PHONE, DESKTOP = (360, 740), (1280, 900)
"""Sizes of a window, width and height [px]."""
SCHEMES = ("light", "dark")
NAMES = ("chromium", "chromium-browser")
FLAGS = (
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--disable-quic",
    "--disable-sync",
    "--no-first-run",
    # no name outside this machine is ever looked up, whatever a page asks for
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1, EXCLUDE [::1]",
)
HERE = {"localhost", "127.0.0.1", "::1"}
WITHIN = {"file", "data", "blob", "about"}
"""Schemes that reach no network."""


def chromium_path() -> str | None:
    """The browser of this machine, None without one."""
    named = os.environ.get("WHEELSOFF_CHROMIUM")
    return named or next(filter(None, map(shutil.which, NAMES)), None)


def do_without(reason: str) -> NoReturn:
    """Skip for want of a browser, or fail where one is required."""
    if os.environ.get("WHEELSOFF_BROWSER") == "required":
        pytest.fail(f"{reason} (WHEELSOFF_BROWSER=required)", pytrace=False)
    pytest.skip(reason)


def library(name: str) -> Any:
    """A library of the test extra."""
    try:
        return import_module(name)
    except ImportError:
        do_without(f"page tests need {name.partition('.')[0]} (pip install '.[test]')")


@contextmanager
def chromium() -> Iterator[Any]:
    """A headless browser."""
    path = chromium_path()
    if path is None:
        do_without("page tests need Chromium on the path (Debian: apt-get install chromium)")
    with library("playwright.sync_api").sync_playwright() as driver:
        # Chromium's own sandbox refuses to be started by root
        root = hasattr(os, "geteuid") and os.geteuid() == 0
        flags = [*FLAGS, *(["--no-sandbox"] if root else [])]
        browser = driver.chromium.launch(executable_path=path, args=flags)
        yield browser
        browser.close()


@contextmanager
def watched_page(browser: Any) -> Iterator[Any]:
    """A fresh page; at the end it must have neither complained nor asked for anything elsewhere.

    What was seen is kept in `page.trouble`; a test that provokes it takes it from there with
    `forgive`.

    Raises
    ------
    AssertionError
        With every error on the console, uncaught error and request beyond this machine.

    """
    context = browser.new_context(viewport=size(DESKTOP))
    trouble: list[str] = []
    context.on("console", lambda m: trouble.append(m.text) if m.type == "error" else None)
    context.on("weberror", lambda e: trouble.append(str(e.error)))
    context.on("request", lambda r: trouble.extend(outside(r.url)))
    page = context.new_page()
    page.on("websocket", lambda w: trouble.extend(outside(w.url)))
    page.trouble = trouble
    try:
        yield page
        settle(page)
    finally:
        context.close()
    assert not trouble, "the page had trouble:\n" + "\n".join(trouble)


def settle(page: Any) -> None:
    """Wait until what the page has said so far has arrived here."""
    page.wait_for_timeout(1)


def outside(url: str) -> list[str]:
    """Trouble with an address: none for this machine's own and for what needs no network."""
    parts = urlsplit(url)
    fine = parts.scheme in WITHIN or parts.hostname in HERE
    return [] if fine else [f"asked for {url[:200]}"]


def forgive(page: Any) -> list[str]:
    """Trouble so far, taken off the page's account."""
    settle(page)
    taken = list(page.trouble)
    page.trouble.clear()
    return taken


def size(window: tuple[int, int]) -> dict[str, int]:
    """A window as the browser is told it."""
    return {"width": window[0], "height": window[1]}


def open_file(
    page: Any, path: Path, window: tuple[int, int] = DESKTOP, scheme: str = "light"
) -> Any:
    """Open a file of this disk in a window of a size, on a light or dark screen."""
    page.set_viewport_size(size(window))
    page.emulate_media(color_scheme=scheme)
    page.goto(path.resolve().as_uri())
    return page


def axe(page: Any) -> list[str]:
    """Barriers for people that can be found by rule (axe-core): rule, place and what is wrong."""
    found = library("axe_playwright_python.sync_playwright").Axe().run(page).response
    assert found["passes"], "no rule was tried"
    return [
        f"{rule['id']} at {node['target']}: {node['failureSummary']}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


def overhang(page: Any) -> int:
    """How far the page can be scrolled sideways [px]."""
    return int(
        page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    )
