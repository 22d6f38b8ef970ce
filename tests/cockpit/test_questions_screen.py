"""After the flight the pilot is asked first; nothing is told before."""

from __future__ import annotations

from pathlib import Path

import pytest
from cockpit.debriefed import ASKED, Graded, ended, words_of
from cockpit.stage import Stage, until
from textual.widgets._footer import FooterKey

from drill.cockpit.debrief.questions import OPENING, QuestionsScreen
from drill.cockpit.debrief.screen import DebriefScreen
from drill.flight.events import Reflected
from drill.flight.record import read_record
from drill.seat.run import Run

GIVES_AWAY = ("vacuum", "pump", "suction", "finding", "score", "missed", "[/lost]")


@pytest.fixture
def flown(tmp_path: Path) -> tuple[Run, Path]:
    return ended(tmp_path)


def answered(record: Path) -> list[tuple[str, str]]:
    return [(event.question, event.answer) for event in read_record(record).events if isinstance(event, Reflected)]


async def test_answers_reach_the_record_and_the_first_enter_answers_nothing(flown: tuple[Run, Path]) -> None:
    run, record = flown
    grading = Graded(None)
    screen = QuestionsScreen(run, record, grading=grading)
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        assert OPENING in words_of(screen)
        assert grading.begun
        await until(pilot, lambda: {"Leave", "Skip the rest"} <= {key.description for key in screen.query(FooterKey)}
                    and bool(screen.query(".-command-palette")))
        await pilot.press(*"go", "enter")    # begun as an order while the flight ended
        assert ASKED[0] in words_of(screen)
        assert answered(record) == []
        seen = words_of(screen)
        await pilot.press(*"[/", "enter")
        assert ASKED[1] in words_of(screen)
        seen += words_of(screen)
        assert answered(record) == [(ASKED[0], "[/")]
        assert [told for told in GIVES_AWAY if told in seen.lower()] == []
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, DebriefScreen))
        assert answered(record) == [(ASKED[0], "[/")]
        assert not grading.left
    assert grading.left


async def test_the_rest_of_the_questions_can_be_skipped(flown: tuple[Run, Path]) -> None:
    run, record = flown
    app = Stage(QuestionsScreen(run, record, grading=Graded(None)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f10")
        await until(pilot, lambda: isinstance(app.screen, DebriefScreen))
    assert answered(record) == []


async def test_answers_that_the_record_does_not_take_are_told_of_and_shown_all_the_same(
    flown: tuple[Run, Path], monkeypatch: pytest.MonkeyPatch,
) -> None:
    run, record = flown
    run._recorder.close()
    screen = QuestionsScreen(run, record, grading=Graded(None))
    app = Stage(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *"pump", "enter")
        assert "The answer is not in the record" in words_of(screen)
        assert screen.answers == ((ASKED[0], "pump"),)
