"""What loads and can hardly be meant: found where it stands, and nothing found where all is meant."""

from __future__ import annotations

import numpy as np
import pytest

from check.fragments import WHOLE, completed
from drill.airplane.failure_flights import LIT, OFF, READ, TIMES_S, fly
from drill.airplane.failures import CATALOGUE
from drill.check.checking import check_text
from drill.check.lints.first_signs import UNSEEN_S
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Problem


def found(text: str, name: str = "short-hop") -> tuple[Problem, ...]:
    return check_text(text, f"{name}.yaml", airplanes_beside(WHOLE)).problems


def of(piece: str, name: str = "short-hop") -> list[tuple[str, str]]:
    """The kinds found in the sound scenario with this piece in it, each with its line from the column on."""
    text, _ = completed(piece)
    lines = text.splitlines()
    return [(each.rule, lines[each.place.line - 1][each.place.column - 1 :]) for each in found(text, name)]


def kinds(piece: str, name: str = "short-hop") -> list[str]:
    return [rule for rule, _ in of(piece, name)]


# --- polls of a room ---


FIRST = "  - {poll: First, asks: what is wrong, at: 2 min, answers: [The vacuum pump, The pitot tube]}\n"


@pytest.mark.parametrize(
    ("first", "late"),
    [
        ("at: 3 min", False),
        ("at: 0 s", False),
        ("at: 4 min", True),
        ("at: 10 min", True),
        ("at: 3 min, when: did cover attitude indicator", True),
        ("when: did cover attitude indicator", True),
    ],
)
def test_one_poll_at_what_is_wrong_comes_before_anything_can_have_failed(first: str, late: bool) -> None:
    polls = f"polls:\n  - {{poll: First, asks: what is wrong, {first}}}\n"
    assert kinds(polls) == ["no-poll-before-failure"] * late


def test_a_poll_that_asks_for_something_else_is_no_first_look() -> None:
    assert kinds("polls:\n  - {poll: First, asks: how sure, at: 1 min}\n") == ["no-poll-before-failure"]


@pytest.mark.parametrize(
    "when",
    ["failed pump", "not failed pump", "{all: [in cloud, failed pump]}", "true bank > 30 deg", "stalled",
     "{any: [did cover attitude indicator, in a spiral]}"],
)
def test_a_poll_that_comes_with_the_failure_gives_it_away_by_its_moment(when: str) -> None:
    polls = f"polls:\n{FIRST}  - {{poll: Then, asks: how sure, when: {when}}}\n"
    assert kinds(polls) == ["poll-gives-away"]


@pytest.mark.parametrize("when", ["did cover attitude indicator", "reported vacuum system", "suction < 4 inHg"])
def test_a_poll_that_comes_with_what_the_room_did_or_can_see_does_not(when: str) -> None:
    assert kinds(f"polls:\n{FIRST}  - {{poll: Then, asks: how sure, when: {when}}}\n") == []


@pytest.mark.parametrize(
    ("question", "gives"),
    [
        ("Why has the vacuum pump failed?", True),
        ("Has the horizon tumbled?", True),
        ("Which part, if any, has failed?", False),
        ("What do you trust, and why?", False),
    ],
)
def test_a_question_that_names_what_fails_gives_it_away(question: str, gives: bool) -> None:
    polls = f"polls:\n{FIRST}  - {{poll: Then, asks: how sure, at: 9 min, question: '{question}'}}\n"
    assert kinds(polls) == ["poll-gives-away"] * gives


@pytest.mark.parametrize(
    ("answers", "gives"),
    [
        ("[The vacuum pump]", True),
        ("[The vacuum pump, Nothing is wrong]", True),
        ("[The vacuum pump, The attitude indicator]", True),
        ("[{says: Our gyros, does: I think the vacuum pump has failed}]", True),
        ("[The vacuum pump, The alternator]", False),
        ("[The pitot tube, The alternator]", False),
    ],
)
def test_answers_that_name_only_what_fails_give_it_away(answers: str, gives: bool) -> None:
    polls = f"polls:\n{FIRST}  - {{poll: Then, asks: what is wrong, at: 9 min, answers: {answers}}}\n"
    assert kinds(polls) == ["poll-gives-away"] * gives


def test_a_poll_that_is_due_when_the_flight_is_over_is_told() -> None:
    assert kinds(f"polls:\n{FIRST}  - {{poll: Then, asks: how sure, at: 45 min}}\n") == ["after-the-time-limit"]


# --- giving away -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "title",
    [
        "The pump",
        "Suction lost",
        "An emergency",
        "Partial panel to Tallowby",
        "Gyro trouble, vacuum",
        "A dead instrument",
    ],
)
def test_a_board_title_that_names_the_trouble_gives_it_away(title: str) -> None:
    assert of(f"board title: {title}\n") == [("gives-it-away", title)]


@pytest.mark.parametrize(
    "title", ["Cruise to Tallowby", "An evening flight", "The long way home", "Letters for Marrowby"]
)
def test_a_board_title_that_names_the_flight_does_not(title: str) -> None:
    assert kinds(f"board title: {title}\n") == []


@pytest.mark.parametrize(
    ("name", "gives"),
    [
        ("vacuum-pump", True),
        ("engine-failure", True),
        ("partial_panel", True),
        ("to-tallowby", False),
        ("short-hop-2", False),
    ],
)
def test_the_name_of_the_file_is_typed_by_the_pilot_and_gives_nothing_away(name: str, gives: bool) -> None:
    assert kinds("", name) == (["gives-it-away"] if gives else [])


@pytest.mark.parametrize(
    ("briefing", "gives"),
    [
        ("The vacuum pump was changed last week.", True),
        ("Keep an eye on the suction today.", True),
        ("Your attitude indicator has failed twice this month.", True),
        ("The attitude indicator leans to the left. It will be looked at.", True),
        ("You are in cloud. Your friend has never flown on instruments.", False),
        ("The engine runs smoothly and all gauges are in the green.", False),
        ("Tallowby reports wind two seven zero and a falling barometer.", False),
    ],
)
def test_a_briefing_may_set_a_scene_and_no_more(briefing: str, gives: bool) -> None:
    assert kinds(f"briefing: {briefing}\n") == (["gives-it-away"] if gives else [])


PHASES = """phases:
  cruise:
    tell: {tell}
    branches:
      - {{when: reported vacuum system, go: helped}}
      - {{when: distance to Tallowby < 8 nm, go: near}}
      - {{when: true bank > 60 deg, end: upset}}
  near:
    tell: {near}
    branches:
      - {{when: reported vacuum system, go: helped}}
      - {{when: distance to Tallowby < 3 nm, end: there}}
  helped:
    tell: {helped}
    branches:
      - {{when: not in cloud, end: there}}
      - {{when: true bank > 60 deg, end: upset}}
"""


@pytest.mark.parametrize(("where", "gives"), [("tell", True), ("near", True), ("helped", False)])
def test_words_of_a_phase_give_away_only_before_the_pilot_has_spoken_of_it(where: str, gives: bool) -> None:
    words = {"tell": "Level.", "near": "Eight miles to go.", "helped": "Somebody listens."}
    piece = PHASES.format(**(words | {where: "The suction is gone."}))
    assert kinds(piece) == (["gives-it-away"] if gives else [])


def test_a_remark_of_an_event_gives_away_where_it_is_not_tied_to_an_act() -> None:
    said = "Your friend points at the suction gauge."
    assert kinds(f"events:\n  remark: {{after: 2 min, tell: {said}}}\n") == ["gives-it-away"]
    assert kinds(f"events:\n  remark: {{after: 2 min, when: reported vacuum system, tell: {said}}}\n") == []


def test_it_is_pointed_at_in_a_text_of_several_lines() -> None:
    piece = "briefing: >-\n  You are in cloud, on the way\n  to Tallowby. The suction was low\n  this morning.\n"
    assert of(piece) == [("gives-it-away", "suction was low")]


# --- texts -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("piece", "kind", "at"),
    [
        ("briefing: TODO\n", "unfinished-text", "TODO"),
        ("aim: Fly on ???\n", "unfinished-text", "???"),
        ("briefing: >-\n  You are in cloud,\n  TBD who is with you.\n", "unfinished-text", "TBD who is with you."),
        ("briefing: Fly \u2708 on\n", "not-in-words", "\u2708 on"),
        ("debrief: |\n  A \u2588\u2588 bar.\n  Words.\n", "not-in-words", "\u2588\u2588 bar."),
        (f"debrief: |\n  Short.\n  {'word ' * 17}\n  Short.\n", "line-too-long", f"{'word ' * 17}"),
        (f"aim: {'x' * 90}\n", "line-too-long", "x" * 90),
        ("usage: germany\n", "caution-missing", "usage: germany"),
    ],
)
def test_a_text_that_does_not_read_well_is_found_at_its_line(piece: str, kind: str, at: str) -> None:
    assert of(piece) == [(kind, at)]


@pytest.mark.parametrize(
    "piece",
    [
        'aim: "Fly on – 5° left, “gently” …"\n',
        f"aim: {'word ' * 60}\n",
        f"debrief: >-\n  {'word ' * 60}\n  and on.\n",
        "aim: Für Piloten an der Küste.\n",
        "usage: germany\ncautions: The sources are those of the United States.\n",
        "aim: Do not do it at all today.\n",
        "debrief: |\n  One.\n\n  Two.\n",
    ],
)
def test_ordinary_prose_is_nothing_to_warn_of(piece: str) -> None:
    assert kinds(piece) == []


ITEM = """grade sheet:
  - item: Stop following
    part: aviate
    when: failed pump
    do: {do}
    example: {example}
    {more}
    why: {why}
    source: {source}
"""


def item(
    *,
    do: str = "cover attitude indicator",
    example: str = "cover the attitude indicator",
    more: str = "weight: major",
    why: str = "Two instruments share one pump.",
    source: str = "AIM 4-2-3",
) -> str:
    return ITEM.format(do=do, example=example, more=more, why=why, source=source)


@pytest.mark.parametrize(
    ("source", "ok"),
    [
        ("FAA-P-8740-52", True),
        ("common practice, no source", True),
        ("the airplane's handbook", True),
        ("from memory", True),
        ("the author's own view", True),
        ("everybody knows", False),
        ("FAA", False),
        ("rules", False),
    ],
)
def test_a_source_names_a_document_or_says_that_there_is_none(source: str, ok: bool) -> None:
    assert kinds(item(source=source)) == ([] if ok else ["source-names-nothing"])


# --- windows and sheets ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("within", "kind"),
    [
        ("2 s of failure pump", "window-too-short"),
        ("4 s of failure pump", ""),
        ("2 s of evidence", "window-too-short"),
        ("1 min of start", "window-too-early"),
        ("3 min of start", "window-too-early"),
        ("20 min of start", ""),
        ("1 min of failure pump", ""),
        ("1 s of item Stop following", "window-too-short"),
    ],
)
def test_a_window_has_room_for_its_act_and_opens_after_what_it_answers(within: str, kind: str) -> None:
    assert of(item(more=f"within: {within}")) == ([(kind, within)] if kind else [])


def test_an_answer_to_atc_cannot_be_due_before_atc_has_spoken() -> None:
    answer = item(
        do="answer", example="say roger", more="within: 1 min of start", why="An answer shows that words arrived."
    )
    answer = answer.replace("    when: failed pump\n", "")
    said = (
        'events:\n  ride: {after: 5 min, says: "{callsign}, how is the ride?", asks: yes}\n'
        "phases:\n  cruise:\n    branches:\n      - {when: true bank > 60 deg, end: upset}\n"
        "      - {when: not in cloud, end: there}\n"
    )
    assert kinds(said + answer) == ["window-too-early"]
    assert kinds(said + answer.replace("1 min of start", "8 min of start")) == []


def test_a_call_takes_its_words_at_speaking_speed() -> None:
    call = "tell approach Larkspur 5304W, the vacuum pump has failed, we are in cloud at five thousand"
    short, long = (
        item(do="report vacuum system", example=call, more=f"within: {each} of failure pump")
        for each in ("6 s", "30 s")
    )
    assert kinds(short) == ["window-too-short"]
    assert kinds(long) == []


TWO = """grade sheet:
  - {{item: One, part: aviate, {one}, why: It shows what holds and what not., source: AIM 4-2-3}}
  - {{item: Two, part: aviate, {two}, why: It shows what holds and what not., source: AIM 4-2-3}}
"""
COVER = "do: cover attitude indicator, example: cover the attitude indicator"


@pytest.mark.parametrize(
    ("one", "two", "contradict"),
    [
        (COVER, "never: cover attitude indicator", True),
        (COVER, "never: cover", True),
        (COVER, "never: cover heading indicator", False),
        (COVER, "never: {any: [cancel IFR, cover attitude indicator]}", True),
        (f"{COVER}, when: failed pump", "never: cover attitude indicator, when: in cloud", False),
        (
            "do: {any: [cover attitude indicator, fly by partial panel]}, example: go partial panel",
            "never: cover attitude indicator",
            False,
        ),
        ("keep: true altitude > 5000 ft", "keep: true altitude < 4900 ft", True),
        ("keep: true altitude > 4000 ft", "keep: true altitude < 5400 ft", False),
    ],
)
def test_two_items_that_no_flight_can_meet_contradict(one: str, two: str, contradict: bool) -> None:
    assert kinds(TWO.format(one=one, two=two)) == (["items-contradict"] if contradict else [])


def test_items_under_failures_of_different_variations_do_not_contradict() -> None:
    failures = (
        "failures:\n  pump: {part: vacuum pump, how: shaft shears, at: 4 min}\n"
        "  needle: {part: turn coordinator, how: rotor stops, at: 4 min}\n"
    )
    sheet = TWO.format(one=f"{COVER}, when: failed pump", two="never: cover attitude indicator, when: failed needle")
    assert kinds(failures + sheet) == ["items-contradict"]
    assert kinds(failures + "variations:\n  a: {fails: [pump]}\n  b: {fails: [needle]}\n" + sheet) == []


@pytest.mark.parametrize(
    ("keep", "kind"),
    [
        ("true bank < 181 deg", "item-nobody-fails"),
        ("true bank > 180 deg", "item-nobody-satisfies"),
        ("true bank < 45 deg", ""),
        ("{any: [in cloud, not in cloud]}", "item-nobody-fails"),
    ],
)
def test_what_is_to_be_kept_can_be_kept_and_broken(keep: str, kind: str) -> None:
    sheet = (
        f"grade sheet:\n  - {{item: One, part: aviate, keep: {keep}, why: It shows what holds., source: AIM 4-2-3}}\n"
    )
    assert kinds(sheet) == ([kind] if kind else [])


@pytest.mark.parametrize(
    ("how", "within", "kind"),
    [
        ("rotor stops", "90 s of failure horizon", "window-before-evidence"),
        ("rotor stops", "9 min of failure horizon", ""),
        ("rotor stops", "90 s of evidence", ""),
        ("leans", "90 s of failure horizon", ""),
    ],
)
def test_a_window_does_not_close_before_a_failure_has_shown_itself(how: str, within: str, kind: str) -> None:
    failures = f"failures:\n  horizon: {{part: attitude indicator, how: {how}, at: 4 min}}\n"
    said = "the attitude indicator has failed"
    sheet = item(do="diagnose attitude indicator", example=said, more=f"within: {within}")
    assert kinds(failures + sheet.replace("failed pump", "failed horizon")) == ([kind] if kind else [])


@pytest.mark.overnight
def test_what_is_said_to_show_nothing_at_first_shows_nothing_in_flights() -> None:
    failures = [CATALOGUE[each] for each in UNSEEN_S]
    for failure, seen in zip(failures, fly(failures, max(UNSEEN_S.values())), strict=True):
        for number, at_s in enumerate(TIMES_S):
            if at_s > UNSEEN_S[failure.key]:
                continue
            for sight in (*OFF, *READ):
                mine, theirs = seen.failing[sight][number], seen.twins[sight][number]
                away = np.nanmedian(mine) - np.nanmedian(theirs)
                wider = np.nanmedian(np.abs(mine)) - np.nanmedian(np.abs(theirs))
                assert max(abs(away), wider) <= sight.tolerance, (failure.key, at_s, sight.says)
            for _, _, light in LIT:
                away = np.nanmedian(seen.failing[light][number]) - np.nanmedian(seen.twins[light][number])
                assert abs(away) <= 0.5, (failure.key, at_s, light)


# --- the story -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cue", "kind"),
    [
        ("{after: 1 min, when: time < 60 min, tell: Hello.}", "always-holds"),
        ("{after: 1 min, unless: time > 60 min, tell: Hello.}", "never-holds"),
        ("{after: 1 min, when: parked, tell: Hello.}", "never-holds"),
        ("{after: 1 min, when: in cloud, tell: Hello.}", ""),
    ],
)
def test_a_condition_of_an_event_asks_something_that_can_be_either_way(cue: str, kind: str) -> None:
    assert kinds(f"events:\n  one: {cue}\n") == ([kind] if kind else [])


def test_a_branch_behind_the_same_condition_wins_only_if_it_waits_less() -> None:
    piece = (
        "phases:\n  cruise:\n    branches:\n      - {when: true bank > 60 deg, for: %s, end: upset}\n"
        "      - {when: true bank > 60 deg, for: 5 s, end: upset}\n      - {when: not in cloud, end: there}\n"
    )
    assert kinds(piece % "5 s") == ["branch-never-wins"]
    assert kinds(piece % "9 s") == []


ASKED = """phases:
  cruise:
    branches:
      - {{when: {first}, go: helped}}
      - {{when: {second}, go: helped}}
      - {{when: true bank > 60 deg, end: upset}}
  helped:
    atc: {{says: "{{callsign}}, say the nature of your trouble.", asks: {asks}}}
    branches:
      - {{when: not in cloud, end: there}}
"""


@pytest.mark.parametrize(
    ("first", "second", "asks", "known"),
    [
        ("reported vacuum system", "reported attitude indicator", "nature", True),
        ("reported vacuum system", "declared emergency", "nature", False),
        ("declared mayday", "{all: [in cloud, declared emergency]}", "emergency", True),
        ("{all: [told fuel, told souls]}", "{all: [told souls, told fuel, in cloud]}", "more", True),
        ("told fuel", "{all: [told souls, told fuel, in cloud]}", "more", False),
        ("reported vacuum system", "reported attitude indicator", "intentions", False),
    ],
)
def test_a_question_whose_answer_is_known_on_every_way_there_is_found(
    first: str, second: str, asks: str, known: bool
) -> None:
    found_here = [
        each for each in kinds(ASKED.format(first=first, second=second, asks=asks)) if each != "branch-never-wins"
    ]
    assert found_here == (["asks-what-is-known"] if known else [])
