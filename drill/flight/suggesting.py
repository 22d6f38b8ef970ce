"""Where to, for a pilot who asks what the controller would do, or wants help and has not said where.

A field is recommended by its weather and its distance, and the pilot decides (FAA JO 7110.65 10-2-15 and 10-2-1, by
memory). Who is in trouble and wants vectors is asked where to before he is sent anywhere: his clearance limit may be
the last place that he means.
"""

from __future__ import annotations

from dataclasses import replace

from drill.flight.answering import Answering
from drill.flight.controller_state import ControllerState, Line, Radar, in_trouble
from drill.flight.facts import kinds_of
from drill.flight.information import nearest_first, seen_visual
from drill.flight.phraseology import field_weather, miles_words, where_is
from drill.flight.replying import OFFER, Question
from drill.flight.weather import distance_nm
from drill.language.patterns import compiled
from drill.scenario.model import Scenario

_ASKS = compiled(r"""
    \bwhat (?:do|would|can|could|else (?:do|can)) you (?:suggest|recommend|advise|offer|do\b)|
    \bwhat (?:have you got|do you have|can you do) for (?:us|me)\b|
    \b(?:any|give (?:me|us)|have|need|want|like|request\w*|your) (?:a |some |any |an? )?(?:suggest\w*|
    recommend\w*|ideas?|advice|options?)\b|
    \bwhat are (?:our|my|the) options\b|
    \b(?:which|what) (?:airport|field|place)(?: \w+){0,4} (?:best|better|good) for (?:us|me)\b|
    \bwhere (?:should|would|can|could|do) (?:we|i|you) (?:go|land|divert|put (?:it|her) down)\b""")


def asks_for_advice(words: str) -> bool:
    """Say whether words ask what the controller would do, or what there is to choose from."""
    return _ASKS.search(words.lower()) is not None


def suggested(a: Answering) -> Answering:
    """Tell who asks what he should do of the field with the best weather and of the nearest one, and offer vectors."""
    if a.radar.on_ground or a.call.assistance or a.call.places or not asks_for_advice(a.call.words):
        return a
    words, offered = recommended(a.scenario, a.state, a.radar)
    if not words:
        return a
    state = replace(a.state, offered=offered, question="")
    return a.saying(words, state, question=_offer(offered) if offered else None, closed=True)


def recommended(scenario: Scenario, state: ControllerState, radar: Radar) -> tuple[list[str], str]:
    """Return what is said of the fields that come into question, and the one to offer, "" where it is gone to."""
    near = nearest_first(scenario, radar)
    if not near:
        return [], ""
    best = seen_visual(near) or near[0]
    said = [where_is(best, radar.north_nm, radar.east_nm), field_weather(best)]
    if near[0] is not best:
        kinds = "".join(f", {each}" for each in kinds_of(near[0])[:1])
        far = miles_words(distance_nm(near[0], radar.north_nm, radar.east_nm))
        said.append(f"{near[0].name} is nearer, {far}{kinds}")
    return said, "" if best.name == state.place else best.name


def where_to(scenario: Scenario, state: ControllerState, radar: Radar,
             wants: set[str]) -> tuple[ControllerState, list[str], Question] | None:
    """Return what is said to a pilot in trouble who wants vectors and not where to; None where that is known.

    He is asked for his intentions; if he wants vectors again all the same, a field is recommended to him.
    """
    kinds = tuple(sorted(wants & {"vectors", "no_gyro_vectors"}))
    if not kinds or not in_trouble(state) or state.place or state.planned:
        return None
    if not state.wish and state.asked.count("intentions") < 2:
        return replace(state, wish=kinds), [], Question("say intentions", "intentions")
    said, offered = recommended(scenario, state, radar)
    return (replace(state, wish=kinds, offered=offered), said, _offer(offered)) if offered else None


def offered_unasked(scenario: Scenario, state: ControllerState, radar: Radar, t_s: float) -> ControllerState:
    """Recommend a field to a pilot who wants vectors and has been asked in vain where to, once."""
    if not state.wish or state.place or state.planned or state.offered or state.asked.count("intentions") < 2:
        return state
    said, offered = recommended(scenario, state, radar)
    if not offered:
        return state
    question = _offer(offered)
    words = ". ".join([*said, question.words[0].upper() + question.words[1:]])
    line = Line(t_s, words, asks=True, question=question.key)
    return replace(state, offered=offered, lines=(*state.lines, line))


def _offer(name: str) -> Question:
    return Question(f"do you want vectors to {name}?", OFFER)
