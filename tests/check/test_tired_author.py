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
