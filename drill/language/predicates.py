"""How a part is, in words that no list holds: "the autopilot has thrown in the towel", "the airspeed is a bit jumpy".

On the radio a pilot speaks of a part because it is in trouble or because it is not; what is said of it and is not known
to be harmless is trouble.
"""

from __future__ import annotations

import re
from functools import lru_cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from drill.language.patterns import compiled
from drill.language.words import word_set

_STRANGE = compiled(r"""
    ^ (?:(?:just|now|both|also|really|all) )*(?:(?:has|have|had)(?: (?:just|now|also|really|all|both|gone and|
    decided to))* (?!been|be |not|come|picked|recovered|erected|aligned|realigned|taken|held|settled|returned|
    restored|started|worked|no |only|an? |the |my |our |\d|<|got |changed|to |left|had|their|it |improved|stayed|
    remained|agreed|checked|switched|spun up|warmed|this|that|always|never|stabili|steadied|shown|spooled|engaged|
    captured|levell?ed|passed|proved|turned out|synced|updated|connected|reconnected|cleared|behaved|lasted|served|
    performed|reset|just been|been|increased|continued|begun to (?:work|erect)|arrived|shipped|ended|served|
    gained)[a-z]+(?:ed|en|
    ne|de|ft|nt|un|wn|st|ck|ld|ut|it|ne)\b|decided to [a-z]+)""")
"""A name and what it "has" done, in no words that are known: "the autopilot has thrown in the towel"."""
_ODD = compiled(r"""
    ^ (?:(?:just|now|also|really|both|all|still) )*(?:(?:is|are|keeps?|seems?|gets?|looks?|
    feels?)(?: (?:a (?:bit|little|tad|touch)|getting|now|just|really|very|quite|so|pretty|kind of|sort of|all|
    being|been|rather|somewhat|still|[a-z]+ly))* )(?P<how>[a-z]{4,})\b(?! (?:<|up again|again))""")
_DOES_OR_IS_DONE = re.compile(r"(?:ed|ic|al)$")
"""Endings of what was done to a part or of what sort it is: "the AI is covered", "the TC is electric"."""
_IS_A = compiled(r"""
    ^ (?:is|are|has become|have become)(?: (?:now|just|only|all|but|pretty much|basically|turning into))* (?:an? |
    nothing but )(?!good|fine|great|standby|backup|back|electric|digital|beauty|beaut|dream|joy|treat|gem|peach|
    delight|star|angel|pleasure|wonder|champ|
    winner|rock|marvel|keeper|little|bit|new|spare|second|touch|tad|help|
    hundred|thousand|mile|minute|degree|knot|foot|single|\w+ (?:one|1)\b)(?:\w+ ){0,2}[a-z]{3,}$""")
"""A part and what it is called: "the DG is a passenger"."""
_VERB = re.compile(r"^ (?:(?:just|now|also|suddenly|then|really|both|all|only|still|slowly|quietly) )*"
                   r"(?P<verb>[a-z]{3,}(?:s|ed))\b(?! (?:<|me\b|us to\b|in sight))")
"""A name and what it does or did: "the horizon sags", "the engine coughed twice"."""
_HARMLESS = word_set(
    """reads shows says indicates agrees works holds looks seems feels has was does matches tracks points keeps
    confirms gives gets comes stays remains runs sounds responds responded helps helped recovered steadied settled
    erected restored returned engaged armed selected tuned set reset cleared fixed sorted resolved worked showed
    agreed matched indicated confirmed started restarted stabilized stabilised improved picked turned realigned
    aligned captured synced updated reconnected connected checked tested verified changed switched covered uncovered
    secured loaded programmed installed fitted required needed used monitored identified established levelled
    leveled passed proved behaved behaves performs performed served serves needs wants tells lets makes takes uses
    provides supplies powers drives feeds charges charged charging spins spun registers reports reported reported
    estimates places puts corresponds operated operates functioned functions continues continued increased increases
    climbs climbed descends descended thinks claims insists suggests suggested insisted receives transmits
    transmitted received squawks squawked replaced repaired overhauled inspected requested wanted approved
    instruments calls settings approaches turns minutes vectors failures problems issues services hours needs
    talks talked cross idented passes earns purred sang squared
    headings radios gauges indications readings systems sources lines lights flags checks procedures works pumps
    ports vents tubes lines instruments this its his has was always perhaps towards upwards downwards sometimes
    besides yes pass across unless regards thanks less plus minus assists flies lasts lasted purrs hums crosschecked
    crosschecks follows captures captured intercepts leads brings brought pulls steers steered levels answers
    answered replies replied pings displays displayed depicts reflects mirrors coincides corroborates tallies
    squares concurs conforms survives survived endures carries carried backs backed supports supported appears
    happens happened belongs applies counts matters sits stands starts spools builds built peaks hovers idles idled
    ticks ticked chugs sings obeys obeyed cooperates lined delivers delivered generates produces produced
    groundspeed ils gps class pounds inches volts amps knots degrees miles units others ours yours theirs guys
    speeds altitudes recycled slaved cycled rebooted pulled pushed bumps tells ascends rises moves moved returns swapped
    left figures makes reckons cured cures fixes solves solved sorts clears melts melted frees freed saves saved thaws
    thawed unaffected unharmed untouched undamaged unscathed unbothered unchanged unimpaired""")
"""What a part can do or have done without being wrong, and nouns that end like a verb."""
_OWN_VERB = re.compile(r"^ (?:also )?(?:shows?|says?|reads?|indicates?|is|has|was|looks?|seems?|still|works?)\b")
_PLAIN = word_set(
    """coming delivering flying keeping open picked realigned aligned running selected reading showing indicating
    holding carrying pulling feeding charging tuned armed engaged coupled honest true happy steady finally only with
    what where that your here there down available tracking spinning turning doing going being having giving getting
    making working supplying powering providing receiving talking loud clear green normal ready reset restarted back
    also standard electric original mine ours part between level stable centered within about around above below
    over under close near right left north south east west dropping from like identified received monitored covered
    uncovered better fine good well okay serviceable perfect great lovely super alive live required needed wanted
    requested likely probably possibly maybe sure certain enough plenty full half charged online this these those
    them then than when once twice after before until unless because since though although rather fitted installed
    carried fed powered driven driving saying telling sending replying responding squawking transmitting cleared
    checked tested watched used useful helping whatever already almost nearly currently presently always usually
    slowly gently smoothly recovering improving returning settling erecting catching warming cooling idling pointing
    heading climbing descending unwinding winding rising moving steering navigating programmed loaded entered
    inbound outbound established intact correct accurate reliable usable trustworthy believable healthy solid strong
    nominal secure secured strapped closed shut brand modern mode crystal sound minus plus approach class type model
    made rated only cheap heavy light small large short long high fast warm cool quick level identical similar equal
    same different due optional required basic digital analog vintage factory certificated wide narrow main spare
    primary secondary backup standby north true magnetic west east free busy loaded busier legal current valid
    airworthy approved equipped able capable happier steadier clearer stronger better easier quieter
    leveling levelling realigning aligning syncing slaving cycling capturing intercepting acquiring identing receiving
    updating measuring estimating computing humming purring ticking starting restarting spooling revving producing
    generating balancing stabilizing stabilising decreasing increasing building agreeing matching responding operating
    functioning performing cooperating behaving improving clearing thawing defrosting melting drying passing approaching
    following leading bringing taking coping managing squawking reporting pointing showing telling
    sweet singing earning purring flawless lively chirpy idented fitter spotless
    mine yours theirs hard difficult tricky easy tough busy between visible readable legible audible""")
"""How a part can be without being wrong; what else is said of one on the radio is trouble."""
_GOOD_AGAIN = re.compile(r"\b(?:again|back|ok|okay|fine|normal|up|well|good|alive|green|life|"
                         r"by (?:nature|design)|as (?:it should|advertised|designed|expected))\b")


_FITTED = compiled(r"""
    ^ (?:(?:that|which) )?(?:they|he|she|we|i|you|(?:the |our |my )?(?:mechanics?|shop|club|owner|engineers?|
    previous owner))
    (?: \w+)? (?:hung|put|stuck|fitted|installed|bolted|gave|sold|swapped|mounted|screwed|built|dropped|threw|bought|
    got|
    rebuilt|overhauled|repaired|changed|replaced)\b(?: (?:(?:on|in|into|up|to|for|her|it|us|me|there|here|this|that|
    last|the|
    new|morning|week|month|monday|tuesday|wednesday|thursday|friday|saturday|sunday|yesterday|today|night|winter|summer|
    spring|year|airplane|ship)\b))*""")


def fitted_until(after: str) -> int:
    """Return where words end, right after a name, that tell who fitted the part: "the pump they hung on her"."""
    match = _FITTED.match(after)
    return match.end() if match else 0


@lru_cache(maxsize=4096)
def _is_plain(word: str) -> bool:
    """Whether a word, also misspelled, tells how a part is that is not wrong."""
    if word in _PLAIN or len(word) < 5:
        return word in _PLAIN
    near = process.extractOne(word, _PLAIN, scorer=OSA.distance, score_cutoff=1)
    return near is not None and near[0][0] == word[0]


def is_odd(after: str, *, known: bool) -> bool:
    """Whether what follows a part's name tells of trouble in unknown words; `known`: it is a part that can fail."""
    if _GOOD_AGAIN.search(after):
        return False
    if _STRANGE.match(after):
        return True
    if known and (does := _VERB.match(after)) and does["verb"] not in _HARMLESS and not _is_plain(does["verb"]):
        return True
    if known and _IS_A.match(after):
        return True
    odd = _ODD.match(after) if known else None
    return odd is not None and not _is_plain(odd["how"]) and not _DOES_OR_IS_DONE.search(odd["how"])


_AS_SOURCE = compiled(r"""
    ^ (?:altitude|height|heading|track|(?:says|shows|reads|figures|reckons|makes (?:it|us)|has us|puts us|gives us)
    (?: that)?(?: we are| i am)?)(?: is| of| at| about)* \d""")
_READ_OFF = compiled(r"""
    (?:\b(?:heading|hdg|course|track|steering)(?: \w+)? \d+(?: degrees)? (?:off|from)|
    \b\d{3,5}(?: feet| ft| degrees)? (?:by|per|via|according to)|
    \b(?:sinking|descending|climbing|level|holding)(?: \d+)? (?:by|per|according to))(?: the| my| our)? $""")


def is_read_off(name: str, before: str, after: str) -> bool:
    """Whether a part only tells a figure, and so works: "GPS altitude 7000", "4200 and sinking by the GPS"."""
    return (name == "navigation" and _AS_SOURCE.match(after) is not None) or (
        name in ("navigation", "magnetic_compass") and _READ_OFF.search(before) is not None)


def has_own_verb(after: str) -> bool:
    """Whether a verb follows a name, so that what was said before is another's: "AI shows left, TC shows right"."""
    return _OWN_VERB.match(after) is not None
