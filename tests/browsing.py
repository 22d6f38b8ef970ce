"""The machine's own Chromium, without a window, for the tests of pages."""

from __future__ import annotations

import os
import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from playwright.async_api import Browser, async_playwright

ARGUMENTS = ("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
             "--disable-component-update", "--disable-sync")


@asynccontextmanager
async def chromium(*more: str) -> AsyncIterator[Browser]:
    """A Chromium with these arguments besides; none is downloaded, and without one the test is skipped."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if found is None:
        message = "no Chromium is installed, so the page was not tried in a browser"
        if os.environ.get("DRILL_BROWSER") == "required":
            pytest.fail(message)
        pytest.skip(message)
    async with async_playwright() as playwright:
        browser = await playwright.chromium.launch(executable_path=found, args=[*ARGUMENTS, *more])
        yield browser
        await browser.close()
