"""What is said to have failed, and what is said to work.

A line is cut into sentences and clauses. In a clause each named piece of equipment takes the nearest word that says
how it is: the one after it, else the one before it. A bare list ("altimeter, airspeed and vertical speed all
suspect", "lost the AI and DG") shares the word of its neighbour.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from drill.language import hearsay, predicates
from drill.language.alternatives import by_words
from drill.language.blamed import BELIEVED, DIFFER, UNDECIDED, blamed_in
from drill.language.joining import plainly_joined
from drill.language.lexicon import Lexicon, name_of
from drill.language.meaning import EQUIPMENT
from drill.language.mended import is_it, is_let_go, is_over, is_taken_back
from drill.language.patterns import compiled
from drill.language.sought import Sought, sought
from drill.language.states import EXCEPT, Clause, State
from drill.language.words import Token, joined, split_at, word_set

_SENTENCE = frozenset({".", "?", "but", "while", "although", "though", "however", "whereas", "so", "because",
                       "<callsign>", "<other callsign>", "<facility>", "<other unit>"})
_CLAUSE = frozenset({",", "and", "or", "plus", "since", "as"})
_ENDS_LIST = frozenset({"and", "or", "plus"})
"""What stands before the last of a list."""
_SEEN = frozenset({"reported", "rated", "marked", "known", "described", "listed", "regarded", "considered", "treated"})
"""Words after which "as" says how something is, and joins no clauses."""
_THEY = frozenset({"they", "it", "normal", "usual", "expected"})
_TO_AND_FRO = frozenset({("coming", "going"), ("comes", "goes"), ("came", "went"), ("on", "off"), ("off", "on"),
                         ("up", "down"), ("round", "round"), ("in", "out"), ("back", "forth"), ("left", "right"),
                         ("around", "around"), ("over", "over")})
"""Words between which "and" joins no clauses."""
_WE = frozenset({"i", "we"})
_WENT = frozenset({"went", "quit", "died", "failed", "stopped"})
"""Between these another clause begins: "since the AI went I can keep it upright on the TC"."""
_FILLER = word_set(
    """a an the my our your this that both also too well now just uh um like it is was in fact even all of 1 2 number
    main primary left right looks seems appears captain copilot captains copilots officer officers pilot pilots mine
    his hers yours reckon bet we
    think i guess plus with same probably
    likely perhaps must be then first next information indication indications data
    them half mean possibly maybe simply informing inform you advising advised fyi reporting telling afraid
    sorry so say actually currently presently""")
_AMISS = re.compile(
    r"\b(?:who|believe|trust|wrong|lying|bad|failed|off|out|suspect|fib\w*|mistaken|cheating|dud|duff|at fault|"
    r"in error|to blame|incorrect|faulty|dead|broken|stuck|confused|a liar|not agree|disagree\w*|which|different)\b")
_NOT_THIS = Sought(r"\b(?:not|rather than) (?:the |my |our |a |with the )?$")
_NOT_IT = re.compile(r"^ (?:is|was) not (?:the |a |our )?(?:problem|culprit|cause|issue|one|1)\b")
"""How it goes on after a part that is not at fault: "the AI is not the problem"."""
_OUT_OF_USE = Sought(r"\b(?:instead of|in place of) (?:the |my |our )?$")
_ON_THE_GROUND = re.compile(r"(?:<place>|<fix>|\byour|\btheir) $")
_BESIDE_PUMPS = ("at the ", "by the ", "to the ", "near the ", "abeam the ", "abeam ", "opposite the ", "beside the ",
                 "next to the ", "behind the ", "past the ")
"""Before pumps that fill tanks."""
_NOT_ON_AIR = compiled(r"""
    \b(?:out of service|down|off the air|off air|notamed|inop\w*|unserviceable|under maintenance)\b""")
"""A station on the ground is no part of the airplane: "the Wendle VOR is out of service"."""
_YOURS = Sought(r"\b(?:your|their) (?:\w+ )?$")
_OUT_THERE = compiled(r"""
    ^ (?:(?:is|are|has|been|shown|as) )*(?:out of service|off the air|off air|down|notamed|inop\w*|unserviceable|
    out)(?: (?:at|in|
    over at) <place>|.*\bnotams?\b)|^ (?:has|have|is under|with) (?:an? |the )?notams?\b""")
"""How it goes on after a station on the ground."""
_OF_THE_SERVICE = compiled(r"""
    \b(?:unable|negative|negative on|negative on the|decline|cancel|cancel the|terminate|stop|need|for|start|
    vectors?(?: me| us)?(?: please)?(?: with)?) no $""")
"""Before "gyro", where it is the service that is declined, ended or waited for."""
_HEARD = re.compile(r"(?:(?:and|that|roger|copy|copied|understand|understood|wilco) )*no <gyros>(?: approved)?"
                    r"(?<!^no <gyros>)|no <gyros> (?:roger|copied|copy|understood|wilco)")
"""The service acknowledged: "roger no gyro"."""
_LAMP_OUT = compiled(r"""
    ^(?: (?:light|lamp|caution|warning|annunciator)s?)?(?: (?:is|are|has|have|now|just|was|went|has gone))* (?:out|
    off|away|gone|extinguished|cleared|vanished|disappeared|false)\b""")
_NO_TROUBLE = re.compile(r" (?:problem|trouble|issue|failure|fault)s?\b")
"""How "no radio" goes on that tells of none lost."""
_PLANNED_FOR = re.compile(r" (?:procedure|instruction|clearance|plan|route)s?\b")
"""How "lost comm" goes on that is only spoken of: what is to be done without a radio."""
_NONE_OF = (" no ", " without ", " without a ", " without an ", " not a ", " never a ")
"""Before a warning that there is not: "running well and no low voltage light"."""
_NOT_AS_SHOWN = re.compile(r" (?:setting|limit|restriction|constraint)s?\b")
"""What follows a quantity that ATC gives: "the altimeter setting was wrong"."""
_CLIMBS_BADLY = re.compile(r" (?:(?:is|very|quite|rather|so|too|really) )*(?:poor|marginal|terrible|reduced|"
                           r"(?:falling|dropping) off)\b")
"""How an airplane climbs, which is no fault of what shows it: "our rate of climb is poor"."""
_LAMP_TRIED = re.compile(r"\b(?:spurious|false|test(?:ing|ed)?|momentary)(?: the| a| an| our)? $")
"""What makes a warning none: its lamp is out, or it is false or tried."""
_CONTINUES = compiled(r"""
    ^(?:well )?(?:has|have|is|are|was|were|it|they|both|which|that|just|seems?|not|all|completely|shows?|reads?|says|
    looks?|no|keeps|must|appears?|failed|dead|gone|inop|out|will|would|can|could|do|does|did|won|sits?|stays?|stayed|
    refuses?|never)\b""")
_RIGHT = re.compile(r"\b(?:correct|right|the truth|accurate|true|fine|good|ok|okay|normal|works?|working)\b")
_ONE_OF = by_words(r"""
    \b(?<!this )(?<!that )(?<!the )(?<!new )(?:1|either|one)(?: or the other)? (?:of (?:them|the 2|those|these|
    the two|my \w+|our \w+)|is|has)\b|\bwhich (?:1|one|of)\b|\b(?:do not know|can not (?:tell|say)) which\b|
    \bnot sure which\b|\b(?:no|not a) (?:clue|notion|telling) (?:as to )?(?:who|which|what)\b|\bbeats me which\b|
    \bdo not agree\b|\bdisagree|
    \b(?:(?:do|does|can) not (?:know|tell|say)|no idea|not sure|hard to (?:say|tell|know)|unsure) (?:who|which|what|
    whom)(?: of them| one| 1)?(?: (?:is|to))? (?:right|lying|wrong|believe|trust|correct|off|telling)""")

_MAY_BE_ONE = re.compile(r"\b(?:1|either|one|wh(?:ich|o|at)|agree|disagree)")
"""What none of them is without; looked for first, for it is quicker."""


LONGEST_CLAUSE = 20
"""Words; a longer clause without any joint is cut, so that no text takes long."""
_COMPARED = sought(r"""
    \b(?:(?<!along )(?<!together )with|against|by|from|off|per|to|versus|charging|than|like|
    using)(?: the| my| our| a)? $""")
_CHANGES = re.compile(r" (?:(?:is|keeps?|still|now) )*(?:decay\w*|bleeding off|dropping|falling|increasing|building|"
                      r"rising|picking up|coming (?:up|back|down))(?: (?:fast|slowly|again|now|rapidly|quickly))*$")
"""How an airspeed changes is no failure of what shows it."""
_WHICH_SIDE = re.compile(r"\b(?:on|from|off) (?:the |our |my )?(?:left|right|number \d|good|other) $")
"""What follows tells where: "the pump on the left engine"."""
_AS_SERVICE = re.compile(r" (?:\w+ )?(?:vectors?|vectoring|approach\w*|turns?|steers?|headings?|par|asr|sra|"
                         r"surveillance|precision|radar|"
                         r"help|service|handling|recovery|let ?down|stuff|thing|business|deals?|calls?|requests?|"
                         r"option|later)\b|"
                         r" (?:please|(?:if|when) (?:you|able|possible))\b")
_OWN_WORD = (*EXCEPT, "neither", "nor", "no ", "without", "negative")
_TOO = sought(r"""
    \b(?:too|also|as well|both|even|now|then|next|possibly|maybe|probably|likely|perhaps)\b|\bwith it$""")
_RECKONED = Sought(r"\bi (?:reckon|think|guess|bet|suppose|suspect)$")
_RELATION = Sought(r"\b(?:agree|match|disagree|differ|line up|consistent)\w*\b")


class Said(NamedTuple):
    """What a call says of equipment, each sorted: what has failed, what works, and of what neither is said though a
    failure is spoken of ("if it fails")."""

    failed: tuple[str, ...] = ()
    works: tuple[str, ...] = ()
    supposed: tuple[str, ...] = ()


def equipment_said(line: Sequence[Token], book: Lexicon) -> Said:
    """Return what a line whose names are marked says of equipment.

    Equipment said to have failed is not also listed as working. A failure that is supposed or denied is among neither;
    one that is simulated or somebody else's is nowhere.
    """
    text = joined(line)
    if is_pretended(text, book) or FOR_OTHERS.search(text):
        return Said()
    failed: set[str] = set()
    works: set[str] = set()
    supposed: set[str] = set()
    earlier: list[Clause] = []
    for sentence in split_at(plainly_joined(line), _SENTENCE):
        clauses = [clause for clause in _clauses(sentence, book) if not _INTERJECTED.fullmatch(clause.text)]
        _share(clauses, earlier[-1:])
        _one_is_wrong(clauses, earlier)
        is_over(clauses, earlier)
        is_taken_back(clauses, earlier)
        is_let_go(clauses, earlier)
        is_it(clauses, earlier)
        earlier += clauses
    if book.pretended.search(text) is not None:
        _leave_pretended(earlier, book)
    for clause in earlier:
        for (start, _, name), verdict in zip(clause.names, clause.verdicts, strict=True):
            if name == "gyros" and clause.text[:start].endswith("1 ") and _ONE_GYRO.search(text):
                continue   # "just the one gyro lost, the directional"
            if verdict == "failed":
                failed.update(book.equipment(name))
            elif verdict == "works":
                works.update(book.equipment(name))
                if _BACK.search(clause.text) or DIFFER.search(text) or BELIEVED.fullmatch(clause.text):
                    failed.difference_update(book.equipment(name))
            elif verdict == "supposed":
                supposed.update(book.equipment(name))
    if DIFFER.search(text) and not UNDECIDED.search(text) and (blamed := blamed_in(earlier)):
        failed &= {each for name in blamed for each in book.equipment(name)}
    if _GAUGE_ONLY.search(text) and "vacuum_system" in works:
        failed.discard("vacuum_system")
    if failed <= {"engine"} and _AT_REST_ENGINE.search(text) and _AT_REST.search(text):
        failed.clear()
        supposed.add("engine")
    known = set(EQUIPMENT)
    return Said(tuple(sorted(failed & known)), tuple(sorted((works - failed) & known)),
                tuple(sorted((supposed - failed - works) & known)))


_GAUGE_ONLY = Sought(r"<suction_gauge> (?:itself|only|alone)\b|\bonly the <suction_gauge>")
"""Where the gauge is at fault and not what it shows."""
_INTERJECTED = compiled(r"""
    in (?:that|this|the same) order|one after (?:the other|another)|1 after (?:the other|another)|respectively|
    you name it|believe it or not|as far as (?:i|we) (?:can tell|know)|would you believe it|of all things|
    (?:the|that|our|my) (?:indicator|instrument|gauge|dial)""")
"""What is put in between and says nothing of any part: "pump, horizon, in that order, all gone"."""
_BACK = re.compile(r"\b(?:is|are|came|come|has come) back\b|\bworking again\b")
_ONE_GYRO = re.compile(r"<(?:heading|attitude)_indicator>")
FOR_OTHERS = by_words(r"\bmayday relay\b|\brelay(?:ing)?(?: a mayday)? for <other callsign>")
"""The trouble of another airplane, passed on."""
_FOR_REAL = compiled(r"""
    \b(?:(?:not|no|never)(?: \w+){0,2} (?:drill|simulat\w+|practi[cs]e|exercise|training)|for real|the real thing|
    (?<!no )(?:(?:real|actual|genuine) (?:one|1|failure|emergency)|
    (?:real|genuine) <\w+>(?! (?:is|are) (?:\w+ )?(?:good|fine|ok|okay|normal|working|well)) (?=\w)\w+)|
    (?:over|done|finished|off|ended|complete)\b.*\bnow\b.*\b(?:really|for real|honestly|truly)|actually (?:failed|lost|
    died|quit|gone))\b""")


def is_pretended(text: str, book: Lexicon) -> bool:
    """Whether a call speaks of practice: what fails in it is only simulated, unless it is said to be real."""
    return book.pretended.search(text) is not None and _FOR_REAL.search(text) is None


def _leave_pretended(clauses: Sequence[Clause], book: Lexicon) -> None:
    """Leave out what is simulated in a call that reports something real besides: "hood on, simulating a vacuum
    failure, and for real our VOR is out". Where only the real thing is named ("now it is for real") all stays."""
    real = next((at for at, clause in enumerate(clauses) if _FOR_REAL.search(clause.text)), None)
    if real is None or not any("failed" in clause.verdicts for clause in clauses[real:]):
        return
    for clause in clauses[:real]:
        if book.pretended.search(clause.text):
            clause.verdicts = ["supposed" if verdict == "failed" else verdict for verdict in clause.verdicts]


def _clauses(sentence: Sequence[Token], book: Lexicon) -> list[Clause]:
    found: list[Clause] = []
    part: list[Token] = []
    joint, after_comma = "", False
    ended = (*sentence, Token(",", 0, 0))
    for at, token in enumerate(ended):
        text = token.text
        cut = text in _CLAUSE and not (part and text in ("and", "as") and _is_within(part[-1].text, ended[at:at + 3]))
        begins = text in _WE and part and part[-1].text in _WENT
        if not cut and not begins and len(part) < LONGEST_CLAUSE:
            part.append(token)
            continue
        if part:
            clause = _clause(part, book)
            clause.joined_by_and = joint == "and"
            clause.ends_list = joint in _ENDS_LIST and not after_comma
            found.append(clause)
            part, joint, after_comma = [], "", False
        if token.text not in _CLAUSE:
            part = [token]
        else:
            after_comma = (after_comma and not part and bool(joint)) or token.text == ","
            joint = token.text if token.text != "," or not joint else joint
    return found


def _is_within(before: str, here: Sequence[Token]) -> bool:
    """Whether the "and" or "as" with which `here` begins joins no clauses: "coming and going", "as it should"."""
    after = here[1].text if len(here) > 1 else ""
    if here[0].text == "as":
        return before in _SEEN or after in _THEY
    return (before, after) in _TO_AND_FRO or (before == "ball" and after == "<airspeed_indicator>") or _comes_back(
        here[1:], before)


def _comes_back(following: Sequence[Token], before: str) -> bool:
    """Whether a part goes and comes: "keeps dipping and coming back"."""
    return before.endswith("ing") and [token.text for token in following] == ["coming", "back"]


def _clause(part: Sequence[Token], book: Lexicon) -> Clause:
    text = joined(part)
    clause = Clause(text, book, len(part))
    at = 0
    for token in part:
        if token.text[0] == "<" and (name := name_of(token.text)) not in (None, "place", "fix"):
            clause.names.append((at, at + len(token.text), name))
        at += len(token.text) + 1
    if not clause.names:
        return clause
    clause.verdicts = [_verdict(clause, at, book) for at in range(len(clause.names))]
    clause.bare = bool(clause.names) and not clause.states and all(
        token.text in _FILLER or name_of(token.text) for token in part)
    return clause


def _verdict(clause: Clause, which: int, book: Lexicon) -> State | None:
    start, end, name = clause.names[which]
    if name in book.says_so:
        after = clause.text[end:]
        none = f" {clause.text[:start]}".endswith(_NONE_OF) or (
            name == "no_radio" and (_NO_TROUBLE.match(after) or _PLANNED_FOR.match(after)))
        dark = none or _LAMP_OUT.match(after) or _LAMP_TRIED.search(clause.text[:start])
        if dark or hearsay.is_denied(clause.text):
            return "works"
        if hearsay.is_not_reported(clause.text):
            return "supposed"
        if clause.text[:start].endswith(("expect ", "expecting ")):
            return "supposed"
        later = clause.text[end:].startswith((" after", " from now"))
        return None if later or clause.text[:start].endswith((" go ", "going ")) else "failed"
    if name == "radio" and clause.text[:start].endswith("lost ") and _PLANNED_FOR.match(clause.text[end:]):
        return None
    if name == "static_system" and clause.text[:start].endswith("full of "):
        return None
    if name == "magnetic_compass" and clause.text[end:].startswith(" only"):
        return "works"
    if name == "vacuum_system" and clause.text[:start].endswith(_BESIDE_PUMPS):
        return "supposed"   # and shares nothing
    if name == "gyros" and clause.text[:start].endswith("no ") and _AS_SERVICE.match(clause.text[end:]):
        return None
    if _NOT_AS_SHOWN.match(clause.text[end:]) or (
            name == "vertical_speed_indicator" and _CLIMBS_BADLY.match(clause.text[end:])):
        return None
    if name == "gyros" and clause.text[:start].endswith("a no "):
        return None   # "make it a no-gyro one", "in the market for a no gyro into Wendle"
    if name == "gyros" and _HEARD.fullmatch(clause.text):
        return None
    if name == "gyros" and _OF_THE_SERVICE.search(clause.text[:start]):
        return None
    if name == "navigation" and _ON_THE_GROUND.search(clause.text[:start]) and _NOT_ON_AIR.search(clause.text[end:]):
        return None
    if name == "navigation" and clause.text[end:].startswith(" at <place>"):
        return None
    if name == "navigation" and (_YOURS.search(clause.text[:start]) or _OUT_THERE.match(clause.text[end:])):
        return "supposed"   # and shares nothing
    if predicates.is_read_off(name, clause.text[:start], clause.text[end:]):
        return "works"
    if name == "airspeed_indicator" and clause.text[:start].endswith(("needle ball ", "needle ball and ", "ball and ")):
        return "works"
    if name == "airspeed_indicator" and _CHANGES.match(clause.text[end:]) and not clause.text[:start].endswith("no "):
        return None
    if name == "engine" and _WHICH_SIDE.search(clause.text[:start]):
        return None
    if _NOT_THIS.search(clause.text[:start]) or _NOT_IT.match(clause.text[end:]):
        return "works"
    if _OUT_OF_USE.search(clause.text[:start]):
        return None
    if (which or _RELATION.search(clause.text[:start])) and _COMPARED.search(clause.text[:start]) and any(
        state == "failed" for at, _, state in clause.states if at < start) and not any(
        state == "failed" for at, _, state in clause.states if at == end + 1):
        return None
    if name == "static_system" and _UNBLOCKED.match(clause.text[end:]):
        return "works"
    if name == "pitot" and _COVER.match(clause.text[end:]) and not _COVER_ON.search(clause.text):
        return "supposed"
    own: list[State] = []
    fitted = predicates.fitted_until(clause.text[end:]) + end
    for at, until, state in clause.states:
        if end < at < fitted:
            continue   # "that new vacuum pump they hung on her"
        if (at, until) in clause.falls and name not in book.falling_names:
            continue
        if at < start and clause.text[at:until].startswith(_OWN_WORD):
            if not clause.text[until:start].strip():
                return state
            denied = next((last for begins, last, _ in clause.names if begins == until), None)
            if denied is not None and clause.text[denied:start].strip():
                continue   # "no gyros partial panel heading 190 on the compass"
        if at >= end:
            if own and _binds(clause, which, start):
                return own[-1]
            then = [after for begins, _, after in clause.states if begins >= until and (
                _THEN.search(clause.text[until:begins]) or (after == "works" and _AND_BACK.match(clause.text[until:])))]
            return then[0] if then and which + 1 == len(clause.names) else state
        own.append(state)
    after = clause.text[fitted:]
    if own and which and predicates.has_own_verb(after):
        own = []   # "AI shows a left bank TC shows right": what was said before is the other's
    if not own and predicates.is_odd(after, known=not _PARTS.isdisjoint(book.equipment(name))):
        unreported = hearsay.is_not_reported(clause.text) or hearsay.is_denied(clause.text)
        return "supposed" if unreported or book.unlikely.search(clause.text) else "failed"
    return own[-1] if own else None


_PARTS = frozenset(EQUIPMENT)


_UNBLOCKED = compiled(r"""
    ^(?: (?:drains?|ports?|lines?|vents?|traps?))? (?:is|are|were)(?: (?:all|both|now|quite))* (?:clear|clean|dry|open|
    unblocked|drained)\b""")
_COVER = re.compile(r" (?:head |tube )?(?:covers?|sock|bung)\b")
_COVER_ON = re.compile(r"\b(?:(?:still|left|was|is) on|on (?:the|our|my) <pitot>|"
                       r"(?:forgot|left)(?: to \w+)? (?:the|our|my))\b")
"""A cover that lies about is no trouble; one that was left on is."""
_AT_REST = compiled(r"""
    \b(?:parked|tied down|on (?:chocks|stand|blocks|the (?:ramp|apron|ground at <place))|in (?:the hangar|parking)|
    (?:at|on) (?:the )?(?:gate|stand|parking|ramp|apron)|both mags off|flight plan (?:is )?closed|close (?:my|our|the)
    [ ](?:flight )?plan)\b""")
_AT_REST_ENGINE = re.compile(r"<engine> (?:(?:is|was|now|has|been|all) )*(?:stopped|off|shut ?down|cold)\b"
                             r"(?! (?:by|on|again|itself))")
"""An engine that stands still where the airplane does."""
_AND_BACK = re.compile(r"^(?: (?!and\b)\w+){0,4} and (?:has |is |then |now )*(?:came back|come back|back|recovered)\b")
_THEN = re.compile(r"^(?: up| on| back)?(?: until(?: [\w<>]+){1,6})?(?: and| but)? then (?:it )?$")
"""What stands before a later state of the same part: "came alive then died", "fine until we reset it then died"."""


def _binds(clause: Clause, which: int, start: int) -> bool:
    """Whether the word just before the name is its own ("no airspeed", "lost the AI"), so that a later one is not."""
    return any(state == "failed" and start - until <= 9 and not clause.text[until:start].strip(" ").count(" ")
               for _, until, state in clause.states if until <= start) and which + 1 < len(clause.names)


_ONE_OF_THEM = compiled(r"""
    ^(?:(?:the|it is|just|only|my|our) )*(?:first|second|other|left|right|main|standby|backup|front|rear|spare|old|new|
    captain is|pilot is|number \d) (?:1|one)(?: is| has)?\b(?! .*\b(?:1|one)\b)|
    ^number \d(?: is| has| just)? (?=[a-z])|
    ^(?:(?:for now|right now|at the moment|and|now) )*(?:(?:the|my|our) (?:left|right|other)|mine|ours)(?: is| has)
    (?: just| now| only)* (?=rough|dead|out|gone|failed|shot|iced|stopped|quit|weak|coughing|surging|running rough|
    toppled|tumbled|stuck|frozen|blank|black|dying|broken|unreliable)""")
"""A part that was named before, one of several: "the second alternator may go, the first one's offline"."""


def _led(clauses: Sequence[Clause], at: int, after: Clause) -> bool:
    """Whether a bare name belongs to what was said before it: "lost nav one and transponder one, two is working"."""
    before = clauses[at - 1] if at else None
    return (before is not None and (clauses[at].joined_by_and or clauses[at].ends_list)
            and before.verdicts[-1:] == ["failed"]
            and bool(before.states) and before.states[0][0] < before.names[-1][0] and not _CONTINUES.match(after.text))


def _ends_lost(clauses: Sequence[Clause], at: int) -> bool:
    """Whether a bare name ends a list of what is lost: "DG" in "lost vacuum, AI and DG, TC and compass ok"."""
    if not clauses[at].ends_list or clauses[at + 1].joined_by_and or clauses[at + 1].ends_list:
        return False
    after = next((each for each in clauses[at + 1:] if not each.bare), None)
    if after is not clauses[at + 1] and not (at + 2 < len(clauses) and clauses[at + 2].ends_list):
        return False    # "lost the vacuum and AI, DG, TC all fine"
    first = next((each for each in reversed(clauses[:at]) if not each.bare), None)
    return (first is not None and first.verdicts[-1:] == ["failed"] and bool(first.states)
            and first.states[0][0] < first.names[-1][0])


_OF_ONE = re.compile(r"(?:it|that|which)\b")
"""What is said of the last part that was named."""


def _likewise(clauses: Sequence[Clause], at: int) -> bool:
    """Whether a bare name goes with what was said before it: "so are the AI and the DG", "and VSI also"."""
    clause = clauses[at]
    return clause.text.startswith("too ") or clause.text.endswith((" too", " also", " as well", " likewise")) or (
        clause.joined_by_and and at > 0 and clauses[at - 1].text.startswith("too "))


_BOTH = re.compile(r" (?:(?:is|are|has|have|were) )?(?:now )?both\b")


def _share(clauses: Sequence[Clause], before_all: Sequence[Clause]) -> None:
    """Give each bare list the state of its neighbour: of the clause after it, else of the clause before it."""
    for at, clause in enumerate(clauses):
        if not clause.names and _ONE_OF_THEM.match(clause.text) and clause.states and clause.states[0][2] == "failed":
            told = next((each for each in reversed([*before_all, *clauses[:at]]) if each.names), None)
            if told is not None:
                told.verdicts[-1] = "failed"
    for at in range(len(clauses) - 1, -1, -1):
        clause = clauses[at]
        if not clause.names or any(clause.verdicts):
            continue
        after = clauses[at + 1] if at + 1 < len(clauses) else None
        if after is None:
            continue
        falls = not after.names and {name for _, _, name in clause.names} & clause.book.falling_names and (
            clause.book.falling.fullmatch(after.text.removeprefix("still ").removeprefix("is ")))
        if falls:
            clause.verdicts = ["failed"] * len(clause.names)
        elif any(_COMPARED.search(clause.text[:start]) for start, _, _ in clause.names) and not (
                clause.bare and clause.text.startswith("with ")):
            continue   # "nine thousand by the GPS, cannot hold it"
        elif not after.names and after.states and (
                (clause.bare and not _led(clauses, at, after)) or _CONTINUES.match(after.text)
                or len(after.text.split()) <= 2):
            shared = len(clause.names) if clause.bare or not _OF_ONE.match(after.text) else 1
            clause.verdicts[-shared:] = [after.states[0][2]] * shared
        elif after.joined_by_and and after.names and after.verdicts[0] and clause.text.endswith(">") and (
                _BOTH.match(after.text[after.names[0][1]:])):
            clause.verdicts[-1] = after.verdicts[0]   # "4000, transponder and GPS both blank"
        elif clause.bare and not _likewise(clauses, at) and after.names and after.verdicts[0] and (
                not _ends_lost(clauses, at)) and (
                after.bare or not after.states or after.names[0][0] < after.states[0][0]):
            clause.verdicts = [after.verdicts[0]] * len(clause.names)
            clause.bare = True
    for before, clause in pairwise((*before_all, *clauses)):
        instead = before.verdicts[-1:] == ["works"] and _ELSE.match(clause.text) and not any(clause.verdicts)
        if clause.names and (instead or (clause.bare and _ONLY_NOT.match(before.text))):
            clause.verdicts = ["failed"] * len(clause.names)   # "not the vacuum, the alternator"
            continue
        if clause.bare and before in before_all and _ALL_ELSE.match(before.text):
            clause.verdicts = ["failed"] * len(clause.names)   # "everything works but the AI"
            continue
        if before in before_all and not (_TOO.search(clause.text) or _RECKONED.search(clause.text)):
            continue
        if clause.bare and not any(clause.verdicts) and not before.names and before.states and (
                len(before.text.split()) <= 8):
            clause.verdicts = [before.states[-1][2]] * len(clause.names)
        if clause.bare and _JUST.match(clause.text) and before.names and before.names[-1][2] != clause.names[0][2]:
            continue   # "no GPS, no autopilot, just a compass"
        if clause.bare and not any(clause.verdicts) and before.names and before.verdicts[-1] and (
                before.bare or not before.states or clause.joined_by_and or before.states[0][0] < before.names[-1][0]
                or _TOO.search(clause.text) or _RECKONED.search(clause.text)):
            clause.verdicts = [before.verdicts[-1]] * len(clause.names)


_JUST = re.compile(r"(?:just|only) (?:an? |the |my |our )")
_ALL_ELSE = re.compile(r"^(?:everything|all|anything)(?: \w+)? (?:works?|is|are|seems?|looks?)\b")
_ONLY_NOT = re.compile(r"^(?:it (?:is|was) )?not (?:the |my |our )?<\w+>$")
_ELSE = re.compile(r"^(?:the |my |our )?<\w+> (?:has|is|did|does)$")


def _one_is_wrong(clauses: Sequence[Clause], earlier: Sequence[Clause]) -> None:
    """Both are suspect where one of two is wrong and nobody knows which."""
    if not any(_MAY_BE_ONE.search(clause.text) and _ONE_OF.search(clause.text) for clause in clauses):
        return
    text = " ".join(clause.text for clause in clauses)
    if not _AMISS.search(text):
        return
    for clause in earlier:
        clause.verdicts = [verdict or "failed" for verdict in clause.verdicts]
    for clause in clauses:
        others = {name for each in clauses for _, _, name in each.names} - {"navigation", "gyros"}
        clause.verdicts = [verdict if verdict == "supposed" or (name == "gyros" and clause.text[:start].endswith("no "))
                           or (name == "navigation" and others)
                           or (verdict == "works" and (_RIGHT.search(clause.text[end:])
                                                       or BELIEVED.fullmatch(clause.text))) else "failed"
                           for (start, end, name), verdict in zip(clause.names, clause.verdicts, strict=True)]
