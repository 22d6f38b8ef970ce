"""The page in a real browser: it loads nothing, complains of nothing, fits, prints, and reads in grey and dark."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest
from browsing import chromium
from paper.contrast import CONTRAST
from paper.papers import flown_for, paper, spoiled
from playwright.async_api import Browser, Page

from drill.cautions import CAUTIONS
from drill.paper.page import as_html

pytestmark = pytest.mark.long


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    """A Chromium without a window."""
    async with chromium() as found:
        yield found


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A small flight's page, one of a whole shipped flight, and one of an empty record."""
    folder = tmp_path_factory.mktemp("pages")
    pages = {"small": paper(), "whole": flown_for("cruise-to-tallowby", 1500.0), "empty": paper([])}
    for name, each in pages.items():
        (folder / f"{name}.html").write_text(as_html(each), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in pages}


async def opened(
    browser: Browser, file: Path, *, width: int = 1200, scheme: Literal["light", "dark"] = "light",
) -> tuple[Page, list[str], list[str]]:
    """The page of a file, what it asked for, and what it complained of."""
    page = await browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    requests: list[str] = []
    complaints: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.on("console", lambda said: complaints.append(said.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    await page.goto(file.as_uri())
    return page, requests, complaints


@pytest.mark.parametrize("name", ["small", "whole", "empty"])
async def test_the_page_loads_nothing_but_itself_and_complains_of_nothing(
    browser: Browser, files: dict[str, Path], name: str,
) -> None:
    page, requests, complaints = await opened(browser, files[name])
    assert requests == [files[name].as_uri()]
    assert complaints == []
    assert await page.locator("h1").count() == 1
    assert (await page.title()).startswith("Debrief: ")
    for caution in CAUTIONS:
        assert await page.get_by_text(caution).count() == 2
    assert await page.evaluate("document.scripts.length") == 0


async def test_hostile_words_do_nothing_in_a_browser(browser: Browser, tmp_path: Path) -> None:
    given = paper()
    text = "</title><script>alert(1)</script>\"'><img src=x onerror=alert(1)><svg onload=alert(1)><style>*{color:red}"
    file = tmp_path / "hostile.html"
    file.write_text(as_html(replace(given, document=spoiled(given.document, text))), encoding="utf-8")
    page = await browser.new_page()
    seen: list[str] = []
    page.on("dialog", lambda dialog: seen.append(dialog.message))
    page.on("request", lambda request: seen.append(request.url))
    page.on("console", lambda said: seen.append(said.text))
    await page.goto(file.as_uri())
    assert seen == [file.as_uri()]
    assert await page.locator("h1").text_content() == text
    assert await page.evaluate("[document.scripts.length, document.images.length, document.styleSheets.length]") == [
        0, 0, 1]


@pytest.mark.parametrize("width", [360, 768, 1200])
@pytest.mark.parametrize("name", ["small", "whole", "empty"])
async def test_nothing_runs_out_of_the_window_sideways(
    browser: Browser, files: dict[str, Path], name: str, width: int,
) -> None:
    page, _, _ = await opened(browser, files[name], width=width)
    assert await page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
async def test_every_word_stands_out_from_its_ground(
    browser: Browser, files: dict[str, Path], scheme: Literal["light", "dark"],
) -> None:
    page, _, _ = await opened(browser, files["whole"], scheme=scheme)
    assert await page.evaluate(CONTRAST) == []
    grounds = await page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (grounds == "rgb(255, 255, 255)") == (scheme == "light")


async def test_the_parts_are_landmarks_with_names_and_the_drawings_are_pictures_with_names(
    browser: Browser, files: dict[str, Path],
) -> None:
    page, _, _ = await opened(browser, files["whole"])
    for role, name in (("navigation", "Parts of this debrief"), ("main", None), ("contentinfo", None), ("banner", None),
                       ("region", "What failed"), ("region", "What to work on"), ("complementary", "Cautions")):
        assert await (page.get_by_role(role, name=name, exact=True) if name  # type: ignore[arg-type]
                      else page.get_by_role(role)).count() == 1, role  # type: ignore[arg-type]
    pictures = page.get_by_role("img")
    assert await pictures.count() > 10
    assert await page.get_by_role("img", name="The flight in lanes").count() == 1
    assert await page.get_by_role("img", name="Bank: shown against true").count() == 1


async def test_the_links_lead_by_keyboard_to_their_parts(browser: Browser, files: dict[str, Path]) -> None:
    page, _, _ = await opened(browser, files["small"])
    await page.keyboard.press("Tab")
    assert await page.evaluate("document.activeElement.textContent") == "Outcome"
    await page.get_by_role("link", name="What to work on").press("Enter")
    assert await page.evaluate("Math.abs(document.querySelector('#work').getBoundingClientRect().top) < 900")
    assert page.url.endswith("#work")


@pytest.mark.parametrize("paper_size", ["Letter", "A4"])
async def test_it_prints_in_light_colors_without_the_links_and_nothing_is_cut_off(
    browser: Browser, files: dict[str, Path], paper_size: str,
) -> None:
    page, _, complaints = await opened(browser, files["whole"], scheme="dark", width=700)
    printed = await page.pdf(format=paper_size)
    assert printed.startswith(b"%PDF-")
    assert 3 <= printed.count(b"/Type /Page\n") <= 20
    await page.emulate_media(media="print")
    assert await page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert not await page.get_by_role("navigation").is_visible()
    assert await page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert complaints == []


async def test_the_faces_are_drawn_and_not_only_there(browser: Browser, files: dict[str, Path]) -> None:
    page, _, _ = await opened(browser, files["whole"])
    sizes = await page.evaluate("""
      [...document.querySelectorAll("svg.panel")].map((panel) => {
        const boxes = [...panel.querySelectorAll("use, text, line")].map((each) => each.getBoundingClientRect());
        const whole = panel.getBoundingClientRect();
        return [whole.width, whole.height, boxes.filter((box) => box.width + box.height > 0).length];
      })""")
    assert sizes
    for width, height, drawn in sizes:
        assert width > 200
        assert height > 200
        assert drawn > 40
