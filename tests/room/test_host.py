"""The host at its border: what comes in is cleaned, bounded and answered in a sentence, whatever it is."""

from __future__ import annotations

import asyncio

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from room.evenings import asked
from room.hosts import Opener, flown_by

from drill.clean import clean_line, typed_line
from drill.flight.recorder import RecordError
from drill.room import commands as c
from drill.room.commands import Command, Done, Receipt, Refusal
from drill.room.events import Joined, Voted
from drill.room.host import Host
from drill.room.keeping import KeepingError, read_evening
from drill.room.plan import Plan


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(name=st.text(max_size=90), table=st.text(max_size=50))
async def test_any_name_is_cleaned_and_cut_off_or_asked_for_again(hosts: Opener, name: str, table: str) -> None:
    host = hosts.opened[0] if hosts.opened else await hosts.with_people(0)
    answer = await host.join("phone", name, table)
    if isinstance(answer, Refusal):
        assert not typed_line(name)      # nothing but what nobody meant, escape sequences among it
        return
    assert answer.name == clean_line(answer.name) != ""
    assert answer.table == clean_line(answer.table)
    assert len(answer.name) <= 40
    assert len(answer.table) <= 20
    assert host.evening.people["phone"].name == answer.name


async def test_typed_words_are_cleaned_and_cut_off(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    await host.command(c.Brief())
    await host.command(c.OpenPoll("p3"))
    answer = await host.vote("phone 0", "p3", "", "\x1b[31m<b>may\u202eday</b>\n" + "x" * 900)
    assert isinstance(answer, Receipt)
    assert "\x1b" not in answer.words
    assert "\u202e" not in answer.words
    assert "\n" not in answer.words
    assert len(answer.words) <= 400
    assert host.phone_view("phone 0")["poll"]["yours"]["words"] == answer.words


async def test_a_phone_that_joins_again_keeps_its_place_and_changes_its_name(hosts: Opener) -> None:
    host = await hosts.with_people(2)
    n = host.evening.n
    assert isinstance(await host.join("phone 0", "Name 0", "1"), Joined)
    assert host.evening.n == n          # nothing new
    assert isinstance(await host.join("phone 0", "Ada", ""), Joined)
    assert [each.name for each in host.evening.present] == ["Ada", "Name 1"]


async def test_a_table_is_one_table_in_whatever_letters_it_is_typed(hosts: Opener) -> None:
    host = hosts.begin()
    for phone, table in (("one", "North"), ("two", " north"), ("three", "NORTH"), ("four", "South")):
        await host.join(phone, "Somebody", table)
    assert [each.table for each in host.evening.present] == ["North", "North", "North", "South"]
    await host.command(c.Rename("four", None, "nORTH"))
    assert host.evening.people["four"].table == "North"
    await host.join("one", "Somebody", "the north")     # it was the first to say so; the others stay
    assert [each.table for each in host.evening.present] == ["the north", "North", "North", "North"]


async def test_one_who_was_sent_out_is_told_so_and_is_not_counted(hosts: Opener) -> None:
    host = await hosts.with_poll(people=2)
    await host.vote("phone 0", "p1", "a")
    assert await host.command(c.Remove("phone 0")) == Done()
    for answer in (await host.vote("phone 0", "p1", "b"), await host.join("phone 0", "Again", "")):
        assert isinstance(answer, Refusal)
        assert answer.because == "removed"
    view = host.phone_view("phone 0")
    assert view["removed"]
    assert view["poll"] is None
    assert host.desk_view()["held"][0]["counts"] == {"a": 0, "b": 0, "c": 0}


async def test_who_is_sent_out_after_a_poll_was_shown_leaves_its_counts_on_the_wall_but_not_the_name(
    hosts: Opener,
) -> None:
    host = await hosts.with_poll(people=2)
    await host.vote("phone 0", "p1", "a")
    await host.command(c.Close())
    before = host.wall_view()["poll"]
    assert await host.command(c.Remove("phone 0")) == Done()
    assert host.wall_view()["poll"] == before
    assert (before["voted"], before["of"], before["counts"]["a"]) == (1, 2, 1)
    assert "Name 0" not in str(host.wall_view())


VOTES_REFUSED = (
    ("nobody", "p1", "a", "", None, "unknown"),
    ("phone 0", "p2", "a", "", None, "not now"),
    ("phone 0", "p1", "z", "", None, "wrong"),
    ("phone 0", "p1", "", "", None, "wrong"),
    ("phone 0", "p1", "a", "words", None, "wrong"),
    ("phone 0", "p1", "a", "", 0, "wrong"),
    ("phone 0", "p1", "a", "", 5, "wrong"),
    ("phone 0", "p1", "a", "", True, "wrong"),
)


async def test_what_is_no_vote_is_refused_and_changes_nothing(hosts: Opener) -> None:
    host = await hosts.with_poll(people=1)
    before = host.evening
    for phone, poll, answer, words, sure, because in VOTES_REFUSED:
        refusal = await host.vote(phone, poll, answer, words, sure)
        assert isinstance(refusal, Refusal), (phone, poll, answer)
        assert refusal.because == because
        assert refusal.words.endswith(".")
    assert host.evening == before


async def test_a_vote_after_the_poll_was_closed_is_refused_even_if_it_came_in_the_same_turn(hosts: Opener) -> None:
    host = await hosts.with_poll(people=2)
    early = asyncio.create_task(host.vote("phone 0", "p1", "a"))
    close = asyncio.create_task(host.command(c.Close()))
    late = asyncio.create_task(host.vote("phone 1", "p1", "b"))
    await asyncio.gather(early, close, late)
    assert isinstance(early.result(), Receipt)
    counted = {event.phone for event in read_evening(host.path).events if isinstance(event, Voted)}
    assert counted == ({"phone 0", "phone 1"} if isinstance(late.result(), Receipt) else {"phone 0"})


async def test_everybody_votes_and_votes_again_at_once_and_each_counts_once(hosts: Opener) -> None:
    host = await hosts.with_poll(people=40)
    rounds = [host.vote(f"phone {n}", "p1", "abc"[(n + k) % 3], sure=1 + k % 4) for k in range(3) for n in range(40)]
    assert all(isinstance(each, Receipt) for each in await asyncio.gather(*rounds))
    last = {f"phone {n}": "abc"[(n + 2) % 3] for n in range(40)}
    for evening in (host.evening, read_evening(host.path).evening):
        assert {phone: vote.answer for phone, vote in evening.polls[0].votes.items()} == last


REFUSED: tuple[tuple[Command, str], ...] = (
    (c.Close(), "No poll is open."),
    (c.Reveal(), "Close a poll first."),
    (c.CountHands({"a": 1}), "Open a poll first."),
    (c.Choose("majority"), "after a poll"),
    (c.Stop(), "does not run"),
    (c.Advance(10), "Not now"),
    (c.Enter("turn left"), "Not now"),
    (c.Enter("  "), "Type a line."),
    (c.Fly(3), "1, 2, 4"),
    (c.OpenPoll("p9"), "no such poll"),
    (c.OpenPoll("p1"), "Not now"),
    (c.OpenPoll(question="\x00"), "Type the question."),
    (c.OpenPoll(question="What?", answers=("Yes",)), "answers"),
    (c.OpenPoll(question="What?", answers=("Yes", "yes")), "each once"),
    (c.OpenPoll(question="What?", answers=("Yes", " ")), "answers"),
    (c.OpenPoll(question="What?", answers=("Yes", "No " * 21)), "60 letters"),
    (c.OpenPoll(question="What? " * 40, answers=("Yes", "No")), "160 letters"),
    (c.OpenPoll(question="What?", answers=("Yes", "No"), does=("hope for the best",)), "not understood"),
    (c.Hide("nobody"), "nobody with this phone"),
    (c.Rename("phone 0", ""), "Type a name."),
    (c.Strike("p1", "phone 0"), "Nothing was typed"),
    (c.ShowFace("teapot"), "no such instrument"),
    (c.More(1), "No part"),
    (c.Debrief(), "Not now"),
)


async def test_what_the_facilitator_cannot_do_now_is_answered_in_a_sentence_and_changes_nothing(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    before = host.evening
    for command, words in REFUSED:
        answer = await host.command(command)
        assert isinstance(answer, Refusal), command
        assert words in answer.words, command
        assert answer.words[0].isupper() or answer.words[0] == "`"
        assert answer.words.endswith((".", "."))
    assert host.evening == before


async def test_people_are_hidden_shown_named_anew_and_a_face_fills_the_wall(hosts: Opener) -> None:
    host = await hosts.with_people(2)
    for command in (c.Hide("phone 0"), c.Hide("phone 0"), c.Rename("phone 1", "\x07Ben ", None),
                    c.ShowFace("attitude_indicator")):
        assert await host.command(command) == Done()
    view = host.wall_view()
    assert view["names"] == ["Ben"]
    assert view["face"] == "attitude_indicator"
    assert host.evening.people["phone 1"].table == "2"
    await host.command(c.Show("phone 0"))
    await host.command(c.ShowFace(None))
    assert host.wall_view()["names"] == ["Name 0", "Ben"]
    assert host.wall_view()["face"] is None


async def test_an_own_question_is_asked_with_its_answers_and_what_they_do(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    await host.command(c.Brief())
    question = c.OpenPoll(question="Which\tway?", kind="what next", answers=("Left", "Right"), does=("turn left",))
    assert await host.command(question) == Done()
    assert host.phone_view("phone 0")["poll"]["question"] == "Which way?"
    await host.vote("phone 0", "o1", "a")
    assert await host.command(c.Close()) == Done()
    assert await host.command(c.Choose("majority")) == Done()
    assert flown_by(host) == ["turn"]
    await host.command(c.Fly(1))
    await host.command(c.Stop())
    assert await host.command(c.OpenPoll(question="Sure?", kind="how sure")) == Done()
    assert [each["key"] for each in host.phone_view("phone 0")["poll"]["answers"]] == ["1", "2", "3", "4"]


async def test_walls_look_again_at_votes_and_phones_only_when_they_see_something_new(hosts: Opener) -> None:
    host = await hosts.with_poll(people=2)
    wall, phones = host.version, host.phones_version
    waits = asyncio.create_task(host.changed(wall))
    phone_waits = asyncio.create_task(host.phones_changed(phones))
    await host.vote("phone 0", "p1", "a")
    assert await asyncio.wait_for(waits, 5) > wall
    assert host.phones_version == phones
    await host.command(c.Close())
    assert await asyncio.wait_for(phone_waits, 5) > phones


async def test_a_longer_part_is_planned_and_stays_planned(hosts: Opener) -> None:
    host = await hosts.with_people(0)
    await host.command(c.Brief())
    assert await host.command(c.More(10)) == Done()
    host = await hosts.again(host)
    assert host.evening.plan == Plan(15.0, 25.0, 15.0, 5)
    assert host.wall_view()["plan_data"]["parts"][0]["minutes"] == 15.0


async def test_an_evening_that_cannot_begin_leaves_no_file_behind(hosts: Opener) -> None:
    (hosts.folder / "evening.jsonl").write_text("somebody's")
    with pytest.raises(KeepingError, match="exists already"):
        hosts.begin()
    assert [each.name for each in hosts.folder.iterdir()] == ["evening.jsonl"]
    with pytest.raises(RecordError):
        Host.begin(asked(), 3, hosts.folder / "nowhere" / "evening.jsonl")


async def test_without_its_flight_an_evening_is_not_taken_up_and_says_which_file_is_missing(hosts: Opener) -> None:
    host = await hosts.with_people(1)
    await host.close()
    hosts.opened.remove(host)
    (hosts.folder / "evening.flight.jsonl").unlink()
    for _ in range(2):      # the evening's own file is free again after each try
        with pytest.raises(KeepingError, match=r"evening\.flight\.jsonl: No such file .* beside"):
            Host.resume(host.path)
