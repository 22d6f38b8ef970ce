"""The server of cockpits: who is let in, what is sent, how many fly, and that no process stays behind."""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeAlias

import pytest
from aiohttp import (
    ClientError,
    ClientSession,
    ClientWebSocketResponse,
    CookieJar,
    WSMsgType,
    WSServerHandshakeError,
)
from aiohttp.test_utils import TestClient, TestServer
from program import TALLOWBY
from yarl import URL

import drill
from drill import cli
from drill.cautions import CAUTIONS
from drill.cockpit.serve import house as serve_house
from drill.cockpit.serve import mode as serve_mode
from drill.cockpit.serve import visit as serve_visit
from drill.cockpit.serve.house import House, opening_words
from drill.cockpit.serve.server import cockpit_command, serve
from drill.cockpit.serve.visit import Close
from drill.serving import door as serve_door
from drill.serving.address import Address, address_of
from drill.serving.budget import Budget
from drill.serving.door import Door, most_files, room_for
from drill.serving.faults import Faults
from drill.serving.refusal import CannotServe

EVERYWHERE = "0.0.0.0"  # noqa: S104 - only spoken of here
WEB = Path(drill.__file__).parent / "cockpit" / "serve" / "web"

APP = """
import json, os, sys
def packet(kind, payload):
    sys.stdout.buffer.write(kind + len(payload).to_bytes(4, "big") + payload)
    sys.stdout.buffer.flush()
def read(size):
    data = sys.stdin.buffer.read(size)
    return data if len(data) == size else sys.exit(0)
print("__GANGLION__", flush=True)
packet(b"D", f"at {os.environ['COLUMNS']}x{os.environ['ROWS']} served {os.environ['DRILL_SERVED']}".encode())
while True:
    kind, payload = read(1), read(int.from_bytes(read(4), "big"))
    if kind == b"D":
        %s
        packet(b"D", b"heard " + payload)
    elif json.loads(payload)["type"] == "quit":
        %s
    else:
        packet(b"D", b"told " + payload)
"""
"""A program that speaks as the web driver does; what it does with what is typed and with quit is filled in."""


@dataclass
class Serving:
    """A house that listens, a browser that has been let in, and what the house said to who runs it."""

    house: House
    client: TestClient  # type: ignore[type-arg]
    said: list[str] = field(default_factory=list)

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.client.port}"

    async def let_in(self) -> None:
        await self.client.get("/", params={"token": self.house.token})

    async def socket(self, start: str = "start", origin: str = "", size: str = "") -> ClientWebSocketResponse:
        return await self.client.ws_connect(f"/socket/{start}{size}", headers={"Origin": origin or f"http://{self.host}"})


@pytest.fixture
async def serving(tmp_path: Path) -> AsyncIterator[Callable[..., Awaitable[Serving]]]:
    """Make a serving house: of the program above with `typed` and `quits` filled in, for `most` browsers."""
    opened: list[TestClient] = []  # type: ignore[type-arg]

    async def make(typed: str = "pass", quits: str = "sys.exit(0)", most: int = 2, admitted: bool = True) -> Serving:
        program = tmp_path / "app.py"
        program.write_text(APP % (typed, quits), encoding="utf-8")
        said: list[str] = []
        command = (sys.executable, "-S", str(program))
        house = House(said.append, start=command, board=command, most=most)
        client = TestClient(TestServer(house.application()))
        await client.start_server()
        opened.append(client)
        house.address = address_of("127.0.0.1", client.port or 0, frozenset(), "here")
        made = Serving(house, client, said)
        if admitted:
            await made.let_in()
        return made

    yield make
    for client in opened:
        await client.close()


async def heard(browser: ClientWebSocketResponse) -> str:
    """Return the next thing that the terminal in the browser would write."""
    message = await browser.receive(timeout=20)
    assert message.type is WSMsgType.BINARY, message
    return bytes(message.data).decode()


async def closed_with(browser: ClientWebSocketResponse) -> int | None:
    """Return the number that the browser's socket was closed with, after whatever came before."""
    while (await browser.receive(timeout=20)).type not in (WSMsgType.CLOSE, WSMsgType.CLOSED):
        pass
    return browser.close_code


async def gone(*pids: int) -> bool:
    """Return whether all these processes end within a while."""
    for _ in range(400):
        if not any(_lives(pid) for pid in pids):
            return True
        await asyncio.sleep(0.02)
    return False


def _lives(pid: int) -> bool:
    """Return whether a process runs. Where that is told, one of which only its number is left does not."""
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    with suppress(OSError):
        return Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()[0] != "Z"
    return True


async def test_without_the_token_there_is_a_page_in_words_and_nothing_else(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(admitted=False)
    for path in ("/", "/board", "/web/page.js", "/terminal/js/textual.js", "/elsewhere", "/?token=", "/?token=wrong"):
        answer = await at.client.get(path)
        assert answer.status == 403, path
        text = await answer.text()
        assert "with the token at its end" in text
        assert "terminal" not in text
        assert not answer.cookies
    for cookie in ("", "wrong", at.house.token[:-1], "é"):
        answer = await at.client.get("/", headers={"Cookie": f"drill_{at.client.port}={cookie}"})
        assert answer.status == 403


async def test_the_token_is_taken_from_the_address_once_and_kept_in_a_strict_cookie(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(admitted=False)
    answer = await at.client.get("/", params={"token": at.house.token})
    text = await answer.text()
    assert at.house.token not in text
    assert 'content="0;url=/"' in text
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    page = await at.client.get("/")
    assert page.status == 200
    assert f"ws://{at.host}/socket/start" in await page.text()
    assert f"ws://{at.host}/socket/board" in await (await at.client.get("/board")).text()


async def test_the_page_carries_the_cautions_a_title_a_language_and_words_without_scripts(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    for path in ("/", "/elsewhere"):
        text = (await (await at.client.get(path)).text()).replace("&#x27;", "'")
        for caution in CAUTIONS:
            assert caution in text
        assert '<html lang="en">' in text
        assert re.search(r"<title>drill: \w+", text)
    page = await (await at.client.get("/")).text()
    assert "JavaScript is off" in page
    assert "The connection is lost" in page
    assert "resume the flight from there" in page


async def test_nothing_is_loaded_from_outside_and_no_script_stands_in_the_page(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    for file in WEB.iterdir():
        assert not re.search(r"(https?:)?//[a-z0-9-]+\.", file.read_text(encoding="utf-8")), file
    page = await (await at.client.get("/")).text()
    assert re.findall(r"<script[^>]*>", page) == [
        '<script defer src="/terminal/js/textual.js">', '<script defer src="/web/page.js">']
    assert not re.search(r"\son\w+=|\sstyle=", page)
    for path in re.findall(r'(?:src|href)="(/[^"]+)"', page):
        assert (await at.client.get(path)).status == 200, path
    for font in re.findall(r'url\("([^"]+)"\)', (WEB / "page.css").read_text(encoding="utf-8")):
        assert (await at.client.get(font)).status == 200, font


async def test_every_answer_forbids_foreign_frames_scripts_and_connections(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    for path in ("/", "/elsewhere", "/web/page.js", "/terminal/css/xterm.css", "/web/", "/?fontsize=9"):
        answer = await at.client.get(path, allow_redirects=False)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self';" in policy
        assert f"connect-src 'self' ws://{at.host};" in policy
        assert "frame-ancestors 'none'" in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert not [name for name in answer.headers if name.startswith("Access-Control")]
        assert "Server" not in answer.headers
    assert (await at.client.get("/web/")).status in (403, 404)
    assert (await at.client.post("/")).status == 405


async def test_no_file_but_those_for_the_browser_is_given_out(serving: Callable[..., Awaitable[Serving]]) -> None:
    at = await serving()

    async def asked(path: str) -> tuple[bytes, bytes]:
        """Return the first line and the rest of an answer; the path goes out as it is, which a client would mend."""
        reader, writer = await asyncio.open_connection("127.0.0.1", at.client.port)
        writer.write(f"GET {path} HTTP/1.1\r\nHost: {at.host}\r\nCookie: drill_{at.client.port}={at.house.token}\r\n"
                     "Connection: close\r\n\r\n".encode())
        first, _, rest = (await asyncio.wait_for(reader.read(), 20)).partition(b"\r\n")
        writer.close()
        await writer.wait_closed()
        return first, rest

    there, _ = await asked("/web/page.js")
    assert b"200" in there
    for path in ("/web/../house.py", "/web/%2e%2e/house.py", "/web/..%2fhouse.py", "/terminal/%2e%2e/server.py",
                 "/web//etc/passwd", "/web/%2fetc%2fpasswd"):
        first, rest = await asked(path)
        assert b" 40" in first, path
        assert b"def " not in rest
        assert b"root:" not in rest


async def test_an_address_that_is_not_ours_is_refused_with_the_right_token_too(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    port = at.client.port
    for host in ("elsewhere.example", f"elsewhere.example:{port}", "127.0.0.1:1", "", f"127.0.0.1.:{port}"):
        answer = await at.client.get("/", params={"token": at.house.token}, headers={"Host": host})
        assert answer.status == 421, host


@pytest.mark.parametrize(("told", "host", "ours"), [
    ("127.0.0.1", "127.0.0.1:8480", True),
    ("127.0.0.1", "localhost:8480", True),
    ("127.0.0.1", "LOCALHOST:8480", True),
    ("127.0.0.1", "[::1]:8480", True),
    ("127.0.0.1", "192.168.1.5:8480", False),
    ("127.0.0.1", "club-pc:8480", False),
    ("127.0.0.1", "127.0.0.1", False),
    ("127.0.0.1", "user@127.0.0.1:8480", False),
    ("127.0.0.1", "127.0.0.1:8480/x", False),
    ("127.0.0.1", "127.0.0.1:99999999", False),
    ("127.0.0.1", "[::1", False),
    (EVERYWHERE, "192.168.1.5:8480", True),
    (EVERYWHERE, "club-pc:8480", True),
    (EVERYWHERE, "club-pc.local:8480", True),
    (EVERYWHERE, "club-pc.example:8480", False),
    ("::", "[fe80::1]:8480", True),
    ("192.168.1.5", "192.168.1.5:8480", True),
    ("192.168.1.5", "192.168.1.6:8480", False),
    ("192.168.1.5", "localhost:8480", False),
])
def test_a_host_is_ours_if_the_server_listens_by_that_name(told: str, host: str, ours: bool) -> None:
    assert address_of(told, 8480, frozenset(), "Club-PC").is_ours(host) is ours


def test_the_usual_port_may_be_left_out() -> None:
    assert Address(frozenset({"club-pc"}), 80).is_ours("club-pc")


async def test_a_socket_opens_only_from_our_own_page_and_with_the_cookie(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    for origin in ("http://elsewhere.example", f"https://{at.host}", f"http://localhost:{at.client.port}", "null"):
        with pytest.raises(WSServerHandshakeError) as refused:
            await at.socket(origin=origin)
        assert refused.value.status == 403
    with pytest.raises(WSServerHandshakeError) as refused:
        await at.client.ws_connect("/socket/start")
    assert refused.value.status == 403
    at.client.session.cookie_jar.clear()
    with pytest.raises(WSServerHandshakeError) as refused:
        await at.socket()
    assert refused.value.status == 403
    assert at.house.pids == []


async def test_what_is_typed_reaches_the_cockpit_and_what_it_draws_the_browser(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    browser = await at.socket(size="?width=120&height=40")
    assert await heard(browser) == "at 120x40 served 1"
    await browser.send_json(["stdin", "est-ce que ça va"])
    assert await heard(browser) == "heard est-ce que ça va"
    await browser.send_json(["resize", {"width": 80, "height": 99_999}])
    assert json.loads((await heard(browser)).removeprefix("told ")) == {"type": "resize", "width": 80, "height": 500}
    await browser.send_json(["ping", "7"])
    assert await browser.receive_json(timeout=20) == ["pong", "7"]
    await browser.close()


async def test_what_a_browser_sends_that_is_not_understood_ends_nothing(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving()
    browser = await at.socket(size="?width=-1&height=9999999")
    assert await heard(browser) == "at 80x24 served 1"
    for words in ("", "{", "[]", "7", '["stdin"]', '["stdin", 7]', '["resize", {"width": "x"}]', '["quit"]', "[" * 5000,
                  '["stdin", "\\ud800"]'):
        await browser.send_str(words)
    await browser.send_bytes(b"\x00\xff")
    assert await heard(browser) == "heard ?"
    await browser.send_json(["stdin", "still here"])
    assert await heard(browser) == "heard still here"
    await browser.close()


async def test_an_app_cannot_open_addresses_or_send_files_to_the_browser(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(typed="""
        packet(b"M", b'{"type": "open_url", "url": "http://elsewhere.example", "new_tab": true}')
        packet(b"M", b'{"type": "deliver_file_start", "key": "k", "path": "/etc/passwd", "open_method": "browser"}')
        packet(b"P", b"l1:xe")""")
    browser = await at.socket()
    await heard(browser)
    await browser.send_json(["stdin", "go"])
    assert await heard(browser) == "heard go"
    assert (await at.client.get("/download/k")).status == 404
    await browser.close()


async def test_a_cockpit_ends_when_its_page_is_closed(serving: Callable[..., Awaitable[Serving]]) -> None:
    at = await serving(typed='packet(b"D", str(os.getpid()).encode())')
    pids = []
    browser, other = await at.socket(), await at.socket("board")
    for each in (browser, other):
        await heard(each)
        await each.send_json(["stdin", "who?"])
        pids.append(int(await heard(each)))
        await heard(each)
    await browser.close()
    assert await gone(pids[0])
    for _ in range(400):
        if at.house.pids == pids[1:]:
            break
        await asyncio.sleep(0.02)
    assert at.house.pids == pids[1:]
    await other.send_json(["stdin", "I fly on"])
    assert [await heard(other), await heard(other)] == [str(pids[1]), "heard I fly on"]
    await other.close()
    assert await gone(pids[1])


async def test_a_cockpit_that_hears_neither_asking_nor_telling_is_made_to_end(
    serving: Callable[..., Awaitable[Serving]], monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(serve_visit, "ASKED_S", 0.1)
    monkeypatch.setattr(serve_visit, "TOLD_S", 0.1)
    at = await serving(
        typed="import signal; signal.signal(signal.SIGTERM, signal.SIG_IGN)",
        quits='[packet(b"D", b"x" * 65536) for _ in iter(int, 1)]')    # and writes without end
    browser = await at.socket()
    await heard(browser)
    await browser.send_json(["stdin", "go"])
    await heard(browser)
    (pid,) = at.house.pids
    await browser.close()
    assert await gone(pid)


async def test_leaving_the_cockpit_and_a_cockpit_that_breaks_are_told_apart(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(typed="""
        if payload == b"leave":
            packet(b"M", b'{"type": "exit"}')
            sys.exit(0)
        if payload == b"fail":
            packet(b"M", b'{"type": "exit"}')
        sys.exit("\\x1b]0;broken\\x07 in two")""")
    browser = await at.socket()
    await browser.send_json(["stdin", "leave"])
    assert await closed_with(browser) == Close.ENDED
    assert at.said == []
    for way in ("break", "fail"):
        at.said.clear()
        browser = await at.socket()
        await browser.send_json(["stdin", way])
        assert await closed_with(browser) == Close.FAULT
        for _ in range(400):
            if at.said:
                break
            await asyncio.sleep(0.02)
        (words,) = at.said
        assert "in two" in words
        assert "\x1b" not in words


async def test_a_visitor_beyond_the_last_seat_is_told_so_in_words_and_gets_in_once_one_is_free(
    serving: Callable[..., Awaitable[Serving]], monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(serve_house, "FREED_S", 0.1)
    at = await serving(most=1)
    browser = await at.socket()
    await heard(browser)
    answer = await at.client.get("/")
    assert answer.status == 503
    assert "Every seat is taken" in await answer.text()
    assert await closed_with(await at.socket()) == Close.FULL
    assert len(at.house.pids) == 1
    await browser.close()
    monkeypatch.setattr(serve_house, "FREED_S", 10.0)
    assert (await at.client.get("/")).status == 200
    await heard(await at.socket())


@asynccontextmanager
async def running(most: int, *, stands_in: Path) -> AsyncIterator[tuple[asyncio.subprocess.Process, str]]:
    """A server in a process of its own, and the address that it says."""
    program = ("import sys\nfrom drill.cockpit.serve.server import serve\n"
               f"sys.exit(serve(lambda words: print(words, flush=True), host='127.0.0.1', port=0, most={most}, "
               f"command=(sys.executable, {str(stands_in)!r})))")
    server = await asyncio.create_subprocess_exec(
        sys.executable, "-c", program, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))   # who runs tests unattended ignores it
    assert server.stdout is not None
    try:
        async with asyncio.timeout(60):
            while not (match := re.search(r"http://\S+", line := (await server.stdout.readline()).decode())):
                assert line, "the server said no address"
        yield server, match[0]
    finally:
        if server.returncode is None:
            server.kill()
        await server.communicate()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL])
async def test_when_the_server_ends_or_is_killed_its_cockpits_end(number: signal.Signals, tmp_path: Path) -> None:
    stands_in = tmp_path / "app.py"
    stands_in.write_text("import os\nfrom drill.cockpit.serve.served import end_with_server\nend_with_server()\n"
                         + APP.replace('f"at', 'f"{os.getpid()} at') % ("pass", "sys.exit(0)"), encoding="utf-8")
    cookies = CookieJar(unsafe=True)    # kept for a number too
    async with running(3, stands_in=stands_in) as (server, url), ClientSession(cookie_jar=cookies) as session:
        await (await session.get(url)).read()
        host = url.split("/")[2]
        browsers = [await session.ws_connect(f"ws://{host}/socket/start", headers={"Origin": f"http://{host}"})
                    for _ in range(2)]
        pids = [int((await heard(browser)).split()[0]) for browser in browsers]
        server.send_signal(number)
        codes = [await closed_with(browser) for browser in browsers]
        assert await gone(*pids)
        if number is not signal.SIGKILL:
            assert codes == [Close.STOPPED] * 2
            assert await asyncio.wait_for(server.wait(), 20) == 128 + number


def test_a_cockpit_ends_with_its_server_though_it_never_reads() -> None:
    program = ("import time\nfrom drill.cockpit.serve.served import end_with_server\nend_with_server()\n"
               "print('up', flush=True)\nwhile True:\n    time.sleep(0.001)\n    try:\n"
               "        print('spin', flush=True)\n    except OSError:\n        pass\n")
    with subprocess.Popen([sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as cockpit:
        assert cockpit.stdout is not None
        assert cockpit.stdin is not None
        assert cockpit.stdout.readline() == b"up\n"
        cockpit.stdin.close()
        cockpit.stdout.close()
        assert cockpit.wait(20) == -signal.SIGTERM


def test_who_serves_the_network_is_told_what_that_means() -> None:
    here = "\n".join(opening_words("127.0.0.1", 8480, "abc", 12))
    assert "http://127.0.0.1:8480/?token=abc" in here
    assert "this machine only" in here
    there = "\n".join(opening_words(EVERYWHERE, 8480, "abc", 12))
    assert "anyone on the network who has the address with its token can fly" in there
    assert "nothing is encrypted" in there
    assert "each browser sees its own flights alone" in there
    assert "At most 12" in there
    assert "http://127.0.0.1:8480/?token=abc" in there
    assert "http://[fe80::1]:8480/?token=abc" in "\n".join(opening_words("fe80::1", 8480, "abc", 12))


def test_a_port_that_is_taken_and_a_host_that_is_none_are_said_in_one_line() -> None:
    said = pytest.raises(CannotServe, match=r"port \d+: .*in use.*--port")
    with socket.create_server(("127.0.0.1", 0)) as taken, said:
        serve(print, host="127.0.0.1", port=taken.getsockname()[1], most=1)
    with pytest.raises(CannotServe, match="--host"):
        serve(print, host="no such host", port=0, most=1)


def test_what_is_wrong_with_the_arguments_is_said_in_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    for arguments, words in (
        (["--port", "http"], "argument --port: a whole number from 0 to 65535 is wanted"),
        (["--most", "0"], "argument --most: a whole number from 1 to 200 is wanted"),
        (["--host", ""], "argument --host: an address is wanted"),
        (["nowhere-at-all"], "there is no scenario 'nowhere-at-all'"),
    ):
        assert cli.main(["serve", *arguments]) == 2
        (line,) = capsys.readouterr().err.splitlines()
        assert words in line


def test_a_scenario_with_mistakes_is_refused_in_the_words_in_which_it_is_not_flown(
    tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:
    unsound = tmp_path / "unsound.yaml"
    unsound.write_text("drill: 1\ntitle: [\n", encoding="utf-8")
    said = []
    for command in ("serve", "fly"):
        assert cli.main([command, str(unsound)]) == 2
        said.append(capsys.readouterr().err)
    assert said[0] == said[1]
    assert "unsound.yaml:" in said[0]


def test_a_scenario_file_is_found_from_any_folder(monkeypatch: pytest.MonkeyPatch, short: Path) -> None:
    given: list[str] = []

    def serve_nothing(_say: Callable[[str], None], *, scenario: str, **_rest: object) -> int:
        given.append(scenario)
        return 0

    monkeypatch.setattr("drill.cockpit.serve.server.serve", serve_nothing)
    monkeypatch.chdir(short.parent.parent)
    elsewhere = str(short.relative_to(Path.cwd()))
    for scenario in (elsewhere, TALLOWBY, ""):
        assert cli.main(["serve", *filter(None, [scenario])]) == 0
    assert given == [str(short), TALLOWBY, ""]


def test_without_the_extra_the_packages_and_the_command_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(CannotServe, match=r"aiohttp and textual_serve.*pip install 'drill\[serve\]'"):
        serve(print, host="127.0.0.1", port=0, most=1)


def test_a_path_is_shown_whole_on_a_terminal_and_by_its_name_in_a_browser(monkeypatch: pytest.MonkeyPatch) -> None:
    path = Path("/home/pilot/flights/one.jsonl")
    monkeypatch.delenv(serve_mode.SERVED, raising=False)
    assert serve_mode.shown_path(path) == str(path)
    monkeypatch.setenv(serve_mode.SERVED, "1")
    assert serve_mode.served()
    assert serve_mode.shown_path(path) == "one.jsonl"


def test_a_visitor_reads_of_no_folder_above_the_flights_and_is_told_of_no_option(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, short: Path,
) -> None:
    from drill.cockpit.starting import begin
    from drill.seat.asked_for import CannotBegin, scenario_of

    data = tmp_path / "srv" / "data"
    data.parent.mkdir()
    data.write_text("in the way of the folder", encoding="utf-8")
    monkeypatch.setenv("XDG_DATA_HOME", str(data))
    monkeypatch.setenv(serve_mode.SERVED, "1")
    serve_mode._folders.cache_clear()
    shown = serve_mode.without_folders(f"{data}/drill/flights: Permission denied; {data}/other; {tmp_path}/srv/x")
    serve_mode._folders.cache_clear()
    assert shown == "flights: Permission denied; other; x"
    with pytest.raises(CannotBegin, match="the one who runs this has to make room") as refused:
        begin(scenario_of(str(short)), seed=1, pace="held", record=None)
    assert "--record" not in str(refused.value)
    assert str(data) not in str(refused.value)


def test_flights_belong_to_a_browser_only_where_they_are_served(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(serve_mode.PILOT, "ab12")
    monkeypatch.delenv(serve_mode.SERVED, raising=False)
    assert serve_mode.pilot() == ""
    monkeypatch.setenv(serve_mode.SERVED, "1")
    assert serve_mode.pilot() == "ab12"
    monkeypatch.delenv(serve_mode.PILOT)
    assert serve_mode.pilot() != "", "the host's own flights are nobody else's"


async def test_each_browser_has_a_name_of_its_own_that_does_not_give_its_cookie_away(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(typed='packet(b"D", os.environ["DRILL_PILOT"].encode())')

    async def name() -> str:
        browser = await at.socket()
        await heard(browser)
        await browser.send_json(["stdin", "who?"])
        said = await heard(browser)
        await browser.close()
        return said

    cookie = at.client.session.cookie_jar.filter_cookies(URL(f"http://{at.host}"))["drill_pilot"].value
    first = await name()
    assert len(first) == 32
    assert first != cookie
    assert await name() == first
    at.client.session.cookie_jar.clear()
    answer = await at.client.get("/", params={"token": at.house.token})
    (given,) = [each for each in answer.headers.getall("Set-Cookie") if each.startswith("drill_pilot=")]
    assert "HttpOnly" in given
    assert "SameSite=Strict" in given
    assert await name() != first
    at.client.session.cookie_jar.update_cookies({"drill_pilot": "../x"}, URL(f"http://{at.host}"))
    assert len(await name()) == 32, "one that we did not give is nobody's, and never the host's own"


async def test_a_browser_that_sends_more_than_anybody_types_is_put_out_and_a_paste_is_not(
    serving: Callable[..., Awaitable[Serving]],
) -> None:
    at = await serving(typed="payload = str(len(payload)).encode()")
    browser = await at.socket()
    await heard(browser)
    await browser.send_json(["stdin", "x" * 200_000])
    assert await heard(browser) == "heard 200000"
    for _ in range(50):
        await browser.send_json(["ping", "1"])
    await browser.send_json(["stdin", "go on"])
    pongs = 0
    while (message := await browser.receive(timeout=20)).type is WSMsgType.TEXT:
        pongs += 1
    assert message.data == b"heard 5"
    assert pongs <= 11, "the other pings were passed over"
    await browser.send_json(["stdin", "x" * 200_000])
    assert await closed_with(browser) == Close.FLOOD


def test_a_budget_fills_with_time_and_not_beyond_its_most() -> None:
    now = [0.0]
    budget = Budget(10, 50, lambda: now[0])
    assert budget.spend(50)
    assert not budget.spend(1)
    now[0] = 2
    assert not budget.spend(21)
    assert budget.spend(20)
    now[0] = 1000
    assert not budget.spend(51)
    assert budget.spend(50)


def test_a_cockpit_that_holds_too_much_memory_is_ended_and_says_so() -> None:
    program = ("import time\nfrom drill.cockpit.serve import served\nserved.LOOKS_S = 0.01\n"
               "served.MOST_MEMORY = served.held_memory() + 50_000_000\nserved.end_with_server()\n"
               "time.sleep(0.1)\nprint('small', flush=True)\nheld = b'x' * 100_000_000\ntime.sleep(60)\n")
    with subprocess.Popen([sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                          stderr=subprocess.PIPE) as cockpit:
        assert cockpit.stdout is not None
        assert cockpit.stderr is not None
        assert cockpit.stdout.readline() == b"small\n"
        assert cockpit.wait(20) == -signal.SIGTERM
        assert b"more memory" in cockpit.stderr.read()


class Stands(asyncio.Protocol):
    """Answers a line with itself; a server's protocol behind the door."""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self.transport = transport

    def data_received(self, data: bytes) -> None:
        self.transport.write(data)


Connection: TypeAlias = tuple[asyncio.StreamReader, asyncio.StreamWriter]


@asynccontextmanager
async def behind(door: Door) -> AsyncIterator[Callable[[], Awaitable[Connection]]]:
    """Listen with a door; yields what connects to it."""
    server = await asyncio.get_running_loop().create_server(door, "127.0.0.1", 0)
    writers: list[asyncio.StreamWriter] = []

    async def connect() -> Connection:
        reader, writer = await asyncio.open_connection(*server.sockets[0].getsockname())
        writers.append(writer)
        return reader, writer

    try:
        yield connect
    finally:
        for writer in writers:
            writer.close()
        server.close()


async def closed(reader: asyncio.StreamReader) -> bool:
    """Return whether the other side closes the connection within a while."""
    with suppress(ConnectionError):
        return await asyncio.wait_for(reader.read(), 20) == b""
    return True


async def test_a_connection_that_asks_nothing_is_closed_and_one_that_has_a_seat_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(serve_door, "ASKS_S", 0.1)
    monkeypatch.setattr(serve_door, "TAKES_S", 0.2)
    made: list[Stands] = []

    def stands() -> Stands:
        made.append(Stands())
        return made[-1]

    door = Door(stands)
    async with behind(door) as connect:
        seated, speaks = await connect()
        speaks.write(b"a")
        assert await seated.read(1) == b"a"
        door.seated(made[0].transport)
        silent, _ = await connect()
        slow, begins = await connect()
        begins.write(b"GET / HT")
        assert await slow.read(8) == b"GET / HT"
        door.asked(made[2].transport)
        assert await closed(silent)
        assert await closed(slow)
        speaks.write(b"b")
        assert await seated.read(1) == b"b"


async def test_so_many_stand_in_the_door_and_one_more_once_another_has_gone() -> None:
    made: list[Stands] = []

    def stands() -> Stands:
        made.append(Stands())
        return made[-1]

    for door in (Door(stands, most=2), Door(stands, each=2)):
        async with behind(door) as connect:
            standing = [await connect() for _ in range(2)]
            for reader, writer in standing:
                writer.write(b"a")
                assert await reader.read(1) == b"a"
            assert await closed((await connect())[0])
            door.seated(made[-3].transport)
            reader, writer = await connect()
            writer.write(b"c")
            assert await reader.read(1) == b"c"


async def test_the_door_of_a_server_is_closed_to_many_silent_connections_while_a_cockpit_flies(tmp_path: Path) -> None:
    stands_in = tmp_path / "app.py"
    stands_in.write_text(APP % ("pass", "sys.exit(0)"), encoding="utf-8")
    cookies = CookieJar(unsafe=True)
    async with running(3, stands_in=stands_in) as (server, url), ClientSession(cookie_jar=cookies) as session:
        await (await session.get(url)).read()
        host, port = url.split("/")[2].split(":")
        browser = await session.ws_connect(f"ws://{host}:{port}/socket/start",
                                           headers={"Origin": f"http://{host}:{port}"})
        await heard(browser)
        crowd = [await asyncio.open_connection(host, int(port)) for _ in range(60)]
        late = crowd[-1][0]
        assert await closed(late), "there is no room for so many from one address"
        await browser.send_json(["stdin", "I fly on"])
        assert await heard(browser) == "heard I fly on"
        for _, writer in crowd:
            writer.close()
        answer = None
        for _ in range(100):
            with suppress(ClientError):
                answer = await session.get(f"http://{host}:{port}/board")
                break
            await asyncio.sleep(0.02)
        assert answer is not None
        assert answer.status == 200
        await browser.close()
        server.send_signal(signal.SIGTERM)
        assert server.stderr is not None
        assert await server.stderr.read() == b""


def test_faults_of_the_server_are_a_line_a_minute_without_a_traceback() -> None:
    said: list[str] = []
    now = [0.0]
    faults = Faults(said.append, lambda: now[0])
    log = faults.logger()
    loop = asyncio.new_event_loop()
    loop.set_exception_handler(faults.in_loop)
    for _ in range(3):
        loop.call_exception_handler({"message": "out of system resource", "exception": OSError(24, "Too many\x1b[1m")})
    loop.close()
    now[0] = 61.0
    try:
        int("broken")
    except ValueError:
        log.exception("Error handling request")
    assert len(said) == 2
    assert "out of system resource" in said[0]
    assert "\x1b" not in said[0]
    assert "broken" in said[1]
    assert "2 more" in said[1]
    assert not [line for line in said if "\n" in line or "Traceback" in line]


def test_the_door_is_narrower_where_the_system_gives_few_descriptors(monkeypatch: pytest.MonkeyPatch) -> None:
    limits = [256, 512]

    def limited(_what: int, to: tuple[int, int]) -> None:
        limits[:] = to

    monkeypatch.setattr("resource.getrlimit", lambda _what: tuple(limits))
    monkeypatch.setattr("resource.setrlimit", limited)
    assert room_for(12) == serve_door.MOST_OPEN
    assert limits[0] == serve_door.OWN_DESCRIPTORS + 12 * serve_door.SEAT_DESCRIPTORS + serve_door.MOST_OPEN
    assert room_for(50) == 512 - serve_door.OWN_DESCRIPTORS - 50 * serve_door.SEAT_DESCRIPTORS
    assert room_for(200) == serve_door.FEWEST_OPEN
    assert most_files(100) == 512
    assert most_files(10_000) == 512


def test_a_scenario_is_never_read_as_an_option_of_the_cockpit() -> None:
    assert cockpit_command("-c")[-2:] == ("--", "-c")
    assert "--" not in cockpit_command()
