"""What a phone, the wall and the desk may know: compared between evenings that differ in what they may not."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from room.evenings import ANSWERS, AT, OPENED, PHONES, another_vote, any_evening

from drill.room.evening import Evening, OutOfPlace, apply, fold
from drill.room.events import (
    Chose,
    Entered,
    Event,
    Forked,
    ForkEnded,
    Hands,
    Joined,
    Moved,
    Opened,
    Planned,
    PollClosed,
    PollOpened,
    Removed,
    Shown,
    Stage,
    Struck,
    Voted,
)
from drill.room.standing import standing
from drill.room.views import Around, Seen, desk_view, phone_view, wall_view

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)


def _other(chance: Random, event: Event, phone: str, votes_of: Evening) -> Event | None:
    """The event as another evening might have it, in which `phone` would see the same; None: it is not there."""
    match event:
        case Opened():
            return replace(event, seed=chance.randrange(10), text="another text", scenario="another", flight="other")
        case PollOpened():
            answers = tuple(replace(each, does="something else") for each in event.answers)
            return replace(event, answers=answers, name="Another", discuss=("Another question",), t_s=1.0, since=0.0)
        case Voted() if event.phone != phone:
            held = votes_of.open_poll
            assert held is not None
            return None if chance.random() < 0.5 else another_vote(chance, held, event.phone)
        case Hands() | Chose() | Entered() | Moved() | Forked() | ForkEnded() | Planned():
            return None
        case Shown():
            return event if chance.random() < 0.5 else None
        case Joined() if event.phone != phone:
            return replace(event, name="Somebody else", table="9")
        case Stage():
            return replace(event, t_s=900.0)
        case _:
            return event


@settings(max_examples=60, deadline=None)
@given(any_evening(), st.sampled_from(PHONES), st.integers(0, 2**32))
def test_a_phone_sees_no_difference_between_evenings_that_differ_in_what_it_may_not_know(
    events: list[Event], phone: str, seed: int,
) -> None:
    one, other, chance = Evening(), Evening(), Random(seed)  # noqa: S311 - for tests
    for event in events:
        one = apply(one, event)
        changed = _other(chance, event, phone, other)
        if changed is not None:
            try:
                other = apply(other, changed)
            except OutOfPlace:     # what hung on something that is not there
                assert isinstance(changed, Struck | Voted)
                assert changed.phone != phone
        assert phone_view(one, phone) == phone_view(other, phone)


def test_what_a_phone_sees_has_no_other_keys_than_these() -> None:
    evening = fold([OPENED, Joined("one", "Ada", "1"), Stage("brief", 0.0),
                    PollOpened("p1", "what is wrong", "What?", ANSWERS, 0.0, 0.0, "Name", True, ("Discuss",))])
    view = phone_view(evening, "one")
    assert set(view) == {"stage", "number", "you", "poll", "removed", "say"}
    assert set(view["you"]) == {"name", "table", "hidden"}
    assert set(view["poll"]) == {"id", "kind", "question", "answers", "sure", "yours"}
    assert all(set(each) == {"key", "says"} for each in view["poll"]["answers"])


def around(**changes: Any) -> Around:
    seen = Seen(60.0, {"bank_deg": 2.0}, (), ())
    return Around(**{"board_title": "A short hop", "briefing": ("Cloud.",), "flight": seen, "pace": 0,
                     "standing": standing(fold([OPENED]), NOW), **changes})


def _unshown(events: Iterable[Event]) -> list[Event]:
    """The events without what shows a poll or makes a way of it."""
    return [each for each in events if not isinstance(each, Shown | Chose | Entered | Forked | ForkEnded)]


@settings(max_examples=40, deadline=None)
@given(any_evening(), st.integers(0, 2**32))
def test_the_wall_shows_of_a_poll_that_is_not_shown_how_many_have_voted_and_nothing_else(
    events: list[Event], seed: int,
) -> None:
    one, other, chance = Evening(), Evening(), Random(seed)  # noqa: S311 - for tests
    for event in _unshown(events):
        one = apply(one, event)
        held = other.open_poll
        changed = event
        if isinstance(event, Voted) and held is not None:
            changed = replace(another_vote(chance, held, event.phone), at=event.at)
        elif isinstance(event, Hands):
            changed = replace(event, counts={})
        other = apply(other, changed)
    assert wall_view(one, around()) == wall_view(other, around())


def shown(*events: Event) -> Evening:
    return fold([OPENED, *(Joined(phone, f"Name {phone}", "") for phone in PHONES), Stage("brief", 0.0),
                 PollOpened("p1", "what do you say", "What do you say?", (), 0.0, 0.0), *events])


def test_words_that_were_struck_or_are_of_somebody_hidden_or_sent_out_are_not_on_the_wall() -> None:
    cast = tuple(Voted("p1", phone, "", f"words of {phone}") for phone in PHONES)
    evening = shown(*cast, Struck("p1", "one"), Removed("two"), PollClosed("p1"), Shown("p1"))
    on_the_wall = json.dumps(wall_view(evening, around()))
    assert "words of three" in on_the_wall
    assert "words of one" not in on_the_wall
    assert "words of two" not in on_the_wall
    assert "words of one" in json.dumps(desk_view(evening, around(), (), ""))


@settings(max_examples=30, deadline=None)
@given(any_evening())
def test_every_view_of_every_evening_is_plain_json(events: list[Event]) -> None:
    evening = fold(events)
    for view in (phone_view(evening, "one"), wall_view(evening, around()), desk_view(evening, around(), (), "")):
        assert json.loads(json.dumps(view, allow_nan=False)) == view


def test_the_briefing_and_names_stand_on_the_wall_only_until_the_flight() -> None:
    lobby = fold([OPENED, Joined("one", "Ada", "")])
    assert wall_view(lobby, around())["names"] == ["Ada"]
    assert wall_view(lobby, around())["briefing"] == ["Cloud."]
    flying = fold([OPENED, Joined("one", "Ada", ""), Stage("brief", 0.0), Stage("fly", 0.0, at=AT)])
    assert wall_view(flying, around())["names"] == wall_view(flying, around())["briefing"] == []
