"""The figures and the place in a call: altitude, heading, position, and what is read back.

Texts are as in `clauses`. Altitudes are feet, headings degrees.
"""

from __future__ import annotations

import re
from functools import lru_cache

from drill.language.alternatives import any_of, by_words
from drill.language.asking import BARE_ALTITUDE
from drill.language.clauses import clauses
from drill.language.hearsay import is_of_the_past, tells_of_others
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought, sought

_DIGIT = re.compile(r"\d")
_NOT_FEET = (
             laid_out(r"""
                 (?! ?(?:and a (?:half|quarter)|<voltmeter>|<ammeter>|volts?|amps?|inches|psi|percent|rpm|is set|set|
                 <tachometer>|revs?\b|dollars|bucks|quid|euros|job\b|old\b|total|day\b|view\b|out|
                 to the|miles?|mile|nm|minutes?|mins?|hours?|hrs?|degrees|knots|kt|souls?|persons?|people|pob|
                 on board|o clock|hpa|foot\b|kilos?|kgs?|zulu|utc|
                 pounds|lbs?\b|lit(?:re|er)s?|gallons?|fpm|a minute|per minute|
                 (?:feet|ft) (?:a|per) min|(?:feet |ft )?(?:high|low|down|up(?! here)|error|difference|split|apart)|
                 north|south|east|west|northeast|northwest|southeast|southwest|(?:ne|nw|se|sw)\b|\.\d))"""))
_ABOUT = r"(?:about |around |approximately |just |just about |roughly )?"
_PRESENT = re.compile(
    r"\b(?:cruising|angels|alt|level(?:led|ed)?(?: off)?(?: now)?(?: at)?|maintaining|at|altitude(?: is| now)?(?! 1$)|"
    r"passing(?: through| up through)?|through|"
    r"leaving|out of|presently|currently(?: at)?|now at|(?:we are|i am|now) down to|"
    r"holding|steady(?: at)?|stay(?:ing)? at|we are|i am|"
    r"passing|vacating|"
    rf"with you|reading|shows|showing|imc|"
    rf"vmc|(?:says?|reads?|indicates?|indicating)(?= \d{{4}})|has (?:us|me) at|puts (?:us|me) at) "
    rf"{_ABOUT}(?P<feet>\d{{1,2}}\.\d(?![\d.])|\d{{1,5}})\b{_NOT_FEET}(?! (?:through|"
    rf"to) \d)")
_READING = re.compile(r"\b(?:reading|reads|says|saying|shows|showing|indicat\w+|stuck|frozen|by (?:it|that|this))\b")
_FEET_ON = compiled(r"""
    \b\d{4,5}(?: feet| ft)? (?:on|by|from|per|off|via|according to) (?:the )?
    (?:(?:standby |backup |spare |other )?(?:<navigation>|radar|<transponder>)|
    (?:standby|backup|spare|other|second|copilot is) <altimeter>)""")
_OTHER_SOURCE = re.compile(r"\b(?:standby|backup|spare|copilot is|other one|other 1)(?= (?:shows?|showing|reads?|"
                           r"reading|says)\b)|<navigation>|\bradar\b|\bencoder\b|<transponder>|\bestimat\w+")
_BARE = re.compile(rf"(?:^|(?<= ))(?P<feet>\d{{4,5}})(?!\d)(?: feet| ft)?(?: msl)?(?! ?(?:to|through|for|block|rpm|hpa|"
                   rf"inches|pounds|lbs|squawk|would|will)\b)"
                   rf"(?! ?(?:feet |ft )?(?:above|below)\b){_NOT_FEET}")
_WITH_A_HALF = re.compile(r"(?<=at )(\d{1,2}) and a half(?=$| ,| \.)")
_AND_A_HALF = re.compile(r"(?:^|at |level )(?P<feet>\d{1,2}\.5)$")
_FIRST = compiled(r"""
    ^(?P<feet>\d{4,5}) (?!(?:feet |ft )?(?:above|below|high|low|off|out) |for |to |would |will do|is fine|works |
    please|if |is set|set|rpm|hours?|revs?\b|dollars|job|pounds|lbs|runway|block|through|hpa|inches)(?=[a-z])""")
_FEET = re.compile(r"(?P<feet>\d{3,5}) (?:feet|ft)\b"
                   r"(?! (?:above|below|high|low|off|out|of|apart|error|(?:a|per) min\w*)\b)")
_ASKED = compiled(r"""
    \b(?:request\w*|req|rqst|need\w*|want\w*|would like|like|descend\w*|descent|climb(?!ing (?:through|past))\w*|
    block|another|(?<!it )(?<!shut )(?<!shutting )(?<!engine )down(?! here)|unable|use|
    appreciate|give (?:us|me)|(?:can not|could not) (?:do|take|accept|make)|
    (?<!iced )(?<!loaded )(?<!icing )(?<!it )(?<!we are )(?<!i am )up(?! here)|hold|keep|accept|to|
    for(?! now)|(?<!clear )above|
    (?<!vmc )below|(?<!rolled )(?<!tipped )(?<!toppled )(?<!fell )(?<!fallen )(?<!keeled )over|
    under|
    runway|until|till|
    able|chance of|(?<=\d )through|
    by|(?:can|could|will) make|with|(?:can|could|may) (?:we|i) (?:have|get)|squawk\w*|code|
    (?<!can not )(?<!unable to )maintain|between|expect\w*|cross\w*|than|cleared|stopping|stuck|frozen|pegged|
    (?<!of the )(?<!in the )tops|
    bases?(?: of (?:the )?clouds?)?|
    ceiling|freezing level|field elevation|minimum|reported|
    (?<!in )(?<!inside )(?<!of )(?<!the )(?<!this )(?<!through )(?<!wet )(?<!plain )(?<!grey )(?<!gray )(?<!white )
    (?<!dark )(?<!smooth )(?<!ordinary )(?<!into )(?<!entered )(?<!entering )(?<!hit )
    (?<!solid )(?<!thick )(?<!below )(?<!above )(?<!under )(?<!between )(?<!clear of )cloud|plus|minus|within|say|
    scattered|broken|overcast|few|length|long|lower|
    higher)(?: (?:here|to|at|and|of|are|is|still|now|maintain|altitude|about|around|block|feet))* $|
    \bbetween \d+ and $|\b(?:like|want|intend) to hold (?:at|over) (?:[\w<>]+ ){1,3}at $""")
_ASKS_FIRST = compiled(r"""
    (?:request\w*|req|rqst|need|want|block|descend\w*|climb(?!ing (?:through|past))\w*|vectors|squawk\w*)\b""")
_ASKED_FOR_LEVEL = sought(r"""
    \b(?:request\w*|req|rqst|like|want|need|could (?:we|i)|can (?:we|i)|may (?:we|i))\b.*\b(?:lower|higher|climb|
    descent|descend|altitude)(?: please)?$""")
_LEVEL_WISHED = re.compile(r"^(?:to |maybe |say |about )?\d{4,5}(?: feet| ft)? (?:if|when|or|would|will|for|is fine)\b")
_REQUESTED = re.compile(r"\b(?:request\w*|(?:could|can|may) (?:we|i)|like to|want to|need)\b")
_FOR = sought(r"""
    (?:^|\bairborne )([3-9]00|\d{4,5}) (?:feet )?(?:and )?(?:climbing|descending)$|
    (?:^|\b(?:in|with you|at|now|climbing|descending|out of|from|passing|through|leaving) )(\d{4,5}|[4-9]00|
    [1-9]\d?(?:\.\d)?) (?:for|climbing|descending|climbing to|descending to) (?:\d{4,5}|\d{1,2})$|
    \b(?:passing|through|leaving) (\d{4,5})(?: feet| ft)? (?:down|up|(?:on|in) the (?:way|climb|descent))\b""")
_READ_BACK = compiled(r"""
    ^(?:(?:ok|okay|roger|wilco|copy|affirm\w*|yes|and|uh|<callsign>|<facility>|will|we will|back) )*(?:(?:turn|come|
    fly|turning) )?(?:left|right)(?: turn)?(?: to| onto| on to)?(?: heading)? \d{2,3}\b|^\d{2,3} on the heading\b|
    ^\d{3,5}(?: feet)? it is$|
    ^(?:slow|slowing|reduce speed) to \d{2,3}\b|^(?:(?:reading (?:you |that |it )?back|readback|ok|okay|roger|wilco|
    copy|copied|affirm\w*|yes|and|uh|then|
    ,|<callsign>|<facility>) )*(?:lower to \d|fly heading|descend|climb|maintain|down to (?=\d)(?!\d <)|
    up to (?=\d)(?!\d <)|
    cross (?=[\d<])|squawk|contact|cleared|altimeter \d|altimeter)\b""")
_AND_SETTING = re.compile(r"^\d{4,5} and (?:2[89]|3[01])\.?\d\d$")
"""An altitude and an altimeter setting read back: "three thousand and two niner niner four"."""
_CONFIRMS = Sought(r"\b(?:confirm|show|see|have) (?:us|me) at\b|\b(?:was|is) that\b|"
                   r"\b(?:i was|we were) (?:cleared|given|assigned|told)\b|"
                   r"^(?:confirm|verify|say again|understand|(?:is|are) \d+)\b|"
                   r"\b(?:traffic|airplane|aircraft) (?:is )?at \d")
_ROGER_DIRECT = re.compile(r"^(?:<\w+> ,? ?)*(?:roger|wilco|copy|copied)\b.*\bdirect (?:to )?<(?:place|fix)>")
_HELD = compiled(r"""
    \b(?:holding|flying|steering|tracking|steady|nose(?: is)?(?: on| at| pointed| pointing)+|
    (?:^|we are |i am )(?:pointed|pointing)|(?<!can )(?<!could )(?<!shall )(?:we|i) hold)(?: what (?:i|
    we) think is| straight| about| around| approximately| roughly| a| heading| at| on)* (?P<deg>\d{3})\b(?! ?(?:feet|
    ft|knots|
    kts?|degrees? (?:left|right)|radial))""")
_HEADING = compiled(r"""
    \b(?:heading|hdg|course|headed(?= (?:[a-z]+ )?\d{3}))
    (?: of| is| about| approximately| roughly| around| somewhere| maybe| currently| now| reads?| shows?| indicating
    | looks? like| (?:from|by|on) (?:the )?<navigation>)* (?P<deg>\d{1,3})\b(?! (?:souls?|persons?|people|pob|sob|
    pax|on board|aboard|up\b|miles?|minutes?|hours?))|
    ^(?:.* )?\d{4,5}(?: feet| ft)? (?:and )?on (?:a )?(?P<on>[0-3]\d\d)$|
    ^(?:(?:we are|i am|is|now|still|steady|back) )+on (?:a |about |roughly )?(?P<kept>[0-3]\d\d)$|
    ^(?:about |roughly |maybe )?(?P<judged>[0-3]\d\d) (?:as )?(?:best|near(?:ly)? (?:enough )?as|far as)
    [ ](?:i|we) can (?:tell|judge|hold|say|see|make out)|
    \bon an? (?P<flown>\d{3}) heading\b""")
_ON_COMPASS = sought(r"""
    \b(?P<deg>\d{3})(?: degrees)? (?:on|by|from) (?:the |my |our )?<magnetic_compass>|
    heading on (?:the |my )?<magnetic_compass> (?P<deg3>\d{3})\b|^<magnetic_compass> (?P<deg4>\d{3})$|
    <magnetic_compass> (?P<deg5>\d{3})(?! \d)\b|
    <magnetic_compass>(?: is(?= (?:showing|reading|saying|about|\d{3}\b))| reads?| says| shows?| showing| reading|
    [ ]heading|
    (?: has| puts| holds) (?:us|me) (?:on|at))+
    (?: about| around| roughly| approximately| maybe| nearly)? (?P<deg2>\d{1,3})\b
    (?! (?:degrees )?(?:off|wrong|out|high|low|adrift|astray|in error|too)\b)""")
_TURNING = compiled(r"""
    \b(?:turn\w*|unable|left|right|to|request\w*|
    (?:can|could|may|will|would|do|if) (?:i|we) fly|(?<!i )(?<!we )fly|assigned|new|steer\w*|come|coming|a|want|
    like|runway|give me|say|traffic|aircraft|(?:he|it|she) is|they are)(?: (?:to|a|left|right|the|new))* $""")
_ON_A = re.compile(r"\b(?:on|flying|holding) a $")
_FIGURE_ALONE = re.compile(r"[0-3]\d\d(?: degrees)?$")
_LEVEL_ALONE = re.compile(r"(?:at )?\d{2,3}00(?: feet| ft)?")
"""Of a list in few words: "3200. 060. IMC." """
_NEITHER = Sought(r"\b(?:trust|believe)\w* neither\b|"
                  r"\bneither (?:1 |of (?:them |the 2 )?)?(?:can|is) (?:be )?(?:trust|right|believ)")
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
    rf"\d+ (?:km|kilomet(?:er|re)s|klicks) {_DIRECTION} of\b",
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
    r"at the (?:north |south |east |west |main )?(?:ramp|hold|gate|marker|fix|stop ?bar|apron|intersection|"
    r"holding bay)",
    r"(?:at|on|taxiway) (?:alfa|alpha|bravo|charlie|delta|echo|foxtrot|golf|hotel|juliett?|kilo|lima|mike)(?: \d+)?",
    r"on (?:the )?\w+ ramp",
    r"(?<!> )(?:\d+|a|1)(?: miles?| nm)? out\b(?! of)",
    r"\d+ dme",
    r"(?<!until )(?<!till )(?<!when )(?<!once )(?<!be )(?<!you )(?<!report )established",
    r"at the \w+ marker",
    r"overhead",
    laid_out(r"""
        (?:north|south|east|west|northeast|northwest|southeast|southwest) of (?:the |a )?
        (?!(?:here|us|me|you|this|that|there|it)\b)[a-z]+"""),
    r"on the ground",
    r"parked(?! (?:on|at) \d)",
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
        (?<!all )over (?:the|a) (?!(?:clouds?|overcast|layers?|tops?|deck|weather|radio|air|phone|side|next|last|past|
        limit|edge|line|place|beers?|coffee|cuppa|drink|pint|lunch|dinner|winter|summer|spring|autumn|fall|weekend|
        years|months|weeks|holidays|season|ice|undercast|frequency|panel|whole|same|other|entire|controls?|top|
        wind\w+|cowl\w*|nose|wings?)\b)[a-z]+"""),
    r"over the <place> [a-z]+",
    r"over the top of <place>",
    laid_out(r"""
        above (?:the|a) (?:motorway|town|village|lake|river|coast|city|highway|railway|harbou?r|forest|valley|airfield|
        estuary|shore\w*)"""),
    r"(?:coming up on|approaching) (?:the )?<(?:place|fix)>",
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
    r"(?:on|in|at) (?:the|a|our|your) run ?up (?:pad|area|bay|block|apron|spot)",
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
    airport|intend\w*|until|once|get (?:on|back|down|us|me)|(?:going to|will|let us) (?:sit|wait|stop|stay)(?! here)|
    (?:next|will|wilco|and|to|must) report|
    expect us|localizer|surveillance)\b.*$""")
_OTHERS_THERE = compiled(r"""
    \b(?:deer|dogs?|cattle|cows?|sheep|fox|foxes|birds?|geese|hares?|vehicles?|trucks?|vans?|cars?|tractors?|mowers?|
    debris|heifers?|bulls?|horses?|ponies|pony|goats?|pigs?|moose|elk|animals?|rabbits?|drones?|fog|mist|ice|frost|
    somebody|someone|something|people|men|workers?|gliders?|traffic|snow|water|puddles?|foam)
    (?: (?:is|are|still|standing|sitting|running|stopped|all|right|just))* $""")
"""Whose place it is, where it is not the caller's: "deer on the runway"."""
_OF_TRAFFIC = Sought(r"\btraffic \d{1,2} o ?clock\b")
"""Whose altitude and heading follow."""
_OF_NO_PLACE = compiled(r"""
    ^(?!.*\b(?:we|i) (?:are|am)\b)(?:(?:and|but|so|say|hey) )*(?:if (?:that|the|this|it|those)\b|(?:is|are|was|
    were) (?:the|that|
    there|those)\b|(?:somebody|someone) (?:is|has|left|dropped|parked|lost)\b|(?:over|at) <place> of all places\b)""")
"""A clause that supposes, asks, or tells of somebody else: "is the compass rose by the pumps still painted?"."""
_OF_A_NEEDLE = re.compile(r"(?:<(?!place|fix)\w+>|\b(?:needles?|pointer|hands?|bar|ball|card|flag))"
                          r"(?: (?:is|are|has|have|been|just|still|now|sits?|got))* $")
_ON_A_RAMP = Sought(r"^(?!.*\b(?:to|back|for|taxi\w*|return\w*|request|from|the|is|are)\b)(?:\w+ ){1,3}(?:ramp|apron)$")


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
    \b(?:estimat\w+|expect\w*|clearance|eta|efc|arriv\w+|airborne|departed|off the \w+)(?: [\w<>]+){0,4} $""")


_OF_SEVERAL = re.compile(r"(?:\b\d|both|one)(?: <\w+>| of them)?(?: (?:is|are|left))* $")
_EMERGENCY_CODES = frozenset({"7600", "7700"})
"""AIM 6-3-4 and 6-4-2: a bare one is what is squawked, no altitude; 7500 is flown at as well."""
_CAN_NOT_HOLD = Sought(r"\b(?:can not|unable to|not able to) (?:hold|maintain) (\d{4,5})\b")


_MOVING = ("through", "passing", "out of", "leaving", "vacating")
_OF_A_PART = tuple(f"<{part}> {verb}" for part in ("airspeed_indicator", "engine", "vacuum_system", "suction_gauge")
                   for verb in ("", "is "))
_OF_A_DIAL = re.compile(r"\b(?:dial|needle|gauge|pointer|hands?|meter|readout|suction|pressure|itself|it is sitting)"
                        r"(?: (?:is|itself|sits|sitting|still|now|resting|hovering))* $")
_READS_OUT = re.compile(r"(?:<(?!place|fix)\w+>|pressure|volts?)(?: (?:is|are|was|still|steady|down|up))* $")
_JAMMED = re.compile(r"\b(?:jammed|seized|locked|parked|hung|wedged|pinned|nailed)(?: (?:solid|hard|up|fast|right))* $")
_OF_PRESSURE = re.compile(r"<(?:vacuum_system|suction_gauge|low_vacuum|ammeter|voltmeter)>|\b(?:volts?|inches|psi)\b")
_SELF = re.compile(r"(?:^|\b(?:we are|i am|cloud|imc|vmc|climbing|descending|<callsign>) )$")


_OF_THE_AIR = compiled(r"""
    \bwinds?(?: (?:aloft|have|do|you|they|is|are|were|now|at|from|was|of|feet|\d{1,5}|degrees|for|variable))* $|
    \b(?:temps?|temperatures?|traffic|he|they|him)(?: (?:is|are|was|were|reported|forecast|aloft|down|up|still|
    opposite|direction))* $""")
_IS_AT = r"(?: (?:is|are|was|now|still|only|just|down|up|steady|sitting|holding|hovering|showing|reading|at))* $"
_OF_A_GAUGE = compiled(rf"""
    ^(?!.*\b(?:lost|losing|lose|no|without|failed|dead|quit|gone)\b).*
    (?:\b(?:volts?|voltage|amps?|bus|oil|manifold|pressure|temps?|temperature|suction|vacuum|torque|load|egt|cht)|
    <(?:voltmeter|ammeter|suction_gauge|vacuum_system|battery|alternator|electrical_system)>){_IS_AT}""")
"""What has a figure of few digits: "volts at 11 and dropping"."""
_OF_REVOLUTIONS = compiled(rf"(?:\b(?:revs?|rpm)|<tachometer>){_IS_AT}")
_OF_A_HEIGHT = sought(r"""
    (?<!over the )(?<!above the )(?<!past the )(?<!of the )(?<!crossing the )(?<!by the )
    (?<!overhead the )(?<!abeam the )(?<!clear the )\b(?:ridge|hills?|mountains?|peaks?|mast|
    elevation|safe altitude|msa|mea|ticket|bill|price|paid|costs?)(?: (?:is|are|was|says|said|at|of|to|here|there|
    about|us))* $|\bminimum safe $""")
"""What has the height, or the price."""
_RANGE = re.compile(r"\d(?: feet| ft)? $")
_SWAYS = re.compile(r" (?:either|each|any) (?:way|side)\b| up and down\b")
"""How a figure goes on by which the altitude changes: "four hundred feet either way"."""


def _is_other_figure(match: re.Match[str], before: str, after: str) -> bool:
    """Whether a figure that stands like the present altitude is one asked for, a time, a radial or a part's reading."""
    said, moving, at = match["feet"], match.group().startswith(_MOVING), match.group().startswith("at ")
    if tells_of_others(before) or _OF_A_HEIGHT.search(before):
        return True
    if (not moving and _ASKED.search(before) and not (
            match.group().startswith("stay") and before.endswith("going to "))) or before.endswith(_OF_A_PART):
        return True
    if "." in said and not moving and (_OF_PRESSURE.search(before) or not (
            match.group().startswith(("level", "cruising", "alt", "current", "present", "we are", "i am"))
            or _SELF.search(before))):
        return True   # "five point two" is also a suction
    if at and (_JAMMED.search(before) or (len(said) <= 2 and _OF_A_DIAL.search(before))):
        return True
    if match.group().startswith("through") and _RANGE.search(before):
        return True   # "a block, eight thousand through nine thousand"
    if moving and match.group().startswith("out of") and _OF_SEVERAL.search(before):
        return True   # "just the one alternator out of two"
    if at and (_ESTIMATED.search(before) or before.endswith("radial ") or (
            _REQUESTED.search(before) and not before.endswith(("i am ", "we are ", "currently ")))):
        return True
    if at and (_OF_REVOLUTIONS.search(before) or (len(said) <= 2 and _OF_A_GAUGE.match(before))):
        return True   # "volts at 11", "rpm at 2400"
    if at and _OF_THE_AIR.search(before):
        return True   # "wind 240 at 15", "the winds at 9"
    if at and len(said) == 2 and before.endswith(("<place> ", "<fix> ")):
        return True   # minutes past the hour
    round_figure = said.endswith("00")
    if len(said) == 3 and "." not in said and not (moving and round_figure) and not after.startswith((" feet", " ft")):
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
        if (_CONFIRMS.search(clause) or _AND_SETTING.match(clause) or _OF_TRAFFIC.search(clause)
                or is_of_the_past(clause)):
            continue
        wanted = (_ASKED_FOR_LEVEL.search(before_it) or before_it in ("higher", "lower")) and (
            BARE_ALTITUDE.match(clause) or _LEVEL_WISHED.match(clause))
        before_it = clause
        if wanted:
            continue
        if altimeter_suspect and (source := _OTHER_SOURCE.search(clause)) and not _FEET_ON.search(clause):
            clause = clause[source.start():]
        elif altimeter_suspect and not source and not _FEET_ON.search(clause) and (
                "<altimeter>" in clause or _READING.search(clause)):
            continue
        for match in _PRESENT.finditer(clause):
            before = clause[:match.start()]
            as_level = match.group().startswith("level") or (high and not _ASKED.search(before))
            if as_level and not match.group().startswith(_MOVING) and _FLIGHT_LEVEL.fullmatch(match["feet"]):
                return int(match["feet"]) * 100
            feet = _feet(match["feet"])
            if "." in match["feet"] and not before and _OF_PRESSURE.search(text) and match.group().startswith(
                    ("steady", "holding", "at", "now")):
                continue   # "suction is low, steady at 4.2"
            if feet is not None and not _is_other_figure(match, before, clause[match.end():]):
                return feet
        if match_from := _FOR.search(clause):
            return _feet(next(each for each in match_from.groups() if each))
        if read_back or found is not None:
            continue
        for match in (*_FEET.finditer(clause), *_BARE.finditer(clause), *_FIRST.finditer(clause),
                                                                                         *_AND_A_HALF.finditer(clause)):
            feet = _feet(match["feet"])
            before = clause[:match.start()]
            if tells_of_others(before) or _OF_A_HEIGHT.search(before) or (
                    before.endswith("at ") and (_OF_THE_AIR.search(before) or _OF_REVOLUTIONS.search(before))):
                continue
            read_out = before.endswith("<engine> at ") or (
                "." in match["feet"] and _READS_OUT.search(before) is not None)
            asked = read_out or (_ASKED.search(before) or _ASKS_FIRST.match(clause)
                                 or _SWAYS.match(clause[match.end():])) is not None
            code = match["feet"] in _EMERGENCY_CODES and not match.group().endswith(("feet", "ft"))
            if feet is not None and match["feet"].endswith(("00", ".5")) and not asked and not code:
                found = feet
                break
    if found is None and not altimeter_suspect and (lost := _CAN_NOT_HOLD.search(text)):
        return _feet(lost.group(1))
    return found


def heading_deg(text: str) -> int | None:
    """Return the heading that the caller is flying; one being turned to, asked for or read back is none."""
    if not _DIGIT.search(text) or reads_back(text) or _NEITHER.search(text):
        return None
    before_it = ""
    for clause in clauses(text):
        if not _DIGIT.search(clause) or _CONFIRMS.search(clause) or _OF_TRAFFIC.search(clause):
            before_it = clause
            continue
        if match := _ON_COMPASS.search(clause):
            value = int(next(each for each in match.groups() if each))
            if 0 < value <= 360:
                return value
        if _FIGURE_ALONE.match(clause) and 0 < (value := int(clause[:3])) <= 360 and (
                clause[0] == "0" or _LEVEL_ALONE.fullmatch(before_it)) and not (
                _TURNING.search(f"{before_it} ") or _REQUESTED.search(before_it)):
            return value
        before_it = clause
        for match in (*_HEADING.finditer(clause), *_HELD.finditer(clause)):
            value = int(next(each for each in match.groups() if each))
            asked = _TURNING.search(clause[:match.start()]) and not _ON_A.search(clause[:match.start()])
            if 0 < value <= 360 and not asked:
                return value
    return None


def has_position(text: str) -> bool:
    """Whether any position is stated; the fix of a requested hold and the field headed for are none."""
    for clause in clauses(text):
        if _OF_NO_PLACE.match(clause) or is_of_the_past(clause):
            continue
        if (held := _HOLDING.search(clause)) and not _NOT_POSITION.search(clause[:held.start()]):
            return True
        if _ON_A_RAMP.search(clause):
            return True
        for match in _POSITION.finditer(clause):
            before = clause[:match.start()]
            if match.group().startswith("at ") and "<place>" in match.group() and (
                    _NOT_POSITION.search(before) or (not before.endswith(("we are ", "i am ", "currently "))
                                                     and before)):
                continue
            if _NOT_POSITION.search(before) and not _DIGIT.search(match.group()):
                continue
            if _OTHERS_THERE.search(before) or (match.group() == "parked" and _OF_A_NEEDLE.search(before)):
                continue
            return True
    return False
