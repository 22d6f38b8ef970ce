"""What the facilitator's screen says, from the host's view for the desk. Pure; every text stands for itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, TypeAlias

from textual.content import Content

from drill.flight.readings import WHOLE_PANEL, clock_words, instrument_name, reading_words
from drill.room.fitted import elided, width
from drill.room.screen.keys import BY_VOTES, answered
from drill.room.shares import percent
from drill.room.usual_polls import SURE_WORDS

if TYPE_CHECKING:
    from drill.grading.debrief import FailureStory
    from drill.room.truths import TrueNow

View: TypeAlias = Mapping[str, Any]
Piece: TypeAlias = Content | str | tuple[str, str]

BOLD, MUTED, WARN, ERROR, GOOD = "bold", "$text-muted", "bold $warning", "bold $error", "bold $success"
BAR, LONGEST_BAR = 10, 40
BESIDE_ANSWER = 17
"""Columns beside an answer and its bar: mark, key, count, share, and what parts them."""
LATE_S = 30.0
"""From here on an evening is told to be behind, or ahead."""

STAGES = {
    "lobby": "PEOPLE COME IN", "brief": "BRIEFING", "fly": "FLYING", "poll": "POLL IS OPEN", "talk": "TALK",
    "debrief": "DEBRIEF", "over": "OVER",
}
WHAT_NOW = {
    "lobby": "Wait until the room is in, then begin the briefing (b).",
    "brief": "Read the briefing with the room, then let the flight begin (Space).",
    "fly": "Let the room watch. It stops by itself at the next poll; Space stops it now.",
    "poll": "Give people time to look and to vote. Do not say what you think. Close it (c) when most have voted.",
    "debrief": "Read the results with the room (r writes handout and totals), then ask what each takes home.",
    "over": "The evening is over. r writes handout and totals; q leaves.",
}


WITHOUT_PHONES = ("Give people time to look. Read the answers out, have hands raised once for each, and count them "
                  "(h). Then close it (c).")
WAYS = {"majority": "with the majority", "sheet": "as the grade sheet has it", "fork": "both ways, side by side",
        "own": "another way"}
STANDS = "Time stands; Space lets it go on. "


def title(view: View, columns: int) -> Content:
    """Return the first row: which evening, and at what it is."""
    now = STAGES[view["stage"]]
    if view["stage"] == "fly":
        now = f"FLYING {view['pace']}x" if view["pace"] else "FLIGHT IS OVER" if view["outcome"] else "FLIGHT STANDS"
    people = f"{view['people']} in the room"
    left = f"SAFETY NIGHT {view['number']}  "
    right = f"  {people}  {now}"
    name = elided(view["board_title"], max(4, columns - len(left) - len(right)))
    space = " " * max(0, columns - width(left) - width(name) - width(right))
    return Content.assemble(left, name, space, right)


def plan(view: View) -> Content:
    """Return the plan's row: its parts, and whether the evening is ahead of it or behind."""
    data = view["plan_data"]
    ahead = sum(max(0.0, each["left_s"]) for each in data["parts"] if each["state"] == "done")
    stands = data["late_s"] - ahead
    if stands > LATE_S:
        how: Piece = (f"{_minutes(stands)} behind", WARN)
    elif stands < -LATE_S:
        how = (f"{_minutes(-stands)} ahead", GOOD)
    else:
        how = ("on time", GOOD)
    return Content.assemble((view["plan"], BOLD), "  ", how)


def _minutes(seconds: float) -> str:
    return f"{seconds / 60.0:.0f} min" if seconds >= 90.0 else f"{seconds:.0f} s"


def on_wall(view: View) -> str:
    """Return what the wall shows now."""
    held = view["poll"]
    if view["stage"] == "poll":
        return "the question" + ("" if view["face"] is None else f", and the {instrument_name(view['face'])} alone")
    if view["stage"] == "talk":
        return "what the room said" if held is not None and held["shown"] else "the question; nothing is shown yet (v)"
    if view["stage"] in ("lobby", "brief"):
        return {"lobby": "the way in, with the names", "brief": "the briefing"}[view["stage"]]
    if view["face"] is not None:
        return f"the {instrument_name(view['face'])} alone"
    if view["stage"] in ("debrief", "over"):
        return "the results"
    return "two flights side by side" if view["fork"] is not None else "the panel"


def flight(view: View, absent: frozenset[str], columns: int, rows: int, true: Sequence[str] = ()) -> Content:
    """Return the flight as the room sees it: clock, readings (two to a row where they fit), what was told last.

    `true`: lines of what is so, which go before what was told.
    """
    told: list[Piece] = [("THE WALL SHOWS ", BOLD), on_wall(view), "\n"]
    who = "the grade sheet flies" if view["by_sheet"] else f"ended: {view['outcome']}" if view["outcome"] else ""
    told += [("FLIGHT ", BOLD), view["clock"], f"  {who}" if who else "", "\n"]
    panel = _in_rows(list(_readings(view, absent)), columns)
    told += [f"{row}\n" for row in panel]
    if true:
        told.append(("TRUE, FOR YOU ALONE\n", WARN))
        told += [f"{elided(line, columns)}\n" for line in true]
    high = sum(len(Content(row).wrap(max(1, columns))) for row in panel)
    room = max(1, rows - 2 - high - (1 + len(true) if true else 0))
    told += [(f"{said}\n", MUTED) for said in _last([f"{each['clock']} {each['words']}" for each in view["log"]],
                                                    columns, room)]
    return Content.assemble(*told).rstrip()


def _last(told: Sequence[str], columns: int, rows: int) -> list[str]:
    """Return the last of these texts, whole, as many as there are rows for; one at least."""
    kept: list[str] = []
    for each in reversed(told):
        rows -= len(Content(each).wrap(max(1, columns)))
        if rows < 0 and kept:
            break
        kept.insert(0, each)
    return kept


def true_lines(now: TrueNow | None, failures: Sequence[FailureStory] | None) -> list[str]:
    """Return what is so: how the airplane flies, and what has failed. `failures` None: it is being worked out."""
    if now is None:
        return ["The flight has not begun."]
    climbs = f"{'up' if now.vertical_speed_fpm >= 0.0 else 'down'} {abs(now.vertical_speed_fpm):.0f} ft/min"
    lines = [f"{_turned(now.bank_deg, 'right', 'left')} bank, {_turned(now.pitch_deg, 'up', 'down')} pitch, "
             f"{now.altitude_ft:,.0f} ft, {now.airspeed_kt:.0f} kt, {climbs}, heading {now.heading_deg:03.0f}"]
    if failures is None:
        return [*lines, "What has failed is being worked out ..."]
    return [*lines, *map(_failed, failures)] if failures else [*lines, "Nothing has failed."]


def _turned(degrees: float, one: str, other: str) -> str:
    whole = round(degrees)
    return f"{abs(whole)}" + (f" {one if whole > 0 else other}" if whole else "")


def _failed(story: FailureStory) -> str:
    known = "no cross-check in flight would know it yet" if story.evidence_s is None else (
        f"a cross-check in flight knows from {clock_words(story.evidence_s)} ({story.evidence})")
    back = "" if story.healed_s is None else f", back {clock_words(story.healed_s)}"
    return f"{story.part} failed {clock_words(story.began_s)}{back}; {known}"


def _readings(view: View, absent: frozenset[str]) -> Iterator[str]:
    for code in WHOLE_PANEL:
        if code not in absent:
            yield reading_words(code, view["panel"], view["covered"])


def _in_rows(readings: Sequence[str], columns: int) -> list[str]:
    """Return readings in rows: long ones by themselves, whole, of the others two to a row."""
    wide = max(10, (columns - 2) // 2)
    short = [each for each in readings if width(each) <= wide]
    half = (len(short) + 1) // 2
    pairs = [f"{left}{' ' * (wide + 2 - width(left))}{right}"
             for left, right in zip_longest(short[:half], short[half:], fillvalue="")]
    return [*(each for each in readings if width(each) > wide), *(each.rstrip() for each in pairs)]


def poll(view: View, columns: int) -> Content:
    """Return the last poll, with its counts, which only this screen shows while it is open."""
    held = view["held"][-1] if view["held"] else None
    if held is None:
        return Content.assemble(("POLL ", BOLD), ("none yet", MUTED))
    state = "open: counts are for you alone" if held["open"] else "shown on the wall" if held["shown"] else "closed"
    told: list[Piece] = [("POLL ", BOLD), f"{held['id']} {elided(held['name'], 30)}, at {held['clock']}, ", (
        state, WARN if held["open"] else MUTED), "\n", (f"{held['question']}\n", BOLD)]
    told += _answers(held, columns)
    told.append(f"{answered(held)}\n")
    if any(held["how_sure"].values()):
        sure = ", ".join(f"{held['how_sure'][str(level)]} {words}" for level, words in SURE_WORDS.items())
        told.append((f"How sure: {sure}\n", MUTED))
    if held["way"]:
        lines = f": {'; '.join(held['lines'])}" if held["lines"] else ""
        told.append((f"The room goes on {WAYS[held['way']]}{lines}" + (
            ". Space flies on.\n" if view["stage"] == "talk" and not view["outcome"] else "\n"), GOOD))
    return Content.assemble(*told).rstrip()


def _answers(held: View, columns: int) -> Iterator[Piece]:
    total = sum(held["counts"].values())
    widest = max((width(each["says"]) for each in held["answers"]), default=12)
    says = min(max(12, columns - BAR - BESIDE_ANSWER), widest)
    long = min(LONGEST_BAR, max(BAR, columns - says - BESIDE_ANSWER))
    for each in held["answers"]:
        count = held["counts"].get(each["key"], 0)
        share = count / total if total else 0.0
        bar = "█" * round(share * long)
        name, *more = (line.plain.rstrip() for line in Content(each["says"] or " ").wrap(says))
        leads = each["key"] in held["leaders"]
        style = BOLD if leads else ""
        yield (f"{'>' if leads else ' '} {each['key']} {name}{' ' * (says - width(name))} ", style)
        yield (f"{bar:<{long}}", "$primary")
        yield f" {count:>4} {percent(share) if total else '–':>5}\n"
        for line in more:
            yield (f"    {line}\n", style)


def notes(view: View) -> Content:
    """Return what to do now, what to talk about, and which polls are to come."""
    told: list[Piece] = [("NOW\n", BOLD), f"{_what_now(view)}\n"]
    if view["clock_says"]:
        told.append((f"{view['clock_says']}\n", WARN if view["plan_data"]["late_s"] > LATE_S else MUTED))
    if view["face"] is not None and view["stage"] in ("fly", "poll", "talk"):
        told.append(f"The wall shows the {instrument_name(view['face'])} alone; face panel shows all again.\n")
    held = view["held"][-1] if view["held"] else None
    if held is not None and held["discuss"] and view["stage"] in ("poll", "talk"):
        told += [("TO TALK ABOUT\n", BOLD), *(f"- {each}\n" for each in held["discuss"])]
    if view["beside"] is not None:
        told += [("BOTH WAYS ", BOLD), (f"({' / '.join(view['beside']['names']).lower()})\n", MUTED),
                 *_both(view["beside"])]
    if view["to_come"] and view["stage"] not in ("debrief", "over"):
        told += [("POLLS TO COME\n", BOLD), *(f"{each['id']} {_when(each)} {each['name']}\n"
                                             for each in view["to_come"][:6])]
    return Content.assemble(*told).rstrip()


def _what_now(view: View) -> str:
    held = view["held"][-1] if view["held"] else None
    if view["outcome"] and view["stage"] in ("fly", "talk"):
        return "The flight is over. Begin the debrief (g)."
    if view["stage"] == "poll" and not view["people"]:
        return WITHOUT_PHONES
    if view["stage"] == "talk" and held is not None:
        if held["way"]:
            return "The room goes on as chosen; Space lets it fly."
        keys = "m, s, k or o" if held["kind"] in BY_VOTES else "s or o"
        return f"Ask why, those of the fewest first. Then choose how the room goes on ({keys}); Space lets it just fly."
    if view["stage"] != "fly":
        return WHAT_NOW[view["stage"]]
    stands = "" if view["pace"] else STANDS
    if not view["to_come"]:
        return f"{stands}No poll is to come. End the flight (g) when the room has seen enough."
    return f"{stands}It stops by itself at the next poll." if stands else WHAT_NOW["fly"]


def _both(beside: View) -> Iterator[str]:
    for row in beside["rows"]:
        if row["differs"]:
            yield f"{row['what']}: {' / '.join(row['values'])}\n"


def _when(poll: View) -> str:
    if poll["at_s"] is None:
        return "when it comes to it" if poll["waits"] else "when you open it"
    return f"at {clock_words(poll['at_s'])}" + (" or later" if poll["waits"] else "")


def people(view: View) -> list[View]:
    """Return everybody who was not sent out."""
    return [each for each in view["everybody"] if not each["removed"]]


def who_answered(view: View) -> frozenset[str]:
    """Return the phones whose answer the open poll has."""
    held = view["held"][-1] if view["held"] else None
    return frozenset(held["answered_by"]) if held is not None and held["open"] else frozenset()


def person(each: View, columns: int, answered_by: frozenset[str] = frozenset()) -> Content:
    """Return one person's row: number, name, table, whether hidden, whether the open poll has their answer."""
    said = (("hidden", each["hidden"]), ("answered", each["phone"] in answered_by))
    marks = " ".join(mark for mark, holds in said if holds)
    table = f"  {elided(each['table'], 14)}" if each["table"] else ""
    name = elided(each["name"], max(6, columns - width(table) - width(marks) - 8))
    return Content.assemble((f"#{each['place']:<4}", MUTED), name, (table, MUTED), (f"  {marks}", MUTED)).rstrip()


def all_typed(view: View) -> list[dict[str, Any]]:
    """Return what was typed in the last poll, while it is open or talked about."""
    held = view["held"][-1] if view["held"] else None
    if held is None or view["stage"] not in ("poll", "talk"):
        return []
    return [{**each, "poll": held["id"]} for each in held["typed"]]


def typed(vote: View, columns: int, _answered_by: frozenset[str] = frozenset()) -> Content:
    """Return the row of what one phone has typed."""
    by = elided(vote["table"] or vote["name"], 14)
    words = elided(vote["words"], max(8, columns - width(by) - (12 if vote["struck"] else 3)))
    return Content.assemble((f"{by}: ", MUTED), words, ("  struck" if vote["struck"] else "", ERROR))


def tables(view: View) -> str:
    """Return how many people sit at which table, in a line."""
    seats: dict[str, int] = {}
    for each in view["everybody"]:
        if not each["removed"]:
            seats[each["table"] or "none"] = seats.get(each["table"] or "none", 0) + 1
    named: Sequence[str] = [f"{elided(name, 16)}: {count}" for name, count in sorted(seats.items())]
    return f"Tables: {', '.join(named)}" if set(seats) - {"none"} else ""
