"""A whole evening through the host: every kind of poll, every way on, hands alone, and taken up after a kill."""

from __future__ import annotations

import asyncio
import json
import stat
from pathlib import Path

import pytest
from room.evenings import asked
from room.hosts import Opener, flown_by
from scenario.documents import loaded

from drill.flight.events import Branched, Typed
from drill.flight.record import read_record
from drill.flight.rewind import is_original
from drill.room import commands as c
from drill.room.commands import Done, Receipt, Refusal
from drill.room.evening import counts
from drill.room.events import Chose, Forked
from drill.room.host import Host
from drill.room.keeping import read_evening
from drill.room.net.wall_pages import Wall
from drill.room.papers import recorded_results
from drill.room.views import HOW_IT_FLEW

CALL = "Orrinfell Approach, Larkspur 5304W, vacuum failure, request vectors to Wendle"


async def done(host: Host, *commands: c.Command) -> None:
    for command in commands:
        assert isinstance(await host.command(command), Done), command


async def vote(host: Host, answers: str, sure: int | None = None) -> None:
    """Let phone n give the n-th of `answers` in the poll that is open."""
    held = host.evening.open_poll
    assert held is not None
    for n, answer in enumerate(answers):
        assert isinstance(await host.vote(f"phone {n}", held.id, answer, sure=sure), Receipt)


async def refused(host: Host, command: c.Command, words: str) -> None:
    answer = await host.command(command)
    assert isinstance(answer, Refusal)
    assert words in answer.words


def json_of(host: Host) -> str:
    return json.dumps([host.wall_view(), host.desk_view(), host.phone_view("phone 0")])


async def test_an_evening_from_the_first_phone_to_the_end(hosts: Opener) -> None:
    host = await hosts.with_people(5)
    assert host.wall_view()["names"] == [f"Name {n}" for n in range(5)]
    await done(host, c.Brief(), c.Fly(1), c.Advance(600))

    # What is wrong, before anything can have failed: the majority's word goes into the flight.
    held = host.evening.poll
    assert held is not None
    assert (held.id, held.t_s, host.evening.stage, host.flights.pace) == ("p1", 20.0, "poll", 0)
    await vote(host, "ccabc", sure=3)
    assert host.wall_view()["poll"]["counts"] is None
    assert host.desk_view()["held"][-1]["counts"] == {"a": 1, "b": 1, "c": 3}
    await refused(host, c.Fly(1), "Close the poll first")
    await done(host, c.Close())
    shown = host.wall_view()["poll"]
    assert (shown["counts"], shown["how_sure"]["3"], shown["discuss"]) == (
        {"a": 1, "b": 1, "c": 3}, 5, ["Which instruments share a source?"])
    await done(host, c.Choose("majority"), c.Fly(1), c.Advance(600))
    assert flown_by(host) == ["diagnose"]

    # What next: a tie is the facilitator's; then the flight parts, and both ways are flown in the same air.
    await vote(host, "aabb")
    await done(host, c.Close(show=False))
    assert host.wall_view()["poll"]["counts"] is None
    await done(host, c.Reveal())
    await refused(host, c.Choose("fork"), "Choose one of them")
    await done(host, c.Choose("fork", answer="a"))
    sheet = host.flights.sheet
    assert sheet is not None
    await done(host, c.Fly(1), c.Advance(10))
    assert sheet.t_s == host.flights.room.t_s == 50.0
    assert host.wall_view()["fork"]["clock"] == "0:50"
    await done(host, c.Advance(600))
    await host.flights.settled()
    beside = host.wall_view()["beside"]
    assert beside["names"] == ["The room", "The grade sheet"]
    assert {each["what"] for each in beside["rows"]} == HOW_IT_FLEW - {"Ending"}
    assert "Side by side from 0:40" in Wall(host, "", lambda: None).page()
    assert host.wall_view()["fork"] is None

    # What do you say: one call a table, marked up; nothing is counted, so the facilitator types the line.
    await host.vote("phone 0", "p3", "", CALL)
    await host.vote("phone 2", "p3", "", "mayday")
    await host.vote("phone 1", "p3", "", CALL)
    await host.vote("phone 4", "p3", "", "say it again")
    await done(host, c.Strike("p3", "phone 4"), c.Close())
    words = host.wall_view()["poll"]["words"]
    assert [(each["from"], each["words"]) for each in words] == [("Table 1", "mayday"), ("Table 2", CALL)]
    assert "how far that limits you" in words[1]["missing"]
    assert "".join(each["words"] for each in words[1]["segments"]) == CALL
    assert any(each["labels"] == ["who you are"] for each in words[1]["segments"])
    await refused(host, c.Choose("majority"), "name nothing to do")
    await refused(host, c.Choose("own", line="hope for the best"), "not understood")
    await done(host, c.Choose("own", line=f"tell approach {CALL}"), c.Fly(1), c.Advance(600))

    # How sure, by raised hands alone; then the grade sheet flies to the next poll.
    assert host.wall_view()["poll"]["kind"] == "how sure"
    await refused(host, c.CountHands({"9": 1}), "no such answer")
    await done(host, c.CountHands({"1": 4, "4": 9}), c.Close(), c.Choose("sheet"))
    assert host.wall_view()["by_sheet"]
    await done(host, c.Fly(4), c.Advance(600))
    assert not host.wall_view()["by_sheet"]

    # The last one waited for its condition, which the majority's line had met long before its time.
    assert host.evening.poll is not None
    assert (host.evening.poll.id, host.evening.poll.t_s) == ("p5", 90.0)
    await done(host, c.Close(), c.OpenPoll(question="Once more?", answers=("Yes", "No")), c.Close(),
               c.Enter("look at the suction gauge"), c.Debrief())
    assert len(host.wall_view()["poll"] or ()) == 0
    await refused(host, c.Fly(1), "nothing is flown" if host.flights.room.over else "Not now")
    await done(host, c.End())
    assert json_of(host)
    await host.close()

    kept = read_evening(host.path)
    assert kept.evening == host.evening
    typed = [event.line or event.actions[0]["action"]
             for event in read_record(host.path.with_name("evening.flight.jsonl")).events
             if isinstance(event, Typed) and event.by == "room"]
    assert typed == flown_by(host) == [
        "diagnose", "cover", "fly_by", f"tell approach {CALL}", "look at the suction gauge"]
    assert [each.as_read for each in kept.evening.entered] == [True, True, False, False]
    beside_it = {path.name: stat.S_IMODE(path.stat().st_mode) for path in hosts.folder.glob("evening*.jsonl")}
    assert beside_it == dict.fromkeys(("evening.jsonl", "evening.flight.jsonl", "evening.fork-1.jsonl"), 0o600)
    forked = read_record(host.path.with_name("evening.fork-1.jsonl"))
    branched = next(event for event in forked.events if isinstance(event, Branched))
    assert (branched.record, branched.t, branched.by) == ("evening.flight.jsonl", 40.0, "exemplar")
    assert is_original(read_record(host.path.with_name("evening.flight.jsonl")), branched)

    # What it comes to is told by the records alone, up to where the second flight was left; one that is gone is missed.
    (parting,) = recorded_results(kept.evening, host.scenario, host.path).partings
    assert (parting.poll, parting.at_s, parting.until_s) == ("p2", 40.0, 60.0)
    assert [way.name for way in parting.ways] == ["The room", "The grade sheet"]
    assert [done.words for done in parting.ways[0].done] == ["covered the attitude indicator", "flew by partial panel"]
    forked.path.unlink()
    found = recorded_results(kept.evening, host.scenario, host.path)
    assert found.partings == ()
    assert "from 0:40 is not beside the evening's" in found.cautions[0]


async def test_a_room_without_phones_flies_by_raised_hands(hosts: Opener) -> None:
    host = hosts.begin()
    await done(host, c.Brief(), c.Fly(2), c.Advance(600))
    await refused(host, c.CountHands({"a": -1}), "from 0")
    await done(host, c.CountHands({"a": 30, "b": 2, "c": 11}), c.Close(), c.Choose("majority"), c.Fly(1),
               c.Advance(600))
    assert flown_by(host) == ["diagnose"]
    await done(host, c.Close())
    await refused(host, c.Choose("majority"), "Nobody has voted")
    await done(host, c.CountHands({"b": 1}), c.Choose("majority"))    # counted in the talk; it does nothing
    assert flown_by(host) == ["diagnose"]
    assert host.wall_view()["people"] == 0


async def test_what_a_room_thinks_is_not_said_on_the_radio_even_while_atc_waits_for_an_answer(hosts: Opener) -> None:
    asks = 'events:\n  ride: {after: 8 s, says: "{callsign}, how is the ride?", asks: yes}\n'
    host = hosts.begin(loaded(asked().text.replace("phases:\n", f"{asks}phases:\n", 1)))
    await done(host, c.Brief(), c.Fly(1), c.Advance(600))
    assert any("how is the ride" in each["words"] for each in host.wall_view()["radio"])
    await done(host, c.CountHands({"a": 9}), c.Close(), c.Choose("majority"), c.Fly(1), c.Advance(15))
    assert flown_by(host) == ["diagnose"]
    assert not [each for each in host.wall_view()["radio"] if each["kind"] == "you"]
    assert host.flights.room.flight.atc.told.equipment == frozenset()
    await done(host, c.Enter("smooth"), c.Advance(4))     # what a facilitator types is an answer, as a pilot's would be
    assert [each["words"] for each in host.wall_view()["radio"] if each["kind"] == "you"] == ["You: smooth"]


async def test_taken_up_in_the_middle_of_a_poll_every_vote_is_there_and_more_can_come(hosts: Opener) -> None:
    host = await hosts.with_people(4)
    await done(host, c.Brief(), c.Fly(1), c.Advance(600))
    await vote(host, "aab", sure=2)
    before = host.evening
    host = await hosts.again(host)
    assert host.evening == before
    assert host.flights.pace == 0
    assert host.phone_view("phone 2")["poll"]["yours"] == {"answer": "b", "words": "", "sure": 2}
    await vote(host, "ccc")
    assert host.evening.poll is not None
    assert counts(host.evening, host.evening.poll) == {"a": 0, "b": 0, "c": 3}
    await done(host, c.Close(), c.Fly(1), c.Advance(600))
    assert host.evening.poll.id == "p2"


async def test_taken_up_in_mid_flight_the_flight_goes_on_where_it_was_and_polls_come_at_their_moments(
    hosts: Opener,
) -> None:
    host = await hosts.with_people(1)
    await done(host, c.Brief(), c.Fly(1), c.Advance(12))
    panel = host.wall_view()["panel"]
    host = await hosts.again(host)
    assert host.evening.stage == "fly"
    assert host.flights.pace == 0
    assert host.flights.room.t_s == 12.0
    assert host.wall_view()["panel"] == panel
    await done(host, c.Advance(600))
    assert host.evening.poll is not None
    assert host.evening.poll.t_s == 20.0


async def test_taken_up_with_two_flights_both_go_on_and_end_at_the_next_poll(hosts: Opener) -> None:
    host = await hosts.with_people(3)
    await done(host, c.Brief(), c.Fly(1), c.Advance(600), c.Close(), c.Fly(1), c.Advance(600))
    await vote(host, "aab")
    await done(host, c.Close(), c.Choose("fork"), c.Fly(1), c.Advance(5))
    host = await hosts.again(host)
    assert host.flights.sheet is not None
    assert host.flights.sheet.by_sheet
    await done(host, c.Advance(600))
    await host.flights.settled()
    assert host.evening.poll is not None
    assert host.evening.poll.id == "p3"
    assert host.wall_view()["beside"]["at_s"] == 40.0
    host = await hosts.again(host)      # and once more in the poll: what came of the two is still there
    await host.flights.settled()
    assert host.wall_view()["beside"]["at_s"] == 40.0


@pytest.mark.parametrize("way", ["majority", "fork", "sheet"])
async def test_a_way_that_was_chosen_and_not_yet_flown_is_flown_once_when_taken_up(hosts: Opener, way: str) -> None:
    """As a kill leaves it between the line in the evening's record and what it comes to in the flight."""
    host = await hosts.with_people(3)
    await done(host, c.Brief(), c.Fly(1), c.Advance(600), c.Close(), c.Fly(1), c.Advance(600))
    await vote(host, "aab")
    await done(host, c.Close(), c.Choose(way))  # type: ignore[arg-type]
    await host.close()
    hosts.opened.remove(host)
    events = read_evening(host.path).events
    chose = next(n for n, event in enumerate(events) if isinstance(event, Chose))
    lines = host.path.read_bytes().splitlines(keepends=True)
    host.path.write_bytes(b"".join(lines[: chose + 1]))
    flown = host.path.with_name("evening.flight.jsonl")
    typed = [line for line in flown.read_bytes().splitlines(keepends=True) if b'"kind":"typed"' not in line
             and b'"kind":"paused"' not in line and b'"kind":"began"' not in line]
    flown.write_bytes(b"".join(typed))

    again = Host.resume(host.path, clock=hosts.wall)
    hosts.opened.append(again)
    await again.take_up()
    room = ["cover", "fly_by"] if way != "sheet" else []
    assert flown_by(again) == room
    assert (again.flights.sheet is not None) is (way == "fork")
    assert again.flights.room.by_sheet is (way == "sheet")
    assert sum(isinstance(event, Forked) for event in read_evening(again.path).events) == (way == "fork")
    again = await hosts.again(again)    # a second time there is nothing left to do
    assert flown_by(again) == room


async def test_time_runs_by_the_wall_clock_and_stops_by_itself_at_a_poll(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    await done(host, c.Brief(), c.Fly(1), c.Advance(18), c.Fly(4))
    since = host.version
    async with asyncio.timeout(20):
        while host.evening.stage == "fly":
            since = await host.changed(since)
    assert (host.evening.stage, host.flights.pace, host.flights.room.t_s) == ("poll", 0, 20.0)


async def test_stopped_by_hand_time_stands(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    await done(host, c.Brief(), c.Fly(2))
    async with asyncio.timeout(20):
        while host.flights.room.t_s == 0.0:
            await host.changed(host.version)
    await done(host, c.Stop())
    stood = host.flights.room.t_s
    await asyncio.sleep(0.4)
    assert host.flights.room.t_s == stood == host.evening.t_s


async def test_a_flight_that_ends_leaves_the_debrief_and_can_be_taken_up(hosts: Opener) -> None:
    host = hosts.begin(loaded(asked().text.replace("drill: 1", "drill: 1\ntime limit: 70 s", 1)))
    await done(host, c.Brief(), c.Fly(1))
    for _ in range(3):
        await done(host, c.Advance(600), c.Close(), c.Fly(1))
    await done(host, c.Advance(600))
    assert host.wall_view()["flight_over"] == "unresolved"
    await refused(host, c.Fly(1), "flight is over")
    await refused(host, c.Enter("turn left"), "flight is over")
    host = await hosts.again(host)
    assert host.wall_view()["flight_over"] == "unresolved"
    await done(host, c.Debrief(), c.End())


async def test_the_evenings_record_names_its_flight_beside_it_wherever_it_is_moved(
    hosts: Opener, tmp_path: Path,
) -> None:
    host = await hosts.with_people(1)
    await done(host, c.Brief(), c.Fly(1), c.Advance(5))
    await host.close()
    hosts.opened.remove(host)
    moved = tmp_path / "moved"
    moved.mkdir()
    for each in tmp_path.glob("*.jsonl"):
        each.rename(moved / each.name)
    again = Host.resume(moved / "evening.jsonl", clock=hosts.wall)
    hosts.opened.append(again)
    assert again.flights.room.t_s == 5.0
