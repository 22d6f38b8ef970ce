"""What reaches the terminal: whatever a scenario, a record or a keyboard holds, the toolkit's own bytes and no others.

Programs in a pseudo-terminal are given markup and control characters wherever text can enter; every byte that they
send is then read as a terminal reads it (ECMA-48).
"""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import unicodedata
from pathlib import Path

import pytest
from cockpit.flown import flying, log
from cockpit.stage import until
from cockpit.terminal import begun
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from program import TALLOWBY, command
from pseudo_terminal import PseudoTerminal
from textual import events

from drill.clean import MAX_MARKS, clean_line
from drill.cockpit.flying.order_line import OrderLine
from drill.cockpit.flying.screen import FlightScreen
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.scenario import load, shipped

# --- as a terminal reads it --------------------------------------------------------------------------

_SEQUENCE = re.compile(
    r"\x1b(?:"
    r"\[(?P<private>[<-?]?)(?P<parameters>[0-9:;]*)(?P<middle>[ -/]*)(?P<final>[@-~])"
    r"|\](?P<command>[^\x00-\x1f\x7f]*)(?:\x07|\x1b\\)"
    r"|.?)", re.DOTALL)

_MODES = {"7", "25", "1000", "1003", "1004", "1006", "1015", "1049", "2004", "2026", "2048"}
"""Private modes that the toolkit sets or asks about: wrapping, cursor, reports, screen, pasting, sizes."""

_CONTROLS = {
    ("", "", "m"): re.compile(r"0|(?:[1-9];)*[34]8;2;\d+;\d+;\d+(?:;[34]8;2;\d+;\d+;\d+)?"),
    ("", "", "H"): re.compile(r"\d+;\d+"),
    ("?", "", "h"): re.compile("|".join(_MODES)), ("?", "", "l"): re.compile("|".join(_MODES)),
    ("?", "$", "p"): re.compile("|".join(_MODES)), (">", "", "u"): re.compile(r"25"), ("<", "", "u"): re.compile(""),
}
"""Control sequences that the toolkit writes in true color, by (private, intermediate, final), with their parameters."""

_COMMAND = re.compile(r"22;[a-z-]+")
"""The one operating system command that the toolkit writes: the pointer's shape."""


def strangers(output: bytes) -> list[str]:
    """Return what the toolkit does not write: read as a terminal does, every sequence and every character."""
    text = output.decode("utf-8")    # strictly: a stray byte is one too many
    found: list[str] = []
    words: list[str] = []
    at = 0
    for match in _SEQUENCE.finditer(text):
        words.append(text[at : match.start()])
        at = match.end()
        if not _own(match):
            found.append(repr(match.group()))
    words.append(text[at:])
    shown = "".join(words)
    found += sorted({f"U+{ord(each):04X}" for each in shown if _moves_or_hides(each)})
    return found + [f"{len(pile)} marks" for pile in re.findall(r"[\u0300-\u036f]+", shown) if len(pile) > MAX_MARKS]


def _own(match: re.Match[str]) -> bool:
    """Say whether the toolkit writes such a sequence."""
    if match["command"] is not None:
        return _COMMAND.fullmatch(match["command"]) is not None
    wanted = _CONTROLS.get((match["private"], match["middle"], match["final"]))
    return wanted is not None and wanted.fullmatch(match["parameters"]) is not None


def _moves_or_hides(character: str) -> bool:
    if character in "\r\n":    # new rows while the screen is painted, and of the lines that stay behind
        return False
    return unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn"} or 0xFE00 <= ord(character) <= 0xFE0F


ESCAPES = (
    "\x1b]52;c;ZHJpbGw=\x07", "\x1b]0;title\x1b\\", "\x1b]8;;file:///etc\x1b\\", "\x1b[2J", "\x1b[31m",
    "\x1b[?1047l", "\x1bc", "\x1bPq#0\x1b\\", "\x1b_Ga=d\x1b\\", "\x1b^p\x1b\\", "\x9b31m", "\x9d52;c;eA==\x9c",
    "\x90q\x9c", "\x84", "\x07", "\x08", "\x0e", "\x7f",
)
HIDDEN = ("\u202e", "\u202a", "\u2066", "\u2069", "\u200b", "\u200d", "\u200f", "\u061c", "\ufeff", "\U000e0041",
          "\ufe0f", "a" + 40 * "\u0301")
HOSTILE = "".join((*ESCAPES, *HIDDEN))


@pytest.mark.parametrize("each", [*ESCAPES, *HIDDEN])
def test_whoever_reads_the_bytes_finds_each_of_them(each: str) -> None:
    own = "\x1b[1;38;2;255;255;255;48;2;0;0;0mwords\x1b[0m\x1b[1;1H\x1b[?2026$p"
    own += "\x1b]22;default\x07 \u2588\u2801e\u0301\r\n"
    assert strangers(own.encode()) == []
    assert strangers((own + each + own).encode())


def word(name: str) -> str:
    """Return one word that would be markup, shown in full or not at all; `name` tells it from others."""
    return f"[bold][@click=app.quit]x[/{name}]"


def hostile(name: str, *, harm: str = HOSTILE) -> str:
    """Return a text with `harm` in YAML's double quotes; `word(name)` is what can be seen of it."""
    text = f"{harm} {word(name)} {harm}"
    return '"' + "".join(each if each.isalnum() and each.isascii() else f"\\U{ord(each):08x}" for each in text) + '"'


# --- a scenario that harms -----------------------------------------------------------------------------

AIRPLANE = "larkspur-180"
SHORT_HARM = "\x1b\x9b\x07\u202e\u200b"
"""For where the loader allows few characters."""


def document() -> str:
    """Return a scenario in which every text that may be free is hostile; to cover the attitude indicator ends it."""
    few = {name: hostile(name, harm=SHORT_HARM) for name in
           ("board", "title", "callsign", "facility", "field", "item",
           "covers")}
    said = {name: hostile(name) for name in (
        "aim", "words", "coded", "approach", "air", "limit", "briefing", "caution", "story", "radio", "voice", "later",
        "ending", "why", "source", "ask", "discuss")}
    return f"""
drill: 1
board title: {few["board"]}
title: {few["title"]}
aim: {said["aim"]}
airplane: {AIRPLANE}
callsign: {few["callsign"]}
covers: [{few["covers"]}]
start: {{phase: cruise, altitude: 5000 ft, heading: 240, airspeed: 110 kt, on board: 2, fuel: 3 h, clock: "14:10"}}
weather:
  cloud: {{base: 1200 ft, tops: 7200 ft}}
  wind: 270 at 20 kt
  words: {said["words"]}
  coded: [{said["coded"]}]
minimum altitude: 3000 ft
fields:
  {few["field"]}: {{bearing: 250, distance: 14 nm, ceiling: 700 ft, approaches: [{said["approach"]}],
    weather: {said["air"]}}}
  Wendle: {{bearing: 080, distance: 38 nm, ceiling: clear}}
clearance: {{facility: {few["facility"]}, frequency: 124.35, limit: {said["limit"]}}}
briefing: {said["briefing"]}
cautions: [{said["caution"]}]
events:
  voices: {{after: 1 s, says: {said["radio"]}, voice: {said["voice"]}}}
  later: {{after: 2 s, tell: {said["later"]}}}
phases:
  cruise:
    tell: {said["story"]}
    branches:
      - {{when: did cover attitude indicator, end: over}}
endings:
  over: {{outcome: safe, tell: {said["ending"]}}}
grade sheet:
  - {{item: {few["item"]}, part: aviate, do: cover heading indicator, why: {said["why"]}, source: {said["source"]}}}
debrief: {{ask: [{said["ask"]}], discuss: {said["discuss"]}}}
"""


@pytest.fixture
def harmful(tmp_path: Path) -> Path:
    """The file of that scenario."""
    path = tmp_path / "harmful.yaml"
    path.write_text(document(), encoding="utf-8")
    return path


KEYS = HOSTILE.replace("\x08", "").replace("\x7f", "")    # without those that would only rub out what was typed
"""What a keyboard, or a terminal that keeps nothing out of a paste, sends: all that harms, with the escapes in it."""

PASTED = "".join(each for each in KEYS if each != "\x1b")
"""What a terminal that keeps escapes out of a paste lets through all the same."""


def pasted(words: str) -> str:
    """Return what a terminal sends when `words` are pasted."""
    return f"\x1b[200~{words}\x1b[201~"


def shown(terminal: PseudoTerminal) -> set[str]:
    """Return the names of those words that have been shown, in full and as they stand."""
    return set(re.findall(r"\[bold\]\[@click=app\.quit\]x\[/(\w+)\]", terminal.words))


def press(terminal: PseudoTerminal, keys: str, then: str) -> None:
    """Press `keys` and wait for what comes then."""
    before = len(terminal.output)
    terminal.send(keys)
    terminal.wait_for(then, since=before)


BRIEFED = {"board", "callsign", "facility", "field", "words", "coded", "limit", "briefing", "caution"}
DEBRIEFED = {"title", "aim", "discuss", "item", "ask"}


@pytest.mark.long
def test_a_scenario_and_a_keyboard_that_harm_are_shown_literally_from_briefing_to_debrief(
    at_terminal: dict[str, str], harmful: Path, tmp_path: Path
) -> None:
    flight = command(["fly", harmful, "--seed", "1", "--pace", "running", "--record", tmp_path / "f.jsonl"])
    with begun(PseudoTerminal(flight, at_terminal, columns=160, rows=50, folder=tmp_path)) as terminal:
        assert shown(terminal) >= BRIEFED
        for name in ("story", "radio", "voice", "later"):
            terminal.wait_for(word(name))
        for name, sends in (("one", pasted(f"{KEYS}[/nope]one")), ("two", f"{KEYS}[/nope]two"),
                            ("three", pasted(f"{PASTED}[/nope]three"))):
            press(terminal, sends, f"[/nope]{name}")
            press(terminal, "\r", f'[/nope]{name}"')    # the answer quotes it
        press(terminal, "cover the attitude indicator\r", word("ending"))
        press(terminal, "\r", "Before the debrief")
        press(terminal, "\r", word("ask"))
        press(terminal, pasted(f"{PASTED}[/nope]five"), "[/nope]five")
        press(terminal, "\r", "SCORE")
        for key, title in (("\x1bOR", "FAIL"), ("\x1bOS", "WHAT WENT WELL"), ("\x1b[15~", "TO TALK ABOUT")):
            press(terminal, key, title)
        terminal.drain(0.3)
        terminal.send("\x1b[21~")
        assert terminal.finish() == 0
        assert shown(terminal) >= DEBRIEFED
        assert strangers(bytes(terminal.output)) == []


# --- a record that harms -------------------------------------------------------------------------------


def harmful_record(path: Path) -> Path:
    """Write a record whose texts have all been changed for ones that harm; it can be flown on."""
    flight, events = Flight.start(load(shipped()[TALLOWBY]), 1)
    with Recorder.create(path, flight, events) as recorder:
        for line in ("check the suction gauge", "say Orrinfell Approach, Larkspur 5304W, request lower", "sing"):
            recorder.write(flight.enter(line), flight)
            for _ in range(10):
                recorder.write(flight.advance(1.0), flight)
    lines = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    for line in lines:
        for key in ("line", "words", "voice", "result", "drill", "pilot"):
            if isinstance(line.get(key), str) and line[key]:
                line[key] = f"{HOSTILE} {word(line['kind'] + key)} {HOSTILE}"
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return path


@pytest.mark.long
def test_a_record_and_a_journal_that_harm_are_shown_literally(at_terminal: dict[str, str], tmp_path: Path) -> None:
    record = harmful_record(tmp_path / "f.jsonl")
    with PseudoTerminal(command(["resume", record]), at_terminal, columns=160, rows=50, folder=tmp_path) as terminal:
        terminal.wait_for("Taken up again here.")
        terminal.drain(0.5)
        terminal.send("\x10")
        terminal.wait_for("Theme night")
        terminal.send(pasted("[/nope]\u202e\x9bfour\ufe0f"))
        terminal.wait_for("[/nope]four")
        os.kill(terminal.pid, signal.SIGTERM)
        assert terminal.finish() == 128 + signal.SIGTERM
        assert shown(terminal) >= {"heardwords", "heardvoice", "typedline"}
        assert strangers(bytes(terminal.output)) == []


# --- whatever is typed ---------------------------------------------------------------------------------

TYPED = st.text(
    st.characters(exclude_categories=["Cs"]) | st.sampled_from("[]/=@\\\x1b\x9b\u202e\ufe0f\u0301\n"), max_size=60)


async def _is_taken_literally(folder: Path, lines: list[str]) -> None:
    async with flying(folder) as (pilot, screen):
        order = screen.query_one(OrderLine)
        for line in lines:
            screen.app.post_message(events.Paste(f"sing {line}"))
            await until(pilot, lambda: order.value)
            wanted = clean_line(f"sing {line}")
            assert clean_line(order.value) == wanted
            await pilot.press("enter")
            await until(pilot, lambda: not order.value)
            assert f"> {wanted}" in "\n".join(log(screen, "cockpit"))
            shown = "".join(strip.text for strip in screen._compositor.render_strips())
            assert not {each for each in shown if _moves_or_hides(each)}
        assert isinstance(screen.app.screen, FlightScreen)


@pytest.mark.parametrize("examples", [6, pytest.param(400, marks=pytest.mark.long)])
def test_any_text_as_a_line_comes_out_literally(tmp_path_factory: pytest.TempPathFactory, examples: int) -> None:
    @settings(max_examples=1 + examples // 40, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    @given(st.lists(TYPED, min_size=min(examples, 20), max_size=40))
    def comes_out(lines: list[str]) -> None:
        asyncio.run(_is_taken_literally(tmp_path_factory.mktemp("typed"), lines))

    comes_out()
