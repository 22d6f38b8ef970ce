"""The screen's keys: what each does, in which stages it is offered, and what is asked before it is done. Pure."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from drill.room import commands as c
from drill.room.commands import Command

View: TypeAlias = Mapping[str, Any]
ALWAYS = ("lobby", "brief", "fly", "poll", "talk", "debrief", "over")
NOT_OVER = ALWAYS[:-1]
RUNNING = NOT_OVER[1:]


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what it does, what it is called at the foot of the screen, where it is offered, what help says of it."""

    key: str
    action: str
    says: str
    stages: tuple[str, ...]
    help: str

    @property
    def name(self) -> str:
        """What it is about: of `ask('close')` it is close, of `type('face ')` face, of `pace(2)` pace."""
        return name_of(self.action.partition("(")[0], tuple(re.findall(r"\('([\w ]*)'\)", self.action)))


def name_of(action: str, parameters: tuple[object, ...]) -> str:
    """Return what an action is about: what is asked or typed, or else its own name."""
    return (str(parameters[0]).strip() if action in ("ask", "type") and parameters else "") or action


KEYS = (
    Key("b", "brief", "Brief", ("lobby",), "begin the briefing"),
    Key("space", "run", "Fly", ("brief", "fly", "talk"), "let the flight run, or stop it"),
    Key("c", "ask('close')", "Close", ("poll",), "close the poll, and show what came of it"),
    Key("m", "ask('majority')", "Most", ("talk",), "go on with what most have answered"),
    Key("s", "ask('sheet')", "Sheet", ("talk",), "let the grade sheet fly to the next poll"),
    Key("k", "ask('fork')", "Both", ("talk",), "fly both ways, side by side"),
    Key("o", "own", "Own", ("talk",), "go on another way: type what a pilot would"),
    Key("v", "reveal", "Show", ("talk",), "show on the wall what came of a poll that was closed quietly"),
    Key("h", "hands", "Hands", ("poll", "talk"), "count raised hands"),
    Key("r", "papers", "Handout", ("debrief", "over"), "write handout and totals beside the evening's record"),
    Key("pagedown", "results", "More", ("debrief", "over"), "read on in the results; PgUp goes back"),
    Key("p", "ask('poll')", "Poll", ("brief", "fly", "talk"), "open the next poll now"),
    Key("tab", "section", "Next", ALWAYS, "on a small terminal: the next part of the screen"),
    Key("g", "ask('debrief')", "Debrief", ("brief", "fly", "talk"), "end the flight and begin the debrief"),
    Key("e", "ask('end')", "End", NOT_OVER, "end the evening"),
    Key("t", "type('')", "Type", ALWAYS, "type any command; help lists them"),
    Key("w", "words", "Words", ("poll", "talk"), "go to what was typed: strike"),
    Key("u", "people", "People", ALWAYS, "go to the people: hide, rename, remove"),
    Key("j", "join", "Way in", ALWAYS, "show the address and the code, or put them away"),
    Key("n", "type('ask ')", "Ask", ("brief", "fly", "talk"), "ask a question of your own: ask WHAT / ANSWER / ANSWER"),
    Key("i", "type('enter ')", "Enter", ("fly", "talk"), "give the flight a line, as a pilot would"),
    Key("f", "type('face ')", "Face", ("fly", "poll", "talk"), "one instrument fills the wall; face panel: all again"),
    Key("y", "true", "True", ("fly", "poll", "talk"), "show here alone what is true: attitude, altitude, what failed"),
    Key("1", "pace(1)", "Normal", ("fly",), "as fast as a clock"),
    Key("2", "pace(2)", "Double", ("fly",), "twice as fast"),
    Key("4", "pace(4)", "Fourfold", ("fly",), "four times as fast"),
    Key("plus", "more(5)", "5 min", RUNNING, "five minutes more for what runs now"),
    Key("minus", "more(-5)", "5 min", RUNNING, "five minutes fewer"),
    Key("f1", "help", "Help", ALWAYS, "these lines"),
    Key("q", "leave", "Leave", ALWAYS, "leave; the evening can be taken up again"),
)
"""In the order in which the foot of the screen shows them: the earlier ones if there is not room for all."""

IN_FLIGHT = frozenset({"run", "pace", "enter", "majority", "sheet", "fork", "own", "poll", "ask"})
"""What cannot or need not be done once the flight is over."""
TYPED = frozenset({"enter", "ask", "own", "face"})
"""What begins a line: it is begun at any time, for what is typed after it must not be taken for keys."""
BY_VOTES = ("what is wrong", "what next")
"""Polls whose votes name something to do."""
ALWAYS_SHOWN = frozenset({"help", "leave"})


def at_foot(view: View, columns: int, *, narrow: bool) -> list[tuple[str, str, str]]:
    """Return the keys that the foot of the screen has room for: how each is written, what it is called, the key.

    Help, which tells of all, and how to leave are always among them; no word is cut.
    """
    now = [each for each in KEYS if offered(each.name, view) and (narrow or each.name != "section")]
    if view["stage"] == "talk" and not view["to_come"]:
        now.sort(key=lambda each: each.name != "debrief")     # what comes next, as a rule
    told = {each: (written(each.key), _called(each, view), each.key) for each in now}
    room = columns - sum(_wide(told[each]) for each in now if each.name in ALWAYS_SHOWN)
    shown = []
    for each in now:
        if each.name in ALWAYS_SHOWN:
            shown.append(told[each])
        elif _wide(told[each]) <= room:
            room -= _wide(told[each])
            shown.append(told[each])
        else:
            room = 0     # those that follow matter less
    return shown


def _wide(told: tuple[str, str, str]) -> int:
    return len(told[0]) + 1 + len(told[1]) + 2


def _called(key: Key, view: View) -> str:
    return "Stop" if key.name == "run" and view["stage"] == "fly" and view["pace"] else key.says


def written(key: str) -> str:
    """Return how a key is written on the screen."""
    return WRITTEN.get(key, key)


WRITTEN = {"space": "Space", "plus": "+", "minus": "-", "tab": "Tab", "f1": "F1", "enter": "Enter", "escape": "Esc",
           "pagedown": "PgDn", "pageup": "PgUp"}


def offered(name: str, view: View) -> bool:
    """Say whether a key is offered now, by its name."""
    if not any(view["stage"] in each.stages for each in KEYS if each.name == name):
        return False
    held = view["held"][-1] if view["held"] else None
    if view["outcome"] and name in IN_FLIGHT:
        return False
    match name:
        case "majority" | "fork":
            return held is not None and held["way"] is None and held["kind"] in BY_VOTES
        case "sheet" | "own":
            return held is not None and held["way"] is None
        case "reveal":
            return held is not None and not held["shown"]
        case "hands":
            return held is not None and bool(held["answers"])
        case "words":
            return held is not None and bool(held["typed"])
        case "poll":
            return bool(view["to_come"])
    return True


def answered(held: View) -> str:
    """Return how many have answered a poll, by phone and by raised hands."""
    hands = sum(held["hands"].values())
    by_hand = f"{hands} hand{'' if hands == 1 else 's'} counted"
    if held["of"]:
        return f"{held['answered']} of {held['of']} have answered by phone" + (f", {by_hand}" if hands else "")
    return by_hand if hands or not held["answers"] else "No hands counted yet (h)"


def question(action: str, view: View) -> tuple[str, Command] | str:
    """Return what is asked before an action is done, and the command; or why it cannot be done now, in words."""
    held = view["held"][-1] if view["held"] else None
    match action:
        case "fly":
            if view["stage"] == "talk" and held is not None and held["way"] is None:
                return "Let the flight go on as it flies, without choosing a way?", c.Fly()
            return "Let the flight begin?", c.Fly()
        case "poll":
            if not view["to_come"]:
                return "Every poll has been held. Ask a question of your own (n)."
            return f"Open this poll now: {view['to_come'][0]['name']}?", c.OpenPoll()
        case "close" if held is not None:
            return f"Close the poll and show what came of it? {answered(held)}.", c.Close()
        case "majority" | "fork" if held is not None:
            return _by_most(action, held)
        case "sheet":
            return "Let the grade sheet fly to the next poll?", c.Choose("sheet")
        case "debrief":
            return "End the flight here and begin the debrief?", c.Debrief()
        case "end":
            return "End the evening? Nothing can be voted or flown after that.", c.End()
    return "Not now."


def _by_most(action: str, held: View) -> tuple[str, Command] | str:
    both = "Fly both ways, side by side" if action == "fork" else "Go on with the majority"
    leaders = [each for each in held["answers"] if each["key"] in held["leaders"]]
    if len(leaders) > 1:
        tied = " and ".join(each["key"] for each in leaders)
        return f"Answers {tied} have as many votes. Type t, then for example: {action} {leaders[0]['key']}"
    if not leaders:
        return "Nobody has answered. Count hands (h), type a way (o), or let the sheet fly (s)."
    does = held["does"].get(leaders[0]["key"], "")
    line = does or "nothing is entered for it"
    return f"{both}? {leaders[0]['key']}: {leaders[0]['says']} ({line})", c.Choose(
        "fork" if action == "fork" else "majority")
