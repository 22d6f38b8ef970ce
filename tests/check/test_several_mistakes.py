"""Several mistakes in one file: each is told at its line, also behind a line that is no YAML, and nothing else is."""

from __future__ import annotations

import pytest

from check.fragments import WHOLE, completed
from drill.check.checking import check_text
from drill.check.new import Wishes, written
from drill.scenario.loading import airplanes_beside
from drill.scenario.problems import Problem

BESIDE = airplanes_beside(WHOLE)
NEW = written(Wishes("larkspur-180", (("alternator", "quits"),)), BESIDE, "evening-flight.yaml")
UNIT = ("distance: 46 nm", "distance: 46 km", "wrong-unit")
CHOICE = ("weight: minor", "weight: small", "unknown-choice")
PHASE = ("go: helped}", "go: helpt}", "unknown-phase")
SOURCE = ("source: AIM 4-2-3, 4-4-7", "source: the internet", "source-names-nothing")
TITLE = ("board title: On the way", "board title: Alternator out on the way", "gives-it-away")
TAB = ("  airspeed: 110 kt", "\tairspeed: 110 kt", "tab")
BRACKET = ("spread: 5 min}", "spread: 5 min", "unreadable-yaml")
BRACES = ('says: "{callsign}, say intentions when you can. Any altitude, any heading."',
          "says: {callsign}, say intentions when you can. Any altitude, any heading.", "unreadable-yaml")
GLUED = ("part: aviate", "part:aviate", "unreadable-yaml")
COLON = ("tell: Your friend drops", "tell: A click: your friend drops", "unreadable-yaml")
WAY = ("how: quits", "how: quitts", "unknown-how")
TWICE = ("    asks: yes\n", "    asks: yes\n    after: 70 s\n", "duplicate-key")


def found(text: str) -> list[Problem]:
    return list(check_text(text, "evening-flight.yaml", BESIDE).problems)


@pytest.mark.parametrize(
    "slips",
    [
        (UNIT, CHOICE, PHASE),
        (UNIT, SOURCE, TITLE),
        (WAY, SOURCE, TITLE, CHOICE),
        (TAB, UNIT, SOURCE),
        (BRACKET, CHOICE, PHASE, SOURCE),
        (BRACES, UNIT, CHOICE),
        (GLUED, UNIT, PHASE),
        (COLON, BRACKET, UNIT, SOURCE),
        (TAB, BRACES, CHOICE, PHASE, UNIT),
        (TWICE, UNIT, CHOICE),
    ],
    ids=lambda slips: ", ".join(each[1].strip()[:18] for each in slips),
)
def test_each_of_several_mistakes_is_told_at_its_line_and_nothing_else(slips: tuple[tuple[str, str, str], ...]) -> None:
    text = NEW
    for right, wrong, _ in slips:
        assert right in text
        text = text.replace(right, wrong, 1)
    told = {(each.rule, each.place.line) for each in found(text)}
    lines = text.split("\n")
    expected = {(kind, next(number for number, line in enumerate(lines, 1)
                            if wrong.rstrip("\n").split("\n")[-1] in line)) for _, wrong, kind in slips}
    assert told == expected


def test_a_line_that_is_no_yaml_hides_no_mistake_and_makes_up_none() -> None:
    text = NEW.replace("  heading: 240 deg\n  airspeed", "  heading 240 deg\n  airspeed", 1)
    assert [each.rule for each in found(text)] == ["unreadable-yaml"]


@pytest.mark.parametrize("before", [0, 1_200])
def test_in_a_long_document_a_slip_is_read_past_as_in_a_short_one(before: int) -> None:
    text = "#\n" * before + NEW.replace("    atc:", "\tatc:", 1)
    assert [(each.rule, text.split("\n")[each.place.line - 1]) for each in found(text)] == [("tab", "\tatc:")]


def test_keys_below_an_empty_one_that_is_moved_in_too_far_are_told_at_the_empty_one() -> None:
    text = NEW.replace("  helped:\n    atc", "    helped:\n    tell: Help.\n    atc", 1)
    problems = [each for each in found(text) if each.level == "error"]
    assert [each.rule for each in problems] == ["empty-value"]
    assert text.split("\n")[problems[0].place.line - 1] == "    helped:"


def test_a_section_moved_out_is_told_at_its_line_and_not_behind_it() -> None:
    text = NEW.replace("  handed over:\n    outcome", "handed over:\n    outcome", 1)
    first = found(text)[0]
    assert text.split("\n")[first.place.line - 1] == "handed over:"
    assert "move it in by 2 columns" in first.remedy


def test_a_failure_that_never_begins_is_told_once_and_not_at_each_item_that_waits_for_it() -> None:
    late = NEW.replace("at: 3 min, spread: 5 min", "at: 50 min, spread: 5 min", 1)
    assert [each.rule for each in found(late)] == ["after-the-time-limit"]
    unseeded = NEW.replace("nothing fails: 1 in 5", "nothing fails: 1 in 1", 1)
    assert [each.rule for each in found(unseeded)] == ["failure-never-begins"]


def test_a_branch_that_never_holds_is_told_with_what_it_leads_to_and_no_further() -> None:
    text = NEW.replace("when: did diagnose alternator", "when: {all: [in cloud, not in cloud]}", 1)
    assert [each.rule for each in found(text)] == ["never-holds", "phase-out-of-reach"]


def test_a_value_that_conditions_name_is_not_missed_where_its_key_is_misspelt() -> None:
    text = NEW.replace("minimum altitude:", "minimum altitde:", 1).replace(
        "when: did diagnose alternator", "when: true altitude < minimum altitude", 1)
    assert [each.rule for each in found(text)] == ["unknown-key"]


def test_approaches_are_known_in_the_words_in_which_they_are_published() -> None:
    fields = ("fields:\n  Tallowby: {bearing: 250, distance: 14 nm, ceiling: 700 ft, runway: 300, "
              "approaches: [ils 30, ILS or LOC 30, RNAV (GPS) 30, VOR-A, VOR/DME 30L, surveillance 30]}\n"
              "  Wendle: {bearing: 080, distance: 38 nm, ceiling: clear, approaches: [visual]}\n")
    assert found(completed(fields)[0]) == []


def test_a_runway_is_used_with_a_little_wind_from_behind() -> None:
    fields = ("fields:\n"
              "  Tallowby: {{bearing: 250, distance: 14 nm, ceiling: 700 ft, runway: {}, approaches: [RNAV]}}\n"
              "  Wendle: {{bearing: 080, distance: 38 nm, ceiling: clear}}\n")
    assert found(completed(fields.format("150"))[0]) == []        # 20 kt from 270: 10 from behind
    assert [each.rule for each in found(completed(fields.format("140"))[0])] == ["runway-downwind"]


def test_an_ending_below_minimums_lets_a_field_be_below_minimums() -> None:
    fields = ("fields:\n"
              "  Tallowby: {bearing: 250, distance: 14 nm, ceiling: 100 ft, minimums: 610 ft, approaches: [ILS 24]}\n"
              "  Wendle: {bearing: 080, distance: 38 nm, ceiling: clear}\n")
    assert [each.rule for each in found(completed(fields)[0])] == ["no-way-down"]
    endings = ("endings:\n  upset: {outcome: below minimums, tell: Nothing was seen.}\n"
               "  there: {outcome: safe, tell: Out of cloud.}\n")
    assert found(completed(fields + endings)[0]) == []


@pytest.mark.parametrize(
    ("line", "kinds"),
    [
        ('says: "{callsign}, climb and maintain six thousand.", altitude: 6000 ft', []),
        ('says: "{callsign}, climb and maintain six thousand five hundred.", altitude: 6500 ft', []),
        ('says: "{callsign}, turn left heading zero niner zero.", heading: 90', []),
        ('says: "{callsign}, turn left heading zero niner zero.", heading: 270', ["says-otherwise"]),
        ('says: "{callsign}, descend and maintain 4,000.", altitude: 5000 ft', ["says-otherwise"]),
        ('says: "{callsign}, traffic, a Larkspur at six thousand, heading two one zero."', []),
        ('says: "{callsign}, what is your heading?", asks: yes', []),
        ('says: "Thistle one two alfa, climb and maintain niner thousand.", voice: "Orrinfell, to somebody else"', []),
        ('says: "{callsign}, contact Tower one one eight point three."', []),
        ('says: "{callsign}, contact Tower one zero eight point three."', ["says-otherwise"]),
    ],
)
def test_words_of_atc_and_the_figures_beside_them_agree(line: str, kinds: list[str]) -> None:
    assert [each.rule for each in found(completed(f"events: {{order: {{after: 60 s, {line}}}}}\n")[0])] == kinds


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Tallowby's lights are on.", []),
        ("Tallwoby is near.", ["nearly-named"]),
        ("Wendel has sunshine.", ["nearly-named"]),
        ("The valley is wide.", []),
        ("Larkspur 5304W is yours.", []),
        ("Larkspur 5340W is yours.", ["nearly-named"]),
        ("Larkspur 04W is yours.", []),
        ("You meet Larkspur 9981K.", []),
    ],
)
def test_a_name_that_is_nearly_a_fields_or_the_callsign_is_told(text: str, kinds: list[str]) -> None:
    assert [each.rule for each in found(completed(f"briefing: {text}\n")[0])] == kinds


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("Rain at 2 < 3, so to say.", []),
        ("You [all of you] are tired.", []),
        ("A & B are aboard.", []),
        ("You are [bold]tired[/bold].", ["markup-in-text"]),
        ("You &amp; a dog.", ["markup-in-text"]),
        ("You are **tired**.", ["markup-in-text"]),
        ("Two stars ** and two more **.", []),
    ],
)
def test_marks_of_another_program_are_told_and_ordinary_signs_are_not(text: str, kinds: list[str]) -> None:
    assert [each.rule for each in found(completed(f'briefing: "{text}"\n')[0])] == kinds


@pytest.mark.parametrize(
    ("escape", "told"),
    [
        (r"\x9b31m", r"\x9b"),            # CSI, with which ECMA-48 begins a control sequence: 5.4, from memory
        (r"\x80", r"\x80"),
        (r"\u009d0;title", r"\u009d"),
        (r"\U0000001b[2J", r"\U0000001b"),
        (r"\e[2J", r"\e"),
        (r"\u202e", r"\u202e"),          # turns round what follows
        (r"\n", ""),
        (r"\x85", ""),                   # the end of a line
        (r"\N", ""),
        (r"\xb0", ""),
        (r"\u00e9", ""),
        (r"\\x9b", ""),                  # a backslash and three letters
    ],
)
@pytest.mark.parametrize("before", ["", "You are in cloud\n  and "])
def test_an_escape_that_makes_a_character_which_is_never_shown_is_told_in_any_line_of_a_text(
    escape: str, told: str, before: str
) -> None:
    text, _ = completed(f'briefing: "{before}a {escape} b"\n')
    kinds = [each for each in found(text) if each.rule == "control-character"]
    assert [text.split("\n")[each.place.line - 1][each.place.column - 1 :] for each in kinds] == (
        [f'{escape} b"'] if told else [])
    assert all(f"`{told}`" in each.wrong for each in kinds)


def test_an_escape_behind_the_end_of_a_text_is_none_of_it() -> None:
    assert found(completed('briefing: "You are in cloud."  # not \\x9b\n')[0]) == []
    assert found(completed("briefing: 'You are in cloud, not \\x9b.'\n")[0]) == []


def test_a_comment_has_a_space_behind_its_sign() -> None:
    assert found(completed("briefing: You are on the way.  # to be written better\n")[0]) == []
    assert [each.rule for each in found(completed("briefing: You have chart #3.\n")[0])] == ["comment-cuts-text"]


@pytest.mark.parametrize(
    ("when", "kinds"),
    [
        ("true altitude > 3000 ft", ["left-at-once"]),
        ("in cloud", ["left-at-once"]),
        ("not did cover attitude indicator", ["left-at-once"]),
        ("true altitude > 5200 ft", []),                 # an altimeter may be set wrongly
        ("failed pump", []),
        ("distance to Tallowby < 10 nm", []),
    ],
)
def test_what_holds_when_the_flight_begins_leaves_the_first_phase_at_once(when: str, kinds: list[str]) -> None:
    phases = (f"phases:\n  cruise:\n    branches:\n      - {{when: true bank > 60 deg, for: 2 s, end: upset}}\n"
              f"      - {{when: {when}, go: helped}}\n"
              "  helped:\n    branches:\n      - {when: distance to Wendle < 3 nm, end: there}\n")
    assert [each.rule for each in found(completed(phases)[0]) if each.rule == "left-at-once"] == kinds


@pytest.mark.parametrize(
    ("failure", "do", "kinds"),
    [
        ("vacuum pump, how: shaft shears", "vacuum system", []),
        ("vacuum pump, how: shaft shears", "attitude indicator", []),        # a good report too
        ("vacuum pump, how: shaft shears", "alternator", ["names-another-part"]),
        ("attitude indicator, how: rotor stops", "turn coordinator", ["names-another-part"]),
    ],
)
def test_an_item_asks_for_a_right_name_of_what_has_failed(failure: str, do: str, kinds: list[str]) -> None:
    piece = (f"failures:\n  pump: {{part: {failure}, at: 4 min}}\ngrade sheet:\n"
             f"  - {{item: Tell ATC, part: communicate, when: failed pump, do: report {do}, "
             f'example: "tell approach Larkspur 5304W, our {do} has failed", '
             "why: The controller sees the weather that you do not see., source: AIM 4-2-3}\n")
    assert [each.rule for each in found(completed(piece)[0])] == kinds
