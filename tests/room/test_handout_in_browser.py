"""The handout in a real browser: one sheet, A4 or Letter, whatever is on it; readable in dark; loads nothing."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest
from browsing import chromium
from paper.contrast import CONTRAST
from paper.papers import spoiled
from playwright.async_api import Browser
from room.described_evenings import FULL_CALL, SHORT_CALL, Poll, evening, flight, of

from drill.cautions import CAUTIONS, NOTHING_LOGGED
from drill.room.handout import as_html
from drill.room.outcome import DoneThen, Results
from drill.room.totals import attendance_html

pytestmark = pytest.mark.long

INSIDE = {"Letter": (740, 988), "A4": (718, 1055)}
"""What a sheet has inside margins of 10 and 9 mm, in CSS pixels of 1/96 inch."""


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    async with chromium() as found:
        yield found


def usual(polls: int, calls: int) -> Results:
    """An evening with so many polls on what is wrong, and so many tables that call."""
    line = "cover the attitude indicator and go partial panel"
    said = [Poll(60.0 + 90.0 * at, votes={f"p{each}": ("abcd"[(at * each) % 4], 1 + each % 4) for each in range(30)},
                 way="majority", lines=(line,)) for at in range(polls)]
    said.append(Poll(850.0, "what do you say", votes={
        f"p{each}": FULL_CALL if each % 2 else SHORT_CALL for each in range(calls)}))
    return of(evening(said, tables={f"p{each}": f"Table {each}" for each in range(calls)}))


def crowded(letters: str) -> Results:
    """An evening in which every text that is not our own is endless, and there is too much of everything."""
    full = usual(7, 30)
    much = spoiled(replace(full, knowing=full.knowing * 4, unsafe=("x",) * 5, decisions=full.decisions * 4,
                           cautions=("x",) * 8), letters)
    return replace(much, elements=full.elements, sureness=full.sureness, cautions=(*CAUTIONS, *much.cautions))


def both_ways(letters: str = "") -> Results:
    """An evening that went both ways; with `letters`, three times, and endlessly much was done each time."""
    found = of(evening([Poll(300.0, votes={"p": "a"}, way="fork"), Poll(600.0, votes={"p": "a"})]),
               sheets={"fork-1.jsonl": flight((305.0, "cover the attitude indicator and go partial panel"))})
    if not letters:
        return found
    (parting,) = found.partings
    ways = tuple(replace(each, done=(DoneThen(400.0, "x"),) * 60) for each in parting.ways)
    return spoiled(replace(found, partings=(replace(
        parting, ways=ways, items=parting.items * 4, measures=parting.measures * 2),) * 3), letters)


EVENINGS: dict[str, Callable[[], Results]] = {
    "none": lambda: of(evening([])), "both ways": both_ways, "both, crowded": lambda: both_ways("Wamble mumble " * 60),
    "both, wide": lambda: both_ways("儀表板" * 300),
    "small": lambda: usual(2, 3), "usual": lambda: usual(5, 8),
    "long words": lambda: crowded("Wamble mumble " * 60), "one word": lambda: crowded("Donaudampfschiff" * 60),
    "wide": lambda: crowded("儀表板" * 300), "capitals": lambda: crowded("WWWWWWW " * 100),
}


@pytest.mark.parametrize("sheet", ["Letter", "A4"])
async def test_it_prints_on_one_sheet_and_one_more_for_each_parting_with_the_cautions_at_their_feet(
    browser: Browser, sheet: str,
) -> None:
    page = await browser.new_page()
    for name, make in EVENINGS.items():
        found = make()
        sheets = 1 + len(found.partings)
        await page.set_content(as_html(found, named=True))
        printed = await page.pdf(format=sheet)
        assert printed.count(b"/Type /Page\n") == sheets, name
        await page.emulate_media(media="print")
        wide, high = INSIDE[sheet]
        await page.set_viewport_size({"width": wide, "height": high})
        for place in range(sheets):
            foot = await page.locator("footer").nth(place).bounding_box()
            assert foot is not None
            assert place * (high - 2) < foot["y"] < foot["y"] + foot["height"] <= (place + 1) * high, name
        for caution in (*CAUTIONS, NOTHING_LOGGED):
            assert await page.get_by_text(caution).count() == sheets
        await page.emulate_media(media="null")


@pytest.mark.parametrize("name", [
    "none", "both ways", "both, crowded", "both, wide", "small", "usual", "long words", "one word", "wide"])
async def test_nothing_of_it_is_cut_off_on_letter(browser: Browser, name: str) -> None:
    page = await browser.new_page(viewport={"width": 740, "height": 988})
    await page.emulate_media(media="print")
    await page.set_content(as_html(EVENINGS[name]()))
    heights = await page.evaluate(
        "[...document.querySelectorAll('main, .body')].map(m => [m.scrollHeight, m.clientHeight])")
    assert all(high <= shown + 1 for high, shown in heights), heights
    assert await page.evaluate("document.documentElement.scrollWidth <= innerWidth")


async def test_it_loads_nothing_says_nothing_to_the_console_and_runs_nothing(browser: Browser, tmp_path: Path) -> None:
    text = "</title><script>alert(1)</script>\"'><img src=x onerror=alert(1)><svg onload=alert(1)><style>*{color:red}"
    file = tmp_path / "handout.html"
    file.write_text(as_html(spoiled(usual(3, 3), text), named=True), encoding="utf-8")
    page = await browser.new_page()
    seen: list[str] = []
    page.on("dialog", lambda dialog: seen.append(dialog.message))
    page.on("request", lambda request: seen.append(request.url))
    page.on("console", lambda said: seen.append(said.text))
    await page.goto(file.as_uri())
    assert seen == [file.as_uri()]
    assert await page.evaluate("[document.scripts.length, document.images.length, document.styleSheets.length]") == [
        0, 0, 1]


@pytest.mark.parametrize("scheme", ["light", "dark"])
async def test_every_word_stands_out_from_its_ground(browser: Browser, scheme: Literal["light", "dark"]) -> None:
    page = await browser.new_page(color_scheme=scheme)
    await page.set_content(as_html(usual(5, 8)))
    assert await page.evaluate(CONTRAST) == []


@pytest.mark.parametrize("width", [360, 768, 1200])
async def test_nothing_runs_out_of_the_window_sideways(browser: Browser, width: int) -> None:
    page = await browser.new_page(viewport={"width": width, "height": 900})
    for text in (as_html(usual(5, 8)), attendance_html(evening([], names={"1": "Ada " * 10}), "A title " * 20)):
        await page.set_content(text)
        assert await page.evaluate("document.documentElement.scrollWidth") <= width


async def test_its_parts_are_landmarks_and_tables_with_names(browser: Browser) -> None:
    page = await browser.new_page()
    await page.set_content(as_html(usual(5, 8)))
    roles: tuple[Literal["banner", "main", "contentinfo"], ...] = ("banner", "main", "contentinfo")
    for role in roles:
        assert await page.get_by_role(role).count() == 1, role
    for name in ("To take home", "How opinion moved", "Decisions against the grade sheet", "How sure, and how right"):
        assert await page.get_by_role("region", name=name).count() == 1, name
    assert await page.get_by_role("table").count() == 4
    assert await page.get_by_role("img", name="When it could be known, and when the room knew").count() == 1
