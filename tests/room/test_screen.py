"""The facilitator's screen: the evening in one view, keys that ask first, texts that stay words."""

from __future__ import annotations

import gc
import re
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from cockpit.stage import seen, until
from cockpit.test_literal_lint import offences
from hypothesis import given, settings
from hypothesis import strategies as st
from room.described_evenings import described, flight
from room.evenings import ANSWERS, OPENED, any_evening, asked
from room.hosts import Opener
from room.test_views import around
from textual.app import App, ComposeResult
from textual.content import Content
from textual.pilot import Pilot

import drill.cockpit.text
import drill.room.screen
from drill.clean import clean
from drill.cockpit.settings import Settings
from drill.cockpit.text import Words
from drill.flight.flight import Flight
from drill.flight.readings import shown_of
from drill.room.commands import Advance, Brief, Choose, Close, Fly, OpenPoll
from drill.room.evening import fold
from drill.room.events import STAGES, Answer, Event, Hands, Joined, PollOpened, Stage, Voted
from drill.room.fitted import width
from drill.room.host import Host
from drill.room.long_lived import set_aside
from drill.room.net.app import Running
from drill.room.polls import polls_of
from drill.room.screen import words
from drill.room.screen.app import RoomApp
from drill.room.screen.asking import CommandLine, Confirm
from drill.room.screen.evening_screen import EveningScreen
from drill.room.screen.keys import KEYS, at_foot, offered, question
from drill.room.screen.lists import PeopleList, TypedList
from drill.room.screen.words import true_lines
from drill.room.truths import failures_so_far, true_now
from drill.room.views import Seen, desk_view
from drill.seat.teller import Line

WIDE, SMALL = (120, 40), (80, 24)
SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["120x40", "80x24"])
READINGS = shown_of(Flight.start(asked(), 1)[0].panel)
HOSTILE = "[bold]b[/bold] [/nope] [@click=app.exit]c[/] \x1b[31mred\x1b]0;t\x07\u202eevil"


def served() -> Running:
    async def end() -> None: ...
    return Running(8490, "http://192.0.2.7:8490/4711", "http://192.0.2.7:8490/wall?key=secret", end)  # type: ignore[arg-type]


class Desk:
    """A facilitator at the screen."""

    def __init__(self, host: Host, app: RoomApp, pilot: Pilot[int]) -> None:
        self.host, self.app, self.pilot = host, app, pilot

    async def press(self, *keys: str) -> None:
        await self.pilot.press(*keys)

    async def until(self, holds: Callable[[], object]) -> None:
        await until(self.pilot, holds)

    @property
    def words(self) -> str:
        return "\n".join(seen(self.app))

    async def sees(self, *said: str) -> None:
        await self.until(lambda: all(each in self.words for each in said))

    @property
    def foot(self) -> str:
        return seen(self.app)[-1].strip()

    @property
    def note(self) -> str:
        return self.app.screen.query_one("#note", Words).said

    @property
    def asks(self) -> str:
        bar = self.app.screen.query_one(Confirm)
        return bar.query_one(Words).said if bar.asking else ""

    @property
    def line(self) -> CommandLine:
        return self.app.screen.query_one(CommandLine)

    @property
    def stage(self) -> str:
        return self.host.evening.stage

    def is_at(self, stage: str) -> bool:
        return self.stage == stage

    async def type(self, line: str) -> None:
        """Type a whole line and give it."""
        await self.press("t")
        self.line.value = line
        await self.press("enter")


@asynccontextmanager
async def at(host: Host, size: tuple[int, int] = WIDE, running: Running | None = None) -> AsyncIterator[Desk]:
    app = RoomApp(host, running, settings=Settings())
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: app.screen.query("#title") and app.screen.query_one("#title", Words).said)
        yield Desk(host, app, pilot)


async def voted(host: Host, answers: str) -> None:
    """Phones 0, 1 ... answer so; the poll is open."""
    held = host.evening.open_poll
    assert held is not None
    for number, key in enumerate(answers):
        await host.vote(f"phone {number}", held.id, key, sure=2 if held.sure else None)


# --- what is in view ----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [pytest.param(WIDE, marks=pytest.mark.long), SMALL], ids=["120x40", "80x24"])
async def test_before_it_begins_the_way_in_stands_there_with_number_address_and_code(
    hosts: Opener, size: tuple[int, int],
) -> None:
    async with at(await hosts.with_people(3), size, served()) as desk:
        await desk.sees("SAFETY NIGHT 4711", "3 in the room", "PEOPLE COME IN", "http://192.0.2.7:8490/4711", "█▀▀▀▀▀█",
                        "brief 5 min, flight 25 min, debrief 15 min")


@pytest.mark.long
async def test_without_phones_the_way_in_says_that_hands_are_counted(hosts: Opener) -> None:
    no_phones = served()
    no_phones.phones_url = ""
    async with at(hosts.begin(), WIDE, no_phones) as desk:
        await desk.sees("No phones: hands are raised and counted")


async def test_a_wide_terminal_has_flight_poll_what_to_do_and_people_in_one_view(hosts: Opener) -> None:
    async with at(await hosts.with_poll(4)) as desk:
        await voted(desk.host, "aab")
        await desk.sees("THE WALL SHOWS the question", "altimeter: ", "suction: ", "POLL p1 First look",
                        "counts are for you alone", "The pitot tube", "67 %", "3 of 4 have answered", "Give people",
                        "TO TALK ABOUT", "Which instruments share a source?", "POLLS TO COME", "p2 at 0:40 Next",
                        "Name 0", "Tables: 1: 2, 2: 2")


async def test_a_small_terminal_has_one_part_after_the_other_and_begins_with_what_the_stage_needs(
    hosts: Opener,
) -> None:
    async with at(await hosts.with_poll(4), SMALL) as desk:
        await desk.sees("POLL p1 First look", "0 of 4 have answered")
        assert "altimeter: " not in desk.words
        for part in ("POLLS TO COME", "Name 0", "altimeter: ", "POLL p1 First look"):
            await desk.press("tab")
            await desk.sees(part)


@pytest.mark.long
@SIZES
async def test_counts_follow_the_votes_while_the_poll_is_open(hosts: Opener, size: tuple[int, int]) -> None:
    async with at(await hosts.with_poll(3), size) as desk:
        await desk.sees("0 of 3 have answered")
        await voted(desk.host, "bb")
        await desk.sees("2 of 3 have answered", "100 %", "> b The pitot tube", "2 rather unsure")


@pytest.mark.long
async def test_the_plan_says_how_late_it_is_and_minutes_can_be_given(hosts: Opener) -> None:
    async with at(await hosts.with_poll(1)) as desk:
        await desk.sees("ahead")
        hosts.wall.now = hosts.wall.now.replace(hour=20)
        await desk.sees("behind", "over the time for the flight")
        await desk.press("plus")
        assert desk.host.evening.plan.flight_min == 30.0
        await desk.press("minus")
        assert desk.host.evening.plan.flight_min == 25.0


@pytest.mark.long
async def test_the_keys_at_its_foot_are_those_of_the_stage(hosts: Opener) -> None:
    async with at(await hosts.with_people(1)) as desk:
        await desk.until(lambda: "b Brief" in seen(desk.app)[-1])
        assert "Close" not in seen(desk.app)[-1]
        await desk.press("b")
        await desk.until(lambda: "b Brief" not in desk.foot and "Space Fly" in desk.foot)


def view_at(stage: str, **changes: object) -> dict[str, object]:
    """A view for the desk in which as many keys are offered as can be."""
    held: dict[str, object] = {
        "kind": "what next", "answers": [{"key": "a"}], "way": None, "shown": False, "typed": [{"words": "x"}],
        "answered": 1, "hands": {}, "of": 1}
    return {"stage": stage, "pace": 0, "outcome": "", "held": [held], "to_come": [{"name": "Next"}], **changes}


@pytest.mark.parametrize("stage", STAGES)
def test_at_eighty_columns_no_word_at_the_foot_is_cut_and_help_and_leave_are_there(stage: str) -> None:
    for pace in (0, 4):
        keys = at_foot(view_at(stage, pace=pace), 80, narrow=True)
        foot = "  ".join(f"{name} {called}" for name, called, _ in keys)
        assert len(foot) <= 80
        assert foot.endswith("F1 Help  q Leave")
        first = next(each for each in KEYS if stage in each.stages)
        assert keys[0][2] == first.key
        assert ("Stop" in foot) is (stage == "fly" and pace > 0)


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(STAGES), st.integers(20, 300), st.booleans())
def test_the_more_columns_the_more_keys_and_never_more_than_there_is_room_for(
    stage: str, columns: int, narrow: bool,
) -> None:
    keys = at_foot(view_at(stage), columns, narrow=narrow)
    assert len("  ".join(f"{name} {called}" for name, called, _ in keys)) <= columns
    assert set(keys) <= set(at_foot(view_at(stage), columns + 10, narrow=narrow))
    offered_now = {each.key for each in KEYS if offered(each.name, view_at(stage)) and (narrow or each.key != "tab")}
    assert {key for _, _, key in at_foot(view_at(stage), 400, narrow=narrow)} == offered_now


async def test_on_a_small_terminal_the_foot_has_the_keys_of_each_part_of_the_evening_and_of_what_is_asked(
    hosts: Opener,
) -> None:
    async with at(await hosts.with_people(1), SMALL) as desk:
        assert desk.foot == "b Brief  Tab Next  e End  t Type  u People  j Way in  F1 Help  q Leave"
        await desk.press("b")
        await desk.until(lambda: desk.foot.startswith("Space Fly  p Poll  Tab Next  g Debrief"))
        await desk.press("space")
        assert desk.foot == "Enter Yes  Esc No"
        await desk.press("enter")
        await desk.until(lambda: desk.foot.startswith("Space Stop  p Poll"))
        await desk.press("t")
        assert desk.foot == "Enter Do it  Esc Not"
        await desk.press("escape", "u")
        assert desk.foot == "h Hide/show  n Rename  x Remove  Esc Back  F1 Help"
        await desk.press("f1")
        assert desk.foot == "F1 Back  PgDn Down  PgUp Up"
        await desk.press("f1", "escape", "p", "enter")
        await desk.until(lambda: desk.foot.startswith("c Close  h Hands"))
        await desk.pilot.click("#foot", offset=(2, 0))
        assert "Close the poll" in desk.asks


async def test_what_is_true_is_shown_on_this_screen_alone_and_only_when_asked_for(hosts: Opener) -> None:
    host = await flies(hosts)
    wall, phone = host.wall_view(), host.phone_view("phone 0")
    async with at(host, SMALL) as desk:
        assert "TRUE" not in desk.words
        await desk.press("y")
        await desk.sees("TRUE, FOR YOU ALONE", "bank", "pitch", "5,", " ft/min", "Nothing has failed.")
        assert (host.wall_view()["panel"], host.phone_view("phone 0")) == (wall["panel"], phone)
        assert "TRUE" not in str(host.wall_view())
        await desk.press("y")
        assert "TRUE" not in desk.words


def test_what_is_true_names_what_failed_and_when_it_could_be_known() -> None:
    events = flight(seconds=200)
    now, failures = true_now(events), failures_so_far(described(), 1, events)
    lines = true_lines(now, failures)
    assert lines[0] == "0 bank, 0 pitch, 5,000 ft, 110 kt, up 0 ft/min, heading 240"
    assert lines[1].startswith("vacuum pump failed 2:00; a cross-check in flight knows from 2:")
    assert true_lines(now, failures_so_far(described(), 1, flight(fails_at=None))) == [lines[0], "Nothing has failed."]
    assert true_lines(true_now(()), None) == ["The flight has not begun."]


def test_once_the_flight_is_over_no_key_is_offered_that_needs_it() -> None:
    for stage in ("fly", "talk"):
        foot = [called for _, called, _ in at_foot(view_at(stage, outcome="safe"), 300, narrow=False)]
        assert "Debrief" in foot
        assert not {"Fly", "Most", "Sheet", "Both", "Own", "Poll", "Ask", "Enter"} & set(foot)


@pytest.mark.parametrize(("people", "hands", "says"), [
    (0, {}, "No hands counted yet (h)"), (0, {"a": 12, "b": 1}, "13 hands counted"), (3, {}, "1 of 3 have answered by"),
    (3, {"b": 1}, "1 of 3 have answered by phone, 1 hand counted"),
])
def test_how_many_answered_is_told_by_phones_and_hands(people: int, hands: dict[str, int], says: str) -> None:
    come = [Joined(f"phone {each}", "Name", "") for each in range(people)]
    cast = [Voted("p1", "phone 0", "a")] if people else []
    held = fold([OPENED, *come, Stage("brief", 0.0), PollOpened("p1", "what next", "What?", ANSWERS, 0.0, 0.0), *cast,
                 *([Hands("p1", hands)] if hands else [])])
    view = desk_view(held, around(flight=Seen(60.0, READINGS, (), ())), (), "")
    assert says in words.poll(view, 80).plain
    asked_first = question("close", view)
    assert says in asked_first[0]


async def test_on_a_small_terminal_a_poll_has_what_to_do_and_to_talk_about_below_it(hosts: Opener) -> None:
    async with at(await hosts.with_poll(1), SMALL) as desk:
        await desk.sees("POLL p1 First look", "NOW", "Give people time", "TO TALK ABOUT", "Which instruments share")


@pytest.mark.parametrize(("pace", "to_come", "outcome", "says"), [
    (1, True, "", "Let the room watch"), (0, True, "", "Time stands"), (1, False, "", "End the flight (g)"),
    (0, False, "", "Time stands; Space lets it go on. No poll"), (0, True, "safe", "The flight is over"),
])
def test_in_flight_the_screen_says_what_there_is_to_do_now(pace: int, to_come: bool, outcome: str, says: str) -> None:
    polls = polls_of(asked()) if to_come else ()
    flown = around(pace=pace, flight=Seen(60.0, READINGS, (), (), outcome))
    assert says in words.notes(desk_view(fold([OPENED, Stage("fly", 0.0)]), flown, polls, "")).plain


@pytest.mark.parametrize("columns", [40, 60, 77, 110])
def test_no_answer_and_no_word_of_the_radio_is_cut(columns: int) -> None:
    long = "Cover the attitude indicator, go partial panel and tell the"
    radio = "Orrinfell Approach: Larkspur five three zero four whiskey, " * 3
    evening = fold([OPENED, Stage("brief", 0.0), PollOpened("p1", "what next", "What next?", (
        Answer("a", long), Answer("b", "Fly on")), 60.0, 0.0)])
    view = desk_view(evening, around(flight=Seen(60.0, READINGS, (), (Line(50.0, radio, "radio"),) * 3)), (), "")
    assert whole(long) in re.sub(r"[\d–█]", "", whole(words.poll(view, columns).plain))
    assert "…" not in words.poll(view, columns).plain
    assert whole(radio) in whole(words.flight(view, frozenset(), columns, 20).plain)


def whole(text: str) -> str:
    """The words without where lines break."""
    return "".join(text.split())


async def test_help_has_every_key_and_every_command(hosts: Opener) -> None:
    async with at(hosts.begin(), SMALL) as desk:
        await desk.press("f1")
        await desk.sees("HOW AN EVENING GOES")
        said = desk.app.screen.query_one("#helping Words", Words).said
        assert all(each.help in said for each in KEYS)
        assert "strike p3 7" in said
        assert "attendance" in said
        await desk.press("f1")
        assert "HOW AN EVENING GOES" not in desk.words


def test_every_key_does_something_and_help_tells_of_it() -> None:
    for each in KEYS:
        assert hasattr(EveningScreen, f"action_{each.action.partition('(')[0]}"), each
        assert each.help
    assert len({each.key for each in KEYS}) == len(KEYS)


@settings(max_examples=40, deadline=None)
@given(any_evening(), st.integers(10, 140), st.integers(4, 60))
def test_whatever_the_evening_each_part_has_its_words_in_the_columns_there_are(
    events: list[Event], columns: int, rows: int,
) -> None:
    view = desk_view(fold(events), around(flight=Seen(60.0, READINGS, (), ())), (), "")
    assert width(words.title(view, columns).plain) >= min(columns, 40)
    for said in (words.plan(view), words.flight(view, frozenset(), columns, rows), words.poll(view, columns),
                 words.notes(view)):
        assert said.plain.strip()
    for person in words.people(view):
        assert width(words.person(person, columns).plain) <= max(columns, 60)
    for each in words.all_typed(view):
        assert words.typed(each, columns).plain
    for key in KEYS:
        if offered(key.name, view) and key.action.startswith("ask("):
            assert question(key.name, view)


# --- keys ---------------------------------------------------------------------------------------------


async def opens(hosts: Opener) -> Host:
    return await hosts.with_poll(3)


async def talks(hosts: Opener, answers: str = "aab") -> Host:
    host = await hosts.with_poll(3)
    await voted(host, answers)
    await host.command(Close())
    return host


async def flies(hosts: Opener) -> Host:
    host = await talks(hosts)
    await host.command(Fly())
    await host.command(Advance(5.0))
    return host


QUESTIONS = {
    "m": "Go on with the majority? a: The vacuum pump", "s": "Let the grade sheet fly to the next poll?",
    "k": "Fly both ways, side by side?", "space": "without choosing a way?", "p": "Open this poll now: Next?",
    "g": "End the flight here and begin the debrief?", "e": "End the evening?", "q": "takes the evening up again",
    "ctrl+c": "takes the evening up again",
}


@pytest.mark.parametrize("keys", [("m", "g", "q"), pytest.param(tuple(QUESTIONS), marks=pytest.mark.long)],
                         ids=["some", "all"])
async def test_what_cannot_be_undone_is_asked_first_and_not_done_if_it_was_not_meant(
    hosts: Opener, keys: tuple[str, ...],
) -> None:
    async with at(await talks(hosts)) as desk:
        before = desk.host.evening
        for key in keys:
            question = QUESTIONS[key]
            await desk.press(key)
            assert question in desk.asks
            await desk.press("escape" if key in "msk" else "n")
            assert (desk.asks, desk.host.evening) == ("", before), key


@pytest.mark.long
async def test_enter_does_what_was_asked(hosts: Opener) -> None:
    async with at(await opens(hosts)) as desk:
        keys = (("c", "talk"), ("space", "fly"), ("p", "poll"), ("c", "talk"), ("g", "debrief"), ("e", "over"))
        for key, stage in keys:
            await desk.press(key, "enter")
            await desk.until(partial(desk.is_at, stage))
        await desk.press("q", "enter")
        await desk.until(lambda: not desk.app.is_running)


@pytest.mark.parametrize(("key", "way"), [("m", "majority"), ("s", "sheet"), ("k", "fork")])
@pytest.mark.long
async def test_the_room_goes_on_by_the_way_that_was_chosen(hosts: Opener, key: str, way: str) -> None:
    async with at(await talks(hosts)) as desk:
        await desk.press(key, "enter")
        await desk.until(lambda: (chosen := desk.host.evening.polls[0].chosen) is not None and chosen.way == way)
        await desk.sees(f"The room goes on {words.WAYS[way]}")


async def test_while_it_asks_no_other_key_does_anything(hosts: Opener) -> None:
    async with at(await opens(hosts)) as desk:
        before = desk.host.evening
        await desk.press("c", "e", "q", "plus", "space", "1")
        assert desk.host.evening == before
        assert "Close the poll" in desk.asks


async def test_the_flight_is_let_go_and_stopped_by_the_same_key_and_its_pace_by_numbers(hosts: Opener) -> None:
    host = await talks(hosts)
    await host.command(Choose("majority"))
    async with at(host) as desk:
        await desk.press("space")
        await desk.until(lambda: desk.host.flights.pace == 1)
        await desk.press("4")
        await desk.sees("FLYING 4x")
        await desk.press("space")
        await desk.sees("FLIGHT STANDS")


@pytest.mark.long
async def test_after_a_tie_the_screen_says_what_to_type_and_that_breaks_it(hosts: Opener) -> None:
    async with at(await talks(hosts, "ab")) as desk:
        await desk.press("m")
        assert "Answers a and b have as many votes" in desk.note
        await desk.type("majority b")
        await desk.until(lambda: desk.host.evening.polls[0].chosen)
        chosen = desk.host.evening.polls[0].chosen
        assert chosen is not None
        assert chosen.lines == ("I think the pitot tube is blocked",)


async def test_hands_are_typed_beside_the_letters_of_the_answers(hosts: Opener) -> None:
    async with at(await opens(hosts)) as desk:
        await desk.press("h")
        assert desk.line.value == "hands a=0 b=0 c=0"
        desk.line.value = "hands a=12 b=3"
        await desk.press("enter")
        await desk.sees("80 %", "15 hands counted")


@pytest.mark.long
async def test_own_words_are_typed_and_what_is_not_understood_is_asked_back(hosts: Opener) -> None:
    async with at(await talks(hosts)) as desk:
        await desk.press("o")
        assert desk.line.value == "own "
        desk.line.value = "own frobnicate"
        await desk.press("enter")
        await desk.until(lambda: "not understood" in desk.note)
        await desk.type("own cover the attitude indicator")
        await desk.sees("The room goes on another way: cover the attitude indicator")


@pytest.mark.long
async def test_a_line_that_is_no_command_says_so_and_letters_typed_into_it_are_no_keys(hosts: Opener) -> None:
    async with at(await opens(hosts)) as desk:
        await desk.press("t", *"close it", "enter")
        await desk.until(lambda: "Write close" in desk.note)
        await desk.type("nonsense")
        await desk.until(lambda: "no command" in desk.note)
        assert desk.stage == "poll"
        await desk.press("t", "c", "escape")
        assert desk.stage == "poll"


# --- people -------------------------------------------------------------------------------------------


async def test_a_person_is_hidden_and_shown_renamed_and_after_a_question_sent_out(hosts: Opener) -> None:
    async with at(await hosts.with_people(3)) as desk:
        await desk.press("u", "down", "h")
        await desk.until(lambda: desk.host.evening.people["phone 1"].hidden)
        await desk.sees("hidden")
        await desk.press("h")
        await desk.until(lambda: not desk.host.evening.people["phone 1"].hidden)
        await desk.press("n")
        assert desk.line.value == "rename 2 Name 1 / 2"
        desk.line.value = "rename 2 Robin / 9"
        await desk.press("enter")
        await desk.sees("Robin")
        await desk.press("u", "x")
        assert "Send #2 Robin out?" in desk.asks
        assert not desk.host.evening.people["phone 1"].removed
        await desk.press("enter")
        await desk.until(lambda: desk.host.evening.people["phone 1"].removed and "Robin" not in desk.words)


@pytest.mark.long
async def test_whoever_was_chosen_stays_chosen_while_others_come_and_go(hosts: Opener) -> None:
    async with at(await hosts.with_people(5)) as desk:
        await desk.press("u", "down", "down")
        people = desk.app.screen.query_one(PeopleList)
        assert people.chosen is not None
        assert people.chosen["name"] == "Name 2"
        await desk.type("remove 1")
        await desk.host.join("phone 9", "Late")
        await desk.sees("Late")
        await desk.until(lambda: "Name 0" not in desk.words)
        assert people.chosen["name"] == "Name 2"


async def test_what_a_table_typed_is_read_whole_and_struck(hosts: Opener) -> None:
    host = await hosts.with_people(2)
    async with at(host) as desk:
        await desk.type("brief")
        await desk.type("ask What do you say?")
        await desk.until(lambda: host.evening.open_poll is not None)
        held = host.evening.open_poll
        assert held is not None
        await host.vote("phone 0", held.id, "", "Orrinfell Approach, Larkspur 5304W, " + "we have a problem " * 8)
        await desk.until(lambda: len(desk.app.screen.query_one(TypedList).rows) == 1)
        await desk.press("w")
        await desk.until(lambda: desk.note.count("we have a problem") == 8)
        await desk.press("x")
        await desk.sees("struck")
        assert host.evening.polls[-1].struck == {"phone 0"}


# --- texts from elsewhere, papers, faults -----------------------------------------------------------


@pytest.mark.parametrize("size", [pytest.param(WIDE, marks=pytest.mark.long), SMALL], ids=["120x40", "80x24"])
async def test_hostile_names_and_words_stand_there_letter_by_letter_and_send_nothing_to_the_terminal(
    hosts: Opener, size: tuple[int, int],
) -> None:
    host = hosts.begin()
    await host.join("phone 0", HOSTILE, HOSTILE)
    async with at(host, size) as desk:
        await host.command(Brief())
        await host.command(OpenPoll(question=HOSTILE, answers=(HOSTILE, "[/b]")))
        await desk.sees("[bold]b[/bold] [/nope]")
        await desk.press("c", "enter")
        await desk.until(lambda: desk.stage == "talk")
        await host.command(OpenPoll(question=HOSTILE, kind="what do you say"))
        await host.vote("phone 0", "o2", "", HOSTILE)
        await desk.press("u")
        await desk.sees("[bold]b")
        await desk.type("nonsense [/x]")
        assert clean(desk.words) == desk.words
        assert desk.app.return_code is None


def test_no_words_from_elsewhere_can_be_read_as_markup() -> None:
    folder = Path(drill.room.screen.__file__).parent
    files = [*folder.glob("*.py"), Path(drill.cockpit.text.__file__)]    # whose functions these call
    modules = {path.name: path.read_text(encoding="utf-8") for path in files}
    assert len(modules) > 8
    assert offences(modules) == []


async def test_the_debrief_shows_the_results_and_one_key_leaves_the_handout_beside_the_record(hosts: Opener) -> None:
    async with at(await flies(hosts)) as desk:
        await desk.press("g", "enter")
        await desk.sees("TO TAKE HOME")
        await desk.press("r")
        await desk.until(lambda: "Written" in desk.note)
        names = {path.name for path in hosts.folder.iterdir()}
        assert {"evening.handout.html", "evening.totals.csv"} <= names
        assert "evening.attendance.csv" not in names
        await desk.type("attendance")
        await desk.until(lambda: "attendance.csv" in desk.note)
        await desk.press("r")
        await desk.until(lambda: "evening.handout.html" in desk.note)    # nothing has changed: nothing new


@pytest.mark.long
async def test_a_fault_in_working_out_the_results_ends_neither_screen_nor_evening(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    async def fails(_host: Host) -> None:
        raise ZeroDivisionError("[/oops]")

    monkeypatch.setattr("drill.room.screen.evening_screen.worked_out", fails)
    async with at(await flies(hosts)) as desk:
        await desk.press("g", "enter")
        await desk.until(lambda: "ZeroDivisionError: [/oops]" in desk.note)
        await desk.press("e", "enter")
        await desk.until(lambda: desk.stage == "over")


# --- many ---------------------------------------------------------------------------------------------


async def test_of_a_thousand_rows_only_those_in_view_are_drawn_and_any_can_be_chosen() -> None:
    drawn: list[int] = []
    rows = [{"phone": str(at), "at": at} for at in range(1_000)]

    def draw(row: Mapping[str, Any], _columns: int, _marked: frozenset[str]) -> Content:
        drawn.append(row["at"])
        return Content(f"row {row['at']}")

    class Only(App[int]):
        def compose(self) -> ComposeResult:
            yield PeopleList()

    async with Only().run_test(size=(40, 10)) as pilot:
        people = pilot.app.query_one(PeopleList)
        people.tell(rows, draw, 39)
        people.focus()
        await pilot.press("end")
        await pilot.pause()
        assert people.chosen == rows[-1]
        assert max(drawn) == 999
        assert len(set(drawn)) <= 20
        assert "row 999" in "\n".join(seen(pilot.app))
        await pilot.press("pageup", "up")
        assert people.chosen == rows[989]
        await pilot.click(PeopleList, offset=(2, 0))
        assert people.chosen == rows[int(seen(pilot.app)[0].split()[1])]
        people.tell(rows[990:], draw, 39)
        assert people.chosen is not None
        await pilot.press("home")
        assert people.chosen == rows[990]
        people.tell([], draw, 39)
        assert people.chosen is None


def test_what_there_is_when_the_room_opens_is_no_more_searched_for_garbage() -> None:
    before = gc.get_freeze_count()
    set_aside()
    try:
        assert gc.get_freeze_count() > before + 10_000
    finally:
        gc.unfreeze()


async def test_what_begins_a_line_begins_it_at_any_time_and_says_why_it_cannot_be_done_now(hosts: Opener) -> None:
    """Else what is typed next would run as keys."""
    async with at(await hosts.with_poll(1), SMALL) as desk:
        for key, begun in (("i", "enter "), ("n", "ask "), ("o", "own ")):
            await desk.press(key)
            await desk.until(lambda: desk.line.asking)
            assert desk.line.value == begun
            assert desk.note
            await desk.press("escape")
            await desk.until(lambda: not desk.line.asking)
        await desk.press("c", "enter")
        await desk.until(lambda: desk.is_at("talk"))
        await desk.press("i")
        await desk.until(lambda: desk.line.asking)
        assert not desk.note


async def test_once_a_way_is_chosen_it_is_said_beside_it_that_space_flies_on(hosts: Opener) -> None:
    async with at(await hosts.with_poll(1)) as desk:
        await desk.press("c", "enter")
        await desk.until(lambda: desk.is_at("talk"))
        await desk.press("s", "enter")
        await desk.until(lambda: desk.note == "Chosen. Space flies on.")
        await desk.sees("The room goes on as the grade sheet has it. Space flies on.")


def test_after_the_last_poll_the_debrief_is_first_at_the_foot() -> None:
    def first(**changes: object) -> str:
        return at_foot(view_at("talk", **changes), 80, narrow=True)[0][1]

    assert first(to_come=[]) == "Debrief"
    assert first() != "Debrief"
