"""What tests are handed: a page in a real browser."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser import chromium, watched_page


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """A headless Chromium; without one the test is skipped, or fails where it is required.

    One a module: its driver runs an event loop in this thread, which other tests do not expect.
    """
    with chromium() as started:
        yield started


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """A fresh page; any complaint on it, or request beyond this machine, fails the test."""
    with watched_page(browser) as fresh:
        yield fresh
