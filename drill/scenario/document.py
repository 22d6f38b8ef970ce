"""Edition 1 of the scenario document: every key, its shape, and what it is for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from drill.airplane.constants import GUST_MPS, ICE_FULL_S
from drill.clean import clean_line
from drill.language.lexicon import usages
from drill.scenario import units as u
from drill.scenario.local_words import LOCAL_WORDS
from drill.scenario.logic import Acts, Cond
from drill.scenario.mappings import Key, Keys, ListOf, Named
from drill.scenario.model import ASKS, INSTEAD_OF, MISTAKES, NEEDS, OUTCOMES, PARTS, WHEN_ABLE, Within
from drill.scenario.nearest import hint
from drill.scenario.places import Node, Text
from drill.scenario.poll_keys import POLL
from drill.scenario.radio_shapes import Assigned, Frequency
from drill.scenario.reading import BAD, Entry, Reading
from drill.scenario.shapes import PLACEHOLDERS, Amount, Choice, Flag, FlagOr, Name, Pattern, Shape, Special, Words
from drill.scenario.units import UnitError, read_amount

EDITION = 1

HEADING = Amount(u.HEADING, 0.0, 360.0)
ALTITUDE = Amount(u.FEET, -1_000.0, 30_000.0)
HEIGHT = Amount(u.FEET, 0.0, 30_000.0)
PRESSURE = Amount(u.PRESSURE, 900.0, 1_080.0)
TIME = Amount(u.SECONDS, 0.0, 24 * 3600.0)
PROSE = Words(many_lines=True, most=4_000)


@dataclass(frozen=True, slots=True)
class WordOr:
    """One of a few words, or another shape."""

    words: tuple[str, ...]
    shape: Shape

    def read(self, node: Node, key: str, to: Reading) -> Any:
        """Return the word, or what the shape reads."""
        if isinstance(node, Text) and node.value.strip().lower() in self.words:
            return node.value.strip().lower()
        return self.shape.read(node, key, to)


@dataclass(frozen=True, slots=True)
class Window:
    """A time window: `3 min of failure pump`, `90 s of evidence`, `2 min of item Tell ATC`, `10 min of start`."""

    def read(self, node: Node, key: str, to: Reading) -> Within | Any:
        """Return the Within, noting the failure or item that it names."""
        sample = "write it like `3 min of failure pump`, `90 s of evidence` or `2 min of item Tell ATC`"
        if not isinstance(node, Text) or node.empty:
            return to.wrong(node.place, "wrong-kind", f"`{key}` is no time window", "", sample)
        match = re.fullmatch(r"\s*(.+?)\s+of\s+(failure|evidence|item|start)\b\s*(.*?)\s*", node.value, re.DOTALL)
        named = match is not None and bool(match[3])
        if match is None or (match[2] == "item" and not named) or (match[2] == "start" and named):
            return to.wrong(node.place, "wrong-form", f"`{key}`: `{node.value[:60]}` is no time window", "", sample)
        try:
            seconds = read_amount(match[1], u.SECONDS)
        except UnitError as error:
            return to.unit(node.at(match.start(1)), key, error)
        name = clean_line(match[3]) or None
        if name is not None:
            to.refer("item" if match[2] == "item" else "failure", name, node.at(match.start(3)))
        return Within(seconds, match[2], name)  # type: ignore[arg-type]


_BRACED = re.compile(r"\{[^{}]*\}?|\}")


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words on the radio, in which PLACEHOLDERS are filled in."""

    def read(self, node: Node, key: str, to: Reading) -> Any:
        """Return the clean text; a brace that is no placeholder is a problem."""
        words = PROSE.read(node, key, to)
        if words is BAD or not isinstance(node, Text):
            return words
        for braced in _BRACED.finditer(node.value):
            if braced.group() not in PLACEHOLDERS:
                return to.wrong(
                    node.at(braced.start()),
                    "unknown-placeholder",
                    f"`{braced.group()[:40]}` is nothing that can be filled in",
                    hint(braced.group(), PLACEHOLDERS),
                    "write a known one, or no braces",
                )
        return words


@dataclass(frozen=True, slots=True)
class _Line(Keys):
    """A line of ATC. One that stands in for the controller's own has its moment; nothing else is said by itself."""

    own_moment: bool = False   # the line stands in a list of its own, and not in what happens at some moment

    def read(self, node: Node, key: str, to: Reading) -> Entry | Any:
        """Return the Entry."""
        entry = Keys.read(self, node, key, to)
        if not isinstance(entry, Entry) or "instead of" not in entry.values:
            return entry
        if self.own_moment and not {"when", "after"} & set(entry.values):
            to.wrong(entry.at("instead of"), "missing-key", "`instead of` has no moment: the line is said at once",
                     "the moment at which the controller would say his own", "add `when: ...` or `after: ...`")
        if entry.get("hands off") is True and entry.get("instead of") == "handling":
            to.wrong(entry.at("hands off"), "at-odds", "the line is never said: nobody is sent to another frequency in "
                     "an emergency", "", "delete `hands off`, or `instead of`")
        return entry


SAY_KEYS = (
    Key("says", Spoken(), "words on the radio; {callsign}, {heading} and {altitude} are filled in"),
    Key("voice", Words(), "who says it, if not the facility", needs="says"),
    Key("heading", HEADING, "becomes the assigned heading", needs="says"),
    Key("altitude", ALTITUDE, "becomes the assigned altitude", needs="says"),
    Key("cleared", Words(), "the approach that this clears", needs="says"),
    Key("asks", FlagOr(ASKS[1:]), "yes if the line wants an answer, or what it asks for: the controller then does not "
        "ask for it himself, nor the line for what is known", needs="says"),
    Key("at discretion", Flag(), "yes if the altitude is the pilot's affair from now on", needs="says"),
    Key("hands off", Flag(), "yes if the line sends the airplane to another frequency: unsaid in an emergency",
        needs="says"),
    Key("instead of", Choice(INSTEAD_OF), "what of the controller's own this line is said for: his answer to the call "
        "just heard, that he handles the flight as an emergency, or the missed approach", needs="says"),
)
EFFECT_NAMES = ("tell", "say", "fail", "heal", "note")
HAPPENS = (*EFFECT_NAMES, "says")
EFFECT_KEYS = (
    Key("tell", ListOf(PROSE, or_one=True), "words of the story to the pilot"),
    Key("say", ListOf(_Line(SAY_KEYS, some_of=("says",), short="says"), or_one=True), "words heard on the radio"),
    Key("fail", ListOf(Name("failure"), or_one=True), "failures that begin"),
    Key("heal", ListOf(Name("failure"), or_one=True), "failures that end"),
    Key("note", ListOf(Name("flag"), or_one=True), "flags to raise"),
)
CUE_KEYS = (
    Key("after", TIME, "time since the phase was entered; for an event, since the flight began"),
    Key("when", Cond(), "only while this holds"),
    Key("unless", Cond(), "not while this holds"),
)
SPREAD = Key("spread", TIME, "drawn from the seed: so much later at most")

PHASE = Keys(
    (
        Key("tell", PROSE, "words of the story on entering"),
        Key("do", ListOf(Keys(EFFECT_KEYS, some_of=EFFECT_NAMES), or_one=True), "what happens on entering"),
        Key(
            "atc",
            ListOf(_Line((*CUE_KEYS, *SAY_KEYS), some_of=("says",), own_moment=True), or_one=True),
            "words of ATC in this phase, each said once; for the controller's own by `asks` or `instead of`",
        ),
        Key(
            "cues",
            ListOf(_Line((*CUE_KEYS, *SAY_KEYS, *EFFECT_KEYS), some_of=HAPPENS, own_moment=True), or_one=True),
            "what happens by itself in this phase, each once",
        ),
        Key(
            "branches",
            ListOf(
                Keys(
                    (
                        Key("when", Cond(), "the condition", required=True),
                        Key("for", TIME, "how long it must hold without a break"),
                        *EFFECT_KEYS,
                        Key("go", Name("phase"), "the phase that follows"),
                        Key("end", Name("ending"), "the ending"),
                    ),
                    one_of=("go", "end"),
                )
            ),
            "ways out, the first that holds wins",
        ),
    )
)

FAILURE = Keys(
    (
        Key("part", Name("part"), "the part that fails", required=True),
        Key("how", Words(), "how it fails, in the catalogue's words", required=True),
        Key("at", TIME, "earliest time; without it the failure comes only by `fail`"),
        SPREAD,
        Key("lasts", TIME, "it heals by itself after this time"),
        Key("every", TIME, "it comes back this long after it began, again and again", needs="lasts"),
        Key("severity", Amount(u.PLAIN, 0.05, 1.0), "share of the catalogue's rate or size, which is 1"),
    )
)

VARIATION = Keys(
    (
        Key("share", Amount(u.PLAIN, 1, 1_000, whole=True), "how often beside the others; 1 unless said"),
        Key("fails", ListOf(Name("failure"), or_one=True, may_be_empty=True), "what happens then; [] for none",
            required=True),
    )
)

FIELD = Keys(
    (
        Key("bearing", HEADING, "magnetic, from where the flight begins", required=True),
        Key("distance", Amount(u.MILES, 0.0, 500.0), "from where the flight begins", required=True),
        Key("elevation", ALTITUDE, "above mean sea level"),
        Key("ceiling", Amount(u.FEET, 0.0, 30_000.0, ("clear",)), "above the field, or clear", required=True),
        Key("tops", ALTITUDE, "of the cloud at the field, above mean sea level"),
        Key("visibility", Amount(u.VISIBILITY, 0.0, 100.0), "at the field"),
        Key("approaches", ListOf(Words(), or_one=True, may_be_empty=True), "what can be flown there"),
        Key("runway", HEADING, "magnetic direction of the runway in use"),
        Key("minimums", ALTITUDE, "of the best approach, above mean sea level"),
        Key("weather", Words(), "the field's weather as ATC reads it"),
        Key("radar approach", Flag(), "yes if a surveillance approach can be had there"),
    )
)

ITEM = Keys(
    (
        Key("item", Words(most=120), "its name", required=True),
        Key("part", Choice(PARTS), "where it is graded", required=True),
        Key("weight", Choice(("critical", "major", "minor")), "how much it counts"),
        Key("do", Acts(), "what is to be done"),
        Key("never", Acts(), "what is never to be done"),
        Key("keep", Cond(), "what has to hold throughout"),
        Key("when", Cond(), "it applies only if this has held at some time"),
        Key("after", Name("item"), "the item that has to come first"),
        Key("before", Cond(), "too late once this has held"),
        Key("within", Window(), "the author's time window"),
        Key("needs", ListOf(Choice(NEEDS), or_one=True), "what the call has to contain"),
        Key("example", Words(), "the words that do it"),
        Key("why", PROSE, "the reason", required=True),
        Key("source", Words(), "where that is written", required=True),
        Key("unsafe", Flag(), "breaking it is an unsafe act"),
    ),
    one_of=("do", "never", "keep"),
)

SCENARIO = Keys(
    (
        Key("drill", Amount(u.PLAIN, 1, 1_000, whole=True), "edition of this format: 1", required=True),
        Key("board title", Words(most=80), "all that the pilot sees before the debrief", required=True),
        Key("title", Words(most=120), "what it is about, for the debrief", required=True),
        Key("aim", PROSE, "what a pilot should take away", required=True),
        Key("covers", ListOf(Words(most=60), or_one=True), "codes of the ACS tasks covered"),
        Key("airplane", Name("airplane"), "name of a document in airplanes/", required=True),
        Key("instruments", Choice(("fresh", "worn")), "worn gyros lean within minutes, fresh ones later"),
        Key("callsign", Words(most=40), "the full callsign, invented", required=True),
        Key(
            "start",
            Keys(
                (
                    Key("phase", Name("phase"), "the first phase", required=True),
                    Key("on ground", Flag(), "yes: parked with the engine running; altitude and airspeed follow"),
                    Key("gyros", Choice(("running", "at rest")), "at rest: the engine has just been started",
                        needs="on ground"),
                    Key("altitude", ALTITUDE, "as the altimeter shows it", required=True, unless="on ground"),
                    Key("heading", HEADING, "magnetic", required=True),
                    Key("airspeed", Amount(u.KNOTS, 40.0, 250.0), "calibrated", required=True, unless="on ground"),
                    Key("altimeter", PRESSURE, "what it is set to, if not to the weather's pressure"),
                    Key("on board", Amount(u.PLAIN, 1, 20, whole=True), "people"),
                    Key("fuel", Amount(u.MINUTES, 1.0, 900.0), "time that it lasts"),
                    Key("autopilot", Choice(("on", "off")), "on: it flies as the flight begins"),
                    Key("clock", Pattern(r"([01]\d|2[0-3]):[0-5]\d", "14:05", "a time of day"), "local time"),
                )
            ),
            "where and how the flight begins",
            required=True,
        ),
        Key(
            "weather",
            Keys(
                (
                    Key(
                        "cloud",
                        WordOr(
                            ("none", "clear"),
                            Keys(
                                (
                                    Key("base", ALTITUDE, "above mean sea level", required=True),
                                    Key("tops", ALTITUDE, "above mean sea level", required=True),
                                )
                            ),
                        ),
                        "one layer, or none",
                    ),
                    Key("wind", Special("wind"), "magnetic direction from, and speed"),
                    Key("turbulence", Choice(tuple(GUST_MPS)), "how rough it is"),
                    Key("freezing level", HEIGHT, "above mean sea level"),
                    Key("icing", Choice(tuple(ICE_FULL_S)), "ice in the cloud above the freezing level, and how fast"),
                    Key("temperature", Amount(u.CELSIUS, -50.0, 50.0), "deviation from standard"),
                    Key("pressure", PRESSURE, "the right altimeter setting"),
                    Key("words", PROSE, "the forecast in plain words"),
                    Key("coded", ListOf(Words(), or_one=True), "the forecast in code"),
                )
            ),
            "what the airplane meets",
        ),
        Key("latitude", Amount(u.DEGREES, -80.0, 80.0), "for earth rate and compass dip, north positive"),
        Key("ground", ALTITUDE, "height of the ground above mean sea level"),
        Key("minimum altitude", HEIGHT, "lowest safe altitude in cloud", required=True),
        Key("fields", Named(FIELD, "field"), "places to land", required=True),
        Key(
            "course",
            Keys(
                (
                    Key("to", Name("field"), "the field that the course needle leads to", required=True),
                    Key("inbound", HEADING, "the inbound course", required=True),
                )
            ),
            "what the course needle shows at the start",
        ),
        Key(
            "clearance",
            Keys(
                (
                    Key("facility", Words(most=60), "who is worked", required=True),
                    Key("frequency", Frequency(), "in MHz"),
                    Key("altitude", ALTITUDE, "assigned"),
                    Key("heading", HEADING, "assigned"),
                    Key("code", Assigned(), "transponder code"),
                    Key("limit", Words(), "clearance limit"),
                    Key("radar approach", Flag(), "yes if the facility can give one"),
                    Key("mood", Choice(("helpful", "busy")), "busy: ATC answers late and lets wait what can"),
                    Key("mistakes", ListOf(Choice(MISTAKES), or_one=True, may_be_empty=True),
                        "what ATC gets wrong, once each, at the first chance; the pilot's doubt corrects it"),
                    Key("when able", ListOf(Choice(WHEN_ABLE), or_one=True, may_be_empty=True),
                        "what ATC asks for by itself after the first rush; all of it unless said, [] for nothing"),
                )
            ),
            "what ATC has cleared",
            required=True,
        ),
        Key("usage", ListOf(Choice(usages()), or_one=True), "countries whose words are understood as well"),
        Key("local words", LOCAL_WORDS, "the place's or the club's own words for things"),
        Key("briefing", PROSE, "what the pilot reads before the flight; gives nothing away"),
        Key("minutes", Amount(u.PLAIN, 1, 240), "about how long it takes"),
        Key("time limit", TIME, "the flight ends then at the latest"),
        Key("nothing fails", Special("share"), "share of the seeds in which no failure happens"),
        Key("failures", Named(FAILURE, "failure"), "failures held ready"),
        Key("variations", Named(VARIATION, "variation"),
            "the seed draws one; a failure named in some happens by its time only under those"),
        Key(
            "events",
            Named(Keys((*CUE_KEYS, SPREAD, *SAY_KEYS, *EFFECT_KEYS), some_of=HAPPENS), "event"),
            "what happens once a flight, in whatever phase",
        ),
        Key("phases", Named(PHASE, "phase"), "stages of the story", required=True),
        Key(
            "endings",
            Named(
                Keys(
                    (
                        Key("outcome", Choice(OUTCOMES), "how it went", required=True),
                        Key("tell", PROSE, "words of the story", required=True),
                    )
                ),
                "ending",
            ),
            "how the flight can end",
            required=True,
        ),
        Key("grade sheet", ListOf(ITEM), "what is graded", required=True),
        Key("polls", ListOf(POLL), "what a room that flies together is asked; left out, usual ones are made"),
        Key(
            "debrief",
            Keys(
                (
                    Key("ask", ListOf(Words(), or_one=True), "questions to the pilot before anything is told"),
                    Key("discuss", Words(many_lines=True, most=20_000), "what the author wants said"),
                ),
                short="discuss",
            ),
            "the talk after the flight",
        ),
        Key("cautions", ListOf(Words(), or_one=True), "the author's own, shown with those of drill"),
        Key(
            "taken up",
            Keys(
                (
                    Key("phase", Name("phase"), "the phase that the flight begins in", required=True),
                    Key("failed", ListOf(Name("failure"), may_be_empty=True), "failures that have begun by then"),
                )
            ),
            "written by `drill fly --from`: the story is taken up in a later phase",
        ),
    )
)
