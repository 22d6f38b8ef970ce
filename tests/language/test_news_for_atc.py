"""What sounds as if it were for ATC: sent once, as one call, or asked back with what to say (our own lines)."""

from __future__ import annotations

import pytest

from drill.language import read, read_call
from drill.language.meaning import Context, Transmit, Turn, Unclear
from drill.language.sending import ASK_WORDS

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Tallowby", "Wendle", "Ashby"))
SAY_IT = Unclear('If that is for ATC, say it to them: "tell approach ...".')


@pytest.mark.parametrize("line", [
    "engine is running again", "engine restarted", "the engine has caught again", "engine running fine again",
    "vacuum is back", "the AI works again", "the alternator is back on", "we got the gyro back",
    "the AI is reading normally again", "the pilot is ill", "my passenger is ill", "we don't need to declare",
    "no need for an emergency", "we are not declaring", "not an emergency", "we're in the soup",
])
def test_news_that_is_typed_bare_is_asked_back_with_what_to_say(line: str) -> None:
    assert read(line, HERE) == [SAY_IT]


@pytest.mark.parametrize("line", [
    "icing is bad, need lower now", "we are picking up ice, need lower now", "two souls, request lower",
    "it's getting worse, icing is bad, need lower now", "request lower, need lower now", "04X request climb",
    "5304X, request climb", "zero four xray, request climb", "Kestrel 04X request climb",
    "Kestrel zero four x-ray request climb", "I say again, mayday", "I say again, we lost the vacuum",
])
def test_a_call_goes_out_once_and_whole(line: str) -> None:
    (action,) = read(line, HERE)
    assert isinstance(action, Transmit)
    assert action.call == line


@pytest.mark.parametrize("line", ["contact approach", "call approach", "contact tower", "call them back", "raise atc"])
def test_to_call_somebody_without_words_asks_for_the_words(line: str) -> None:
    assert read(line, HERE) == [Unclear(ASK_WORDS)]


def test_what_is_said_again_to_oneself_is_an_order() -> None:
    assert read("I say again, turn left 270", HERE) == [Turn("left", 270)]


@pytest.mark.parametrize("words", [
    "I say again, mayday", "mayday, I say again mayday, engine failure", "04W, I say again, we lost the vacuum",
])
def test_who_says_it_again_asks_for_nothing_to_be_said_again(words: str) -> None:
    assert "say_again" not in [reply.kind for reply in read_call(words, HERE).replies]


@pytest.mark.parametrize("words", [
    "we don't need to declare", "no need for an emergency", "no need to declare an emergency", "no emergency",
    "we do not want to declare", "not going to declare", "we won't call it an emergency",
    "no reason to declare an emergency",
])
def test_an_emergency_is_declined_in_other_words(words: str) -> None:
    call = read_call(f"Approach, 04W, {words}", HERE)
    assert call.declines_emergency
    assert call.urgency == "none"


@pytest.mark.parametrize("words", ["we don't need emergency services", "declaring an emergency", "we need to declare"])
def test_what_declines_no_emergency(words: str) -> None:
    assert not read_call(f"Approach, 04W, {words}", HERE).declines_emergency


@pytest.mark.parametrize(("words", "trouble"), [
    ("the pilot is ill", True), ("pilot ill, need help", True), ("ill passenger on board", True),
    ("I feel ill", True), ("my wife has fallen ill", True), ("ill turn left", False), ("ill call you back", False),
    ("I'll climb", False), ("nobody is ill", False),
])
def test_ill_is_sick_where_it_is_and_i_will_elsewhere(words: str, trouble: bool) -> None:
    assert read_call(f"Approach, 04W, {words}", HERE).trouble is trouble


@pytest.mark.parametrize(("words", "failed", "works"), [
    ("engine is running again", (), ("engine",)), ("engine restarted", (), ("engine",)),
    ("engine failed again", ("engine",), ()), ("the engine restarted but is rough", ("engine",), ()),
    ("vacuum came back but failed again", ("vacuum_system",), ()), ("engine will not restart", ("engine",), ()),
    ("engine not running again", ("engine",), ()),
])
def test_what_runs_again_works_unless_it_failed_again(words: str, failed: tuple[str, ...],
                                                     works: tuple[str, ...]) -> None:
    call = read_call(f"Approach, 04W, {words}", HERE)
    assert (call.equipment, call.rejoined) == (failed, works)
