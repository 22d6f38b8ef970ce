"""The figures and the place in a call: altitude, heading, position, and what is read back.

Texts are as in `clauses`. Altitudes are feet, headings degrees.
"""

from __future__ import annotations

import re
from functools import lru_cache

from drill.language.alternatives import any_of, by_words
from drill.language.asking import BARE_ALTITUDE
from drill.language.clauses import clauses
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought, sought

_DIGIT = re.compile(r"\d")
_NOT_FEET = (
             laid_out(r"""
                 (?! ?(?:and a (?:half|quarter)|<voltmeter>|<ammeter>|volts?|amps?|inches|psi|percent|rpm|is set|set|
                 <tachometer>|out|
                 to the|miles?|mile|nm|minutes?|mins?|hours?|hrs?|degrees|knots|kt|souls?|persons?|people|pob|
                 on board|o clock|hpa|foot\b|(?:feet |ft )?(?:high|low|down|up(?! here)|error|difference|split|apart)|
                 north|south|east|west|northeast|northwest|southeast|southwest|(?:ne|nw|se|sw)\b|\.\d))"""))
_ABOUT = r"(?:about |around |approximately |just |just about |roughly )?"
_PRESENT = re.compile(
    r"\b(?:cruising|angels|alt|level(?:led|ed)?(?: off)?(?: now)?(?: at)?|maintaining|at|altitude(?: is| now)?(?! 1$)|"
    r"passing(?: through| up through)?|through|"
    r"leaving|out of|presently|currently(?: at)?|now at|(?:we are|i am|now) down to|"
    r"holding|steady(?: at)?|stay(?:ing)? at|we are|i am|"
    r"passing|vacating|"
    rf"with you|reading|shows|showing|imc|"
    rf"vmc|(?:says?|reads?|indicates?|indicating)(?= \d{4})|has (?:us|me) at|puts (?:us|me) at) "
    rf"{_ABOUT}(?P<feet>\d{{1,5}}(?:\.5)?)\b{_NOT_FEET}(?! (?:through|"
    rf"to) \d)")
_READING = re.compile(r"\b(?:reading|reads|says|saying|shows|showing|indicat\w+|stuck|frozen)\b")
_FEET_ON = compiled(r"""
    \b\d{4,5}(?: feet| ft)? (?:on|by|from|per|off|via|according to) (?:the )?
    (?:standby |backup |spare |other )?(?:<navigation>|radar|<transponder>)""")
_OTHER_SOURCE = re.compile(r"\b(?:standby|backup|spare|copilot is|other one|other 1)(?= (?:shows?|showing|reads?|"
                           r"reading|says)\b)|<navigation>|\bradar\b|\bencoder\b|<transponder>|\bestimat\w+")
_BARE = re.compile(rf"(?:^|(?<= ))(?P<feet>\d{{4,5}})(?: feet| ft)?(?: msl)?(?! ?(?:to|through|for|block|rpm|hpa|"
                   rf"inches|pounds|lbs|squawk|would|will)\b)"
                   rf"(?! ?(?:feet |ft )?(?:above|below)\b){_NOT_FEET}")
_WITH_A_HALF = re.compile(r"(?<=at )(\d{1,2}) and a half(?=$| ,| \.)")
_AND_A_HALF = re.compile(r"(?:^|at |level )(?P<feet>\d{1,2}\.5)$")
_FIRST = compiled(r"""
    ^(?P<feet>\d{4,5}) (?!(?:feet |ft )?(?:above|below|high|low|off|out) |for |to |would |will do|is fine|works |
    please|if |is set|set|rpm|hours?|pounds|lbs|runway|block|through|hpa|inches)(?=[a-z])""")
_FEET = re.compile(r"(?P<feet>\d{3,5}) (?:feet|ft)\b(?! (?:above|below|high|low|off|out|of|apart|error)\b)")
_ASKED = compiled(r"""
    \b(?:request\w*|req|rqst|need\w*|want\w*|would like|like|descend\w*|descent|climb(?!ing (?:through|past))\w*|
    block|another|(?<!it )(?<!shut )(?<!shutting )(?<!engine )down(?! here)|unable|use|
    appreciate|(?:can not|could not) (?:do|take|accept|make)|
    (?<!iced )(?<!loaded )(?<!icing )(?<!it )up(?! here)|hold|keep|accept|to|for(?! now)|(?<!clear )above|
    (?<!vmc )below|over|
    under|
    runway|until|
    able|chance of|(?<=\d )through|
    by|(?:can|could|will) make|with|(?:can|could|may) (?:we|i) (?:have|get)|squawk\w*|code|
    (?<!can not )(?<!unable to )maintain|between|expect\w*|cross\w*|than|cleared|stopping|stuck|frozen|pegged|
    (?<!of the )(?<!in the )tops|
    bases?|
    ceiling|freezing level|field elevation|minimum|reported|(?<!in )(?<!inside )(?<!of )(?<!the )(?<!this )(?<!through )
    (?<!solid )(?<!thick )(?<!below )(?<!above )(?<!under )(?<!between )(?<!clear of )cloud|plus|minus|within|say|
    scattered|broken|overcast|few|length|long|lower|
    higher)(?: (?:here|to|at|and|of|are|is|still|now|maintain|altitude|about|around|block|feet))* $|
    \bbetween \d+ and $|\b(?:like|want|intend) to hold (?:at|over) (?:[\w<>]+ ){1,3}at $""")
_ASKS_FIRST = compiled(r"""
    (?:request\w*|req|rqst|need|want|block|descend\w*|climb(?!ing (?:through|past))\w*|vectors|squawk\w*)\b""")
_ASKED_FOR_LEVEL = sought(r"""
    \b(?:request\w*|req|rqst|like|want|need|could (?:we|i)|can (?:we|i)|may (?:we|i))\b.*\b(?:lower|higher|climb|
    descent|descend|altitude)(?: please)?$""")
_REQUESTED = re.compile(r"\b(?:request\w*|(?:could|can|may) (?:we|i)|like to|want to|need)\b")
_FOR = sought(r"""
    (?:^|\bairborne )([3-9]00|\d{4,5}) (?:feet )?(?:and )?(?:climbing|descending)$|
    (?:^|\b(?:in|with you|at|now|climbing|descending|out of|from|passing|through|leaving) )(\d{4,5}|[4-9]00|
    [1-9]\d?(?:\.\d)?) (?:for|climbing|descending|climbing to|descending to) (?:\d{4,5}|\d{1,2})$""")
_READ_BACK = compiled(r"""
    ^(?:(?:ok|okay|roger|wilco|copy|affirm\w*|yes|and|uh|<callsign>|<facility>|will|we will|back) )*(?:(?:turn|come|
    fly|turning) )?(?:left|right)(?: turn)?(?: to)?(?: heading)? \d{2,3}\b|^\d{2,3} on the heading\b|
    ^(?:slow|slowing|reduce speed) to \d{2,3}\b|^(?:(?:ok|okay|roger|wilco|copy|copied|affirm\w*|yes|and|uh|then|
    <callsign>|<facility>) )*(?:lower to \d|fly heading|descend|climb|maintain|down to (?=\d)(?!\d <)|
    up to (?=\d)(?!\d <)|
    cross (?=[\d<])|squawk|contact|cleared|altimeter \d|altimeter)\b""")
_AND_SETTING = re.compile(r"^\d{4,5} and (?:2[89]|3[01])\.?\d\d$")
"""An altitude and an altimeter setting read back: "three thousand and two niner niner four"."""
_CONFIRMS = Sought(r"\b(?:was|is) that\b|\b(?:i was|we were) (?:cleared|given|assigned|told)\b|"
                   r"^(?:confirm|verify|say again|understand|(?:is|are) \d+)\b|"
                   r"\b(?:traffic|airplane|aircraft) (?:is )?at \d")
_ROGER_DIRECT = re.compile(r"^(?:<\w+> ,? ?)*(?:roger|wilco|copy|copied)\b.*\bdirect (?:to )?<(?:place|fix)>")
_HELD = compiled(r"""
    \b(?:holding|flying|steering|tracking|steady)(?: what (?:i|
    we) think is| straight| about| around| approximately| roughly| a| heading| at| on)* (?P<deg>\d{3})\b(?! ?(?:feet|
    ft|knots|
    kts?|degrees? (?:left|right)|radial))""")
_HEADING = compiled(r"""
    \b(?:heading|hdg|course)
    (?: of| is| about| approximately| roughly| around| maybe| currently| now| reads?| shows?| indicating
    | looks? like| (?:from|by|on) (?:the )?<navigation>)* (?P<deg>\d{1,3})\b(?! (?:souls?|persons?|people|pob|sob|
    pax|on board|aboard|up\b|miles?|minutes?|hours?))|
    ^(?:.* )?\d{4,5}(?: feet| ft)? (?:and )?on (?:a )?(?P<on>[0-3]\d\d)$|
    \bon an? (?P<flown>\d{3}) heading\b""")
_ON_COMPASS = sought(r"""
    \b(?P<deg>\d{3})(?: degrees)? (?:on|by|from) (?:the |my |our )?<magnetic_compass>|
    heading on (?:the |my )?<magnetic_compass> (?P<deg3>\d{3})\b|^<magnetic_compass> (?P<deg4>\d{3})$|
    <magnetic_compass> (?P<deg5>\d{3})(?! \d)\b|
    <magnetic_compass>(?: reads?| says| shows?| showing| reading| heading)+ (?P<deg2>\d{1,3})\b""")
_TURNING = compiled(r"""
    \b(?:turn\w*|unable|left|right|to|request\w*|fly|assigned|new|steer\w*|come|coming|a|want|like|runway|give me|
    say)(?: (?:to|a|left|right|the|new))* $""")
_ON_A = re.compile(r"\b(?:on|flying|holding) a $")
_DIRECTION = (
    laid_out(r"""
        (?:north|south|east|west|northeast|northwest|southeast|southwest|north east|north west|south east|
        south west|n|s|e|w|ne|nw|se|sw|nne|sse|ssw|nnw)(?:ern|bound)?""")
)
_POSITION = any_of((
    laid_out(r"""
        (?:over(?:head)?|abeam|overflying|inbound (?:to|from)|position(?: is)?|passing|passed|crossing|between|near|
        just past|above|at) (?:the )?<(?:place|fix)>"""),
    rf"\d+(?:\.\d+)?(?: miles?| nm| nautical miles| mile)?(?: to the)? {_DIRECTION}(?: of\b| <(?:place|fix)>| "
    rf"from\b|$|(?= (?:,|at|inbound|with|and|in)\b))",
    rf"(?:\d+|half|a|half a) miles? (?:{_DIRECTION}|final|from|out|off|short of)",
    r"(?<!number )\d+ <navigation>(?= <place>| from| of| to|$)",
    r"at (?:the )?(?:hangar|stand|parking)(?: \w+)?",
    rf"(?:{_DIRECTION}) of (?:the |your )?(?:<(?:place|fix)>|field|airport|vor|<navigation>|runway)",
    r"holding short",
    r"at (?:the )?holding point",
    r"downwind",
    r"(?:short |long |on )?final\b(?! approach)",
    r"on base",
    r"(?:crosswind|downwind|base|upwind) leg",
    r"(?:at|on|in) (?:bay|spot|parking|position|row|slot) \d+\w?",
    r"^(?:spot|stand|bay|gate) \d+",
    r"on the (?:<magnetic_compass>|<\w+>) rose",
    r"^short of (?:runway )?\d+\w?\b",
    r"\d+ miles? (?:dead |straight )?ahead|(?:dead|straight) ahead at \d+ miles?",
    r"(?<!all )over(?:head)? (?:the )?(?!the\b)\w+ <navigation>",
    laid_out(r"""
        (?:over|position|overhead|above|passing|at|by|near) (?:the )?(?:\w+ )?(?:lighthouse|bridge|harbou?r|
        power station|river mouth|dam|quarry|stadium|castle|reservoir|estuary|viaduct|pier|racecourse|interchange|
        shed|self serve)"""),
    r"left base",
    r"right base",
    r"at the (?:north |south |east |west )?(?:ramp|hold|gate|marker|fix)",
    r"(?:at|on|taxiway) (?:alfa|alpha|bravo|charlie|delta|echo|foxtrot|golf|hotel|juliett?|kilo|lima|mike)(?: \d+)?",
    r"on (?:the )?\w+ ramp",
    r"(?<!> )(?:\d+|a|1)(?: miles?| nm)? out\b(?! of)",
    r"\d+ dme",
    r"(?<!until )(?<!till )(?<!when )(?<!once )(?<!be )(?<!you )(?<!report )established",
    r"at the \w+ marker",
    r"overhead",
    r"(?:north|south|east|west|northeast|northwest|southeast|southwest) of (?:the |a )?[a-z]+",
    r"on the ground",
    r"parked",
    r"(?<!flags )(?<!flag )(?<!needle )(?<!needles )(?<!nothing )(?<!failed )on the ils",
    r"(?:parked |sitting |waiting )?on the (?:grass|tarmac|pad|hardstanding|tie ?downs?)",
    r"(?:reservoir|lake|town|village|city|river|road|highway|railway) (?:\w+ )?(?:under|below|beneath) (?:me|us)",
    r"half ?way (?:to|between)",
    r"(?:inside|outside|past) <fix>",
    r"at (?:the )?run ?up",
    r"(?:turning|on|on the) (?:base|final|crosswind)",
    r"(?:aviation|club|north|south|east|west|main) apron",
    r"at gate \d",
    r"mile and a half final",
    r"(?:\d+|a) miles? straight in",
    r"outside (?:the )?marker",
    r"on the (?:runway|taxiway|localizer|\d+ radial|apron)",
    laid_out(r"""
        (?<!all )over (?:the|a) (?!clouds?|overcast|layers?|tops?|deck|weather|radio|air|phone|side|next|last|past|
        limit|edge|line|place|ice|undercast|frequency|panel|whole|same|other|entire|controls?|top|
        wind\w+|cowl\w*|nose|wings?)[a-z]+"""),
    r"over the <place> [a-z]+",
    r"(?:at|by|near|beside|next to) the <fuel_pump>",
    r"on runway \d+",
    r"(?:on|at) stand \d+",
    r"clear of (?:the )?(?:runway|active|\d{1,2}(?= |$))",
    laid_out(r"""
        (?:at|by|near|beside|outside) the (?:\w+ )?(?:fuel|gas|pumps?|fbo|hangar|tie ?downs?|threshold|
        hold(?:ing)? (?:line|point|short line)|run ?up|clubhouse)"""),
    r"(?:on|at) the \w+ (?:hold(?:ing)? ?(?:line|point)?|line|apron|taxiway|ramp|pad|threshold)",
    r"\d{3} radial",
    r"run ?up area",
    r"on (?:the|a) run ?up (?:pad|area|bay|block|apron)",
    r"over the (?:field|vor|airport|river|lake|estuary|coast)",
    r"overhead the (?:field|vor|airport)",
    r"inside (?:the )?\w+ marker",
    r"(?:on|in) the (?:hold|pattern)\b",
    r"abeam",
))
_HOLDING = by_words(r"""
    \d+ miles? to the (?:field|airport|runway)\b|\d+ miles? to (?:run|go)\b|
    \b(?:(?<!all )over|passing|abeam|overhead) (?:the )?<navigation>|\bover at (?:the )?[a-z]+|
    \bholding (?:at|on) (?:the )?(?:taxiway|ramp|runway|apron|alfa|alpha|bravo|charlie|delta|echo)\b|
    (?:^|we are |i am |is |currently |now )holding (?:point|(?:as published )?(?:at|over)(?: the)? <(?:fix|place)>)""")
_NOT_POSITION = compiled(r"""
    \b(?:where is|which way|estimat\w+|request\w*|like|want|need|hold(?:ing)?(?: (?:at|over))?(?! short)|land\w*|
    divert\w*|
    vectors?|relay\w*|tell|
    turn|return\w*|(?:could|can|may) (?:we|i)|direct|weather|winds?|latest|back|rather|have a|approach(?:es)?|par|
    asr|sra|ils|visual (?:approach|to)|crews?|trucks|equipment|(?<!on )fire|ambulances?|wife|will|get off|exit\w*|
    airport|
    expect us|localizer|surveillance)\b.*$""")


def _feet(said: str) -> int | None:
    """Return the altitude meant by a spoken number: "six" is 6000, "4500" is 4500; None if it is no altitude."""
    if "." in said:
        return _feet(str(round(float(said) * 1000)))
    value = int(said)
    if len(said) == 2 and value >= 20:
        return value * 100   # "level seventy" is a flight level
    if len(said) <= 2 and 1 <= value <= 60 and not said.startswith("0"):
        return value * 1000
    return value if 400 <= value <= 60_000 else None


@lru_cache(maxsize=16)
def reads_back(text: str) -> bool:
    """Whether the call repeats an instruction ("left two four zero, descend and maintain three thousand")."""
    if _ROGER_DIRECT.match(text):
        return True
    return any(_READ_BACK.match(clause) for clause in clauses(text))


_FLIGHT_LEVEL = re.compile(r"(?:1[89]|[23]\d|4[0-5])0")
"""Of "level three three zero": flight levels from the transition altitude up (AIM 7-2-2, 18,000 feet)."""
_HIGH = by_words(r"(?:1[89]|[234]\d)\d{3}\b")
"""A flight level in a call, where bare "two four zero" is one as well."""
_ESTIMATED = compiled(r"""
    \b(?:estimat\w+|eta|arriv\w+|airborne|departed|off the \w+)(?: [\w<>]+){0,4} $""")


_OF_SEVERAL = re.compile(r"(?:\b\d|both|one)(?: <\w+>| of them)?(?: (?:is|are|left))* $")
_EMERGENCY_CODES = frozenset({"7600", "7700"})
"""AIM 6-3-4 and 6-4-2: a bare one is what is squawked, no altitude; 7500 is flown at as well."""
_CAN_NOT_HOLD = Sought(r"\b(?:can not|unable to|not able to) (?:hold|maintain) (\d{4,5})\b")


_MOVING = ("through", "passing", "out of", "leaving", "vacating")
_OF_A_PART = tuple(f"<{part}> {verb}" for part in ("airspeed_indicator", "engine", "vacuum_system", "suction_gauge")
                   for verb in ("", "is "))


_RANGE = re.compile(r"\d(?: feet| ft)? $")
_SWAYS = re.compile(r" (?:either|each|any) (?:way|side)\b| up and down\b")
"""How a figure goes on by which the altitude changes: "four hundred feet either way"."""


def _is_other_figure(match: re.Match[str], before: str, after: str) -> bool:
    """Whether a figure that stands like the present altitude is one asked for, a time, a radial or a part's reading."""
    said, moving, at = match["feet"], match.group().startswith(_MOVING), match.group().startswith("at ")
    if (not moving and _ASKED.search(before) and not (
            match.group().startswith("stay") and before.endswith("going to "))) or before.endswith(_OF_A_PART):
        return True
    if match.group().startswith("through") and _RANGE.search(before):
        return True   # "a block, eight thousand through nine thousand"
    if moving and match.group().startswith("out of") and _OF_SEVERAL.search(before):
        return True   # "just the one alternator out of two"
    if at and (_ESTIMATED.search(before) or _REQUESTED.search(before) or before.endswith("radial ")):
        return True
    if at and len(said) == 2 and before.endswith(("<place> ", "<fix> ")):
        return True   # minutes past the hour
    round_figure = said.endswith("00")
    if len(said) == 3 and not (moving and round_figure) and not after.startswith((" feet", " ft")):
        return True
    return match.group().startswith(("reading", "shows", "showing")) and not round_figure


def altitude_ft(text: str, *, altimeter_suspect: bool) -> int | None:
    """Return the altitude that the caller is at. A suspect altimeter's reading is none, another source's is."""
    if not _DIGIT.search(text):
        return None
    text = _WITH_A_HALF.sub(r"\1.5", text)
    read_back = reads_back(text)
    high = _HIGH.search(text) is not None
    found: int | None = None
    before_it = ""
    for each in clauses(text):
        clause = each
        if not _DIGIT.search(clause):
            before_it = clause
            continue
        if _CONFIRMS.search(clause) or _AND_SETTING.match(clause):
            continue
        wanted = (_ASKED_FOR_LEVEL.search(before_it) or before_it in ("higher",
                                                                      "lower")) and BARE_ALTITUDE.match(clause)
        before_it = clause
        if wanted:
            continue
        if altimeter_suspect and (source := _OTHER_SOURCE.search(clause)) and not _FEET_ON.search(clause):
            clause = clause[source.start():]
        elif altimeter_suspect and not source and ("<altimeter>" in clause or _READING.search(clause)):
            continue
        for match in _PRESENT.finditer(clause):
            before = clause[:match.start()]
            as_level = match.group().startswith("level") or (high and not _ASKED.search(before))
            if as_level and not match.group().startswith(_MOVING) and _FLIGHT_LEVEL.fullmatch(match["feet"]):
                return int(match["feet"]) * 100
            feet = _feet(match["feet"])
            if feet is not None and not _is_other_figure(match, before, clause[match.end():]):
                return feet
        if match_from := _FOR.search(clause):
            return _feet(match_from.group(1) or match_from.group(2))
        if read_back or found is not None:
            continue
        for match in (*_FEET.finditer(clause), *_BARE.finditer(clause), *_FIRST.finditer(clause),
                                                                                         *_AND_A_HALF.finditer(clause)):
            feet = _feet(match["feet"])
            asked = _ASKED.search(clause[:match.start()]) or _ASKS_FIRST.match(clause)
            asked = asked or _SWAYS.match(clause[match.end():])
            code = match["feet"] in _EMERGENCY_CODES and not match.group().endswith(("feet", "ft"))
            if feet is not None and match["feet"].endswith(("00", ".5")) and not asked and not code:
                found = feet
                break
    if found is None and not altimeter_suspect and (lost := _CAN_NOT_HOLD.search(text)):
        return _feet(lost.group(1))
    return found


def heading_deg(text: str) -> int | None:
    """Return the heading that the caller is flying; one being turned to, asked for or read back is none."""
    if not _DIGIT.search(text) or reads_back(text):
        return None
    for clause in clauses(text):
        if not _DIGIT.search(clause) or _CONFIRMS.search(clause):
            continue
        if match := _ON_COMPASS.search(clause):
            value = int(next(each for each in match.groups() if each))
            if 0 < value <= 360:
                return value
        for match in (*_HEADING.finditer(clause), *_HELD.finditer(clause)):
            value = int(next(each for each in match.groups() if each))
            asked = _TURNING.search(clause[:match.start()]) and not _ON_A.search(clause[:match.start()])
            if 0 < value <= 360 and not asked:
                return value
    return None


def has_position(text: str) -> bool:
    """Whether any position is stated; the fix of a requested hold and the field headed for are none."""
    for clause in clauses(text):
        if (held := _HOLDING.search(clause)) and not _NOT_POSITION.search(clause[:held.start()]):
            return True
        for match in _POSITION.finditer(clause):
            before = clause[:match.start()]
            if match.group().startswith("at ") and "<place>" in match.group() and (
                    _NOT_POSITION.search(before) or (not before.endswith(("we are ", "i am ", "currently "))
                                                     and before)):
                continue
            if _NOT_POSITION.search(before) and not _DIGIT.search(match.group()):
                continue
            return True
    return False
