"""The board lists what can be flown, finds it quickly, and gives nothing away unless it is asked."""

import re
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from cockpit.stage import Stage, seen, until

from drill.cautions import CAUTIONS
from drill.cockpit.board.list_view import BoardList, fitted
from drill.cockpit.board.rows import NOT_FLOWN, UNFINISHED, Wanted, airplanes, day, entries, listed, nothing_here, rows
from drill.cockpit.board.screen import ASK_AGAIN, BoardScreen, Known
from drill.cockpit.text import Words
from drill.scenario import load, shipped
from drill.scenario.cards import Card, cards, cards_in
from drill.seat.journal import Attempt
from drill.seat.record_glance import Glance

TODAY = date(2026, 11, 25)
HOP = Card("hop", Path("/s/hop.yaml"), "A short hop", "Larkspur 180", 10, "Suction lost", "Fly on.", ("IR.VII.D",))
NIGHT = Card("night", Path("/s/night.yaml"), "Night mail", "Thistle 300", 30, "Lamps out", "Go on.")
LONG = Card("long", Path("/s/long.yaml"), "Ärmel of rain", "Larkspur 180", 45, "Ice", "Turn back.")
BROKEN = Card("odd", Path("/s/odd.yaml"), problem="/s/odd.yaml:3:1: this line is indented with a tab; use spaces")
ALL = [NIGHT, BROKEN, HOP, LONG]
FLOWN = [
    Attempt("hop", "A short hop", Path("/r/1"), 1, "2026-11-01", True, "landed", 40.0),
    Attempt("night", "Night mail", Path("/r/2"), 2, "2025-12-31", True, "landed", None),
    Attempt("hop", "A short hop", Path("/r/3"), 3, "2026-11-25", True, "landed", 81.6),
    Attempt("long", "Ärmel of rain", Path("/r/4"), 77, "2026-11-24"),
]


def board(known: Known) -> BoardScreen:
    return BoardScreen(lambda: known, today=lambda: TODAY)


# --- what is listed ---------------------------------------------------------------------------------------------


def test_each_scenario_says_how_it_last_went() -> None:
    last = {entry.card.name: entry.last for entry in entries(ALL, FLOWN, TODAY)}
    assert last == {
        "hop": "Nov 25: 82 of 100", "night": "Dec 31, 2025: not graded", "long": UNFINISHED, "odd": "",
    }
    assert entries([HOP], [], TODAY)[0].last == NOT_FLOWN


@pytest.mark.parametrize(("wanted", "names"), [
    (Wanted(), ["hop", "night", "long", "odd"]),
    (Wanted(words="NIGHT"), ["night"]),
    (Wanted(words="hop short"), ["hop"]),
    (Wanted(words="ärmel"), ["long"]),
    (Wanted(words="suction"), []),                       # what it trains is not sought
    (Wanted(airplane="Larkspur 180"), ["hop", "long"]),
    (Wanted(length="up to 15"), ["hop"]),
    (Wanted(length="up to 30"), ["hop", "night"]),
    (Wanted(length="longer"), ["long"]),
    (Wanted(order="last flown"), ["hop", "long", "night", "odd"]),
    (Wanted(words="odd"), ["odd"]),
])
def test_title_airplane_length_and_order_choose_what_is_listed(wanted: Wanted, names: list[str]) -> None:
    assert [entry.card.name for entry in listed(entries(ALL, FLOWN, TODAY), wanted)] == names


def test_a_flight_flown_again_from_a_moment_is_no_measure_of_how_the_pilot_does() -> None:
    again = Attempt("hop", "A short hop", Path("/r/6"), 3, "2026-11-26", True, "landed", 99.0, rewound=True)
    hop = next(entry for entry in entries(ALL, [*FLOWN, again], TODAY) if entry.card == HOP)
    assert "82 of 100" in hop.last
    assert entries([HOP], [again], TODAY)[0].last == UNFINISHED    # begun that way only
    left = [replace(again, ended=False)]
    assert rows(entries(ALL, left, TODAY), left, Wanted(), TODAY)[1].cells[0] == "A short hop, flown again"


def test_airplanes_to_filter_by_are_those_flown() -> None:
    assert airplanes(entries(ALL, [], TODAY)) == ["Larkspur 180", "Thistle 300"]


def test_unfinished_flights_come_first_newest_first_and_can_be_sought() -> None:
    more = [*FLOWN, Attempt("night", "Night mail", Path("/r/5"), 5, "2026-11-25")]
    listed_rows = rows(entries(ALL, more, TODAY), more, Wanted(), TODAY)
    assert [row.record for row in listed_rows if row.record] == [Path("/r/5"), Path("/r/4")]
    assert listed_rows[2].cells == ("Ärmel of rain", "seed 77", "", "Nov 24")
    sought = rows(entries(ALL, more, TODAY), more, Wanted(words="mail"), TODAY)
    assert [row.record for row in sought if row.record] == [Path("/r/5")]


def test_an_unfinished_flight_is_told_by_seed_flight_time_date_and_clock() -> None:
    left = [Attempt("hop", "A short hop", Path("/r/6"), 6, "2026-11-25T09:05")]
    glances = {Path("/r/6"): Glance(754.2)}
    row = rows(entries(ALL, left, TODAY), left, Wanted(), TODAY, glances)[1]
    assert row.cells == ("A short hop", "seed 6", "12:34", "Nov 25, 09:05")


def test_the_last_finished_result_stands_with_what_is_unfinished_beside() -> None:
    more = [*FLOWN, Attempt("hop", "A short hop", Path("/r/6"), 6, "2026-11-25T09:05")]
    hop = next(entry for entry in entries(ALL, more, TODAY) if entry.card == HOP)
    assert hop.last == "Nov 25: 82 of 100, one unfinished"
    assert hop.short == "Nov 25: 82, 1 unfinished"
    assert hop.flown == "2026-11-25T09:05"


def test_a_date_has_its_year_unless_it_is_this_one() -> None:
    assert day("2026-03-01", TODAY) == "Mar 1"
    assert day("2024-03-01", TODAY) == "Mar 1, 2024"
    assert day("nonsense", TODAY) == "nonsense"


def test_an_empty_board_says_what_to_do() -> None:
    known = entries(ALL, [], TODAY)
    assert "drill fly FILE" in nothing_here([], Wanted())
    assert nothing_here(known, Wanted()) == ""
    said = nothing_here(known, Wanted(words="zz", airplane="Thistle 300", length="longer"))
    assert "\"zz\"" in said
    assert "Thistle 300" in said
    assert "over 30 min" in said
    assert "Escape" in said


def test_a_title_that_is_cut_says_so_and_keeps_its_columns() -> None:
    assert fitted("A long way round", 10) == "A long... "
    assert fitted("Hop", 6) == "Hop   "
    assert fitted("a\nb", 4) == "a b "


# --- on the screen ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(80, 24), (160, 50)])
async def test_titles_airplanes_minutes_last_results_and_cautions_are_in_sight_at_every_size(
    size: tuple[int, int],
) -> None:
    app = Stage(board(Known(ALL, FLOWN)))
    async with app.run_test(size=size) as pilot:
        await until(pilot, lambda: app.screen.query_one(BoardList).rows)
        said = " ".join(" ".join(seen(app)).split())
        for wanted in (
            "A short hop", "Larkspur 180", "10 min", "Nov 25: 82 of 100", "begun, not finished", "Unfinished flights",
            "Dec 31, 2025: not graded", "cannot be read: /s/odd.yaml:3:1: this", *CAUTIONS,
        ):
            assert wanted in said


@pytest.mark.parametrize("columns", [60, 80, 120])
async def test_the_footer_has_leave_and_from_76_columns_the_commands(columns: int) -> None:
    app = Stage(board(Known(ALL, [])))
    async with app.run_test(size=(columns, 24)) as pilot:
        await until(pilot, lambda: "enter Choose" in seen(app)[-1])
        footer = seen(app)[-1]
        assert "^q Leave" in footer
        assert ("^p" in footer) == (columns >= 76)
        assert columns < 76 or "esc All" in footer


async def test_typing_seeks_arrows_point_and_enter_briefs() -> None:
    app = Stage(board(Known(ALL, [])))
    async with app.run_test(size=(80, 24)) as pilot:
        listed_rows = app.screen.query_one(BoardList)
        await until(pilot, lambda: listed_rows.rows)
        before = listed_rows.rows
        await pilot.press("r")                           # A short hop, Ärmel of rain
        await pilot.pause()
        found = listed_rows.rows
        assert [row.cells[0] for row in found] == ["A short hop", "Ärmel of rain"]
        await pilot.press("space")                       # finds the same: nothing is made anew
        await pilot.pause()
        assert listed_rows.rows is found
        await pilot.press("down", "enter")
        await pilot.pause()
        assert app.briefed == [LONG]
        await pilot.press("escape")
        await pilot.pause()
        assert listed_rows.rows == before
        await pilot.press("z", "z")
        await pilot.pause()
        assert "No scenario has \"zz\" in its title." in "\n".join(seen(app))


async def test_a_flight_that_somebody_is_flying_is_marked_and_not_offered() -> None:
    both = [*FLOWN, Attempt("hop", "A short hop", Path("/r/6"), 6, "2026-11-25")]
    app = Stage(board(Known(ALL, both, {Path("/r/6"): Glance(60.0, flown_now=True)})))
    async with app.run_test(size=(80, 24)) as pilot:
        listed_rows = app.screen.query_one(BoardList)
        await until(pilot, lambda: listed_rows.rows)
        assert any("seed 6" in row and "being flown now" in row for row in seen(app))
        assert any("A short hop" in row and "Nov 25: 82, 1 unfinished" in row for row in seen(app))
        await pilot.press("home", "up", "enter")
        await pilot.click(BoardList, offset=(5, 1), times=2)
        await pilot.pause()
        assert app.resumed == [Path("/r/4")]


async def test_a_journal_that_cannot_be_read_is_said_where_the_flights_would_stand() -> None:
    app = Stage(board(Known(ALL, [], wrong="The list of flights cannot be read: /j/[b]flights.jsonl")))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.screen.query_one(BoardList).rows)
        await pilot.press("down")
        await until(pilot, lambda: "cannot be read: /j/[b]flights.jsonl" in "\n".join(seen(app)))


async def test_filters_are_cycled_by_key_and_by_button() -> None:
    app = Stage(board(Known(ALL, FLOWN[:3])))
    async with app.run_test(size=(120, 40)) as pilot:
        listed_rows = app.screen.query_one(BoardList)
        await until(pilot, lambda: listed_rows.rows)
        await pilot.press("f2", "f2")
        assert [row.card for row in listed_rows.rows] == [NIGHT]
        await pilot.click("#airplane")
        await pilot.press("f3")
        await pilot.pause()
        assert [row.card for row in listed_rows.rows] == [HOP]
        await pilot.press("f3", "f3", "f3", "f4")
        await pilot.pause()
        assert [row.card for row in listed_rows.rows] == [HOP, NIGHT, LONG, BROKEN]
        await until(pilot, lambda: "By last flown" in "\n".join(seen(app)))


async def test_an_unfinished_flight_is_resumed_and_a_click_points_where_two_brief() -> None:
    app = Stage(board(Known(ALL, FLOWN)))
    async with app.run_test(size=(80, 24)) as pilot:
        listed_rows = app.screen.query_one(BoardList)
        await until(pilot, lambda: listed_rows.rows)
        await pilot.press("enter")
        await pilot.pause()
        assert app.resumed == [Path("/r/4")]
        await pilot.click(BoardList, offset=(5, 4))
        await pilot.pause()
        assert listed_rows.row is not None
        assert listed_rows.row.card == NIGHT
        assert app.briefed == []
        await pilot.click(BoardList, offset=(5, 4), times=2)
        await pilot.pause()
        assert app.briefed == [NIGHT]


async def test_what_a_scenario_trains_is_shown_when_asked_with_a_warning_and_hidden_with_the_row() -> None:
    app = Stage(board(Known(ALL, [])))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.screen.query_one(BoardList).rows)
        assert "gives the failure away" in "\n".join(seen(app))
        assert "Suction lost" not in "\n".join(seen(app))
        await pilot.press("f6")
        await pilot.pause()
        assert ASK_AGAIN in "\n".join(seen(app))
        assert "Suction lost" not in "\n".join(seen(app))
        await pilot.press("down", "f6")                  # asked once of another one
        await pilot.pause()
        assert "Lamps out" not in "\n".join(seen(app))
        await pilot.press("up", "f6", "f6")
        await pilot.pause()
        shown = "\n".join(seen(app))
        assert "This gives the failure away. A short hop trains: Suction lost." in shown
        assert "Aim: Fly on." in shown
        assert "IR.VII.D" in shown
        await pilot.press("down")
        await pilot.pause()
        assert not app.screen.query_one("#told", Words).display
        assert "Suction lost" not in "\n".join(seen(app))
        await pilot.click("#trains")
        await until(pilot, lambda: not app.screen.query_one("#trains").has_class("-active"))
        assert ASK_AGAIN in "\n".join(seen(app))        # a double click asks once
        await pilot.click("#trains")
        await pilot.pause()
        assert "Night mail trains: Lamps out." in "\n".join(seen(app))
        await pilot.press("f6")
        await pilot.pause()
        assert "Lamps out" not in "\n".join(seen(app))


async def test_the_last_row_s_problem_is_told_in_full_and_its_row_stays_in_sight() -> None:
    many = [replace(HOP, name=f"hop{number}", path=Path(f"/s/{number}"), board_title=f"Hop {number:03d}")
            for number in range(300)]
    app = Stage(board(Known([*many, BROKEN], [])))
    async with app.run_test(size=(80, 24)) as pilot:
        listed_rows = app.screen.query_one(BoardList)
        await until(pilot, lambda: listed_rows.rows)
        listed_rows.focus()
        await pilot.press("end")
        await until(pilot, lambda: any(row.lstrip().startswith("> odd") for row in seen(app)))
        told = " ".join(app.screen.query_one("#told", Words).said.split())
        assert told == f"Cannot be read: {BROKEN.problem}"
        await pilot.press("home", "pagedown")
        await until(pilot, lambda: any("> Hop 0" in row for row in seen(app)))
        assert 5 < listed_rows.at < 30


def _has_rows(app: Stage) -> bool:
    return bool(app.screen.query_one(BoardList).rows)


def words(text: str) -> set[str]:
    return set(re.findall(r"[a-z]{4,}", text.casefold()))


async def test_the_board_says_nothing_of_what_the_shipped_scenarios_train() -> None:
    real = cards()
    other = [replace(card, title="Quince marmalade", aim="Zebra", covers=("XX.1",)) for card in real]
    screens = []
    for known in (real, other, [HOP]):
        app = Stage(board(Known(known, [])))
        async with app.run_test(size=(120, 40)) as pilot:
            await until(pilot, partial(_has_rows, app))
            screens.append("\n".join(seen(app)))
    assert screens[0] == screens[1]                        # title, aim and codes change nothing
    own = words(screens[2])                                # what the board says of any scenario
    for path in shipped().values():
        scenario = load(path)
        kept = words(" ".join((
            scenario.title, scenario.aim, *(phase.name for phase in scenario.phases),
            *(f"{item.name} {item.example} {item.why}" for item in scenario.grade_sheet),
            *(f"{failure.part} {failure.how} {failure.name}" for failure in scenario.failures),
        )))
        titles = words(" ".join(f"{card.board_title} {card.airplane}" for card in real))
        assert len(kept - titles - own) > 20
        assert not (words(screens[0]) - titles - own) & kept


async def test_hostile_text_in_a_scenario_is_shown_literally(tmp_path: Path) -> None:
    text = shipped()["cruise-to-tallowby"].read_text(encoding="utf-8")
    title = '"[bold]Hi[/nope] \\e]0;t\\a\\u202e[@click=x]"'
    hostile = text.replace("board title: Cruise to Tallowby", f"board title: {title}")
    path = tmp_path / "hostile.yaml"
    path.write_text(hostile, encoding="utf-8")
    app = Stage(board(Known(cards_in(tmp_path), [])))
    async with app.run_test(size=(120, 40)) as pilot:
        await until(pilot, lambda: app.screen.query_one(BoardList).rows)
        await pilot.press("f6", "f6")
        await pilot.pause()
        said = "\n".join(seen(app))
    assert "> [bold]Hi[/nope] ]0;t[@click=x]" in said
    assert "[bold]Hi[/nope] ]0;t[@click=x] trains:" in said
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said)


async def test_what_is_pasted_into_the_search_is_one_clean_line() -> None:
    from textual.events import Paste

    app = Stage(board(Known(ALL, [])))
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.screen.query_one(BoardList).rows)
        search = app.screen.query_one("#search")
        search.post_message(Paste("night\n\x1b[31mma\u202eil" + "x" * 500))
        await pilot.pause()
        value = app.screen.query_one("#search").value  # type: ignore[attr-defined]
        assert value.startswith("night [31mmailx")
        assert len(value) == 80
