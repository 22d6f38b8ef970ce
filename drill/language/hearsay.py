"""What is not reported here and now: asked, supposed, past, quoted, denied, taken back, or true of somebody else.

To hear a report that was not made is the worst that can happen to a call. Texts are as in `clauses`.
"""

from __future__ import annotations

import re

from drill.language.alternatives import by_words
from drill.language.patterns import compiled, laid_out
from drill.language.sought import Sought, sought

_LEADING = r"^(?:(?:and|so|but|ok|okay|uh|um|er|hey|well|say|sorry|please|again|oh|then|now|also) )*"
_ASKED = re.compile(
    _LEADING + laid_out(r"""
        (?:did (?:the|my|our|his|your|it|that|<\w)|did you(?! (?:copy|get|hear|receive|read|understand))|were you|
        do (?:you|they|airplanes|people)|do (?:i|we) (?:need|have) to|does|has any\w*|have any\w*|
        (?:is|are|was|were) (?:our|my|your|the|that|this|it|he|any\w*|some\w*|there|
        either)\b(?! (?:normal|usual) for)|who(?:ever)?\b|why|what (?:would|if|happen(?:s|ed to)|fails|does (?:the|my|
        our) (?:book|manual|handbook|checklist|poh|card))|
        (?:could|would|should) (?:the|our|my|an?|it|we|i|you|that)\b(?! (?:have|get|like|please|give|use|accept|
        take|pass|relay|tell|let|advise|inform|note))|how (?:\w+ ){1,2}did|any (?:reports?|word) (?:of|on))"""))
_SUPPOSED = r"""
    ^(?:i|we) (?:do not think|doubt|am not sure|are not sure|once|remember)\b|^suppose\b|
    ^(?:(?:i|we) (?:were|was) (?:told|warned|advised|promised)|(?:they|somebody|someone|dispatch|(?:the |
    our )?(?:briefer|
    forecaster|shop|mechanic|club|books?)) (?:\w+ )?(?:warned|feared|swore|promised|expected|predicted|reckoned))
    [ ].*\b(?:might|may|would|could)\b|
    \b(?:would (?:rather|sooner) (?:lose|have|fly)|^better an?)\b|
    ^(?:i|we) never (?:said|reported|meant|called|claimed|told|mentioned|had)\b|
    ^(?:(?:and|so|but|i|we|have|had) )*no idea (?:why|where|who)
    [ ](?:you|he|she|they|somebody|anybody|anyone|that came|(?:i|we) (?:said|called|told|reported))\b|
    \bwhere you (?:got|heard|picked)\b|\bwho told you\b|\b(?:do not know|can not think|wonder) why (?:i|we) said\b|
    \b(?:quiz|exam|trick|test|theory) question\b|^(?:nobody|no one) said\b|^(?:i|we) (?:did|do|have|had) not (?:say|
    said|report|mean|claim)\w*\b|^am i sure\b|
    \b(?:supposing|imagin(?:e|ing)|assum(?:e|ing)|hypothetical\w*|
    in (?:the )?event of|whether|worst case|best case|hope(?!less)|hoping|if you (?:lose|do not|can not)|
    checking (?:for|if)|(?:expect|expecting|going) to lose|^should (?:the|our|my|an?|it|we) [\w<])"""
_PAST = r"""
    \b(?:yesterday|the other day|last (?:week|month|year|night|flight|time|summer|winter|spring|autumn)|
    (?:days?|weeks?|months?|years?|winters?|summers?|springs?|decades?|owners?|annuals?) (?:ago|back)|long ago|
    back in the day|(?:in the|those|the good) old days|(?:when|before) (?:i|we|they) (?:first )?(?:bought|got|had|owned|
    inherited|picked up) (?:this|that|the|my|our|her|it|him)\b(?! (?:checked|looked|fixed))|
    before (?:the|our|her) (?:refit|overhaul|rebuild|annual|restoration|upgrade|refurb\w*)|
    (?:last|previous|old|former|first) (?:owner|pilot|renter|crew)s? (?:had|left|flew|lost|reported|said|wrote)|
    (?:i|we|it|she) once (?:had|lost|saw|broke|flew)|(?:lost|had|saw|broke|flew) (?:an?|my|our|the|1|
    its?)(?: \w+)? <\w+>
    (?: \w+)? once$|(?:the|our|my|that) old <\w+> (?:was|used to|kept|had|would)|(?<!am )(?<!are )used to (?!be$|
    be (?:good|fine|reliable|ok|right)|work|hold|read|it\b|the|this|that)\w+|
    on the last (?:flight|leg)|in maintenance|out of maintenance|(?:the )?(?:story|legend|rumou?r) (?:goes|has it|is)|
    (?:accident|incident|safety) (?:report|poster|bulletin)|museum|in (?:19|20)\d\d(?! (?:feet|ft))|
    my (?:first|old|last|former) (?:instructor|boss|captain|student|airplane|aircraft|plane)|
    (?:must|could|may|might) have been|\b(?:was|were) (?:\w+ ){0,2}earlier$|
    (?:i|we) had .*\b(?:earlier|this morning|before (?:takeoff|departure))$|(?:was|were|had been) (?:\w+ ){1,3}(?:but|
    so) (?:it|i|we) (?:is|am|reset|fixed)|
    for \d+ minutes on the ground|(?:replaced|repaired|overhauled) (?:after|before|since)|and repaired|history of|
    (?:has|have|is|had) (?:failed|quit|died|gone|acted up|played up|packed up|let us down)
    (?: (?:on|in|with) (?:this|that|our|my|us|me|her|the)(?: \w+)?)? (?:twice |once |often )?before(?= [,.]|$))\b"""
_QUOTED = r"""
    \b(?:never fitted|not fitted|not equipped|in this airplane)\b|
    \b(?:kidding|joking|a joke|april fools?|unquote|out loud|aloud|homework|all theory|from the factory)\b|
    \b(?:reading about(?! \d)|watched a)\b|
    \b(?:read(?:s|ing)? (?:through|out|from|over|about|the|my|our|his|her)|recit\w+|rehears\w+|revis\w+|swott?ing|
    learning|studying|studies|memoriz\w+|memoris\w+|briefing|quizz\w+|quizzed|lectur\w+|teaching|discuss\w+|
    debat\w+|talking (?:through|about)|going (?:over|through)|running through|writing)
    (?: \w+){0,6} (?:the |my |our |his |her |an? )?(?:\w+ )?<\w+>(?: \w+){0,2}
    [ ](?:page|pages|chapter|checklists?|section|card|drill|items?|questions?|notes?|brief|call|calls|procedures?|
    icing|failures?|blockages?|problems?|scenario|emergenc\w+)\b|
    \b(?:failure|blockage|icing|loss|outage)s? (?:lesson|lecture|scenario|session|video|film|course)\b|
    ^(?:i|we|he|she) (?:briefed|discussed|rehearsed|explained|taught|recited)\b|
    \b(?:examiner|student|instructor) (?:\w+ )?(?:asked|quizzed|grilled|tested)\b
    (?! (?:(?:me|us) )?to (?:tell|say|report|advise|let|call|inform|pass|declare|relay|ask|request))|
    \b(?:checklist|book|manual|poh|handbook|placard|notams?) (?:says|said|reads|has|calls)\b|
    \b(?:no|never had|without) (?:an? )?<\w+>(?: \w+)? (?:on board|aboard|installed|fitted)\b|
    \bno <\w+>(?: \w+)? (?:in|on) this (?:one|1|bird|ship|type|model|machine|aircraft|airplane|plane|thing)\b|
    ^lost <radio> (?:procedures?|route|squawk|instructions?)\b"""
"""What is read, taught or said by the book, or not there at all. In the order of the lines: "standby vacuum not
fitted", "vacuum gone, only kidding", "reading about pitot icing", "studying the alternator failure checklist", "a
vacuum failure lesson", "we discussed engine failure", "the examiner asked about a dead DG" (but not "asked me to tell
you"), "the book says", "no autopilot installed", "no autopilot on this airplane", "lost comm procedures"."""
_OTHERS = r"""
    \b(?:his|their|your|tower is|center is|wingman is|passengers? is|company traffic is) (?:\w+ )?<\w+>|
    \b(?:tug|truck|bowser|van|car|tractor) <battery>|
    \b(?:tug|truck|bowser|tractor|cart|van|(?:tow|fuel|fire|crash|follow me) (?:car|truck|cart|vehicle|crew)|tow car|
    helicopter|chopper|glider|hangar|tablet|ipad|(?:crew|hotel|shuttle) bus|(?:courtesy|crew|hire|rental) car|
    hearing aid|some other \w+|another \w+) is (?:\w+ ){0,2}<\w+>|
    \b(?:neighbor|neighbour|lineman|marshaller|controller|mechanic|wife|son|daughter|kid|buddy|club|school|brother|
    sister|friend|mate|dad|father|somebody|someone) is (?:\w+ ){0,2}<\w+>|
    \b(?:tug|truck|bowser|tractor|van|bus to the \w+|(?:tow|follow me|courtesy|crew|hire) car|helicopter|chopper|
    glider|mechanic|(?:ground|external) power(?: unit| cart)?)
    (?: [\w]+){0,4} (?:has|had|with) (?:an? |the |its |it is )?(?:\w+ )?<\w+>|
    \b(?:club|school|brother|sister|friend|buddy|neighbou?r|partner|boss|dad|father) is
    [ ](?:\w+ )?(?:airplane|aircraft|plane|ship|bird|machine|one|1)\b|
    ^(?:the |an? )?(?:<\w+>|\w+)(?: \w+)? in (?:the hangar|the shop|the next)\b|
    \bnot (?:us|me|ours?|mine|(?:the )?(?:one|1|ones)) (?:with|who|that|having|flying)\b|
    \b(?:chap|lad|bloke|gentleman|student|customer|cessna|mooney|piper|cherokee|bonanza|baron|citation|cirrus|
    king air|jet|airliner|heavy|twin|trainer|machine|ship)
    [ ](?:ahead|behind|in front|next door|on the (?:other|next|right|left)|across|over there|
    in the (?:hangar|queue|pattern|circuit))\b|
    \bthat (?:chap|lad|bloke|gentleman|fellow)\b|
    \b(?:another|an other|that) (?:station|callsign|caller|aircraft|airplane|plane|pilot|crew|cessna|piper)\b|
    \b(?:there is|(?:i|we) (?:can )?(?:hear|see|heard|saw)) (?:an?|some|the|this|that) (?:\w+ )?
    (?:chap|lad|student|fellow|guy|bloke|pilot|airplane|aircraft|plane|station|voice|cessna|piper|mooney|helicopter|
    glider|airliner)\b|
    (?<=\w )(?<!are )(?<!am )(?<!is )(?:the|those|other|your|some|another|whatever|which) (?!student|solo)(?:\w+ )?
    (?:fellow|guy|chap|lad|fellows|guys|airplane|aircraft|cessna|mooney|piper|pilot|callsign|helicopter|jet)
    [ ]with (?:the |an? |no )?(?:\w+ )?<\w+>|
    ^(?:some|another|those) (?:\w+ )?(?:fellow|guy|chap|lad|fellows|guys|pilot|airplane|aircraft)
    [ ]with (?:the |an? |no )?(?:\w+ )?<\w+>|
    \bsister (?:ship|aircraft|airplane)\b|
    \b(?:glad|good|sorry|pleased|happy) to hear\b|
    ^(?:the |an? )?\w+ on your (?:left|right|apron|ramp|field)\b|
    ^(?:he|she|they) (?:is|are) the (?:one|1|ones) (?:with|who|that)\b|
    \bwrong (?:airplane|aircraft|plane|callsign|fellow|one)\b|
    ^(?:i|we) (?:gather|understand|hear|heard|see|believe) (?:that )?
    (?:your|the other|that|somebody|someone|another|he|she|they|the (?:lad|chap|fellow|guy|bloke))\b|
    ^(?:somebody|someone) is (?:just )?(?:left|dropped|lost|put|parked|forgotten|forgot)\b|
    ^(?:has |have )?(?:just )?lost (?:us|me)\b|
    \b(?:center|approach|tower|departure|radar|ground|you|they) (?:has |have |just )*(?:lost|losing) (?:us|me)\b|
    ^(?:the )?(?:shop|mechanic|owner|club|maintenance|(?:last|previous|other) pilot)
    [ ](?:told|said|says|thought|thinks)\b|
    \b(?:that|the) (?:last|first|next) (?:airplane|aircraft|plane|guy|fellow)\b|
    ^(?:we|i) (?:heard|hear|saw|see) (?!(?:\w+ )?<|(?:an? |the )?(?:red |off |warning )*(?:flags?|x|cross)\b)|
    \b(?:traffic|wingman|somebody else|someone else)\b|
    \b(?:airplane|aircraft|plane|guy|fellow|one|lot|traffic) (?:ahead|behind|in front)\b|
    \b(?:the|an|your|their|is|our|my|some) ?other
    [ ](?:airplane|aircraft|plane|guy|fellow|ship|bird|machine|customer|chap|lad|traffic|student|pilot)s?\b|
    \b(?:ground vehicle|fire truck)\b|
    ^(?:he|she|my friend|my passenger|somebody|someone) (?:thinks|says|said|believes)\b|
    \bnumber \d in the flight\b"""
"""What is somebody else's, or said by somebody else. In the order of the lines: "your transponder is out", "the tug
battery is dead", "the tablet's GPS quit", "my neighbor's alternator died", "the tug with a flat battery", "my
brother's airplane", "the airplane in the hangar", "not the one with the bad engine", "the jet ahead", "that
fellow", "another station", "I can hear some pilot", "talking to the airplane with no radio" and "some fellow with a
dead AI" (but never the caller's own: "aircraft with no engine", "we are the aircraft with no vacuum"), "our sister
ship", "glad to hear", "the one on your ramp", "he is the one with no gyros", "you have the wrong airplane", "I gather
somebody lost an engine", "someone's left the pitot cover", "lost us", "radar has lost us", "the shop said", "that
last airplane", "we heard the pump is gone" (but not "we see the flag"), "traffic", "the one ahead", "the other
pilot", "fire truck", "he thinks", "number 3 in the flight"."""
_NO_MORE_THAN = "(?: (?:only|just|really|simply|nothing (?:but|more than)|no more than|merely|all|actually))*"
_THE_CALLED = "^(?:(?:and|so|but|well|sorry|that|the|our|my|your|this) )*"
_BAD = laid_out("""
    dead|failed|broken|sick|rough|stuck|bad|lost|frozen|blocked|dying|faulty|duff|weak|leaking|leaky""")
_SCARE = laid_out("""
    (?: (?:failure|problem|scare|trouble|fault|alarm|warning|emergency|outage))?
    (?: (?:earlier|just now|before|(?:i|we) (?:reported|called|mentioned)))?""")
_SOMETHING_ELSE = laid_out(r"""
    (?:an?|the|my|our|me|us|down to|user|finger|pilot|operator|somebody|someone|him|her|his|nothing|caused by|just|
    only)\b(?! (?:own )?(?:number|main|cause|culprit|reason|first|second|standby|problem|<|last|real|other))""")
"""What a trouble comes down to that was none: "was only a breaker", "turned out to be my finger"."""
_DENIED = by_words(rf"""
    \b(?:none of|not true|anything but|far from|mistaken|free of|not (?:due to|because of|about))\b|
    \b(?:no (?:signs?|indications?|evidence|trace) of|rul(?:ed|e|ing) out|ruled that out)\b|
    \bfalse alarm\b|
    \b(?:could|can) not (?:reproduce|duplicate|replicate|repeat)\b|
    \b(?:any|no)thing (?:is )?wrong with\b|
    \b(?:unable to|can not|could not|did not) find (?:an? |any |the )?(?:faults?|problems?|failures?|defects?)\b|
    \b(?:0|zero|no) (?:more )?(?:failures?|problems?|troubles?|issues?|faults?) (?:on|with|of|in)\b|
    \bno longer (?:failed|dead|out|broken|stuck|frozen|blocked)\b|
    \b(?:negative|no|not any|had any|have any|without|0|zero)(?: on)?(?: the| an?| any| our| my| more)* <\w+>
    [ ](?:failures?|problems?|trouble|issues?|faults?|outages?|malfunctions?|fires?|smoke|alarms?|leaks?|
    emergenc\w+)\b|
    \b(?:failure|problem|trouble|issue|fault)s? (?:(?:is|are|has|have|was|been|now|all) )*
    (?:resolved|solved|fixed|gone|over|went away|cleared|sorted|behind us)\b|
    \b(?:failure|problem|trouble|issue|fault)s? (?:with|in|on|of) (?:the |my |our )?<\w+>
    [ ](?:(?:is|are|has|have|was|been|now|all) )*
    (?:resolved|solved|fixed|gone$|over|went away|cleared|sorted|behind us)\b|
    \brecovered from\b|
    \bwas (?:just |only )?(?:me|my (?:own )?(?:fault|mistake|doing|error)|finger trouble|(?:pilot|operator) error)\b|
    ^(?:(?:i|we) )?(?:take|took|taking) (?:it |that |this )?(?:all )?back (?:what|the|that|my|about|everything|our)\b|
    {_THE_CALLED}(?:(?:so called|called|supposed|suspected|alleged|apparent|{_BAD}) )+<\w+>{_SCARE}
    [ ](?:was|turned out|turns out|proved)(?: to be)?{_NO_MORE_THAN} {_SOMETHING_ELSE}|
    {_THE_CALLED}(?:so called|called|supposed|suspected|alleged) (?:(?:{_BAD}) )*<\w+>{_SCARE}
    [ ]is{_NO_MORE_THAN} {_SOMETHING_ELSE}|
    ^(?:(?:and|so|but|well) )*what (?:i|we|you)
    [ ](?:took for|mistook for|thought|called|reported|had down|believed|figured|heard|smelled|saw)\b
    .*\b(?:was|is|were|turned out|turns out)\b(?! the (?:cause|culprit))|
    ^(?:(?:and|ok|okay|many|well|so|but) )*
    (?:thanks|thank you|cheers|appreciate\w*|grateful|much obliged|ta)\b.*
    \b(?:through (?:the|our|that)|during (?:the|our|that)|after (?:the|our|that)|
    when (?:[\w<>]+ ){1,3}(?:went|quit|failed|died|was|were|stopped|packed up)|earlier|before|this morning|yesterday|
    just now|back there|ago|concern|asking|worrying)\b|
    ^(?:sorry )?(?:i|we) (?:must have |may have |just |had )?(?:mistook|misread|misheard|misspoke|misjudged|confused)\b|
    ^(?:lucky|luckily|glad|thankfully|fortunately|surprisingly|good thing|happily)\b.*
    [ ](?:did not|never|has not|have not)\b|
    \buntil (?:they|we|i|the \w+|somebody|someone)
    [ ](?:cleaned|fixed|changed|replaced|reset|adjusted|tightened|leaned|reseated|swapped|wiped|warmed|freed|tapped)\b
    (?!.*\b(?:then|failed|quit|died|stopped|went|gave up|packed up|dropped|tripped)\b)|
    \b(?:tested|checked|tried|exercised|proved) (?:the|our|my) <\w+>
    [ ](?:disconnect|cut ?off|override|test|warning|light|flag|button|switch)\b
    (?!.*\b(?:not|no|nothing|never|fails?|failed|dead|without)\b)|
    \b(?:panick\w+|worried|fretted|fussed|cried wolf)\b.* for nothing\b|
    \b(?:swapped|replaced|changed|fixed|mended|cured|repaired|sorted|ripped|took|taken|pulled|threw|chucked|binned)
    (?: out)? (?:the |our |my |that |its |her )
    (?:(?:old|dead|bad|failed|broken|dud|duff|weak|sick|faulty|worn|tired|leaky|leaking|dying) )+
    <\w+>(?: out| already)?$|
    ^(?:(?:please|ok|okay|just|so) )*
    (?:cancel|disregard|ignore|forget|scratch|withdraw|scrap|strike|scrub|bin|drop)\b.*
    \b(?:failure|failing|failed|problem|trouble|report|my last|
    (?:what|all|everything|the bit|the part|that bit)(?: that)? (?:i|we) (?:said|told|reported|called|sent))\b""")
"""What says that nothing is wrong, or not any more, or takes a report back. In the order of the lines: "far from
failed", "no sign of a failure", "a false alarm", "could not repeat it", "nothing wrong with the DG", "can not find
any fault", "no problem with the AI", "no longer frozen", "negative engine fire", "the problem is resolved", "the
trouble with the radio is over", "recovered from", "the failure was my own doing", "I take back what I said", "the
dead alternator was only a breaker" (but not "our dead alternator is a worry"), "the supposed failure is a gauge",
"what we took for an engine failure was ice", "thanks for the help when the pump quit", "I misread the DG", "luckily
the pitot did not freeze", "it stuck until we tapped it" (but not "until we reset it, then it quit"), "tested the
autopilot disconnect" (but not "tried the disconnect, no effect"), "worried for nothing", "replaced the dead battery",
"disregard the failure"."""
_ROUGH_AIR = r"""
    \b(?:swing\w*|all over the place|bounc\w+|wander\w*|jump\w*|spinning)\b.*\bin (?:this|the|all this|a steep|
    a)? ?(?:chop|turbulence|bumps|turns?|rough air)\b|\bbecause (?:we|i) (?:are|am) (?:in a|turning|climbing|
    descending)|\b(?:shows|says|reads|indicates) an? (?:climb|descent|turn|bank)\b.*\bbecause\b|
    \bas (?:always|usual|ever)\b"""

_NOT_HERE_AND_NOW = by_words("|".join(map(laid_out, (_SUPPOSED, _PAST, _QUOTED, _OTHERS, _ROUGH_AIR))))


_UNLIKE = re.compile(r"^(?:unlike|like|same as) .*?(?=\b(?:we|i|our|my)\b(?! (?:friend|wingman)))")
"""Whom the caller is compared with: "unlike the other fellow we have lost an engine"."""


def is_asked(clause: str) -> bool:
    """Whether a clause asks, and so reports nothing: "did you say the vacuum failed?"."""
    return _ASKED.match(clause) is not None


def is_denied(clause: str) -> bool:
    """Whether a clause says that something is not wrong, or not any more, or takes a report back."""
    return _DENIED.search(clause) is not None


def is_not_reported(clause: str) -> bool:
    """Whether what a clause says is wrong is only asked, supposed, past, quoted, natural, or somebody else's."""
    clause = _UNLIKE.sub("", clause)
    return is_asked(clause) or _NOT_HERE_AND_NOW.search(clause) is not None


_OF_OTHERS = by_words(r"""
    \b(?:he|she|they|somebody|someone|everybody|everyone|traffic|
    (?:the|that|another|an other) (?:\w+ ){0,2}(?:guy|airplane|aircraft|plane|chap|lad|fellow|bloke|airliner|jet|
    cessna|one)(?: \w+)?|
    (?:airplane|aircraft|guy|chap|lad|fellow|airliner|jet|cessna) (?:ahead|behind|in front)(?: of \w+)?|
    <other callsign>)(?: (?:is|are|was|were|just|has|have|will|now))* $""")


_TELLS_OF_OTHERS = sought(r"""
    \b(?:he|they|(?:the|that|an?|some) (?:\w+ )?(?:fellow|guy|chap|lad|airliner|jet|heavy)|
    (?:airplane|aircraft|traffic|baron|cessna|one|1|somebody|someone) (?:ahead|behind|in front)|briefer|forecasts?|
    forecaster|
    flight service|dispatch|pireps?|somebody|someone)\b(?:(?!\b(?:we|i) (?:are|am|have)\b|\b(?:us|me)\b).)*$|\b(?:i|
    we) would be(?: \w+)? $""")
_LONG_AGO = sought(r"""
    \b(?:yesterday|last (?:week|month|year|night|summer|winter|spring|autumn|flight)|
    (?:days?|weeks?|months?|years?|winters?|summers?) ago|back in (?:the day|(?:19|20)\d\d))\b""")


def tells_of_others(before: str) -> bool:
    """Whether the words before a weather or a figure make it somebody else's, or one that is only foretold."""
    return _TELLS_OF_OTHERS.search(before) is not None


def is_of_the_past(clause: str) -> bool:
    """Whether a clause tells of another day."""
    return _LONG_AGO.search(clause) is not None


def is_of_others(before: str) -> bool:
    """Whether the words before a verb make it somebody else's: "the airplane ahead is diverting"."""
    return _OF_OTHERS.search(before) is not None


_QUESTION = re.compile(_LEADING + laid_out(r"""
    (?:(?:are|am|is|was|were|did|does|has|have) (?:i|we|you|they|he|it|the|my|our|your|this|that|there|these|those|
    any|both|<\w+>)|do (?:i|we|you|they|these)|should|would(?! you| love| like)|what|why|who|where|which|
    when (?:did|do|will|is)|how|could (?:it|the|that)|will (?:it|the|that))(?!\w)"""))
_TOLD_BY_OTHERS = compiled(r"""
    ^(?:he|she|they|somebody|someone|nobody|everybody|everyone|(?:my|the|our) (?:other |left seat |
    safety )?(?:instructor|wife|husband|friend|passenger|passengers|student|controller|manual|book|poh|handbook|
    checklist|card|procedure|airplane|aircraft|guy|plane|copilot)(?: ahead| behind)?) (?:\w+ )?(?:said|says|say|
    told|tells|would|wants|wanted|thinks|is|was|are|turned|does|did|asked|cleared|assigned|gave|instructed|advised|
    approved)\b""")
_BY_THE_BOOK = compiled(r"""
    ^(?:(?:and|but|so|ok|okay|now|well|,) )*(?:(?:the|my|our|this|that) )?(?:\w+ ){0,2}?(?:check ?list|manual|book|
    poh|handbook|card|procedure|qrh|flow|placard|drill)s? (?:(?:here|now|just|also|only) )*(?:says?|said|reads|
    tells?(?: us|me)?|wants?|calls? for|recommends?|requires?|suggests?|would have|asks? for)\b(?: that| to|,|:)?""")
_NOT_NOW = compiled(r"""
    ^(?:i|we) (?:once|was (?:going|about) to|were (?:going|about) to|remember when|could(?! (?:use|do with))|
    would never|almost|nearly|would(?! (?:like|better)\b))\b|^(?:almost|nearly|later|no way)\b|^before (?:i|we)\b|
    ^(?!.*\bwait)(?:turn|climb|descend|land|divert|cover|level)\b.*\b(?:in|after) (?:about )?\d+ (?:minutes?|
    mins?|hours?)$|^(?!turn|climb|descend|set|go|fly|put|look|check)(?:the |my |our )?(?:[\w<>]+ ){1,4}(?:was|
    were|would be)\b|^it would\b|\bshould be (?:climbing|descending|turning)\b""")


def orders_nothing(text: str) -> bool:
    """Whether an order's text asks, tells what others said, or speaks of another time: "did I cover the AI?"."""
    return any(pattern.match(text) for pattern in (_QUESTION, _TOLD_BY_OTHERS, _BY_THE_BOOK, _NOT_NOW))


def quotes_book(text: str) -> bool:
    """Whether a text begins with what a checklist or book says, which is not ordered: "the checklist says ..."."""
    return _BY_THE_BOOK.match(text) is not None


def only_quotes(text: str) -> bool:
    """Whether a text is no more than such a beginning ("the checklist says")."""
    return _BY_THE_BOOK.fullmatch(text) is not None


_ASKED_ITSELF = Sought(r" \? (?:, )?(?:no|nope|nah|not yet|never|negative|no way)(?: way|(?: , )?not yet| now| "
                           r"thanks)*$")


def asks_itself(text: str) -> bool:
    """Whether a line asks whether to do something and answers no: "cover the AI? not yet"."""
    return _ASKED_ITSELF.search(text) is not None
