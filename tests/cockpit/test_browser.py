"""The served cockpit in a real browser without any network: drawn, flown, left, lost, and closed to foreign pages."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import subprocess
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TypeAlias
from urllib.parse import urlsplit

import pytest
from browsing import chromium
from playwright.async_api import Browser, BrowserContext, Dialog, Error, Page
from program import command

from drill.cautions import CAUTIONS

pytestmark = pytest.mark.long

REBOUND = "rebound.example"
"""A foreign name with our number."""

WAIT_S = 30.0

READABLE = """
Object.defineProperty(Object.prototype, "rawOptions", {
  configurable: true,
  set(options) {
    if (options && typeof options === "object" && "screenReaderMode" in options) { options.screenReaderMode = true; }
    Object.defineProperty(this, "rawOptions", {
      value: options, writable: true, enumerable: true, configurable: true });
  },
});
"""
"""The terminal draws on a canvas; told to serve a screen reader as well, it keeps what it shows as text in the page."""

SCREEN = """[...document.querySelectorAll(".xterm-accessibility-tree > *")].map((row) => row.textContent).join("\\n")"""
NOTICE = """document.querySelector(".notice:not([hidden])")?.innerText"""
INKS = """[...document.querySelectorAll(".xterm-screen canvas")].map((canvas) => {
  const context = canvas.getContext("2d");
  const data = context ? context.getImageData(0, 0, canvas.width, canvas.height).data : [];
  return new Set(new Uint32Array(data.buffer || 0)).size;
})"""


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    """A Chromium without a window."""
    async with chromium("--disable-quic", f"--host-resolver-rules=MAP {REBOUND} 127.0.0.1") as found:
        yield found


@dataclass
class Seen:
    """A page, and all that it asked for and complained of."""

    page: Page
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    async def until(self, words: str, script: str = SCREEN) -> str:
        """Return what the terminal shows (or what else `script` reads) as soon as `words` are in it."""
        read = ""
        for _ in range(int(WAIT_S * 20)):
            try:
                read = " ".join(str(await self.page.evaluate(script)).split())
            except Error:    # it goes from one page to the next
                read = ""
            if words in read:
                return read
            await asyncio.sleep(0.05)
        notice = await self.page.evaluate(NOTICE)
        raise AssertionError(f"{words!r} never showed; at last: {read!r}; notice: {notice!r}")

    async def type(self, words: str) -> None:
        """Type a line into the terminal and enter it."""
        await self.page.keyboard.type(words)
        await self.page.keyboard.press("Enter")


async def opened(context: Browser | BrowserContext, url: str, *, width: int = 1280, height: int = 720) -> Seen:
    """Return a new page at `url`."""
    seen = Seen(await context.new_page())
    await seen.page.set_viewport_size({"width": width, "height": height})
    await seen.page.add_init_script(READABLE)
    seen.page.on("request", lambda request: seen.requests.append(request.url))
    seen.page.on("websocket", lambda socket: seen.requests.append(socket.url))
    seen.page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    seen.page.on("console", lambda said: seen.complaints.append(said.text) if said.type == "error" else None)
    await seen.page.goto(url)
    return seen


@dataclass
class Served:
    """`drill serve` in a process of its own."""

    process: asyncio.subprocess.Process
    url: str
    home: Path

    @property
    def host(self) -> str:
        return urlsplit(self.url).netloc

    def cockpits(self) -> list[int]:
        """Return the processes that it has started."""
        listed = subprocess.run(["/bin/ps", "-o", "pid=", "--ppid", str(self.process.pid)],
                                capture_output=True, text=True, check=False)
        return [int(each) for each in listed.stdout.split()]


Serve: TypeAlias = Callable[..., AbstractAsyncContextManager[Served]]


@pytest.fixture
def serve(environment: dict[str, str], tmp_path: Path) -> Serve:
    """Run `drill serve` with arguments, at a free port, for a user whose folders are empty."""

    @asynccontextmanager
    async def serve(*arguments: str) -> AsyncIterator[Served]:
        process = await asyncio.create_subprocess_exec(
            *command(["serve", "--port", "0", *arguments]),
            stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.STDOUT, env=environment, cwd=tmp_path)
        assert process.stdout is not None
        try:
            async with asyncio.timeout(WAIT_S):
                while not (match := re.search(r"http://\S+", line := (await process.stdout.readline()).decode())):
                    assert line, "the server said no address"
            yield Served(process, match[0], tmp_path / "home")
        finally:
            if process.returncode is None:
                process.send_signal(signal.SIGTERM)
                await asyncio.wait_for(process.wait(), WAIT_S)

    return serve


async def until(holds: Callable[[], bool]) -> bool:
    """Return whether this comes true within a while."""
    for _ in range(int(WAIT_S * 20)):
        if holds():
            return True
        await asyncio.sleep(0.05)
    return False


def _is_gone(pid: int) -> bool:
    listed = subprocess.run(["/bin/ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True, check=False)
    return not listed.stdout.strip() or listed.stdout.startswith("Z")    # nothing but its number is left


async def test_the_page_draws_the_board_and_asks_nothing_of_anybody_else(browser: Browser, serve: Serve) -> None:
    async with serve() as served:
        seen = await opened(browser, served.url)
        board = await seen.until(CAUTIONS[0])
        assert "Cruise to Tallowby" in board
        assert "token" not in seen.page.url
        assert await seen.page.title() == "drill: cockpit"
        for caution in CAUTIONS:
            assert await seen.page.locator("footer").get_by_text(caution).is_visible()
        assert max(await seen.page.evaluate(INKS)) > 5, "nothing was drawn"
        await seen.page.keyboard.type("zzz")
        await seen.until("zzz")
        assert seen.requests
        assert {urlsplit(url).netloc for url in seen.requests} == {served.host}
        assert seen.complaints == []


async def test_a_flight_in_the_browser_is_recorded_here_and_taken_up_again(browser: Browser, serve: Serve) -> None:
    async with serve("cruise-to-tallowby") as served:
        seen = await opened(browser, served.url)
        shown = [await seen.until("Cruise to Tallowby")]
        await seen.page.keyboard.press("Enter")
        shown.append(await seen.until("What do you do?"))
        await seen.type("climb and maintain 7000")
        shown.append(await seen.until("To 7,000 feet"))
        (record,) = served.home.rglob("*cruise-to-tallowby*.jsonl")
        assert await until(lambda: "climb and maintain 7000" in record.read_text(encoding="utf-8"))
        before = served.cockpits()
        await seen.page.goto(f"http://{served.host}/board")
        shown.append(await seen.until("Unfinished flights"))
        assert await until(lambda: len(served.cockpits()) == 1)
        assert served.cockpits() != before
        await seen.page.keyboard.press("Enter")
        shown.append(await seen.until("Taken up again here"))
        assert str(served.home) not in "".join(shown)
        assert seen.complaints == []
        await seen.page.close()
        assert await until(lambda: not served.cockpits())


async def test_a_lost_connection_and_a_stop_are_said_and_no_cockpit_stays(browser: Browser, serve: Serve) -> None:
    for number, words in ((signal.SIGKILL, "The connection is lost"), (signal.SIGTERM, "The server was stopped")):
        async with serve() as served:
            seen = await opened(browser, served.url)
            await seen.until(CAUTIONS[0])
            (cockpit,) = served.cockpits()
            served.process.send_signal(number)
            notice = await seen.until(words, NOTICE)
            assert "record is kept" in notice
            assert "from the list" in notice or "open the list" in notice
            assert await until(partial(_is_gone, cockpit))
            await asyncio.wait_for(served.process.wait(), WAIT_S)


async def test_leaving_and_a_broken_cockpit_are_told_apart_and_the_list_opens_again(
    browser: Browser, serve: Serve,
) -> None:
    async with serve() as served:
        seen = await opened(browser, served.url)
        await seen.until(CAUTIONS[0])
        os.kill(served.cockpits()[0], signal.SIGKILL)
        await seen.until("The cockpit broke down", NOTICE)
        await seen.page.keyboard.press("Enter")    # its link has the focus
        await seen.until(CAUTIONS[0])
        await seen.page.keyboard.press("Control+q")
        await seen.until("You have left the cockpit", NOTICE)
        assert await until(lambda: not served.cockpits())
        await seen.page.keyboard.press("Enter")
        await seen.until(CAUTIONS[0])


async def test_a_visitor_beyond_the_last_seat_reads_why_and_comes_in_later(browser: Browser, serve: Serve) -> None:
    async with serve("--most", "1") as served:
        first = await opened(browser, served.url)
        await first.until(CAUTIONS[0])
        second = await opened(browser, served.url)
        await second.until("Every seat is taken", "document.body.innerText")
        assert len(served.cockpits()) == 1
        await first.page.close()
        await second.page.reload()
        await second.until(CAUTIONS[0])


async def test_a_foreign_page_with_the_cookie_in_the_same_browser_gets_nothing(browser: Browser, serve: Serve) -> None:
    async def foreign(_reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        writer.write(b"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nContent-Length: 2\r\nConnection: close\r\n\r\nhi")
        await writer.drain()
        writer.close()

    elsewhere = await asyncio.start_server(foreign, "127.0.0.1", 0)
    async with serve() as served, elsewhere:
        context = await browser.new_context()
        ours = await opened(context, served.url)
        await ours.until(CAUTIONS[0])
        cockpits = served.cockpits()
        page = await context.new_page()
        port = elsewhere.sockets[0].getsockname()[1]
        await page.goto(f"http://127.0.0.1:{port}/")    # a port makes no other site: the strict cookie is sent
        tries = """(host) => Promise.all([
          new Promise((done) => {
            const socket = new WebSocket(`ws://${host}/socket/start?width=80&height=24`);
            socket.onopen = () => done("open");
            socket.onerror = () => done("refused");
          }),
          fetch(`http://${host}/`, { credentials: "include" }).then(() => "read", () => "refused"),
          new Promise((done) => {
            const script = document.createElement("script");
            script.src = `http://${host}/web/page.js`;
            script.onload = () => done("ran");
            script.onerror = () => done("refused");
            document.body.append(script);
          }),
        ])"""
        assert await page.evaluate(tries, served.host) == ["refused"] * 3
        assert served.cockpits() == cockpits
        answer = await page.goto(served.url.replace("127.0.0.1", REBOUND))
        assert answer is not None
        assert answer.status == 421
        await context.close()


async def test_a_narrow_window_shows_eighty_columns_and_nothing_beside_it(browser: Browser, serve: Serve) -> None:
    async with serve() as served:
        seen = await opened(browser, served.url, width=420, height=700)
        await seen.until("Cruise to Tallowby")
        await seen.until("an authorized instructor prevail")
        assert await seen.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        await seen.page.set_viewport_size({"width": 1280, "height": 720})
        await seen.until("Cruise to Tallowby")


CELL = """(() => {
  const rows = document.querySelectorAll(".xterm-accessibility-tree > *").length;
  return [rows, document.querySelector(".xterm-screen").clientHeight / rows];
})()"""
"""The lines of the terminal, and how high one is in pixels."""


async def test_letters_grow_with_the_window_and_by_the_buttons_below_it(browser: Browser, serve: Serve) -> None:
    async with serve() as served:
        seen = await opened(browser, served.url, width=1000, height=620)
        await seen.until("Cruise to Tallowby")
        lines, high = await seen.page.evaluate(CELL)

        async def becomes(holds: Callable[[int, float], bool]) -> tuple[int, float]:
            for _ in range(int(WAIT_S * 20)):
                now_lines, now_high = await seen.page.evaluate(CELL)
                if holds(now_lines, now_high):
                    return now_lines, now_high
                await asyncio.sleep(0.05)
            raise AssertionError(f"{(lines, high)} became {(now_lines, now_high)}")

        await seen.page.set_viewport_size({"width": 2000, "height": 1240})
        lines, high = await becomes(lambda now_lines, _high: now_lines >= 50)    # room for more comes first
        await seen.page.set_viewport_size({"width": 2400, "height": 1500})
        lines, high = await becomes(lambda now_lines, now_high: now_high > high * 1.1 and now_lines >= 50)
        await seen.page.get_by_role("button", name="Larger letters").click()
        lines, high = await becomes(lambda now_lines, now_high: now_high > high and now_lines < lines)
        await seen.page.keyboard.type("zzz")    # the terminal has the keys again
        await seen.until("zzz")
        await seen.page.get_by_role("button", name="Smaller letters").click()
        await becomes(lambda now_lines, now_high: now_high < high and now_lines > lines)
        assert seen.complaints == []


async def test_before_a_flight_is_left_by_accident_there_is_a_question_and_a_reload_leads_to_the_list(
    browser: Browser, serve: Serve,
) -> None:
    async with serve("cruise-to-tallowby") as served:
        seen = await opened(browser, served.url)
        asked: list[str] = []

        async def answer(dialog: Dialog) -> None:
            asked.append(dialog.type)
            await dialog.accept()

        seen.page.on("dialog", answer)
        await seen.until("Cruise to Tallowby")
        await seen.page.reload()
        await seen.until("Cruise to Tallowby")
        assert asked == [], "nothing is flown yet"
        assert not seen.page.url.endswith("/board")
        assert await seen.page.get_by_text("type quit and Enter").is_visible()
        await seen.page.keyboard.press("Enter")
        await seen.until("What do you do?")
        await seen.type("climb and maintain 7000")
        await seen.until("To 7,000 feet")
        await seen.page.reload()
        await seen.until("Unfinished flights")
        assert asked == ["beforeunload"]
        assert seen.page.url.endswith("/board")
        assert await seen.page.get_by_text("The page was loaded again").is_visible()
        await seen.page.keyboard.press("Enter")
        await seen.until("Taken up again here")
        await seen.type("quit")
        await seen.until("leave", SCREEN)
        assert seen.complaints == []


async def test_a_visitor_sees_no_flights_but_their_own(browser: Browser, serve: Serve) -> None:
    async with serve() as served:
        contexts = [await browser.new_context() for _ in range(2)]
        first = await opened(contexts[0], served.url)
        await first.until("Cruise to Tallowby")
        await first.page.keyboard.type("Cruise to Tallowby")
        await first.page.keyboard.press("Enter")
        await first.until("Briefing: Cruise to Tallowby")
        await first.page.keyboard.press("Enter")
        await first.until("What do you do?")
        await first.page.goto(f"http://{served.host}/board")
        await first.until("Unfinished flights")
        second = await opened(contexts[1], served.url)
        await second.until("Cruise to Tallowby")
        await second.until(CAUTIONS[0])
        assert "Unfinished" not in await second.until("Cruise to Tallowby")
        for context in contexts:
            await context.close()


async def test_without_scripts_the_page_says_what_to_do(browser: Browser, serve: Serve) -> None:
    async with serve() as served:
        context = await browser.new_context(java_script_enabled=False)
        page = await context.new_page()
        await page.goto(served.url)
        await page.locator("noscript .notice").wait_for()
        assert "JavaScript is off" in await page.locator("noscript .notice").inner_text()
        assert not await page.locator("#opening").is_visible()
        assert served.cockpits() == []
        await context.close()
