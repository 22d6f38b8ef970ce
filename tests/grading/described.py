"""Flights described in a few lines, each with something of its own to be told of; their debriefs are kept in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from drill.airplane.controls import HOLD_ALTITUDE
from drill.flight.events import Assigned, Event, Failed, Healed, Heard, Reflected, Seated, Trace
from drill.language import read_call
from drill.language.meaning import (
    Action,
    Align,
    Altitude,
    Checklist,
    Compare,
    Cover,
    Decide,
    Diagnose,
    FlyBy,
    LevelWings,
    Look,
    Squawk,
    Switch,
    Transmit,
    Turn,
    Uncover,
)
from drill.scenario.conditions import Compare as Compared
from drill.scenario.conditions import Fact
from drill.scenario.model import ActTree, Item, Within

from .builders import FAILED, GAUGE, NO_AGAIN, SHEET, STOP, TELL, flown, item, one, scenario

Acts = Sequence[tuple[float, Action]]

FULL = ("Orrinfell Approach, Larkspur 5304W, PAN-PAN, vacuum pump failed, partial panel in cloud at five thousand, "
        "request vectors to Wendle, two on board, three hours of fuel")
DIVERT = item("Go where it is clear", part="decide", weight="critical", when=FAILED,
              do=ActTree("any", parts=(one("divert", "Wendle"), one("ask for", "vmc"))),
              example="divert to Wendle", why="The cloud is what makes it dangerous.", source="FAA-P-8740-52")
NAME = item("Name what failed", part="recognize", when=FAILED, do=one("diagnose", "vacuum_system"),
            within=Within(480.0, "evidence", "pump"), example="I think the vacuum pump has failed")
BOTH = item("Cover both", when=FAILED, after=STOP.name,
            do=ActTree("all", parts=(one("cover", "attitude_indicator"), one("cover", "heading_indicator"))))
SWITCH = item("Keep the standby source on", when=FAILED, do=one("switch", "standby_vacuum on"))
STEADY = item("Keep the wings near level", part="aviate", keep=Compared("true bank", "<", 20.0), unsafe=True,
              example="level wings")
KEEP_IFR = item("Keep the clearance", part="decide", never=one("cancel IFR"), when=Fact("is", "in cloud"), unsafe=True)
ALL: tuple[Item, ...] = (*SHEET, DIVERT, NAME, BOTH)


@dataclass(frozen=True, slots=True)
class Described:
    """A flight in words, its acts, and what else is so in it."""

    name: str
    acts: Acts = ()
    sheet: tuple[Item, ...] = ALL
    more: tuple[Event, ...] = ()
    given: dict[str, object] = field(default_factory=dict)
    change: Callable[[Trace], Trace] = lambda trace: trace
    fails: tuple[tuple[str, str, str], float] | None = None    # in place of the pump: (name, part, how), since (s)

    def events(self) -> list[Event]:
        """Return the events of its record."""
        given = {"bank": level, **self.given}
        if self.fails is not None:
            given["fails_at"] = None
        events: list[Event] = [*flown(*self.acts, **given), *self.more]  # type: ignore[arg-type]
        if self.fails is not None:
            events.append(Failed(self.fails[1], *self.fails[0]))
        return sorted((self.change(each) if isinstance(each, Trace) else each for each in events),
                      key=lambda event: event.t)


def say(t: float, words: str) -> tuple[float, Action]:
    """A call, read as in flight."""
    return t, Transmit(words, read_call(words, scenario().context))


def told(t: float, words: str, *, mistake: str = "", to_us: bool = True, wants: str = "") -> Heard:
    """A line of ATC."""
    return Heard(t, "Orrinfell Approach", words, to_us=to_us, mistake=mistake, wants=wants)


def level(t: float, follows: bool) -> float:
    """The true bank of wings that stay level."""
    return 0.0


def rolling(to_deg: float, since: float, rate: float = 1.0) -> Callable[[float, bool], float]:
    """The true bank that grows to so many degrees from a time on."""
    return lambda t, follows: min(to_deg, max(0.0, rate * (t - since)))


def true(since: float, **values: float) -> Callable[[Trace], Trace]:
    """What is true from a time on."""
    return lambda trace: replace(trace, true={**trace.true, **values}) if trace.t >= since else trace


def shown(since: float, **values: float) -> Callable[[Trace], Trace]:
    """What is shown from a time on."""
    return lambda trace: replace(trace, shown={**trace.shown, **values}) if trace.t >= since else trace


def _holding(altitude_ft: float) -> Callable[[Trace], Trace]:
    return lambda trace: replace(trace, controls={**trace.controls, "vertical": HOLD_ALTITUDE,
                                                  "altitude_ft": altitude_ft})


WELL: Acts = (
    (130.0, Look("suction_gauge")), (138.0, Compare(("attitude_indicator", "turn_coordinator"))),
    (142.0, Cover("attitude_indicator")), (145.0, FlyBy("partial_panel")), (150.0, Diagnose(("vacuum_system",))),
    (156.0, Cover("heading_indicator")), say(190.0, FULL), (200.0, Decide("divert", "Wendle")),
    (210.0, Turn("left", heading_deg=80)), (300.0, Checklist("vacuum failure")),
)

FLIGHTS: tuple[Described, ...] = (
    Described("flown well", WELL, more=(
        Seated(0.0, "panel"), Reflected(900.0, "What failed?", "The vacuum pump.\nAt once."))),
    Described("nobody acted", given={"bank": rolling(80.0, 500.0), "seconds": 600, "ending": "loss of control"},
              change=lambda trace: true(570.0, spiral=1.0)(true(565.0, airspeed_kt=170.0,
                                                                beyond_never_exceed=1.0)(trace))),
    Described("recognized late, told in part", (
        (700.0, Cover("attitude_indicator")), (704.0, FlyBy("partial_panel")),
        say(720.0, "approach, Larkspur 5304W, we have lost our attitude indicator and heading indicator")),
        given={"seconds": 1200}),
    Described("a guess", ((119.0, Look("panel")), (122.0, Cover("attitude_indicator"))), given={"fails_at": 121.5}),
    Described("talked while it was still flown by", (
        say(300.0, FULL), (320.0, Cover("attitude_indicator")), (325.0, FlyBy("partial_panel"))), sheet=(NAME,)),
    Described("told without a word of urgency", (
        (200.0, Cover("attitude_indicator")), (202.0, FlyBy("partial_panel")),
        say(230.0, "Orrinfell Approach, Larkspur 5304W, vacuum failure, partial panel, request vectors to Wendle"),
        (240.0, Decide("divert", "Wendle"))), sheet=()),
    Described("IFR cancelled in cloud", (*WELL, say(400.0, "Larkspur 5304W, cancel IFR")), sheet=(KEEP_IFR,)),
    Described("a cancellation taken back", (*WELL, say(400.0, "Larkspur 5304W, cancel IFR")), sheet=(),
              more=(told(405.0, "Larkspur zero four whiskey, your clearance remains in effect."),)),
    Described("below the minimum altitude", WELL, given={"altitude": lambda t: 5000.0 - max(0.0, t - 400.0) * 10.0}),
    Described("uncovered and trusted again", (
        *WELL, (400.0, Uncover("attitude_indicator")), (405.0, FlyBy("full_panel"))), sheet=(STOP, NO_AGAIN, BOTH)),
    Described("gone back to the horizon without a sheet", (
        *WELL, (400.0, Uncover("attitude_indicator")), (405.0, FlyBy("full_panel")),
        (500.0, FlyBy("partial_panel"))), sheet=()),
    Described("nothing failed and nothing was taken for it", ((60.0, Look("panel")),), given={"fails_at": None}),
    Described("nothing failed and something was named", (
        (200.0, Diagnose(("turn_coordinator",))),
        say(220.0, "Orrinfell Approach, Larkspur 5304W, our turn coordinator seems to have failed")),
        given={"fails_at": None}, sheet=(STOP, NAME)),
    Described("came back soon", more=(Healed(150.0, "pump"),), sheet=(STOP, NAME, TELL),
              change=shown(150.0, suction_inhg=5.0, bank_deg=0.0)),
    Described("came back late, nothing done", more=(Healed(500.0, "pump"),), sheet=(),
              change=shown(500.0, suction_inhg=5.0, bank_deg=0.0)),
    Described("went and came again", (
        (145.0, Cover("attitude_indicator")), (147.0, FlyBy("partial_panel")), say(170.0, FULL)), sheet=(),
        more=(Healed(300.0, "pump"), Failed(400.0, "pump", "vacuum pump", "shaft shears"))),
    Described("a plan withdrawn", (*WELL, (420.0, Decide("continue", "Tallowby"))), sheet=(DIVERT, TELL)),
    Described("a plan without a sheet", (*WELL[:6], say(190.0, FULL), (260.0, Decide("land", "Tallowby"))), sheet=()),
    Described("no plan at all", WELL[:6], sheet=(STOP,)),
    Described("banked beyond thirty, fast beyond the green", WELL, sheet=(), given={"bank": rolling(38.0, 300.0)},
              change=true(310.0, airspeed_kt=135.0)),
    Described("banked beyond the sheet's limit for a time", WELL, sheet=(STEADY,),
              given={"bank": lambda t, follows: 25.0 if 300.0 <= t < 306.0 else 0.0}),
    Described("beyond the limit load", WELL, sheet=(), change=true(500.0, beyond_limit_load=1.0)),
    Described("two things at once on partial panel", (
        *WELL[:6], (300.0, Turn("left", heading_deg=80)), (302.0, Altitude(8000, "climb"))), sheet=()),
    Described("cut off soon", given={"seconds": 200, "ending": None}, sheet=ALL),
    Described("cut off later", ((150.0, Look("altimeter")),), given={"seconds": 700, "ending": None}, sheet=ALL),
    Described("an empty record", given={"seconds": 0, "ending": None, "fails_at": None}),
    Described("the turn coordinator fails", ((300.0, Diagnose(("turn_coordinator",))), say(320.0,
              "Orrinfell Approach, Larkspur 5304W, our turn coordinator has failed, we can go on")), sheet=(),
              fails=(("needle", "turn coordinator", "loses power"), 120.0), change=shown(120.0, turn_flag=1.0)),
    Described("the alternator quits", ((200.0, Look("ammeter")), (210.0, Switch("alternator", "off")), say(
              240.0, "Orrinfell Approach, Larkspur 5304W, alternator failure")), sheet=(),
              fails=(("charging", "alternator", "quits"), 120.0),
              change=shown(120.0, volts=24.0, amps=-20.0, low_voltage_light=1.0)),
    Described("the static ports freeze", ((500.0, Switch("alternate_static", "on")),), sheet=(),
              fails=(("ports", "static ports", "freeze over"), 120.0)),
    Described("a standby source switched on and off again", (
        (200.0, Switch("standby_vacuum", "on")), (400.0, Switch("standby_vacuum", "off"))), sheet=(SWITCH,)),
    Described("a standby source on before", ((60.0, Switch("standby_vacuum", "on")),), sheet=(SWITCH,)),
    Described("an altitude that was not flown", WELL[:6], sheet=(),
              more=(Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 260.0, 8000.0),
                    told(305.0, "Larkspur zero four whiskey, turn right heading two six zero, climb and maintain eight "
                                "thousand."))),
    Described("an altitude that was ordered", ((310.0, Altitude(8000, "climb")),), sheet=(), given={"fails_at": None},
              more=(Assigned(0.0, 240.0, 5000.0), Assigned(300.0, 240.0, 8000.0),
                    told(305.0, "Larkspur zero four whiskey, climb and maintain eight thousand."))),
    Described("a mistake that was not questioned", (say(210.0, "approach, 04W, seven thousand"),), sheet=(),
              given={"fails_at": None},
              more=(told(200.0, "Larkspur five three zero four whiskey, maintain seven thousand.",
                         mistake="altitude"),)),
    Described("a mistake that was questioned", (say(210.0, "Larkspur 5304W, confirm seven thousand?"),), sheet=(),
              given={"fails_at": None},
              more=(told(200.0, "Larkspur five three zero four whiskey, maintain seven thousand.", mistake="altitude"),
                    told(220.0, "Larkspur zero four whiskey, correction, maintain five thousand."))),
    Described("the pair believed and the gyro chased", (
        (300.0, Compare(("attitude_indicator", "heading_indicator"))), (560.0, LevelWings()),
        (590.0, Turn("left", heading_deg=240))), given={"bank": rolling(24.0, 500.0)}, sheet=(STOP,)),
    Described("told in words, never looked", ((400.0, Look("altimeter")), (640.0, FlyBy("partial_panel"))),
              more=(Seated(0.0, "words"),), sheet=(GAUGE, NAME)),
    Described("a call while the altitude ran away", (say(420.0, "Larkspur 5304W, stand by"),), sheet=(),
              given={"fails_at": None, "altitude": lambda t: 5000.0 + max(0.0, t - 350.0) * 5.0},
              change=_holding(5000.0)),
    Described("the wrong part told and then silence", (
        *WELL[:6], say(190.0, FULL.replace("vacuum pump", "turn coordinator")), (200.0, Decide("divert", "Wendle"))),
        more=(told(200.0, "Larkspur zero four whiskey, roger pan-pan. Do you want no-gyro vectors?", wants="no_gyro"),
              told(300.0, "Larkspur zero four whiskey, how do you hear me?", wants="reply"),
              told(335.0, "Larkspur zero four whiskey, how do you hear me?", wants="reply"),
              told(400.0, "Larkspur zero four whiskey, turn left.", wants="turn"),
              told(600.0, "Larkspur zero four whiskey, when able, say people on board.", wants="people"))),
    Described("an altitude left with nobody told", (*WELL[:6], (300.0, Altitude(8000, "climb"))),
              given={"altitude": lambda t: 5000.0 + min(3000.0, max(0.0, (t - 300.0) * 8.0))},
              more=(Assigned(0.0, 240.0, 5000.0),)),
    Described("altimeter, squawk and heading set", (
        (60.0, Align("altimeter", inhg=29.86)), (70.0, Squawk("7700")), (80.0, Align())),
        sheet=(item("Set the altimeter", do=one("set", "altimeter"), within=Within(300.0, "start", None)),
               item("Squawk", do=one("squawk", "7700"), within=Within(5.0, "item", "Set the altimeter"))),
        given={"fails_at": None, "seconds": 300}),
)
