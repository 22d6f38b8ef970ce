"""A scenario that drill writes is sound under every check, with every airplane and every failure seen in it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from check.fragments import WHOLE
from drill.airplane.failures import CATALOGUE
from drill.check.checking import check_text
from drill.check.new import (
    CannotWrite,
    Wishes,
    airplane_named,
    failure_named,
    fitting,
    written,
)
from drill.flight.flight import Flight
from drill.flight.record import Recorder, read_record
from drill.grading.debrief import Debrief
from drill.plain.debriefing import debrief_of
from drill.scenario.loading import airplanes_beside, load_text
from drill.scenario.shelf import procedures

BESIDE = airplanes_beside(WHOLE)
AIRPLANES = sorted(path.stem for path in (procedures() / "airplanes").glob("*.yaml"))
SIGHTLESS = {part for (part, _), failure in CATALOGUE.items() if not failure.named_right_as}


@cache
def failures_of(airplane: str) -> tuple[tuple[str, str], ...]:
    return tuple(each.key for each in fitting(airplane_named(airplane, BESIDE)))


def sound(wishes: Wishes) -> str:
    """The text of a scenario in which nothing is found."""
    text = written(wishes, BESIDE, "evening-flight.yaml")
    found = check_text(text, "evening-flight.yaml", BESIDE)
    assert found.problems == (), [str(each) for each in found.problems]
    return text


def flown(text: str, path: Path, *, minutes: float, words: tuple[tuple[float, str], ...] = ()) -> Debrief:
    """The debrief of a flight with these words typed at these seconds, with the failure of every seed."""
    scenario = load_text(text.replace("nothing fails: 1 in 5", "nothing fails: 0"), "evening-flight.yaml", BESIDE)
    flight, events = Flight.start(scenario, 4)
    with Recorder.create(path, flight, events) as recorder:
        for at_s, line in words:
            recorder.write(flight.advance(max(0.0, at_s - flight.t_s)), flight)
            recorder.write(flight.enter(line), flight)
        recorder.write(flight.advance(minutes * 60.0 - flight.t_s), flight)
    return debrief_of(read_record(path))


@pytest.mark.parametrize("airplane", AIRPLANES)
def test_every_airplane_has_a_sound_scenario_for_a_failure_of_each_kind(airplane: str) -> None:
    for each in failures_of(airplane)[::9]:
        sound(Wishes(airplane, (each,)))


@pytest.mark.overnight
@pytest.mark.parametrize("airplane", AIRPLANES)
def test_every_failure_that_an_airplane_can_show_has_a_sound_scenario(airplane: str) -> None:
    for each in failures_of(airplane):
        sound(Wishes(airplane, (each,)))


def test_what_fits_is_all_that_shows_itself_and_that_some_airplane_has() -> None:
    fits = {key for airplane in AIRPLANES for key in failures_of(airplane)}
    assert {part for part, _ in set(CATALOGUE) - fits} == SIGHTLESS
    assert ("autopilot", "runs away") in failures_of("larkspur-180-a")
    assert ("autopilot", "runs away") not in failures_of("larkspur-180")


def test_of_several_failures_each_flight_draws_one() -> None:
    text = sound(
        Wishes("larkspur-180", (("vacuum pump", "shaft shears"), ("vacuum pump", "weakens"), ("engine", "stops")))
    )
    scenario = load_text(text, "evening-flight.yaml", BESIDE)
    assert [each.fails for each in scenario.variations] == [
        ("vacuum pump shaft shears",),
        ("vacuum pump weakens",),
        ("engine",),
    ]


@pytest.mark.parametrize(
    "words",
    [
        "An evening: with a colon",
        "no",
        "# not a comment",
        "it's 5 o'clock",
        'the "long" way',
        "{callsign}",
        "- a dash",
        "Ünder Wölken",
    ],
)
def test_any_title_stays_what_was_typed(words: str) -> None:
    text = sound(Wishes("larkspur-180", (("vacuum pump", "weakens"),), words, words))
    scenario = load_text(text, "evening-flight.yaml", BESIDE)
    assert (scenario.board_title, scenario.title) == (words, f"{words[:1].upper()}{words[1:]}")


def test_what_is_written_flies_and_what_its_examples_do_is_graded_as_done(tmp_path: Path) -> None:
    text = sound(Wishes("larkspur-180", (("vacuum pump", "shaft shears"),)))
    scenario = load_text(text, "evening-flight.yaml", BESIDE)
    examples = tuple(
        (600.0 + 40.0 * number, str(item.example))
        for number, item in enumerate(scenario.grade_sheet)
        if item.example is not None and item.do is not None and item.within is not None and item.within.of == "failure"
    )
    told = flown(
        text, tmp_path / "f.jsonl", minutes=16.0, words=((100.0, "say two niner niner two, Larkspur 4418T"), *examples)
    )
    by_item = {each.item: each.verdict for each in told.findings}
    assert by_item["Name what has failed"] == "done"
    assert by_item["Tell ATC"] == "done"
    assert by_item["Answer the controller"] == "done"


@pytest.mark.parametrize(
    ("airplane", "failure"),
    [
        ("wexley-260", ("engine", "stops")),
        ("larkspur-180-a", ("autopilot", "runs away")),
        ("wexley-260-standby", ("standby attitude", "flags itself")),
        ("larkspur-180", ("transmitter", "goes dead")),
    ],
)
def test_what_is_written_flies_with_nobody_acting_and_is_debriefed(
    airplane: str,
    failure: tuple[str, str],
    tmp_path: Path,
) -> None:
    assert flown(sound(Wishes(airplane, (failure,))), tmp_path / "f.jsonl", minutes=10.0).findings


@pytest.mark.overnight
@pytest.mark.parametrize("failure", sorted({key for each in AIRPLANES for key in failures_of(each)}), ids="/".join)
def test_a_scenario_of_every_failure_flies_and_is_debriefed(failure: tuple[str, str], tmp_path: Path) -> None:
    airplane = next(each for each in AIRPLANES if failure in failures_of(each))
    assert flown(written(Wishes(airplane, (failure,)), BESIDE, "f.yaml"), tmp_path / "f.jsonl", minutes=15.0).findings


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("vacum pump", "the nearest known word is `vacuum pump`"),
        ("engine", "`engine/stops`"),
        ("engine/explodes", "`engine/stops`"),
        ("", "no part"),
    ],
)
def test_a_failure_that_is_not_known_is_told_what_is(said: str, wrong: str) -> None:
    with pytest.raises(CannotWrite, match=wrong):
        failure_named(said)


def test_a_failure_is_named_by_part_and_how_and_by_its_part_where_that_is_enough() -> None:
    assert failure_named("Vacuum  Pump / shaft shears") == ("vacuum pump", "shaft shears")
    assert failure_named("transponder") == ("transponder", "goes dead")


@pytest.mark.parametrize(
    ("wishes", "wrong"),
    [
        (Wishes("larkspur-180", (("autopilot", "runs away"),)), "has no autopilot"),
        (Wishes("larkspur-180", (("suction gauge", "sticks"),)), "shows nothing by itself"),
        (Wishes("larkspur-280", (("engine", "stops"),)), "there is no airplane"),
        (Wishes("larkspur-180", ()), "no failure"),
    ],
)
def test_a_wish_that_cannot_be_met_is_refused_in_words(wishes: Wishes, wrong: str) -> None:
    with pytest.raises(CannotWrite, match=wrong):
        written(wishes, BESIDE, "f.yaml")


@pytest.mark.parametrize("how", ["close", "close partly"])
def test_closed_static_ports_ask_for_the_alternate_source_which_restores_them(how: str) -> None:
    # FAA-H-8083-15B ch. 5: the alternate static source, for ports that are blocked
    assert "do: switch alternate static on" in sound(Wishes("larkspur-180", (("static ports", how),)))


def test_a_pump_has_no_source_that_every_airplane_could_switch_to() -> None:
    assert "do: switch" not in sound(Wishes("larkspur-180", (("vacuum pump", "shaft shears"),)))


def test_who_names_an_airplane_that_is_not_there_is_told_which_are() -> None:
    with pytest.raises(CannotWrite, match="`larkspur-180`"):
        written(Wishes("cessna", (("vacuum pump", "shaft shears"),)), BESIDE, "f.yaml", AIRPLANES)
