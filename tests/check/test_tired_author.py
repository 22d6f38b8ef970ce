"""What an author does at the end of a long day: each slip is found in its line, with what to do about it."""

from __future__ import annotations

from functools import cache

import pytest

from check.fragments import WHOLE
from drill.check.checking import check_text
from drill.check.new import Wishes, written
from drill.scenario.loading import airplanes_beside

BESIDE = airplanes_beside(WHOLE)
SLIPS = [
    (
        "    branches:\n      - {when: true bank",
        "   branches:\n      - {when: true bank",
        "unreadable-yaml",
        "   branches:",
        "move it in",
    ),
    ("  heading: 240 deg\n", "\theading: 240 deg\n", "tab", "\theading", "spaces"),
    ("    part: decide\n", "    prat: decide\n", "unknown-key", "    prat", "`part`"),
    ("  altitude: 6000 ft\n", "  altitude: 6000 m\n", "wrong-unit", "6000 m", "6000 ft"),
    ("time limit: 40 min", "time limit: 40", "unit-missing", "time limit: 40", "40 min"),
    ("go: helped", "end: under way", "phase-never-reached", "  helped:", "add a `go`"),
    (
        "true bank > 60 deg, for: 2 s, end: upset}\n      - {when: did",
        "true bank < 600 deg, for: 2 s, end: upset}\n      - {when: did",
        "always-holds",
        "true bank < 600",
        "correct a limit",
    ),
    (
        "within: 20 min of failure vacuum pump",
        "within: 2 min of start",
        "window-too-early",
        "within: 2 min",
        "close later",
    ),
    (
        "within: 20 min of failure vacuum pump",
        "within: 2 s of failure vacuum pump",
        "window-too-short",
        "within: 2 s",
        "or more",
    ),
    (
        "board title: On the way",
        "board title: Vacuum failure on the way",
        "gives-it-away",
        "board title",
        "name the flight",
    ),
    (
        "Your friend drops the pencil",
        "Your friend asks why the suction gauge shows nothing",
        "gives-it-away",
        "suction gauge shows",
        "by itself",
    ),
    (
        "title: Vacuum pump shaft shears",
        "title: Vacuum pump: shaft shears",
        "unreadable-yaml",
        "title: Vacuum pump: ",
        "quotes",
    ),
    (
        'says: "{callsign}, Ollerwick',
        "says: {callsign}, Ollerwick",
        "unreadable-yaml",
        "says: {callsign}",
        "braces in quotes",
    ),
    ("true bank > 60 deg", "true bank = 60 deg", "comparison-sign", "= 60 deg", "limit"),
    (
        "< 8 nm, end",
        "< 8 nm and in cloud, end",
        "wrong-unit",
        "and in cloud",
        "`all: [distance to Ollerwick < 8 nm, in cloud]`",
    ),
    ('clock: "14:10"', 'clock: "14:10', "unreadable-yaml", 'clock: "14:10', "close it"),
    ("when: failed vacuum pump", "when: failed pump", "unknown-failure", "failed pump", "correct the name"),
    ("  - item: Tell ATC\n", "    item: Tell ATC\n", "duplicate-key", "    item: Tell ATC", "dash"),
    ("  phase: cruise\n", "phase: cruise\n", "unreadable-yaml", "phase: cruise", "move it in by 2"),
    ("  airspeed: 110 kt\n", "    airspeed: 110 kt\n", "unreadable-yaml", "    airspeed", "move it in by 2"),
    (
        "example: I think the vacuum system has failed",
        "example: I watch the suction gauge",
        "example-does-not-do-it",
        "example: I watch",
        "write an example",
    ),
    ("needs: [callsign, equipment]", "needs: [callsign, equipment", "unreadable-yaml", "needs: [", "close it"),
    (
        "needs: [callsign, equipment]",
        "needs: [callsign, equipment, fuel]",
        "unknown-choice",
        "fuel]",
        "write one of them",
    ),
    (
        "needs: [callsign, equipment]",
        "needs: [callsign, impairment]",
        "example-leaves-out",
        "example: tell approach",
        "add it",
    ),
    ("spread: 5 min}", "spred: 5 min}", "unknown-key", "spred", "`spread`"),
    ("spread: 5 min}", "spread: 5:00}", "time-with-colon", "5:00", "5 min 0 s"),
    ("tell: Your friend drops", "tell: {Your friend drops", "unreadable-yaml", "tell: {Your", "close it"),
    (
        "outcome: safe\n    tell: You know",
        "outcome: save\n    tell: You know",
        "unknown-choice",
        "outcome: save",
        "`safe`",
    ),
    ("go: helped", "go: help", "unknown-phase", "go: help}", "correct the name"),
    ("time limit: 40 min", "time limit: 12 min", "window-past-the-end", "within: 15 min", "raise the `time limit`"),
    ("{base: 1200 ft, tops: 7400 ft}", "{base: 7400 ft, tops: 1200 ft}", "at-odds", "base: 7400", "correct"),
    ("bearing: 080 deg", "bearing: 380 deg", "out-of-range", "bearing: 380", "correct the number"),
    (
        "  - item: Answer the controller",
        "  - item: Tell ATC",
        "duplicate-item",
        "  - item: Tell ATC\n    part: communicate\n    weight: minor",
        "name of its own",
    ),
    ("    source: AIM 4-2-3, 4-4-7\n", "", "missing-key", "  - item: Answer", "add `source"),
    ("how: shaft shears", "how: fails", "unknown-how", "how: fails", "known ways"),
    ("do: report vacuum system", "do: inform vacuum system", "unknown-act", "do: inform", "`report`"),
    (
        "divert to Tarnholt\n",
        "divert to Stowmere\n",
        "example-does-not-do-it",
        "divert to Stowmere",
        "write an example",
    ),
    ("item: Keep the wings under control", "item: TODO", "unfinished-text", "item: TODO", "finish it"),
    ("keep: true bank < 45 deg", "keep: true bank > 45 deg, true pitch", "wrong-unit", "keep: true bank", "45 deg"),
    (
        "never: cancel IFR\n    when: in cloud\n",
        "never: {any: [divert, land, continue]}\n",
        "items-contradict",
        "never: {any",
        "own `when`",
    ),
    (
        "{when: did diagnose vacuum system, go: helped}",
        "{when: did diagnose vacuum system, go: helped}\n      - {when: did report vacuum system, end: under way}",
        "branch-never-wins",
        "did report vacuum system, end",
        "narrower",
    ),
    ("asks: intentions", "asks: intention", "unknown-choice", "asks: intention", "`intentions`"),
    (
        "airplane: larkspur-180\n",
        "airplane: larkspur 180\n",
        "unknown-airplane",
        "airplane: larkspur 180",
        "correct the name",
    ),
    ("nothing fails: 1 in 5", "nothing fails: 1 of 5", "not-a-quantity", "1 of 5", "1 in 5"),
    ("nothing fails: 1 in 5", "nothing fails: 5 in 5", "failure-never-begins", "nothing fails: 5", "1 in 5"),
    ("    weight: minor\n", "    weight:minor\n", "unreadable-yaml", "weight:minor", "`weight: minor`"),
    (
        "  altitude: 6000 ft\n  heading",
        "  altitude 6000 ft\n  heading",
        "unreadable-yaml",
        "  altitude 6000",
        "a colon",
    ),
    ("  - item: Answer", "  -item: Answer", "unreadable-yaml", "  -item: Answer", "`- item: ...`"),
    (
        "briefing: >-\n  You are",
        "briefing: >-\nYou are",
        "unreadable-yaml",
        "You are half",
        "move the lines of the text in",
    ),
    ("  airspeed: 110 kt", "\u00a0 airspeed: 110 kt", "unreadable-yaml", "\u00a0 airspeed", "spaces"),
    ("# On the way", "```yaml\n# On the way", "unreadable-yaml", "```yaml", "delete it"),
    ('says: "{callsign}, say', 'says: "{callsign}\\, say', "unreadable-yaml", 'says: "{callsign}\\,', "backslash"),
    ("part: vacuum pump, how", "part: vacuum pump how", "unreadable-yaml", "vacuum pump how", "a comma"),
    ("    - What failed, if", "    - What failed: if", "wrong-kind", "    - What failed:", "in quotes"),
    ("nothing fails: 1 in 5\n", "  nothing fails: 1 in 5\n", "unreadable-yaml", "  nothing fails", "out by 2"),
    ("  upset:\n    outcome", "upset:\n    outcome", "unknown-key", "upset:\n", "delete it"),
    ("drops the pencil,", "drops chart #3,", "comment-cuts-text", "drops chart #3", "in quotes"),
    ("drops the pencil", "drops <b>the</b> pencil", "markup-in-text", "drops <b>", "delete the marks"),
    (
        "tell: Your friend drops the pencil, and looks for it under the seat.",
        'tell: "Your \\e[1mfriend drops it."',
        "control-character",
        'tell: "Your \\e',
        "delete it",
    ),
    ('frequency: "124.35"', 'frequency: "142.35"', "out-of-range", 'frequency: "142', "from 118.000 to 136.990"),
    ('frequency: "124.35"', 'frequency: "124,35"', "wrong-form", 'frequency: "124,', "124.35"),
    ('code: "4521"', 'code: "4581"', "wrong-form", 'code: "4581"', "0 to 7"),
    ('code: "4521"', 'code: "7700"', "out-of-range", 'code: "7700"', "emergency"),
    ("wind: 270 at 15 kt", "wind: 370 at 15 kt", "out-of-range", "wind: 370", "from 0 to 360"),
    ("pressure: 29.92 inHg", "pressure: 19.92 inHg", "out-of-range", "pressure: 19", "to 31.89 inHg"),
    ('clock: "14:10"', "clock: \u201c14:10\u201d", "wrong-form", "clock: ", "straight quotes"),
    (
        "ground: 400 ft\n",
        'ground: 400 ft\nfrequency: "124.35"\n',
        "unknown-key",
        'frequency: "124.35"\nmin',
        "`clearance`",
    ),
    ("go: helped", "go: under way", "unknown-phase", "go: under way", "`end: under way`"),
    ("go: helped", "end: helped", "unknown-ending", "end: helped", "`go: helped`"),
    ("when: did diagnose", "when: did not diagnose", "unknown-act", "not diagnose", "`not did diagnose"),
    ("  upset:\n    outcome", "  upst:\n    outcome", "unknown-ending", "  upst:\n", "correct the name here"),
    (
        "  Ollerwick:\n    bearing",
        "  Olerwick:\n    bearing",
        "unknown-field",
        "  Olerwick:\n",
        "correct the name here",
    ),
    (
        "  Ollerwick:\n    bearing",
        " Ollerwick:\n    bearing",
        "unreadable-yaml",
        " Ollerwick:\n    bear",
        "move it in by 1",
    ),
    ("visibility: 2 sm", "visibility: 2 1/2 sm", "not-a-quantity", "visibility: 2 1/2", "write 2.5 sm"),
    ("pressure: 29.92 inHg", "pressure: 29,92 inHg", "not-a-quantity", "pressure: 29,92", "write 29.92 inHg"),
    ("  turbulence: light\n", "turbulence: light\n", "unreadable-yaml", "turbulence: light", "move it in by 2"),
    ("briefing: >-\n  You", "briefing:\n  Note: you", "unreadable-yaml", "  Note: you", "`>-`"),
    ("minutes: 25", "minutes: 55", "after-the-time-limit", "minutes: 55", "raise the `time limit`"),
    ("spread: 5 min}", "spread: 50 min}", "after-the-time-limit", "spread: 50", "let it come earlier"),
    (
        "      - after: 30 s\n",
        "      - after: 45 min\n",
        "after-the-time-limit",
        "after: 45 min",
        "let it come earlier",
    ),
    ("for: 2 min, end", "for: 50 min, end", "after-the-time-limit", "for: 50 min", "let it come earlier"),
    (
        "  altitude: 6000 ft\n  heading: 240 deg\n  airspeed",
        "  altitude: 2000 ft\n  heading: 240 deg\n  airspeed",
        "too-low",
        "  altitude: 2000",
        "begin higher",
    ),
    (
        "  altitude: 6000 ft\n  heading: 240 deg\n  code",
        "  altitude: 2000 ft\n  heading: 240 deg\n  code",
        "too-low",
        "  altitude: 2000",
        "assign a higher one",
    ),
    ("minimum altitude: 2600 ft", "minimum altitude: 900 ft", "too-low", "minimum altitude: 900", "raise it"),
    ("minimums: 650 ft", "minimums: 350 ft", "at-odds", "minimums: 350", "correct one"),
    ("ceiling: 800 ft", "ceiling: 100 ft", "no-way-down", "ceiling: 100", "raise the ceiling"),
    ("ceiling: clear", "ceiling: 500 ft", "no-way-down", "ceiling: 500", "instrument approach"),
    ("approaches: [ILS 24]", "approaches: []", "no-way-down", "approaches: []", "instrument approach"),
    ("approaches: [ILS 24]", "approaches: [ILS 42]", "approach-unknown", "approaches: [ILS 42", "from 01 to 36"),
    ("approaches: [ILS 24]", "approaches: [ISL 24]", "approach-unknown", "approaches: [ISL", "`ILS`"),
    ("runway: 270 deg", "runway: 090 deg", "runway-downwind", "runway: 090", "other end"),
    ("limit: Ollerwick", "limit: Olerwick", "nearly-named", "limit: Olerwick", "`Ollerwick`"),
    ('says: "{callsign}, say', 'says: "Larkspur 4481T, say', "nearly-named", 'says: "Larkspur', "`{callsign}`"),
    ("Any altitude, any heading.", "Fly heading two one zero.", "says-otherwise", "Fly heading", "`heading: 210 deg`"),
    ("Any altitude, any heading.", "Contact Tower one four two point three.", "says-otherwise", "Contact Tower", "118"),
    (
        "do: report vacuum system",
        "do: report alternator",
        "example-does-not-do-it",
        "example: tell",
        "write an example",
    ),
    (
        "{when: did diagnose vacuum system, go",
        "{when: volts > 60 V, go",
        "never-holds",
        "volts > 60",
        "correct a limit",
    ),
    (
        "{when: distance to Ollerwick < 8 nm",
        "{when: distance to Ollerwick < 80 nm",
        "left-at-once",
        "Ollerwick < 80",
        "turn the comparison round",
    ),
    (
        "keep: true bank < 45 deg",
        "keep: true altitude > 7000 ft",
        "item-nobody-satisfies",
        "keep: true alt",
        "the limit",
    ),
    (
        "within: 20 min of failure vacuum pump",
        "before: in cloud",
        "item-nobody-satisfies",
        "before: in",
        "the condition",
    ),
    ("within: 20 min of failure vacuum pump", "before: time > 2 min", "window-too-early", "before: time", "of failure"),
    (
        "do: {any: [look suction gauge,",
        "do: {any: [look standby instrument, look suction gauge,",
        "part-not-fitted",
        "standby instrument",
        "leave it out",
    ),
    (
        "do: {any: [divert to Tarnholt, ",
        "do: {any: [divert to Tarnholt, cancel IFR, ",
        "unsafe-act-pays",
        "cancel IFR, l",
        "leave it out",
    ),
    (
        "{when: did diagnose vacuum system, go: helped}",
        "{when: did diagnose vacuum system, go: helped}\n      - {when: did cancel IFR, end: under way}",
        "unsafe-act-pays",
        "did cancel IFR, end",
        "end otherwise",
    ),
    ("  fuel: 3 h 20 min", "  fuel: 20 min", "fuel-runs-out", "  fuel: 20 min", "more fuel"),
]


@cache
def base() -> str:
    return written(Wishes("larkspur-180", (("vacuum pump", "shaft shears"),)), BESIDE, "evening-flight.yaml")


@pytest.mark.parametrize(
    ("right", "slip", "kind", "at", "do"), SLIPS, ids=[f"{each[2]}: {each[3].strip()[:30]}" for each in SLIPS]
)
def test_a_slip_is_found_in_its_line_with_what_to_do(right: str, slip: str, kind: str, at: str, do: str) -> None:
    assert right in base(), right
    text = base().replace(right, slip, 1)
    found = [each for each in check_text(text, "evening-flight.yaml", BESIDE).problems if each.rule == kind]
    assert found, check_text(text, "evening-flight.yaml", BESIDE).problems
    line = text[: text.index(at)].count("\n") + 1
    here = [each for each in found if each.place.line == line]
    assert here, (line, [str(each) for each in found])
    assert any(do in " ".join((each.wrong, each.allowed, each.remedy)) for each in here), [str(each) for each in here]
