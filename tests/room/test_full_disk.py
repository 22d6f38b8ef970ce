"""What becomes of the flights when their records take no more."""

from __future__ import annotations

from typing import NoReturn

import pytest
from room.hosts import Opener, flown_by

from drill.flight.record import Recorder, RecordError, replay
from drill.room import commands as c
from drill.room.commands import Done, Refusal


def full(*_: object) -> NoReturn:
    raise RecordError("evening.flight.jsonl: No space left on device")


async def test_a_flight_whose_record_is_full_stands_still_until_the_evening_is_taken_up(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    host = await hosts.with_people(1)
    for command in (c.Brief(), c.Fly(1), c.Advance(5)):
        assert isinstance(await host.command(command), Done)
    monkeypatch.setattr(Recorder, "write", full)
    answer = await host.command(c.Advance(5))
    assert isinstance(answer, Refusal)
    assert answer.because == "unwritten"
    assert "No space left" in host.desk_view()["trouble"]
    monkeypatch.undo()
    flown: tuple[c.Command, ...] = (c.Fly(1), c.Advance(5), c.Enter("turn left heading 200"))
    for each in flown:
        refused = await host.command(each)
        assert isinstance(refused, Refusal)     # what was flown since is not in the record
        assert "--resume" in refused.words
    again = await hosts.again(host)
    assert again.desk_view()["trouble"] == ""
    assert isinstance(await again.command(c.Advance(600)), Done)
    assert again.evening.stage == "poll"
    await again.close()
    assert replay(hosts.folder / "evening.flight.jsonl").identical


async def test_a_fork_that_cannot_be_written_is_made_when_there_is_room_again(
    hosts: Opener, monkeypatch: pytest.MonkeyPatch,
) -> None:
    host = await hosts.with_people(1)
    for command in (c.Brief(), c.Fly(1), c.Advance(600), c.CountHands({"a": 3}), c.Close()):
        assert isinstance(await host.command(command), Done)
    monkeypatch.setattr(Recorder, "create", full)
    answer = await host.command(c.Choose("fork"))
    assert isinstance(answer, Refusal)
    assert answer.because == "unwritten"
    assert isinstance(await host.command(c.Fly(1)), Refusal)
    assert (host.evening.stage, flown_by(host)) == ("talk", [])
    monkeypatch.undo()
    assert isinstance(await host.command(c.Fly(1)), Done)
    assert host.flights.sheet is not None
    assert flown_by(host) == ["diagnose"]
