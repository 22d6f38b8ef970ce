"""The plan: whether there was one, and whether it led to visual weather before an approach where there was a choice."""

from __future__ import annotations

from drill.flight.readings import clock_words as clock
from drill.flight.weather import visual_weather
from drill.grading import sources, subjects
from drill.grading.affected import spoiled
from drill.grading.debrief import Finding
from drill.grading.held import plan_at
from drill.grading.situation import Situation
from drill.grading.timeline import Onset, number
from drill.language.meaning import Decide, Transmit
from drill.scenario.model import Field
from drill.scenario.names import same_place

TIME_TO_PLAN_S = 300.0   # after the evidence (the author's choice)
RESERVE_MIN = 45.0       # 14 CFR 91.167(a)(3)


def grade_plan(situation: Situation) -> list[Finding]:
    """Return the findings on the plan after a failure. A scenario whose sheet grades decisions itself needs none."""
    if situation.on_sheet(subjects.PLAN):
        return []
    evident = [(t, onset) for onset in situation.onsets
               if (t := situation.evident_s(onset)) is not None and not situation.soon_over(onset)]
    if not evident:
        return []
    since, onset = min(evident, key=lambda each: each[0])
    return [*_planned(situation, onset, since), *_visual_first(situation, onset, since)]


def chosen_field(situation: Situation) -> Field | None:
    """Return the field that the flight was last headed for, by decision or by call; None: none was named."""
    fields = situation.scenario.fields
    chosen: Field | None = None
    for deed in situation.line.deeds:
        places: tuple[str, ...] = ()
        if isinstance(deed.action, Decide) and deed.action.where:
            places = (deed.action.where,)
        elif isinstance(deed.action, Transmit) and deed.heard:
            places = deed.action.meaning.places
        for place in places:
            chosen = next((field for field in fields if same_place(place, field.name)), chosen)
    return chosen


def _planned(situation: Situation, onset: Onset, since: float) -> list[Finding]:
    decided = next((deed for deed in situation.line.deeds
                    if deed.began >= since and isinstance(deed.action, Decide)), None)
    asked = next((deed for deed in situation.line.calls()
                  if deed.began >= since and (deed.told.assistance or deed.told.intentions)), None)
    first = min((deed for deed in (decided, asked) if deed is not None), key=lambda deed: deed.t, default=None)
    item = "Make a plan"
    if first is not None:
        plan = plan_at(situation.line, first.t).replace("_", " ")
        words = f"the plan was: {plan}" if first is decided and plan else "ATC knew what was wanted"
        return [situation.finding(item, "decide", "done", first.t, f"At {clock(first.t)} {words}.", sources.PLAN,
                                  score=1.0)]
    cut = situation.line.ended is None or situation.came_back(onset)
    if cut and situation.over_s(onset) - since <= TIME_TO_PLAN_S:
        return []
    why = ("Partial panel is a way to somewhere, not a way to go on as before."
           if "attitude_indicator" in spoiled(onset)
           else f"A failed {onset.part} asks where to go now, not whether to go on as before.")
    return [situation.finding(
        item, "decide", "missed", None,
        f"Once the failure could be known, no plan was taken and nothing was asked for. {why}", sources.PLAN,
        better="divert to the nearest visual weather", score=0.0)]


def _visual_first(situation: Situation, onset: Onset, since: float) -> list[Finding]:
    trace = situation.line.at(since)
    chosen = chosen_field(situation)
    if trace is None or chosen is None or "attitude_indicator" not in spoiled(onset):
        return []
    speed = max(60.0, number(trace.values, "groundspeed", 100.0))
    fuel = number(trace.values, "fuel", situation.scenario.start.fuel_min)
    minutes = {field.name: 60.0 * number(trace.values, f"distance to {field.name}", field.distance_nm) / speed
               for field in situation.scenario.fields}
    reach = [field for field in situation.scenario.fields
             if visual_weather(field) and minutes[field.name] + RESERVE_MIN <= fuel]
    item = "Visual weather before an approach"
    if visual_weather(chosen):
        return [situation.finding(item, "decide", "done", None,
                                  f"{chosen.name} has visual weather: no approach on partial panel was needed.",
                                  sources.VISUAL_FIRST, score=1.0)]
    if not reach:
        return []
    return [situation.finding(
        item, "decide", "missed", None,
        f"{chosen.name} needs an approach in cloud; {reach[0].name} had visual weather and was within reach of the "
        "fuel. Pilots who knew of their failure lost control in the approach, when the work was most.",
        sources.VISUAL_FIRST, better=f"divert to {reach[0].name}", score=0.3)]
