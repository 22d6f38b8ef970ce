"""What the pilot gets to read of what happens: events and the panel, as short lines. Pure but for what it remembers."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.events import (
    HIDDEN,
    Acted,
    Asked,
    Dropped,
    Ended,
    Event,
    Heard,
    Told,
    Trace,
    Typed,
)
from drill.flight.readings import FIELDS_OF, clock_words, reading_words, told
from drill.language.meaning import Look
from drill.seat.wording import in_rows, sentence

UNASKED_EVERY_S = 3.0
"""At most one line about the panel in this much flight time, unless the pilot asks."""

AT_MOST_IN_A_LINE = 3

ROUND = frozenset({"heading_deg", "compass_deg", "track_deg"})

NOTABLE: dict[str, dict[str, float]] = {
    "attitude_indicator": {"attitude_tumbled": 0.5, "bank_deg": 6.0, "pitch_deg": 4.0},
    "airspeed_indicator": {"airspeed_kt": 10.0},
    "altimeter": {"altitude_ft": 200.0},
    "vertical_speed_indicator": {"vertical_speed_fpm": 400.0},
    "heading_indicator": {"heading_deg": 20.0},
    "turn_coordinator": {"turn_flag": 0.5, "turn_rate_dps": 1.2, "ball": 0.5},
    "standby_instrument": {"standby_flag": 0.5, "standby_testing": 0.5, "standby_bank_deg": 6.0,
                           "standby_pitch_deg": 4.0},
    "autopilot": {"autopilot_on": 0.5},
    "suction_gauge": {"low_vacuum_light": 0.5},
    "voltmeter": {"low_voltage_light": 0.5},
    "navigation": {"gps_on": 0.5},
    "radio": {"radio_on": 0.5},
    "transponder": {"transponder_on": 0.5},
    "course_needle": {"course_flag": 0.5, "course_deviation": 0.5},
}
"""What is told unasked, and from what change on (the author's choice).

It is what a scan meets without being sent there: the flight instruments, and of the gauges only a light or a flag.
Suction, volts, compass and GPS have to be looked at. So has the standby attitude indicator, but for its flag, while the
attitude indicator is not covered.
"""

ALSO = {
    "turn_coordinator": ("heading_indicator", "heading_deg", 4.0),
    "vertical_speed_indicator": ("altimeter", "altitude_ft", 50.0),
}
"""With a change of rate, where it has led: the instrument told along, and from what change of which field on."""

WARNINGS = ("attitude_tumbled", "turn_flag", "standby_flag", "standby_testing", "autopilot_on", "low_vacuum_light",
            "low_voltage_light", "gps_on", "course_flag", "radio_on", "transponder_on")

EYE_S = 4.0
"""The eye averages over some seconds what turbulence shakes; a warning is seen at once."""

SET_DPS = 20.0
"""A card that goes faster has been set, and is read as it stands; no airplane here turns so fast (author's choice)."""

WHOLE_PANEL_LOOK = Look("panel").as_labels()


Kind: TypeAlias = Literal[
    "radio", "others", "you", "story", "asked", "result", "panel", "own", "ended", "typed",
]
"""What a line is: heard and meant for us, heard and meant for others, our own call as it was transmitted, the story, a
question back, what comes of an act, a reading told unasked, the face's own words, the end, and what was typed."""

MOST_RADIO_LINES = 1_000


@dataclass(frozen=True, slots=True)
class Line:
    """One line to show: flight time in seconds, words, what it is, and whether its time belongs beside it."""

    t: float
    words: str
    kind: Kind
    stamped: bool = True


class Teller:
    """Turns events and readings into lines. Nothing of `HIDDEN` is ever told.

    `echo`: typed lines are told. `tells_calls`: so are the pilot's own calls as they go out; what was typed for no more
    than a call is then not told a second time. `radio` holds the last lines of the radio, own calls always among them.
    """

    def __init__(self, shown: Mapping[str, float], *, echo: bool = False, tells_calls: bool = False) -> None:
        self._known = dict(shown)
        self._eye = dict(shown)
        self._seen = dict(shown)
        self._eye_s = 0.0
        self._told_s = float("-inf")
        self._echo = echo
        self._tells_calls = tells_calls
        self.radio: list[Line] = []
        self._last_heard: Line | None = None
        self._scanned = False
        self._timer_from_s: float | None = None

    def events(self, events: Collection[Event]) -> list[Line]:
        """Return the lines for `events`, in their order."""
        lines: list[Line] = []
        for event in events:
            if not isinstance(event, HIDDEN):
                lines += [line for line in self._lines(event) if line.words]
        return lines

    def panel(self, t: float, shown: Mapping[str, float], covered: Collection[str] = ()) -> list[Line]:
        """Return at most one line: what has notably changed since it was last told, the most pressing first."""
        self._look(t, shown)
        if self._scanned:
            self.knows(t, shown)
        if t - self._told_s < UNASKED_EVERY_S - 1e-9:
            return []
        moved = self._moved(covered)[:AT_MOST_IN_A_LINE]
        if not moved:
            return []
        self._known = told(self._known, self._eye, moved)
        self._told_s = t
        words = ". ".join(sentence(_reading(each, self._eye)) for each in moved) + "."
        return [Line(t, words, "panel")]

    def knows(self, t: float, shown: Mapping[str, float]) -> None:
        """Take note that the pilot has just been told the whole panel."""
        self._known = dict(shown)
        self._eye = dict(shown)
        self._eye_s = t
        self._told_s = t
        self._scanned = False

    def timer_words(self, t: float) -> str:
        """Return what the clock adds to the panel's words while its timer runs."""
        return "" if self._timer_from_s is None else f" Clock: timer at {clock_words(t - self._timer_from_s)}."

    def last_heard(self) -> Line | None:
        """Return the last line that was said to this airplane."""
        return self._last_heard

    def _look(self, t: float, shown: Mapping[str, float]) -> None:
        """Let the eye follow what is shown."""
        seconds = max(0.0, t - self._eye_s)
        share = 1.0 - math.exp(-seconds / EYE_S)
        self._eye_s = t
        anew = {name for names in FIELDS_OF.values() for name in names if any(
            each in WARNINGS and shown[each] != self._eye[each] for each in names)}   # a dark screen that is back
        anew |= {name for name in ROUND if abs(_turned(self._seen[name], shown[name])) > SET_DPS * max(seconds, 1.0)}
        self._seen = dict(shown)
        for name, value in shown.items():
            if name in WARNINGS or name in anew:
                self._eye[name] = value
            elif name in ROUND:
                self._eye[name] = (self._eye[name] + share * _turned(self._eye[name], value)) % 360.0
            else:
                self._eye[name] += share * (value - self._eye[name])

    def _moved(self, covered: Collection[str]) -> list[str]:
        warned: list[str] = []
        moved: list[str] = []
        for instrument, steps in NOTABLE.items():
            if instrument in covered:
                continue
            second = instrument == "standby_instrument" and "attitude_indicator" not in covered
            notable = [name for name, step in steps.items() if self._change(name) >= step
                       and (name in WARNINGS or not second)]
            if notable:
                (warned if notable[0] in WARNINGS else moved).append(instrument)
        for rate, (led_to, name, step) in ALSO.items():
            if rate in moved and led_to not in (*moved, *covered) and self._change(name) >= step:
                moved.insert(moved.index(rate) + 1, led_to)
        return warned + moved

    def _change(self, name: str) -> float:
        now, before = self._eye[name], self._known[name]
        return abs(_turned(before, now)) if name in ROUND else abs(now - before)

    def _lines(self, event: Event) -> list[Line]:
        match event:
            case Typed(t=t, line=line, actions=actions):
                call = bool(actions) and all(each.get("action") == "transmit" for each in actions)
                words = "(to ATC)" if call and self._tells_calls else line
                return [Line(t, f"> {words}", "typed")] if self._echo else []
            case Asked(t=t, words=words):
                return [Line(t, words, "asked")]
            case Acted():
                return self._acted(event)
            case Dropped(t=t, acts=acts):
                names = ", ".join(str(act.get("action", "act")).replace("_", " ") for act in acts)
                return [Line(t, f"Broken off: {names}." if names else "Nothing to break off.", "result")]
            case Heard():
                return [self._heard(event)]
            case Told(t=t, words=words):
                return [Line(t, words, "story")]
            case Ended(t=t, words=words):
                return [Line(t, f"{words}\nThe flight is over." if words else "The flight is over.", "ended")]
            case _:
                return []

    def _heard(self, event: Heard) -> Line:
        if event.to_us:
            line = self._last_heard = Line(event.t, f"{event.voice}: {event.words}", "radio")
        else:
            line = Line(event.t, f"{event.voice.split(',')[0]}, to others: {event.words}", "others")
        self._logged(line)
        return line

    def _acted(self, event: Acted) -> list[Line]:
        lines: list[Line] = []
        if event.act.get("action") == "timer" and not event.refused:
            self._timer_from_s = event.t if event.act.get("to") == "start" else None
        if event.act.get("action") == "transmit" and event.heard:
            call = Line(event.t, f"You: {event.act.get('call', '')}", "you")
            self._logged(call)
            lines += [call] if self._tells_calls else []
        words = event.result[:1].upper() + event.result[1:]
        if event.act == WHOLE_PANEL_LOOK:
            self._scanned = True
            words = in_rows(words + self.timer_words(event.t))
        elif words and words[-1] not in ".!?:":
            words += "."
        return [*lines, Line(event.t, words, "result")]

    def _logged(self, line: Line) -> None:
        self.radio.append(line)
        del self.radio[:-MOST_RADIO_LINES]


def retold(events: Iterable[Event]) -> Iterator[Line]:
    """Yield the lines of a flight that has been flown, from its events; the panel's from its trace."""
    teller: Teller | None = None
    early: list[Event] = []
    for event in events:
        if isinstance(event, Trace):
            if teller is None:
                teller = Teller(event.shown, echo=True)
                yield from teller.events(early)
            yield from teller.panel(event.t, event.shown, event.covered)
        elif teller is None:
            early.append(event)
        else:
            yield from teller.events([event])
    if teller is None:
        yield from Teller({}, echo=True).events(early)


def _turned(before: float, now: float) -> float:
    """Return the angle from `before` to `now`, -180 <= x < 180 degrees."""
    return float(wrap_deg(FLOATS, now - before))


def _reading(instrument: str, shown: Mapping[str, float]) -> str:
    """Return one reading; the GPS alone: asked for by name it is read together with the course needle."""
    return reading_words(instrument, shown).split("; ", 1)[0]
