"""What the facilitator's commands come to: the events that they make happen, or a sentence why not. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from drill.clean import typed_line
from drill.flight.readings import can_be_read
from drill.language import read
from drill.language.meaning import Unclear
from drill.room import commands as c
from drill.room.commands import Refusal
from drill.room.evening import CALLED, Evening, Held, leaders, may_follow
from drill.room.events import (
    Chose,
    Ended,
    Event,
    Hands,
    Hid,
    Planned,
    PollClosed,
    PollOpened,
    Removed,
    Renamed,
    Shown,
    Stage,
    StageName,
    Struck,
)
from drill.room.polls import RoomPoll, is_own, own_answers, own_id
from drill.room.standing import running_part
from drill.scenario.model import Scenario
from drill.scenario.poll_keys import FEWEST_ANSWERS, MOST_ANSWERS

MOST_NAME = 40
MOST_TABLE = 20
MOST_WORDS = 400
MOST_QUESTION = 160
MOST_ANSWER = 60
MOST_HANDS = 10_000
MOST_MINUTES = 120.0

WHAT_NOW: dict[StageName, str] = {
    "lobby": "Begin the briefing first (brief).",
    "brief": "Let the flight begin first (fly).",
    "fly": "Wait for the next poll, or open one.",
    "poll": "Close the poll first.",
    "talk": "Let the flight go on first.",
    "debrief": "Nothing is flown or asked any more; end the evening when you are done.",
    "over": "Begin another one.",
}

Come = tuple[Event, ...] | Refusal


def not_now(evening: Evening) -> Refusal:
    """Return that the stage does not allow it, and what to do."""
    called = CALLED[evening.stage]
    return Refusal(f"Not now: {called}. {WHAT_NOW[evening.stage]}")


def plain(evening: Evening, command: c.Command, t_s: float) -> Come:
    """Return what comes of a command that needs the evening alone."""
    match command:
        case c.Brief():
            return stage(evening, "brief", t_s)
        case c.Reveal():
            return revealed(evening)
        case c.CountHands():
            return counted(evening, command)
        case c.Hide() | c.Show() | c.Rename() | c.Remove():
            return of_person(evening, command)
        case c.Strike():
            return struck(evening, command)
        case c.More(minutes=minutes):
            return longer(evening, minutes)
        case _:
            return Refusal("That cannot be asked of the host.", "unknown")


def stage(evening: Evening, to: StageName, t_s: float) -> Come:
    """Begin the briefing, the flight or the debrief."""
    if to in ("brief", "fly", "debrief") and may_follow(evening, to):
        return (Stage(to, t_s),)
    return not_now(evening)


def opened(evening: Evening, poll: RoomPoll, t_s: float) -> Come:
    """Open a poll."""
    if not may_follow(evening, "poll"):
        return not_now(evening)
    since = evening.polls[-1].t_s if evening.polls else 0.0
    return (PollOpened(poll.id, poll.kind, poll.question, poll.answers, t_s, since, poll.name, poll.sure,
                       poll.discuss),)


def asked_for(
    evening: Evening, command: c.OpenPoll, polls: Sequence[RoomPoll], scenario: Scenario,
) -> RoomPoll | Refusal:
    """Return the poll that the facilitator means: one of the scenario's, or an own question."""
    if command.question:
        return _own_poll(evening, command, scenario)
    to_come = [each for each in polls if evening.held(each.id) is None]
    if not command.poll:
        return to_come[0] if to_come else Refusal("Every poll has been held. Type a question of your own.")
    found = next((each for each in polls if each.id == command.poll), None)
    if found is None:
        return Refusal("There is no such poll.", "unknown")
    if found not in to_come:
        return Refusal("This poll has been held. Ask it again as a question of your own.")
    return found


def _own_poll(evening: Evening, command: c.OpenPoll, scenario: Scenario) -> RoomPoll | Refusal:
    question = typed_line(command.question, limit=MOST_QUESTION)
    says = [typed_line(each, limit=MOST_WORDS) for each in command.answers]
    does = [typed_line(each, limit=MOST_WORDS) for each in command.does]
    if not question:
        return Refusal("Type the question.", "wrong")
    if too_long := next((each for each in says if len(each) > MOST_ANSWER), ""):
        return Refusal(f"An answer may be {MOST_ANSWER} letters long, to stand whole on wall and phones. This one "
                       f"has {len(too_long)}: {too_long[:30]} ...", "wrong")
    if len(typed_line(command.question, limit=MOST_WORDS)) > MOST_QUESTION:
        return Refusal(f"A question may be {MOST_QUESTION} letters long.", "wrong")
    if command.kind in ("what is wrong", "what next"):
        fewest = FEWEST_ANSWERS if command.kind == "what next" else 1
        twice = len({each.casefold() for each in says}) < len(says)
        if twice or not all(says) or not fewest <= len(says) <= MOST_ANSWERS:
            return Refusal(f"Give {fewest} to {MOST_ANSWERS} answers, each once.", "wrong")
        for line in does:
            if line and (asks := what_is_asked_back(line, scenario)):
                return Refusal(f"`{line[:60]}` is not understood. {asks}", "wrong")
    number = sum(is_own(each.id) for each in evening.polls) + 1
    return RoomPoll(own_id(number), "Own question", command.kind, question, own_answers(command.kind, says, does))


def what_is_asked_back(line: str, scenario: Scenario) -> str:
    """Return what would be asked back to a line, before it is flown; "" if it can be done."""
    return " ".join(each.ask for each in read(line, scenario.context) if isinstance(each, Unclear))


def closed(evening: Evening) -> Come:
    """Close the poll that is open."""
    held = evening.open_poll
    return Refusal("No poll is open.") if held is None else (PollClosed(held.id),)


def revealed(evening: Evening) -> Come:
    """Show what came of the last poll."""
    held = evening.poll
    if held is None or not held.closed:
        return Refusal("Close a poll first.")
    return () if held.shown else (Shown(held.id),)


def counted(evening: Evening, command: c.CountHands) -> Come:
    """Count raised hands in the last poll."""
    held = evening.poll
    if held is None or evening.stage not in ("poll", "talk"):
        return Refusal("Open a poll first.")
    if not held.answers:
        return Refusal("This poll is answered in words; there are no hands to count.")
    if not all(type(each) is int and 0 <= each <= MOST_HANDS for each in command.counts.values()):
        return Refusal(f"Type numbers from 0 to {MOST_HANDS:,}.", "wrong")
    if any(held.answer(key) is None for key in command.counts):
        return Refusal("There is no such answer.", "unknown")
    return (Hands(held.id, dict(command.counts)),)


def chosen(evening: Evening, command: c.Choose, scenario: Scenario) -> Come:
    """Choose how the room goes on after the last poll."""
    held, line = evening.poll, typed_line(command.line, limit=MOST_WORDS)
    if held is None or evening.stage != "talk":
        return Refusal("A way is chosen in the talk after a poll; type a line instead, or close the poll that is open.")
    if held.chosen is not None:
        return Refusal("A way has been chosen. Let the flight go on, or type a line.")
    if evening.forked and command.way == "fork":
        return Refusal("The flight has parted already; let both go on to the next poll.")
    if line and (asks := what_is_asked_back(line, scenario)):
        return Refusal(f"This is not understood. {asks}", "wrong")
    match command.way:
        case "own":
            return (Chose(held.id, "own", (line,)),) if line else Refusal("Type the line that the room flies.", "wrong")
        case "sheet":
            return (Chose(held.id, "sheet", ()),)
        case way:
            if line and way == "fork":
                return (Chose(held.id, way, (line,)),)
            lines = _by_most(evening, held, command.answer)
            return lines if isinstance(lines, Refusal) else (Chose(held.id, way, lines, as_read=True),)


def _by_most(evening: Evening, held: Held, breaks: str) -> tuple[str, ...] | Refusal:
    """Return the lines of the answer with the most votes; `breaks` is the key that breaks a tie."""
    if held.kind not in ("what is wrong", "what next"):
        return Refusal("Votes in this poll name nothing to do. Type a line, or let the grade sheet fly.")
    first = leaders(evening, held)
    if not first:
        return Refusal("Nobody has voted. Count hands, type a line, or let the grade sheet fly.")
    if len(first) > 1:
        first = tuple(each for each in first if each.key == breaks)
    if not first:
        tied = " and ".join(f"{each.key.upper()} ({each.says})" for each in leaders(evening, held))
        return Refusal(f"{tied} have as many votes. Choose one of them.")
    return (first[0].does,) if first[0].does else ()


def of_person(evening: Evening, command: c.Hide | c.Show | c.Rename | c.Remove) -> Come:
    """Hide, show, rename or remove somebody."""
    person = evening.people.get(command.phone)
    if person is None:
        return Refusal("There is nobody with this phone.", "unknown")
    if person.removed:
        return Refusal(f"{person.name} has been sent out already.", "removed")
    match command:
        case c.Hide() | c.Show():
            hidden = isinstance(command, c.Hide)
            return () if person.hidden is hidden else (Hid(command.phone, hidden),)
        case c.Remove():
            return (Removed(command.phone),)
        case c.Rename(name=name, table=table):
            said = person.name if name is None else typed_line(name, limit=MOST_NAME)
            where = person.table if table is None else table_of(evening, table, command.phone)
            if not said:
                return Refusal("Type a name.", "wrong")
            same = (said, where) == (person.name, person.table)
            return () if same else (Renamed(command.phone, said, where, "facilitator"),)


def table_of(evening: Evening, typed: str, phone: str) -> str:
    """Return the table that somebody means: as others have spelled it, in whatever letters; "" for none."""
    table = typed_line(typed, limit=MOST_TABLE)
    return next((each.table for each in evening.present
                 if each.phone != phone and each.table.casefold() == table.casefold()), table)


def struck(evening: Evening, command: c.Strike) -> Come:
    """Keep from the wall what somebody typed."""
    held = evening.held(command.poll)
    vote = None if held is None else held.votes.get(command.phone)
    if held is None or vote is None or not vote.words:
        return Refusal("Nothing was typed there.", "unknown")
    return () if command.phone in held.struck else (Struck(held.id, command.phone),)


def longer(evening: Evening, minutes: float) -> Come:
    """Give the part that runs now more minutes, or fewer."""
    part = running_part(evening)
    if part is None:
        return Refusal("No part of the plan runs now.")
    if not -MOST_MINUTES <= minutes <= MOST_MINUTES:
        return Refusal(f"Give up to {MOST_MINUTES:.0f} minutes.", "wrong")
    return (Planned(evening.plan.longer(part, minutes)),)


def ended(evening: Evening) -> Come:
    """End the evening."""
    if evening.stage == "over":
        return Refusal("The evening is over.")
    held = evening.open_poll
    return (*(() if held is None else (PollClosed(held.id),)), Ended())


def why_no_face(instrument: str | None) -> str:
    """Return why this cannot fill the wall; "" if it can."""
    if instrument is None or can_be_read(instrument):
        return ""
    return "There is no such instrument."
