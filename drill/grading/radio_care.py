"""Care on the radio: a wrong instruction is questioned, and the callsign is whole until ATC has shortened it."""

from __future__ import annotations

from drill.flight.events import Heard
from drill.flight.phraseology import shortens
from drill.flight.readings import clock_words as clock
from drill.grading import sources
from drill.grading.debrief import Finding
from drill.grading.situation import Situation
from drill.language.meaning import Transmit

QUESTION = "Question an instruction that is wrong"
WHOLE = "The whole callsign until ATC shortens it"
CORRECTED_WITHIN_S = 120.0
_BETTER = {
    "callsign": "was that for us? and the whole callsign", "altitude": "confirm the altitude",
    "heading": "confirm the heading", "side": "confirm the side of the turn",
}


def grade_radio_care(situation: Situation) -> list[Finding]:
    """Return the findings on what ATC got wrong (the author's doing), and on a callsign shortened too soon."""
    found = [_questioned(situation, heard) for heard in situation.line.heard if heard.mistake]
    return [*found, *_shortened(situation)]


def _questioned(situation: Situation, heard: Heard) -> Finding:
    corrected = any(0.0 < each.t - heard.t <= CORRECTED_WITHIN_S and "correction" in each.words.casefold()
                    for each in situation.line.heard if each.to_us)
    what = f"At {clock(heard.t)} ATC got the {heard.mistake} wrong: “{heard.words}”"
    if corrected:
        return situation.finding(QUESTION, "communicate", "done", heard.t, f"{what}. It was questioned and put right.",
                                 sources.CLARIFY, weight="minor", score=1.0)
    return situation.finding(
        QUESTION, "communicate", "missed", heard.t,
        f"{what}. It was not questioned. A controller can be wrong, too; whoever is unsure of an instruction, or to "
        "whom it looks wrong, asks at once.", sources.CLARIFY, weight="minor",
        better=_BETTER.get(heard.mistake, "say again"), score=0.0)


def _shortened(situation: Situation) -> list[Finding]:
    by_atc = min((heard.t for heard in situation.line.heard
                  if heard.to_us and shortens(heard.words, situation.scenario.callsign)), default=None)
    soon = next((deed for deed in situation.line.calls()
                 if isinstance(deed.action, Transmit) and deed.action.meaning.shortened
                 and (by_atc is None or deed.began < by_atc)), None)
    if soon is None:
        return []
    return [situation.finding(
        WHOLE, "communicate", "remark", soon.t,
        f"At {clock(soon.t)} the callsign was shortened before ATC had done so. Another airplane may have an ending "
        "like it. Told, not counted.", sources.CALLSIGN, weight="minor", better=situation.scenario.callsign)]
