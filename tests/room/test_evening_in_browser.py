"""A whole evening in a real browser: a wall and five phones, one without script, one without sockets, one cut off."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from browsing import chromium
from playwright.async_api import Browser, BrowserContext, Page
from room.net_room import Room, served

from drill.room import commands as c
from drill.room.commands import Command, Done
from drill.room.evening import Held, counts, leaders, votes
from drill.room.events import Way

pytestmark = pytest.mark.long

WAIT_MS = 20_000
SURE = "How sure are you?"
NO_SOCKETS = "delete window.WebSocket;"
BROKEN_SOCKETS = "window.WebSocket = function () { setTimeout(() => this.onclose({ code: 1006 }), 10); };"
"""As behind a proxy that lets none through."""
CALL = "Orrinfell Approach, Larkspur 5304W, unable to hold heading"


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    async with chromium("--disable-quic") as found:
        yield found


@dataclass
class Seen:
    """A page, and all that it asked for and complained of."""

    page: Page
    context: BrowserContext
    scripted: bool = True
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    async def until(self, words: str, place: str = "body") -> str:
        """Return what stands in a place as soon as `words` do; a page without script is loaded until they do."""
        for _ in range(WAIT_MS // 100):
            read = " ".join((await self.page.inner_text(place)).split())
            if words in read:
                return read
            await asyncio.sleep(0.1)
            if not self.scripted:
                await self.page.goto(self.page.url)
        raise AssertionError(f"{words!r} never showed; at last: {read!r}")

    async def answers(self, held: Held, place: int, sure: int) -> None:
        """Answer the poll as people do: by pressing, or typing."""
        if not self.scripted:
            await self.until(held.question)
        if held.answers:
            await self.page.get_by_label(held.answers[place % len(held.answers)].says).check()
        else:
            await self.page.get_by_role("textbox").fill(CALL)
        if held.sure:
            await self.page.locator("input[name=sure]").nth(sure - 1).check()
        await self.page.locator("#vote button").click()
        await self.until("Counted:", "#said")


async def opened(browser: Browser, url: str, *, script: bool = True, first: str = "", width: int = 390,
                 height: int = 844) -> Seen:
    """Return a page of its own at `url`; `first` runs in it before anything else."""
    context = await browser.new_context(viewport={"width": width, "height": height}, java_script_enabled=script)
    if first:
        await context.add_init_script(first)
    seen = Seen(await context.new_page(), context, script)
    seen.page.set_default_timeout(WAIT_MS)
    seen.page.on("request", lambda request: seen.requests.append(request.url))
    seen.page.on("websocket", lambda socket: seen.requests.append(socket.url))
    seen.page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    seen.page.on("console", lambda said: seen.complaints.append(said.text) if said.type == "error" else None)
    await seen.page.goto(url)
    return seen


async def joined(browser: Browser, room: Room, name: str, *, script: bool = True, first: str = "") -> Seen:
    seen = await opened(browser, room.running.phones_url, script=script, first=first)
    await seen.page.get_by_label("Your name").fill(name)
    await seen.page.get_by_label("Your table").fill("2")
    await seen.page.get_by_role("button", name="Join").click()
    await seen.until(f"You are {name}, table 2.")
    return seen


async def flown_to_a_poll(room: Room) -> Held | None:
    """Let the flight go on to where it stops by itself; return the poll that is open then, None if it is over."""
    if not isinstance(await room.host.command(c.Fly(4)), Done):
        return None
    for _ in range(40):
        if room.host.evening.stage == "poll":
            return room.host.evening.open_poll
        if not isinstance(await room.host.command(c.Advance(60)), Done):
            return None
    raise AssertionError("no poll in forty minutes")


async def done(room: Room, command: Command) -> None:
    outcome = await room.host.command(command)
    assert isinstance(outcome, Done), (command, outcome)


async def test_a_whole_evening_with_a_wall_and_five_phones(browser: Browser, tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        wall = await opened(browser, room.running.wall_url, width=1920, height=1080)
        phones = [
            await joined(browser, room, "Robin"), await joined(browser, room, "Sam", first=BROKEN_SOCKETS),
            await joined(browser, room, "Kim", script=False), await joined(browser, room, "Ines", first=NO_SOCKETS),
            await joined(browser, room, "<b>Lou</b>")]
        ways: list[Way] = ["majority", "fork", "sheet", "majority", "sheet"]
        plain, cut_off = phones[2], phones[4]
        await wall.until("5 people are in.")
        await wall.until("<b>Lou</b>")
        await done(room, c.Brief())
        await wall.until("Clearance")
        for each in phones:
            await each.until("the briefing")
        for place, way in enumerate(ways):
            held = await flown_to_a_poll(room)
            if held is None:
                break
            await wall.until(held.question, "#side")
            if place == 1:
                await cut_off.context.set_offline(True)
            for number, phone in enumerate(phones[:4]):
                await phone.answers(held, number + place, 1 + number % 4)
            if place == 1:
                await cut_off.page.locator("#vote button").wait_for()
                await cut_off.context.set_offline(False)
            await cut_off.answers(held, place, 4)
            await phones[0].answers(held, place, 4)     # changes the vote
            await wall.until("5 of 5 have answered.", "#side")
            assert await wall.page.locator(".bar").count() == 0
            await done(room, c.Close())
            for each in phones:
                await each.until("The poll is closed")
            if held.answers:
                await wall.page.locator(".bar").first.wait_for()
                held = room.host.evening.polls[-1]
                assert len(votes(room.host.evening, held)) == 5
                assert sum(counts(room.host.evening, held).values()) == 5
                shown = await wall.page.locator(".count").all_inner_texts()
                assert [int(each) for each in shown] == list(counts(room.host.evening, held).values())
            else:
                await wall.until("Table 2", "#picture")
            leading = leaders(room.host.evening, room.host.evening.polls[-1])
            way = way if leading else "sheet"    # a call that was typed names nothing to do
            await done(room, c.Choose(way, answer=leading[0].key if way != "sheet" else ""))
            if way == "fork":
                await wall.until("The grade sheet", "#picture")
        assert len(room.host.evening.polls) >= 3
        await done(room, c.ShowFace("attitude_indicator"))
        await wall.page.locator(".only svg").wait_for()
        await done(room, c.ShowFace(None))
        await done(room, c.Debrief())
        for each in phones:
            await each.until("the debrief")
        await wall.until("To take home", "#picture")
        await wall.until("Decisions against the grade sheet", "#side")
        await done(room, c.End())
        for each in phones:
            await each.until("Thank you")
        await wall.until("Thank you", "#top")
        assert not [url for url in plain.requests if url.endswith(".js")]
        for each in (wall, *phones):
            assert {urlsplit(url).netloc for url in each.requests} <= {room.netloc, ""}
            assert [said for said in each.complaints if "ERR_INTERNET_DISCONNECTED" not in said] == []
        assert room.said == []


async def test_a_phone_is_used_by_keyboard_alone_and_is_told_what_happens(browser: Browser, tmp_path: Path) -> None:
    """What a screen reader has: labels, groups with their question, places that are read aloud when they change."""
    async with served(tmp_path) as room:
        phone = await joined(browser, room, "Robin")
        await room.poll_open()
        await phone.until("Look at the wall, then answer.", "#say")
        keyboard = phone.page.keyboard
        await phone.page.get_by_role("group", name="What is wrong").wait_for()
        for _ in range(12):
            await keyboard.press("Tab")
            if await phone.page.evaluate("document.activeElement.name") == "answer":
                break
        await keyboard.press("ArrowDown")
        await keyboard.press("Tab")
        await keyboard.press("Space")
        await keyboard.press("Enter")
        said = await phone.until("Counted:", "[role=status]#said")
        held = room.host.evening.polls[0]
        assert held.answers[1].says in said
        for place, role in (("#say", "status"), ("#said", "status"), ("#link", "alert")):
            assert await phone.page.get_attribute(place, "role") == role


async def test_what_is_half_typed_stays_when_something_else_changes(browser: Browser, tmp_path: Path) -> None:
    async with served(tmp_path) as room:
        phone = await joined(browser, room, "Robin")
        await done(room, c.Brief())
        await done(room, c.OpenPoll(question="What do you say?", kind="what do you say"))
        await phone.page.get_by_role("textbox").fill("Orrinfell Approach, Lark")
        await done(room, c.Rename(room.host.evening.present[0].phone, "Robin A"))
        await phone.until("You are Robin A")
        assert await phone.page.get_by_role("textbox").input_value() == "Orrinfell Approach, Lark"


async def test_letters_stand_out_from_their_ground_by_day_and_by_night(browser: Browser, tmp_path: Path) -> None:
    """4.5 to 1 at least, as WCAG 2.2 has it for plain text (1.4.3)."""
    async with served(tmp_path) as room:
        phone = await joined(browser, room, "Robin")
        await room.poll_open()
        await phone.until("How sure")
        for scheme in ("light", "dark"):
            await phone.page.emulate_media(color_scheme=scheme)
            for place in ("#say", "legend", "label", ".you", "footer p", "button", "h1"):
                assert await phone.page.locator(place).first.evaluate(CONTRAST) >= 4.5, (scheme, place)


CONTRAST = """(place) => {
  const light = (color) => color.match(/[0-9.]+/g).slice(0, 3).map((each) => {
    const part = each / 255;
    return part <= 0.03928 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  }).reduce((sum, each, at) => sum + each * [0.2126, 0.7152, 0.0722][at], 0);
  let ground = place;
  while (ground && /rgba\\(.*, 0\\)|transparent/.test(getComputedStyle(ground).backgroundColor)) {
    ground = ground.parentElement;
  }
  const pair = [getComputedStyle(place).color, getComputedStyle(ground).backgroundColor].map(light).sort();
  return (Math.max(...pair) + 0.05) / (Math.min(...pair) + 0.05);
}"""


async def test_a_phone_that_came_back_says_no_longer_that_it_is_cut_off_though_nothing_has_changed(
    browser: Browser, tmp_path: Path,
) -> None:
    async with served(tmp_path) as room:
        phone = await joined(browser, room, "Robin", first=NO_SOCKETS)
        await room.poll_open()
        await phone.until(SURE)
        await phone.page.route("**/news*", lambda route: route.abort())
        await done(room, c.Close())      # answers the wait that had begun; the next ones fail
        await phone.until("The poll is closed.")
        await phone.until("No connection to the room.", "#link")
        await phone.page.unroute("**/news*")
        async with asyncio.timeout(12):
            while await phone.page.text_content("#link"):
                await asyncio.sleep(0.1)
