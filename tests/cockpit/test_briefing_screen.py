"""The briefing says all that a pilot would know before the flight, and nothing that gives it away."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from cockpit.stage import Stage, seen, until
from textual.events import Key

from drill.cautions import CAUTIONS
from drill.clean import Clean
from drill.cockpit.briefing.screen import BriefingScreen, SketchView
from drill.cockpit.briefing.words import clearance, seed_of, weather_in_code, weather_in_words
from drill.cockpit.text import Words
from drill.scenario import Scenario, load, shipped
from drill.seat.briefing import HANDS

TALLOWBY = shipped()["cruise-to-tallowby"]
WITH_THE_LONG = {"over-to-sorrelton", "supper-at-sandrick"}   # two apps each; three others go by default
SCENARIO = load(TALLOWBY)
TALL = (120, 140)
"""A screen on which the whole briefing is in sight."""


def words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{4,}", text.casefold()))


async def briefed(scenario: Scenario | Path, size: tuple[int, int] = TALL) -> list[str]:
    """The rows of the briefing's screen once all is there."""
    app = Stage(BriefingScreen(scenario))
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: app.screen.query(SketchView) and "wind" in "\n".join(seen(app)))
        return seen(app)


async def test_situation_weather_clearance_who_flies_and_cautions_are_there_in_one_column_at_eighty() -> None:
    rows = await briefed(SCENARIO, (80, 140))
    assert any("Weather, in plain words" in row and "Weather, coded" in row for row in rows)    # these side by side
    assert not any("Situation" in row and "N ↑" in row for row in rows)
    said = "\n".join(rows)
    flat = " ".join(said.split())
    for wanted in (
        "Briefing: Cruise to Tallowby", "callsign Larkspur 5304W", "Fuel: 3 hours 10 minutes", "On board: 2",
        "Minimum altitude: 2,600 feet", HANDS, *CAUTIONS,
    ):
        assert wanted in flat
    for section in ("Situation", "Weather, in plain words", "Weather, coded", "Clearance", "Who flies", "Fields"):
        assert section in said
    order = ["Clearance limit:", "Route:", "Altitude:", "Frequency:", "Transponder:"]
    assert order == sorted(order, key=said.index)


async def test_text_and_sketch_are_two_columns_from_120() -> None:
    wide = await briefed(SCENARIO, (120, 60))
    assert any("You are half an hour" in row and row.index("You are half") < 60 for row in wide)
    assert any("Situation" in row and "N ↑" in row for row in wide)
    assert any("METAR TALLOWBY 141753Z 26008KT 2SM BR OVC007 09/08 A2986" in row for row in wide)


async def test_pace_and_seed_are_chosen_and_enter_begins() -> None:
    app = Stage(BriefingScreen(SCENARIO))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.screen.query(SketchView))
        assert "(*) held: time waits while you type a line" in "\n".join(seen(app))
        await pilot.press("enter")
        await pilot.pause()
        assert app.flown == [(SCENARIO, "held", None)]
        await pilot.press("f2", "f4", "4", "x", "2", "enter")
        await pilot.pause()
        assert app.flown[1:] == [(SCENARIO, "turns", 42)]
        assert "(*) turns: time passes only while something is done" in "\n".join(seen(app))
        await pilot.click("#pace-running")
        await pilot.click("#begin")
        await pilot.pause()
        assert app.flown[2:] == [(SCENARIO, "running", 42)]
        assert app.settings.pace == "running", "what is chosen here is remembered"
        app.shown.query_one("#page").focus()
        assert isinstance(app.screen, BriefingScreen)
        app.screen.take_pace("held")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert app.flown[3:] == [(SCENARIO, "held", 42)]
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, BriefingScreen))


async def test_a_seed_typed_while_the_scenario_is_still_being_read_is_kept() -> None:
    app = Stage(BriefingScreen(TALLOWBY))
    async with app.run_test(size=(80, 24)) as pilot:
        for key in ("f4", "4", "2", "7"):                # all at once, as they come when the screen was busy
            app.post_message(Key(key, key if key.isdigit() else None))
        await until(pilot, lambda: app.screen.query(SketchView))
        await pilot.press("enter")
        await pilot.pause()
        assert [seed for _, _, seed in app.flown] == [427]


async def test_an_author_is_warned_in_the_briefing_and_nobody_else() -> None:
    app = Stage(BriefingScreen(SCENARIO))
    app.warnings = ["own.yaml:3:1: warning: no branch uses [b]this[/b] ending"]
    async with app.run_test(size=TALL) as pilot:
        await until(pilot, lambda: app.screen.query(SketchView))
        said = "\n".join(seen(app))
        assert "For its author: a warning" in said
        assert "own.yaml:3:1: warning: no branch uses [b]this[/b] ending" in said
        assert "Reading the scenario" not in said
    assert "For its author" not in "\n".join(await briefed(TALLOWBY))


async def test_all_can_be_read_by_keys_at_80x24() -> None:
    app = Stage(BriefingScreen(SCENARIO))
    read: set[str] = set()
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.screen.query(SketchView))
        app.animation_level = "none"
        for _ in range(8):
            read |= {row.strip() for row in seen(app)}
            await pilot.press("pagedown")
            await pilot.pause()
    said = "\n".join(read)
    for wanted in ("Situation", "Fields", "The sketch in words", "North is up; bearings are magnetic"):
        assert wanted in said


async def test_every_fault_of_a_scenario_is_told_with_file_line_and_column(tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    text = TALLOWBY.read_text(encoding="utf-8")
    text = text.replace("altitude: 6000 ft\n  heading", "altitude: 6000\n  heading", 1)
    text = text.replace("turbulence: light", "turbulence: [bold]")
    path.write_text(text, encoding="utf-8")
    app = Stage(BriefingScreen(path, title="Bad"))
    async with app.run_test(size=(160, 40)) as pilot:
        await until(pilot, lambda: app.screen.query("#problems"))
        said = app.screen.query_one("#problems", Words).said
        assert "there are 2 faults in it" in said
        lines = text.splitlines()
        for wrong in ("altitude: 6000", "turbulence: [bold]"):
            number = next(at for at, line in enumerate(lines, 1) if line.strip() == wrong)
            assert f"{path}:{number}:" in said
        await pilot.press("enter")
        await pilot.pause()
        assert app.flown == []
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, BriefingScreen))


async def test_a_file_that_is_gone_is_told_in_words(tmp_path: Path) -> None:
    app = Stage(BriefingScreen(tmp_path / "gone.yaml"))
    async with app.run_test(size=(120, 40)) as pilot:
        await until(pilot, lambda: app.screen.query("#problems"))
        assert "cannot be read (No such file or directory)" in app.screen.query_one("#problems", Words).said


def without_story(scenario: Scenario) -> Scenario:
    """The same situation with another story: everything hidden is different."""
    return replace(
        scenario, title=Clean("Quince"), aim=Clean("Marmalade"), covers=(), nothing_fails=0.0, failures=(), events=(),
        phases=(), endings=(), grade_sheet=(), debrief=replace(scenario.debrief, ask=(), discuss=Clean("")), text="",
    )


@pytest.mark.parametrize("name", [pytest.param(name, marks=[pytest.mark.long] if name in WITH_THE_LONG else [])
                                  for name in sorted(shipped())])
async def test_the_briefing_says_nothing_of_the_story(name: str) -> None:
    scenario = load(shipped()[name])
    said = await briefed(scenario)
    assert said == await briefed(without_story(scenario))
    kept = words(" ".join((
        scenario.title, scenario.aim, *(phase.name for phase in scenario.phases),
        *(f"{item.name} {item.example} {item.why}" for item in scenario.grade_sheet),
        *(f"{failure.part} {failure.how} {failure.name}" for failure in scenario.failures),
    )))
    told = words(" ".join((
        scenario.board_title, scenario.briefing, scenario.weather.words, *scenario.weather.coded, *scenario.cautions,
        *CAUTIONS, HANDS, *(f"{field.name} {field.weather} {' '.join(field.approaches)}" for field in scenario.fields),
        scenario.clearance.facility, scenario.callsign, scenario.airplane.title,
    )))
    bare = replace(
        without_story(scenario), briefing=Clean(""), fields=(), course=None,
        weather=replace(scenario.weather, words=Clean(""), coded=()),
    )
    own = words("\n".join(await briefed(bare)))            # what the briefing says of any scenario
    assert len(kept - told - own) > 20
    leaked = (words("\n".join(said)) - told - own) & kept
    assert leaked <= FIELD_WORDS


FIELD_WORDS = {"bearing", "miles", "nautical", "runway", "course", "needle", "approaches", "clear", "ceiling",
               "visibility", "minimums", "inbound", "radar", "feet", "line", "approach"}
"""What the briefing says of any field and course."""


async def test_hostile_text_in_a_scenario_comes_out_literally(tmp_path: Path) -> None:
    hostile = '"[bold]Hi[/nope] \\e]0;t\\a\\u202e[@click=x]"'
    text = TALLOWBY.read_text(encoding="utf-8")
    text = text.replace("board title: Cruise to Tallowby", f"board title: {hostile}")
    text = text.replace("limit: Tallowby", f"limit: {hostile}")
    text = text.replace("    weather: Sky clear, ten miles.", f"    weather: {hostile}")
    text = re.sub(r"\nbriefing: >-\n(?:  .*\n)+", lambda _: f"\nbriefing: {hostile}\n", text)
    text = text.replace('"METAR WENDLE 141753Z 27011KT 10SM CLR 14/05 A2994"', hostile)
    text = text.replace("Orrinfell Approach\n  frequency", "\"Orrinfell [red]Approach[/]\"\n  frequency")
    path = tmp_path / "hostile.yaml"
    path.write_text(text, encoding="utf-8")
    said = "\n".join(await briefed(path, (80, 140)))
    flat = " ".join(said.split())
    assert flat.count("[bold]Hi[/nope] ]0;t[@click=x]") >= 4
    assert "Orrinfell [red]Approach[/], 124.35" in flat
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said)


def test_the_clearance_is_in_the_order_in_which_it_is_copied() -> None:
    assert [line.split(":")[0] for line in clearance(SCENARIO).plain.splitlines()[:5]] == [
        "Clearance limit", "Route", "Altitude", "Frequency", "Transponder",
    ]
    bare = replace(SCENARIO, clearance=replace(
        SCENARIO.clearance, limit=Clean(""), code=Clean(""), frequency=Clean(""), radar_approach=False))
    assert "Clearance limit: not given" in clearance(bare).plain
    assert clearance(bare).plain.splitlines()[-1].split() == ["Transponder:", "no", "code", "given"]


def test_weather_without_the_author_s_words_is_said_from_its_values() -> None:
    plain = replace(SCENARIO, weather=replace(SCENARIO.weather, words=Clean(""), coded=()))
    assert weather_in_words(plain).plain == (
        "Cloud from 1,100 feet to 7,200 feet. Wind 270 at 20 knots, freezing level 8,500 feet."
    )
    assert "TALLOWBY 27020KT 2SM OVC007 A2986" in weather_in_code(plain).plain
    assert "invented" in weather_in_code(plain).plain


@pytest.mark.parametrize(("typed", "seed"), [("", None), ("  ", None), ("0", 0), ("999999999", 999_999_999)])
def test_a_seed_is_a_whole_number_or_none(typed: str, seed: int | None) -> None:
    assert seed_of(typed) == seed


@pytest.mark.parametrize("typed", ["-1", "1.5", "1000000000", "٣", "seven"])
def test_another_seed_is_refused_in_words(typed: str) -> None:
    with pytest.raises(ValueError, match="a whole number from 0 to 999999999 is wanted"):
        seed_of(typed)
