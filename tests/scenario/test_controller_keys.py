"""The keys by which an author has a say in what the controller does."""

from __future__ import annotations

import pytest

from drill.scenario.document import SAY_KEYS
from drill.scenario.model import INSTEAD_OF, WHEN_ABLE, Say, Scenario
from scenario.documents import changed, loaded, problems

CLEARANCE = "{facility: Orrinfell Approach}"
LINE = '{says: "{callsign}, say intentions.", asks: yes}'


def cleared(keys: str) -> str:
    return changed((CLEARANCE, f"{{facility: Orrinfell Approach, {keys}}}"))


def line(scenario: Scenario) -> Say:
    (cue,) = scenario.phase("helped").cues
    (said,) = cue.effects
    assert isinstance(said, Say)
    return said


def test_left_alone_the_controller_makes_no_mistakes_and_asks_for_all_that_is_missing() -> None:
    clearance = loaded().clearance
    assert (clearance.mistakes, clearance.when_able) == ((), WHEN_ABLE)


@pytest.mark.parametrize(("written", "mistakes"), [
    ("altitude", ("altitude",)), ("[side, callsign]", ("side", "callsign")), ("[]", ()),
    ("[heading, heading]", ("heading",)),
])
def test_mistakes_are_made_in_the_authors_order(written: str, mistakes: tuple[str, ...]) -> None:
    assert loaded(cleared(f"mistakes: {written}")).clearance.mistakes == mistakes


@pytest.mark.parametrize(("written", "asked"), [("[]", ()), ("people", ("people",)), ("[fuel, people]", WHEN_ABLE[2:])])
def test_what_is_asked_for_when_able_can_be_chosen(written: str, asked: tuple[str, ...]) -> None:
    assert loaded(cleared(f"when able: {written}")).clearance.when_able == asked


@pytest.mark.parametrize("keys", ["mistakes: frequency", "when able: the weather", "mood: mistaken"])
def test_what_nobody_knows_of_is_answered_with_what_is_allowed(keys: str) -> None:
    (problem,) = problems(cleared(keys))
    assert problem.rule == "unknown-choice"
    assert "allowed are" in str(problem)


def test_a_line_can_hand_off_and_stand_in_for_the_controllers_own() -> None:
    assert line(loaded(changed((LINE, '{says: "{callsign}, contact Averholt.", hands off: yes}')))).hands_off
    for what in INSTEAD_OF:
        written = f'{{after: 5 s, says: "{{callsign}}, roger.", instead of: {what}}}'
        assert line(loaded(changed((LINE, written)))).instead_of == what


def test_a_line_that_stands_in_for_the_controllers_own_has_its_moment() -> None:
    (problem,) = problems(changed((LINE, '{says: "{callsign}, roger.", instead of: handling}')))
    assert problem.rule == "missing-key"
    assert "the line is said at once" in str(problem)


def test_nobody_is_sent_away_in_the_line_that_handles_an_emergency() -> None:
    written = '{after: 5 s, says: "{callsign}, roger.", instead of: handling, hands off: yes}'
    (problem,) = problems(changed((LINE, written)))
    assert "never said" in str(problem)


def test_a_line_is_said_instead_of_nothing_and_hands_nobody_off_unless_it_says_so() -> None:
    assert (line(loaded()).instead_of, line(loaded()).hands_off) == ("", False)


def test_the_keys_of_a_line_tell_an_author_when_it_stays_unsaid_and_what_it_is_said_for() -> None:
    says = {key.name: key.says for key in SAY_KEYS}
    assert "does not ask for it himself" in says["asks"]
    assert "unsaid in an emergency" in says["hands off"]
    assert "of the controller's own" in says["instead of"]
