"""Small flights and scenarios to be graded: a dead vacuum pump in cloud, and what a pilot did about it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.controls import (
    BY_ATTITUDE,
    BY_COMPASS,
    BY_HEADING_INDICATOR,
    BY_HORIZON,
    BY_PRESSURE,
    BY_TURN,
    Controls,
)
from drill.airplane.panel import Panel, Truths
from drill.clean import Clean
from drill.flight.events import Acted, Ended, Entered, Event, Failed, Trace
from drill.flight.labels import call_data
from drill.language.meaning import Action, Altitude, Call, Cover, FlyBy, Switch, Transmit, Uncover
from drill.scenario.acts import ActPattern
from drill.scenario.conditions import Compare, Fact
from drill.scenario.model import (
    ActTree,
    Airplane,
    Clearance,
    Cloud,
    DebriefWords,
    Ending,
    FailurePlan,
    Field,
    Item,
    Phase,
    Scenario,
    Start,
    Weather,
    Within,
)
from drill.scenario.problems import Place

HERE = Place()
PUMP = ("pump", "vacuum pump", "shaft shears")
FAILED = Fact("failed", "pump")
STEEP = Compare("true bank", ">", 30.0)

FULL_CALL = Call(words="…", facility=True, callsign="given", urgency="emergency", equipment=("vacuum_system",),
                 impairment=True, assistance=("vectors",), conditions="imc", places=("Wendle",))
"""Who, what failed, how far impaired, what is wanted, and that it is urgent."""


def one(verb: str, what: str = "") -> ActTree:
    return ActTree("one", ActPattern(verb, what))


def item(name: str, **given: object) -> Item:
    """An item of the sheet; `do` unless `never` or `keep` is given."""
    whole: dict[str, object] = {
        "part": "manage", "weight": "major", "do": None, "never": None, "keep": None, "when": None, "after": None,
        "before": None, "within": None, "needs": (), "example": None, "why": "It matters.", "source": "a source",
        "unsafe": False, "place": HERE,
    }
    return Item(name=Clean(name), **{**whole, **given})  # type: ignore[arg-type]


STOP = item("Stop following the bad horizon", part="aviate", weight="critical", before=STEEP, when=FAILED,
            do=ActTree("any", parts=(one("cover", "attitude_indicator"), one("fly by", "partial_panel"))),
            example="cover the attitude indicator and go partial panel")
TELL = item("Tell ATC", part="communicate", do=one("report", "vacuum_system"), when=FAILED,
            after="Stop following the bad horizon", needs=("callsign", "equipment", "impairment", "assistance"),
            source="14 CFR 91.187(b)")
GAUGE = item("Look at the suction gauge", do=one("look", "suction_gauge"), when=FAILED,
             within=Within(180.0, "failure", "pump"))
NO_AGAIN = item("Leave it covered", part="aviate", never=one("uncover", "attitude_indicator"), when=FAILED)
SHEET = (STOP, TELL, GAUGE, NO_AGAIN)


def scenario(sheet: Sequence[Item] = SHEET, **given: object) -> Scenario:
    """A cruise in cloud at 5,000 feet; Tallowby has an ILS in low cloud, Wendle lies in the clear."""
    whole: dict[str, object] = {
        "name": "suction-lost", "edition": 1, "board_title": Clean("Cruise to Tallowby"),
        "title": Clean("Suction lost in cloud"), "aim": Clean("Stop following, fly on what is left."), "covers": (),
        "airplane": Airplane("larkspur-180", Clean("Larkspur 180"), Airframe(), (), ""),
        "callsign": Clean("Larkspur 5304W"), "start": Start("cruise", 5000.0, 240.0, 110.0, 2, 190.0),
        "weather": Weather(Cloud(1200.0, 7200.0), Air(), 8500.0, Clean(""), ()), "minimum_altitude_ft": 3000.0,
        "fields": (
            Field(Clean("Tallowby"), 250.0, 14.0, 400.0, 300.0, None, 1.0, (Clean("ILS 24"),), 240.0, 700.0, Clean(""),
                  False),
            Field(Clean("Wendle"), 80.0, 38.0, 500.0, None, None, 10.0, (Clean("visual"),), 90.0, None, Clean(""),
                  False),
        ),
        "clearance": Clearance(Clean("Orrinfell Approach"), Clean("124.3"), 5000.0, 240.0, Clean("4321"),
                               Clean("Tallowby"), False, "helpful"),
        "course": None, "briefing": Clean(""), "minutes": 20.0, "time_limit_s": 2400.0, "nothing_fails": 0.2,
        "failures": (FailurePlan("pump", "vacuum pump", "shaft shears", 120.0, 0.0, None, 1.0, HERE),), "events": (),
        "phases": (Phase("cruise", (), (), (), HERE),),
        "endings": (Ending("clear", "safe", Clean("Out of it."), HERE),),
        "grade_sheet": tuple(sheet), "debrief": DebriefWords((Clean("What failed?"),), Clean("Two gyros, one pump.")),
        "cautions": (),
    }
    return Scenario(**{**whole, **given})  # type: ignore[arg-type]


def call(t: float, meaning: Call = FULL_CALL, words: str = "") -> tuple[float, Action]:
    return t, Transmit(words, meaning)


def flown(
    *acts: tuple[float, Action], seconds: int = 900, fails_at: float | None = 120.0, ending: str | None = "safe",
    bank: Callable[[float, bool], float] | None = None, cloud: bool = True,
    altitude: Callable[[float], float] | None = None,
    shown: Callable[[float], dict[str, float]] | None = None, true: Callable[[float], dict[str, float]] | None = None,
    values: dict[str, float] | None = None,
) -> list[Event]:
    """Return the events of a flight at one trace a second.

    After the pump has failed the suction is gone in five seconds and the attitude indicator leans by 3 degrees a
    minute. `bank(t, follows)` is the true bank; unless given, it is what the hands make of it: level on partial panel,
    and on the leaning horizon ever steeper from the eighth minute on.
    """
    events: list[Event] = [Entered(0.0, "cruise")]
    if fails_at is not None:
        events.append(Failed(fails_at, *PUMP))
    events += [
        Acted(t, action.as_labels(), max(0.0, t - 1.0),
              meaning=call_data(action.meaning) if isinstance(action, Transmit) else None)
        for t, action in acts
    ]
    controls = {each.name: float(getattr(Controls(), each.name)) for each in fields(Controls)}
    covered: set[str] = set()
    waiting = sorted(acts, key=lambda act: act[0])
    followed = 0.0
    for second in range(seconds + 1):
        t = float(second)
        while waiting and waiting[0][0] <= t:
            _obey(waiting.pop(0)[1], controls, covered)
        follows = controls["bank_by"] == BY_ATTITUDE
        since = -1.0 if fails_at is None else t - fails_at
        followed = followed + 1.0 if follows and since > 0.0 else 0.0
        lean = max(0.0, since) * 0.05
        tilt = bank(t, follows) if bank is not None else min(80.0, max(0.0, followed - 420.0) * 0.5)
        height = altitude(t) if altitude is not None else 5000.0
        events.append(Trace(
            t=t,
            shown={**_panel(height), "bank_deg": tilt - min(lean, 40.0), "turn_rate_dps": tilt * 0.18,
                   "suction_inhg": 5.0 if since < 0.0 else max(0.0, 5.0 - since), **(shown(t) if shown else {})},
            true={**_truths(height), "bank_deg": tilt, "spiral": float(tilt >= 70.0), **(true(t) if true else {})},
            values={"true bank": abs(tilt), "groundspeed": 110.0, "fuel": 180.0, "distance to Tallowby": 14.0,
                    "distance to Wendle": 38.0, "true altitude": height, **(values or {})},
            facts=(*(["is in cloud"] if cloud else []), *(f"covered {name}" for name in sorted(covered)),
                   *(["failed pump"] if since >= 0.0 else [])),
            controls=dict(controls), covered=tuple(sorted(covered)),
            reference="full_panel" if follows else "partial_panel", busy="", phase="cruise",
        ))
    if ending is not None:
        events.append(Ended(float(seconds), "clear", ending, "Out of it."))
    return sorted(events, key=lambda event: event.t)


def _obey(action: Action, controls: dict[str, float], covered: set[str]) -> None:
    match action:
        case Cover(what="attitude_indicator"):
            covered.add("attitude_indicator")
            controls.update(bank_by=BY_TURN, pitch_by=BY_PRESSURE)
        case Cover(what="heading_indicator"):
            covered.add("heading_indicator")
            controls.update(heading_by=BY_COMPASS)
        case Uncover(what=what):
            covered.discard(what)
        case Switch(what=what, to=to):
            controls[what] = float(to == "on")
        case Altitude(to_ft=int(feet)):
            controls["altitude_ft"] = float(feet)
        case FlyBy(what="partial_panel"):
            controls.update(bank_by=BY_TURN, pitch_by=BY_PRESSURE, heading_by=BY_COMPASS)
        case FlyBy(what="full_panel"):
            controls.update(bank_by=BY_ATTITUDE, pitch_by=BY_HORIZON, heading_by=BY_HEADING_INDICATOR)


def _panel(altitude: float) -> dict[str, float]:
    panel = {each.name: 0.0 for each in fields(Panel)}
    panel.update(airspeed_kt=110.0, altitude_ft=altitude, altimeter_setting_hpa=1013.25, heading_deg=240.0,
                 compass_deg=240.0, suction_inhg=5.0, volts=28.0, amps=2.0, rpm=2348.0, gps_on=1.0,
                 track_deg=240.0, groundspeed_kt=110.0)
    return panel


def _truths(altitude: float) -> dict[str, float]:
    truths = {each.name: 0.0 for each in fields(Truths)}
    truths.update(airspeed_kt=110.0, altitude_ft=altitude, heading_deg=240.0, height_ft=altitude - 400.0,
                  load_factor_g=1.0, rpm=2348.0, throttle=0.866)   # what holds 110 kt at 5,000 ft with pitch zero
    return truths
