"""Texts from before anything has failed that say what will: titles, file name, briefing, and the first words told."""

from __future__ import annotations

import re
from collections.abc import Iterator

from drill.airplane.failures import CATALOGUE
from drill.check.rules import warning
from drill.check.standing import key_at, value_at, word_at
from drill.language import read_call
from drill.language.meaning import EQUIPMENT
from drill.scenario.conditions import All, AnyOf, Condition, Did, Fact, Not
from drill.scenario.model import FailurePlan, Go, Phase, Say, Scenario, Tell
from drill.scenario.names import words_of
from drill.scenario.places import Node
from drill.scenario.problems import Place, Problem

_TROUBLE = re.compile(r"\b(fail\w*|emergenc\w*|mayday|pan[- ]pan|malfunction\w*|outage|partial[- ]panel|inop\w*|"
                      r"unreliable|died|dies|dying|broken|breakdown|dead|stuck|blocked|runaway|loss of|no[- ]gyro)\b",
                      re.IGNORECASE)
"""What no title of an ordinary flight says."""
_SHOWS = re.compile(_TROUBLE.pattern + r"|\b(lean\w*|tilt\w*|spin\w*|froz\w*|freez\w*|stick\w*|drift\w*|tumbl\w*|"
                    r"lost|los\w+|flags?|zero|wrong|quit\w*|stops|weak\w*|went|gone|sags?|warning)\b", re.IGNORECASE)
"""What is said of an instrument or part that does not work."""
_TELLING = {"vacuum", "suction", "pump", "gyro", "gyros", "pitot", "static", "regulator", "alternator", "filter",
            "ammeter", "voltmeter", "amperes", "charging", "battery", "discharge"}
"""Words of systems that nobody speaks of in an ordinary flight; they are looked for where that system fails."""
_EVERYDAY = {"indicator", "system", "line", "light", "voltage", "main", "low", "is", "off", "the", "a", "not", "does",
             "its", "to", "up", "by", "and", "that", "in", "no", "out", "all", "too", "high"}
_ACTED = frozenset({"reported", "failed", "covered", "flying by", "declared", "asked for", "told", "noted"})


def check_giving_away(scenario: Scenario, tree: Node) -> list[Problem]:
    """Return a warning for each text that gives a failure away before it has shown itself."""
    found = []
    titles = [(scenario.board_title, value_at(tree, "board title"), "`board title`", "the list"),
              (scenario.name.replace("-", " ").replace("_", " "), Place(tree.place.file, 1, 1), "the file's name",
               "the list, where it is typed")]
    for text, place, what, where in titles:
        word = _telling_title(text, scenario)
        if word:
            found.append(warning(place, "gives-it-away", f"{what} says `{word}`, which gives the flight away",
                                 f"it stands in {where} before the flight", "name the flight and not what goes wrong"))
    for text, place, what in _early(scenario, tree):
        said, word = telling_text(text, scenario)
        if said:
            found.append(warning(word_at(scenario.text, place, word), "gives-it-away", f"{what} speaks of {said}",
                                 "what has failed is for the pilot to find on the panel",
                                 "tell of weather, people and places; what the panel shows it shows by itself"))
    return found


def _telling_title(text: str, scenario: Scenario) -> str:
    trouble = _TROUBLE.search(text)
    if trouble:
        return trouble.group()
    telling = {word for plan in scenario.failures for word in _words_of(plan)}
    telling |= {"gyro", "gyros"} if "vacuum" in telling else set()
    return next((word for word in re.findall(r"[A-Za-z]+", text) if word.lower() in telling), "")


def _words_of(plan: FailurePlan) -> set[str]:
    """Return the words that name what a failure is about: its part, and what it may rightly be called."""
    failure = CATALOGUE[plan.part, plan.how]
    named = {name for names in (*failure.named_right_as, *failure.also_right) for name in names}
    said = " ".join([plan.part, *map(words_of, named)])
    also = {"suction"} if "vacuum_system" in named or plan.part.startswith("vacuum") else set()
    if named & {"alternator", "electrical_system"}:
        also |= {"ammeter", "voltmeter", "amperes", "charging", "battery", "discharge"}
    return {word.lower() for word in re.findall(r"[A-Za-z]+", said)} - _EVERYDAY | also


def telling_text(text: str, scenario: Scenario) -> tuple[str, str]:
    """Return what a text lets out, in words, and the word that does; "" for nothing."""
    for plan in scenario.failures:
        failure = CATALOGUE[plan.part, plan.how]
        names = {name for each in (*failure.named_right_as, *failure.also_right) for name in each}
        for sentence in re.split(r"(?<=[.!?])\s+", text[:4_000]):
            shows = _SHOWS.search(sentence)
            heard = names & _spoken_of(sentence, scenario) if shows else set[str]()
            if shows and heard:
                return f"trouble with the {words_of(sorted(heard)[0])}", shows.group()
        telling = _words_of(plan) & _TELLING
        said = next((word for word in re.findall(r"[A-Za-z]+", text) if word.lower() in telling), "")
        if said:
            return f"`{said}`, which an ordinary flight has no reason to name", said
    return "", ""


def _spoken_of(sentence: str, scenario: Scenario) -> set[str]:
    """Return the equipment that a sentence speaks of, by what a report would make of it and by names of two words."""
    low = sentence.lower()
    named = {code for code in EQUIPMENT if "_" in code and words_of(code) in low}
    return named | set(read_call(sentence, scenario.context).equipment)


def _early(scenario: Scenario, tree: Node) -> Iterator[tuple[str, Place, str]]:
    """Yield the texts that are read or heard before the pilot can have acted on a failure."""
    yield scenario.briefing, value_at(tree, "briefing"), "`briefing`"
    yield scenario.weather.words, value_at(tree, "weather", "words"), "the weather"
    for phase in _unsuspecting(scenario):
        for effect in phase.enter:
            if isinstance(effect, Tell):
                key = "tell" if scenario.phase(phase.name).enter[0] is effect else "do"
                yield effect.words, value_at(tree, "phases", phase.name, key), f"what is told in phase `{phase.name}`"
        for cue in phase.cues:
            if cue.when is None or not _suspects(cue.when):
                _, kind, number = cue.key.rsplit("/", 2)
                way = ("phases", phase.name, {"cue": "cues"}.get(kind, kind), int(number))
                yield from ((_words(each), value_at(tree, *way), f"a line of phase `{phase.name}`")
                            for each in cue.effects if isinstance(each, Tell | Say))
    for event in scenario.events:
        if event.when is None or not _suspects(event.when):
            name = event.key.removeprefix("event/")
            yield from ((_words(each), key_at(tree, "events", name), f"event `{name}`")
                        for each in event.effects if isinstance(each, Tell | Say))


def _words(effect: Tell | Say) -> str:
    return effect.words


def _unsuspecting(scenario: Scenario) -> list[Phase]:
    """Return the phases that are come to without anything having been done about a failure."""
    reached, open_ = {scenario.start.phase}, [scenario.start.phase]
    while open_:
        for branch in scenario.phase(open_.pop()).branches:
            goes = branch.effects[-1]
            if isinstance(goes, Go) and goes.phase not in reached and not _suspects(branch.when):
                reached.add(goes.phase)
                open_.append(goes.phase)
    return [phase for phase in scenario.phases if phase.name in reached]


def _suspects(condition: Condition) -> bool:
    """Say whether what holds means that a failure is there, or has been acted on, or that control is being lost."""
    match condition:
        case All(parts):
            return any(map(_suspects, parts))
        case AnyOf(parts):
            return all(map(_suspects, parts))
        case Not(_):
            return False
        case Did():
            return True
        case Fact(kind, of):
            return kind in _ACTED or (kind == "is" and of in ("stalled", "in a spiral", "broken"))
        case _:
            return condition.quantity.startswith("true") and condition.op in (">", ">=") and (
                condition.quantity in ("true bank", "true pitch", "true airspeed", "true turn rate"))
