"""The exemplar pilot flies what the grade sheet would have done, from any moment of a flight."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from flight.flights import FULL_CALL, of, short

from drill.flight.events import Acted, Assigned, Branched, Event, Failed, Heard, Typed
from drill.flight.flight import Flight
from drill.flight.flying import setting_of
from drill.flight.pilots import fly
from drill.flight.record import Recorder
from drill.flight.rewind import rewind
from drill.flight.seeds import nothing_fails
from drill.grading import grade
from drill.grading.exemplar import SheetPilot, sheets_way
from drill.language.meaning import Decide
from drill.scenario import find, load
from drill.scenario.model import Scenario

from .builders import FAILED, item, one


@cache
def tallowby() -> Scenario:
    return load(find("cruise-to-tallowby"))


def flown(
    path: Path, *lines: tuple[float, str], scenario: Scenario | None = None, until_s: float, seed: int = 1,
) -> Path:
    flight, events = Flight.start(scenario or short(), seed)
    with Recorder.create(path, flight, events) as recorder:
        for t, words in (*lines, (until_s, "")):
            while flight.t_s < t - 1e-9 and flight.ended is None:
                recorder.write(flight.advance(min(10.0, t - flight.t_s)), flight)
            recorder.write(flight.enter(words), flight)
    return path


def acts(events: tuple[Event, ...], since: float) -> list[tuple[str, str]]:
    return [(str(each.act["action"]), str(each.act.get("what", ""))) for each in of(Acted, events) if each.t > since]


def test_it_does_the_items_that_were_not_done_in_the_order_of_the_sheet(tmp_path: Path) -> None:
    path = flown(tmp_path / "f.jsonl", until_s=300.0)
    again = rewind(path, 100.0, by="exemplar")
    events = sheets_way(again)
    onset = of(Failed, events)[0]
    done = of(Acted, events)
    assert [each.t for each in of(Branched, events)] == [100.0]
    assert {each.by for each in of(Typed, events)} == {"exemplar"}
    assert all(each.line for each in of(Typed, events))     # so that what it does is a script as well
    assert any(each.act["action"] == "transmit" and each.heard for each in done)
    assert min(each.began for each in done) >= max(100.0, onset.t)
    assert again.flight.ended is not None


def test_it_leaves_what_has_been_done_and_does_what_was_not(tmp_path: Path) -> None:
    path = flown(tmp_path / "f.jsonl", (80.0, FULL_CALL), until_s=200.0)
    events = sheets_way(rewind(path, 130.0, by="exemplar"))
    said = [each for each in of(Acted, events) if each.act["action"] == "transmit"]
    assert len([each for each in said if each.began < 130.0]) == 1
    assert all("lost our vacuum pump" not in str(each.act["call"]) for each in said if each.began >= 130.0)


@pytest.mark.overnight
@pytest.mark.parametrize("at_s", [100.0, 300.0, 600.0])
def test_from_any_moment_before_it_is_too_late_the_sheet_s_way_ends_well(tmp_path: Path, at_s: float) -> None:
    path = flown(tmp_path / "f.jsonl", scenario=tallowby(), until_s=1200.0)
    events = sheets_way(rewind(path, at_s, by="exemplar"))
    graded = grade(tallowby(), events, 1)
    assert graded.ending is not None
    assert graded.ending.outcome == "safe"
    assert (graded.score or 0.0) > 80.0
    assert graded.unsafe_acts == ()


@pytest.mark.overnight
def test_it_acts_on_a_failure_when_it_could_be_known_and_not_before(tmp_path: Path) -> None:
    path = flown(tmp_path / "f.jsonl", scenario=tallowby(), until_s=700.0)
    again = rewind(path, 60.0, by="exemplar")
    whole = grade(tallowby(), again.original.events, 1)
    known = whole.failures[0].evidence_s
    assert known is not None
    story = grade(tallowby(), sheets_way(again), 1).failures[0]
    assert story.first_act_s is not None
    assert 0.0 <= story.first_act_s - known <= 10.0


def test_where_nothing_fails_it_does_only_what_every_flight_asks_for(tmp_path: Path) -> None:
    quiet = next(seed for seed in range(40) if nothing_fails(tallowby(), seed))
    path = flown(tmp_path / "f.jsonl", scenario=tallowby(), until_s=80.0, seed=quiet)
    again = rewind(path, 70.0, by="exemplar")
    events = tuple(fly(again.flight, SheetPilot.of(again), until_s=300.0).events)
    assert {kind for kind, _ in acts(events, 70.0)} >= {"look", "align", "transmit"}
    assert not any(kind in ("cover", "diagnose", "decide") for kind, _ in acts(events, 70.0))


def test_it_flies_the_heading_and_the_altitude_that_atc_assigns(tmp_path: Path) -> None:
    path = flown(tmp_path / "f.jsonl", until_s=80.0)
    again = rewind(path, 70.0, by="exemplar")
    pilot = SheetPilot.of(again)
    said = pilot.next(again.flight.panel, [Assigned(71.0, heading_deg=5.0, altitude_ft=7000.0)], 75.0)
    said += pilot.next(again.flight.panel, [], 78.0)
    assert {"turn to heading 005", "climb to 7000 feet"} & set(said)


def test_it_waits_while_something_is_being_done(tmp_path: Path) -> None:
    path = flown(tmp_path / "f.jsonl", (95.0, FULL_CALL), until_s=200.0)
    again = rewind(path, 97.0, by="exemplar")
    assert not again.flight.idle
    assert SheetPilot.of(again).next(again.flight.panel, (), 97.0) == []


@cache
def cruising() -> Flight:
    flight, _ = Flight.start(short(), 1)
    flight.advance(30.0)
    return flight


def answered(question: str, *heard: Event, before: tuple[Event, ...] = ()) -> str:
    """What the pilot says three seconds after a line of ATC that leaves this question open."""
    state = replace(cruising().state, atc=replace(cruising().state.atc, question=question))
    flight = Flight(setting_of(short(), 1), state, "exemplar")
    pilot = SheetPilot(flight, before, {})
    pilot.next(flight.panel, heard or (Heard(31.0, "Approach", "say"),), 31.0)
    return "; ".join(pilot.next(flight.panel, (), 34.0))


@pytest.mark.parametrize(("question", "words"), [
    ("emergency", "say affirmative, Larkspur 5304W"), ("intentions", "say standby, Larkspur 5304W"),
    ("conditions", "say VMC, Larkspur 5304W"), ("people", "say 2 on board, Larkspur 5304W"),
    ("control", "say affirmative, on partial panel, Larkspur 5304W"),
    ("no_gyro", "say negative, timed turns by the clock, Larkspur 5304W"),
    ("how do you hear", "say roger, Larkspur 5304W"), ("", ""),
])
def test_what_atc_asks_is_answered_in_the_fewest_words(question: str, words: str) -> None:
    scenario = short()
    assert answered(question) == words.replace("Larkspur 5304W", scenario.callsign).replace(
        "2 on board", f"{scenario.start.on_board} on board")


def test_fuel_is_told_as_what_is_left_of_what_there_was() -> None:
    left = round(short().start.fuel_min - 0.5)
    assert answered("fuel").startswith(f"say {left} minutes of fuel, ")


def test_a_plan_that_was_taken_is_what_is_intended() -> None:
    plan = Acted(20.0, Decide("divert", "Wendle").as_labels(), 19.0)
    assert answered("intentions", before=(plan,)).startswith("say diverting to Wendle, ")
    assert answered("intentions", before=(replace(plan, refused=True),)).startswith("say standby, ")


@pytest.mark.parametrize(("assigned", "words"), [
    (Assigned(31.0, 5.0, 7000.0), "heading 005, 7000 feet"), (Assigned(31.0, None, 7000.0), "7000 feet"),
    (Assigned(31.0, 330.0, None), "heading 330"), (Assigned(29.9, 330.0, None), ""),
])
def test_what_atc_assigns_in_a_line_is_read_back(assigned: Assigned, words: str) -> None:
    said = answered("", assigned, Heard(31.0, "Approach", "fly"))
    assert said == (f"say {words}, {short().callsign}" if words else "")


def test_a_line_to_another_wants_no_answer() -> None:
    assert answered("emergency", Heard(31.0, "Approach", "say intentions", to_us=False)) == ""


def test_an_item_that_is_an_answer_waits_for_a_line_of_atc() -> None:
    reads_back = item("Read back", do=one("answer"), example="tell approach Larkspur 5304W, wilco")
    sheet = replace(short(), grade_sheet=(reads_back,))
    flight, _ = Flight.start(sheet, 1, "exemplar")
    pilot = SheetPilot(flight, (), {})
    assert pilot.next(flight.panel, (), 5.0) == []
    assert pilot.next(flight.panel, (Heard(6.0, "Approach", "turn left"),), 10.0) == [reads_back.example]
    assert pilot.next(flight.panel, (), 40.0) == []


@pytest.mark.parametrize(("looked_s", "left"), [(2.0, True), (60.0, False)])
def test_a_look_from_before_the_failure_is_not_the_look_that_it_asks_for(looked_s: float, left: bool) -> None:
    looks = item("Look at the gauge", do=one("look", "suction_gauge"), when=FAILED, example="look at the suction gauge")
    flight, events = Flight.start(replace(short(), grade_sheet=(looks,)), 1, "exemplar")
    events += flight.advance(looked_s) + flight.enter("look at the suction gauge") + flight.advance(90.0 - looked_s)
    assert looked_s < of(Failed, events)[0].t or not left
    said = SheetPilot(flight, events, {"pump": 0.0}).next(flight.panel, (), flight.t_s + 5.0)
    assert said == ([looks.example] if left else [])
