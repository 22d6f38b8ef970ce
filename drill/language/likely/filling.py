"""An action of a known kind, its parts taken from the words of a line.

Where the grammar reads a sentence, this only looks for what the action needs: a thing, a figure, a way, a place. What
is not to be found, or to be found twice, makes no action.
"""

from __future__ import annotations

from collections.abc import Callable

from drill.language.likely import counted, destinations, things
from drill.language.likely.judging import Judged
from drill.language.meaning import (
    Action,
    BreakOff,
    ChecklistItem,
    GoAround,
    Ident,
    LevelWings,
    StopTurn,
    Taxi,
    Track,
)
from drill.language.orders import order
from drill.language.paperwork import checklist


def _checklist(line: Judged) -> Action | None:
    found = checklist(order(line.line, line.typed, line.book))
    return found[0] if found else None


_PLAIN: dict[str, Action] = {
    "level_wings": LevelWings(), "ident": Ident(), "stop_turn": StopTurn(), "go_around": GoAround(),
    "checklist_item": ChecklistItem(), "break_off": BreakOff(), "taxi": Taxi(), "track": Track(),
}
"""Actions that need no more than to be meant."""
_FILLED: dict[str, Callable[[Judged], Action | None]] = {
    "look": things.look, "compare": things.compare, "cover": things.cover, "uncover": things.uncover,
    "fly_by": things.fly_by, "switch": things.switch, "diagnose": things.diagnose, "breaker": things.breaker,
    "turn": counted.turn, "altitude": counted.altitude, "airspeed": counted.airspeed, "squawk": counted.squawk,
    "align": counted.align, "wait": counted.wait, "power": counted.power, "pitch": counted.pitch,
    "flaps": counted.flaps, "tune": counted.tune, "timer": counted.timer, "turn_rate": counted.turn_rate,
    "decide": destinations.decide, "checklist": _checklist,
}


def filled(kind: str, line: Judged) -> Action | None:
    """Return the action of `kind` that `line` orders, None where its words do not tell all that it needs."""
    return _PLAIN[kind] if kind in _PLAIN else _FILLED[kind](line) if kind in _FILLED else None
