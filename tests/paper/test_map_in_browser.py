"""A map's page in a real browser: it loads nothing, its words fit, it is used by the keyboard, and prints."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from browsing import chromium
from check.map_stories import TWO, Seen
from paper.contrast import CONTRAST
from playwright.async_api import Browser, Page

from drill.check.story_map import Flown, map_of
from drill.paper.map_page import as_map_page
from drill.scenario import load
from drill.scenario.shelf import shipped

pytestmark = pytest.mark.long

OVER = """
(() => {
  const over = [];
  for (const row of document.querySelectorAll("svg.map .row")) {
    const ground = row.querySelector(".row-ground").getBBox();
    let last = null;
    for (const text of row.querySelectorAll("text:not(.map-number)")) {
      const box = text.getBBox();
      if (box.x < ground.x || box.x + box.width > ground.x + ground.width
          || box.y < ground.y - 1 || box.y + box.height > ground.y + ground.height + 2) { over.push(text.textContent); }
      if (last && box.y < last.y + last.height * 0.7) { over.push("on the line above: " + text.textContent); }
      last = box;
    }
  }
  return over;
})()
"""
"""The words in the drawing that do not fit into their row, or lie on one another, by the browser's own letters."""


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    async with chromium() as found:
        yield found


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("maps")
    flown = Flown("40, of the skills new, old", ("new", "old"), {("cruise", 0): {"new": 0.4, "old": 1.0}}, {}, {})
    maps = {path.stem: map_of(load(path)) for path in shipped().values()}
    maps["two"] = map_of(TWO, Seen({"branch cruise 0": "flight 1 at 0:20", "phase cruise": "flight 1 at 0:00"}), flown)
    for name, each in maps.items():
        (folder / f"{name}.html").write_text(as_map_page(each), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in maps}


async def opened(browser: Browser, path: Path) -> tuple[Page, list[str]]:
    page, complaints = await browser.new_page(viewport={"width": 1280, "height": 900}), list[str]()
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: complaints.append(request.url) if request.url.startswith("http") else None)
    await page.goto(path.as_uri())
    return page, complaints


async def test_the_page_loads_nothing_and_complains_of_nothing_and_its_words_fit(
        browser: Browser, files: dict[str, Path]) -> None:
    for path in files.values():
        page, complaints = await opened(browser, path)
        assert await page.evaluate(OVER) == []
        assert await page.evaluate("document.documentElement.scrollWidth <= innerWidth")   # only the drawing scrolls
        assert complaints == []
        await page.close()


async def test_the_page_reads_in_the_dark_and_on_a_telephone(browser: Browser, files: dict[str, Path]) -> None:
    page, _ = await opened(browser, files["two"])
    for scheme in ("light", "dark"):
        await page.emulate_media(color_scheme=scheme)
        assert await page.evaluate(CONTRAST) == []
    await page.set_viewport_size({"width": 390, "height": 800})
    assert await page.evaluate("document.documentElement.scrollWidth <= innerWidth")


async def test_a_row_is_come_to_by_the_keyboard_shows_its_line_and_leads_to_its_entry(
        browser: Browser, files: dict[str, Path]) -> None:
    page, _ = await opened(browser, files["two"])
    row = page.locator("svg.map a[href='#phase-1-1']")
    before = await row.locator(".way").evaluate("each => getComputedStyle(each).strokeWidth")
    await page.locator("svg.map a[href='#phase-1']").focus()
    await page.keyboard.press("Tab")
    assert await page.evaluate("document.activeElement.getAttribute('href')") == "#phase-1-1"
    after = await row.locator(".way").evaluate("each => getComputedStyle(each).strokeWidth")
    assert float(after.removesuffix("px")) == 4.0 != float(before.removesuffix("px"))
    await page.keyboard.press("Enter")
    assert page.url.endswith("#phase-1-1")
    assert "climb" in (await page.locator(":target").text_content() or "")
    assert "Branch 1" in (await row.locator("title").first.text_content() or "")


async def test_on_paper_the_map_stands_whole_on_a_page_across(browser: Browser, files: dict[str, Path]) -> None:
    page, _ = await opened(browser, files["cruise-to-tallowby"])
    await page.emulate_media(media="print")
    await page.set_viewport_size({"width": 1047, "height": 720})      # A4 across within its margins
    drawing = await page.locator("svg.map").bounding_box()
    assert drawing is not None
    assert drawing["width"] <= 1047
    assert drawing["height"] <= 645
    printed = await page.pdf(prefer_css_page_size=True)
    assert printed.startswith(b"%PDF")
    sheets = page.locator("figure.sheet")
    assert await sheets.count() >= 4
    for number in range(await sheets.count()):      # each on its own, and its words some six points high
        words = sheets.nth(number).locator("svg")
        scale = await words.evaluate("each => each.getScreenCTM().a")
        assert 11.5 * scale * 0.75 > 5.5
    assert await page.locator("figure.sheet").first.is_visible()
    await page.emulate_media(media="screen")
    assert not await page.locator("figure.sheet").first.is_visible()
