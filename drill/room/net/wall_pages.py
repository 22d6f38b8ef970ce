"""The wall's page: the panel as drawings, words, radio, poll, plan and the way in, in parts that change by themselves.

Everything on it comes from the host's `wall_view`, which knows only what the room may see.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from time import monotonic
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from markupsafe import Markup

from drill.cautions import CAUTIONS
from drill.paper.faces.panel import FACES, grounds, panel, single
from drill.room.both_ways import summary
from drill.room.handout import knowing_words, shift_words
from drill.room.net import qr
from drill.room.net.phone_pages import SURE_WORDS, environment
from drill.room.net.wall_results import STAGES
from drill.room.shares import percent

if TYPE_CHECKING:
    from drill.room.host import Host
    from drill.room.outcome import Results


STAGE_WORDS: Mapping[str, str] = {
    "lobby": "Coming in", "brief": "Briefing", "fly": "Flight", "poll": "Poll", "talk": "Talk it over",
    "debrief": "Debrief", "over": "Thank you",
}
_BEFORE = ("lobby", "brief")
_WAYS: Mapping[str, str] = {
    "majority": "The room goes on with the answer of most.", "sheet": "The grade sheet flies on.",
    "fork": "Both ways are flown, side by side.", "own": "The room goes on another way.",
}
MOST_CALLS = 6
TURN_S = 15.0
"""So many calls are on the wall at a time, and for so long."""

_HEARD = 4
_TOLD = 3


class Wall:
    """One wall: its whole page, and what of it has changed since it was asked last."""

    def __init__(self, host: Host, phones_url: str, results: Callable[[], Results | None],
                 now: Callable[[], float] = monotonic) -> None:
        self._host = host
        self._url = phones_url
        self._results = results
        self._now = now
        self._told: dict[str, str] = {}

    def page(self) -> str:
        """Return the whole page as it stands."""
        view = self._host.wall_view()
        return _render("wall.html.j2", number=view["number"], parts=self._parts(view), grounds=self._grounds(),
                       cautions=CAUTIONS)

    def changed(self) -> dict[str, str]:
        """Return the parts, by name, that are not as they were told last."""
        parts = self._parts(self._host.wall_view())
        new = {name: text for name, text in parts.items() if self._told.get(name) != text}
        self._told.update(new)
        return new

    def _grounds(self) -> Markup:
        return grounds(self._host.scenario.airplane.airframe)

    def _parts(self, view: Mapping[str, Any]) -> dict[str, str]:
        stage = view["stage"]
        found = self._results() if stage in STAGES and view["face"] is None else None
        return {
            "top": _render("wall_top.html.j2", view=view, stage=STAGE_WORDS[stage]),
            "picture": self._picture(view) if found is None else _render("wall_home.html.j2", found=found),
            "side": self._side(view) if found is None else _learned(found),
            "foot": _render("wall_foot.html.j2", view=view, url=_short(self._url),
                            code=qr.svg(self._url) if self._url and stage != "lobby" else ""),
        }

    def _side(self, view: Mapping[str, Any]) -> Markup:
        if view["stage"] in _BEFORE or _says_calls(view):
            return Markup("")
        return _render("wall_side.html.j2", view=view, sure_words=SURE_WORDS, bars=_bars(view["poll"]),
                       heard=view["radio"][-_HEARD:], told=_told(view["log"]),
                       way=_WAYS.get(view["poll"]["way"] or "", "") if view["poll"] else "",
                       whose="The room: " if view["fork"] else "")

    def _picture(self, view: Mapping[str, Any]) -> Markup:
        if view["stage"] == "lobby":
            return _render("wall_lobby.html.j2", view=view, url=_short(self._url),
                           code=qr.svg(self._url) if self._url else "", cautions=CAUTIONS)
        if view["stage"] == "brief":
            return _render("wall_brief.html.j2", lines=_without_cautions(view["briefing"], view["board_title"]))
        if _says_calls(view):
            return _calls(view["poll"], self._now())
        if view["fork"] is None:
            drawing = self._panel("panel", "The panel", view, view["face"])
            asks = view["poll"] is not None and view["poll"]["open"]    # a question that is open stays in sight
            return _render("wall_only.html.j2", drawing=drawing) if view["face"] and not asks else drawing
        drawn = (("The room", view, self._panel("room", "The room's panel", view, view["face"])),
                 ("The grade sheet", view["fork"],
                  self._panel("sheet", "The grade sheet's panel", view["fork"], view["face"])))
        return _render("wall_fork.html.j2", flights=drawn)

    def _panel(self, name: str, title: str, flown: Mapping[str, Any], face: str | None) -> Markup:
        airframe = self._host.scenario.airplane.airframe
        if face in FACES:
            return single(name, face, flown["panel"], flown["covered"], airframe)
        return panel(name, f"{title} at {flown['clock']}", flown["panel"], flown["covered"], (), airframe)


def _says_calls(view: Mapping[str, Any]) -> bool:
    """Say whether calls fill the wall: they are shown, and no face was asked for."""
    return view["poll"] is not None and bool(view["poll"]["words"]) and view["face"] is None


def _calls(poll: Mapping[str, Any], now_s: float) -> Markup:
    """Return the calls that were typed; more than can be read from the back row come in turns."""
    calls = poll["words"]
    turns = -(-len(calls) // MOST_CALLS)
    first = int(now_s // TURN_S) % turns * MOST_CALLS
    return _render("wall_calls.html.j2", question=poll["question"], discuss=poll["discuss"], first=first + 1,
                   calls=calls[first:first + MOST_CALLS], total=len(calls))


def _learned(found: Results) -> Markup:
    return _render("wall_learned.html.j2", found=found, knowing=[knowing_words(each) for each in found.knowing],
                   shifts=[shift_words(each) for each in found.shifts],
                   partings=[summary(each) for each in found.partings],
                   shares={each.item: percent(each.share) for each in found.decisions if each.share is not None})


def _bars(poll: Mapping[str, Any] | None) -> list[dict[str, Any]]:
    """Return the answers of a poll with how many gave each, once that is shown; `share` is in percent of all."""
    if poll is None or not poll["answers"]:
        return []
    counts = poll["counts"]
    total = sum(counts.values()) if counts else 0
    return [{"key": each["key"].upper(), "says": each["says"],
             "count": None if counts is None else counts[each["key"]],
             "share": round(100 * counts[each["key"]] / total) if counts and total else 0}
            for each in poll["answers"]]


def _without_cautions(lines: list[str], title: str) -> list[str]:
    """Return the lines of the briefing but those that the wall shows all evening, its title among them."""
    return [each for each in lines if each and each not in CAUTIONS and each != title]


def _told(log: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [each for each in log if each["kind"] not in ("radio", "you", "others", "typed")][-_TOLD:]


def _short(url: str) -> str:
    """Return an address as people type it, without its scheme and the evening's number, which stands beside it."""
    return urlsplit(url).netloc


def _render(name: str, /, **values: object) -> Markup:
    return Markup(environment().get_template(name).render(values))  # noqa: S704 - our templates, which escape
