"""Flights side by side in a real browser: nothing loaded, nothing cut off, legible, printed whole."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest
from browsing import chromium
from paper.contrast import CONTRAST
from paper.papers import parted
from playwright.async_api import Page

from drill.grading.beside import Way
from drill.paper.beside_page import beside_as_html
from drill.paper.beside_paper import beside_paper

pytestmark = pytest.mark.long    # a browser is started


def heard_of(page: Page) -> list[str]:
    """What a page asks for, and what it complains of, from now on."""
    seen: list[str] = []
    page.on("request", lambda request: seen.append(request.url))
    page.on("console", lambda said: seen.append(said.text))
    return seen


async def test_the_page_loads_nothing_fits_every_window_can_be_read_and_prints(tmp_path: Path) -> None:
    file = tmp_path / "both.html"
    file.write_text(beside_as_html(beside_paper(parted(Way("The sheet's way", parted().ways[1].events)))),
                    encoding="utf-8")
    scheme: Literal["light", "dark"]
    async with chromium() as browser:
        for width, scheme in ((360, "light"), (768, "dark"), (1200, "light"), (1200, "dark")):
            page = await browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
            seen = heard_of(page)
            await page.goto(file.as_uri())
            assert seen == [file.as_uri()]
            assert await page.evaluate("document.documentElement.scrollWidth") <= width
            assert await page.evaluate(CONTRAST) == []
            assert await page.get_by_role("img", name="Bank of each flight").count() == 1
        cut = "[...document.querySelectorAll('svg text')].filter((each) => each.getBBox().x < 0 || " \
              "each.getBBox().x + each.getBBox().width > each.ownerSVGElement.viewBox.baseVal.width).length"
        assert await page.evaluate(cut) == 0
        printed = await page.pdf(format="Letter")
        assert 1 <= printed.count(b"/Type /Page\n") <= 4
        await page.emulate_media(media="print")
        assert not await page.get_by_role("navigation").is_visible()
        assert await page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
