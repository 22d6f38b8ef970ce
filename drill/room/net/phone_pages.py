"""The phone's pages, made whole here: what a phone is sent when things change is a piece of the same page.

So a phone with an old browser, without script or without sockets gets the same as any other, and everything that people
typed is escaped in one place. Pure: from a view to text.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from drill.cautions import CAUTIONS
from drill.room.net.limits import LONGEST_NAME, LONGEST_TABLE, LONGEST_WORDS
from drill.room.usual_polls import SURE_WORDS as SURE_BY_LEVEL

PAGES = Path(__file__).parent / "pages"
SURE_WORDS = tuple(each.capitalize() for _, each in sorted(SURE_BY_LEVEL.items()))
AGAIN_S = 5
"""Without script a page that waits looks again by itself after so long; one with an empty form never does."""

View = Mapping[str, Any]
_NO_VOTE: View = {"answer": "", "words": "", "sure": None}


@dataclass(frozen=True, slots=True)
class State:
    """What a phone's page holds now: `v` names it, `html` is its main part, `say` what is read aloud when it comes.

    Two states with the same `v` differ at most in the phone's own vote.
    """

    v: str
    html: Markup
    say: str

    def news(self) -> str:
        """Return it as a page's script takes it."""
        return json.dumps({"v": self.v, "html": str(self.html), "say": self.say}, ensure_ascii=False)


def state_of(view: View, form: str) -> State:
    """Return the state of a joined phone from its view; `form` is what its forms carry."""
    you, poll = view["you"], view["poll"]
    known = json.dumps([view["stage"], view["removed"], you, poll and {**poll, "yours": None}, view["say"]])
    v = blake2b(known.encode(), digest_size=9).hexdigest()
    if you is None:
        return State(v, Markup(""), view["say"])
    html = _render(
        "state.html.j2", poll=poll, yours=(poll and poll["yours"]) or _NO_VOTE, form=form, sure_words=SURE_WORDS,
        name=you["name"], table=you["table"], hidden=you["hidden"], longest_words=LONGEST_WORDS,
        rename="" if poll else join_form(form, name=you["name"], table=you["table"], joined=True))
    return State(v, html, view["say"])


def join_form(form: str, *, number: str = "", name: str = "", table: str = "", joined: bool = False) -> Markup:
    """Return the form by which a phone joins or, once `joined`, changes its name; `number` is asked for if unknown."""
    return _render("join.html.j2", form=form, number_known=joined or bool(number), number_given=number, name=name,
                   table=table, joined=joined, longest_name=LONGEST_NAME, longest_table=LONGEST_TABLE)


def join_page(number: str, form: Markup, *, said: str = "") -> str:
    """Return the page on which a phone joins the evening `number` ("" if it has not said which)."""
    return _page(number, "Join the room.", form, said=said)


def state_page(number: str, view: View, state: State, *, said: str = "") -> str:
    """Return a joined phone's page."""
    poll = view["poll"]
    if not said and poll and poll["yours"]:
        yours = poll["yours"]
        said = counted(next((each["says"] for each in poll["answers"] if each["key"] == yours["answer"]),
                            yours["words"]), yours["sure"])
    again_s = 0 if poll and not poll["yours"] else AGAIN_S
    return _page(number, state.say, state.html, said=said, v=state.v, again_s=again_s, joined=not view["removed"])


def words_page(title: str, words: str, to: str = "") -> str:
    """Return a page that says something, with a link onward."""
    link = Markup('<p><a href="{}">Go on</a></p>').format(to) if to else Markup("")
    return _page("", title, Markup("<p>{}</p>{}").format(words, link))


def counted(said: str, sure: int | None) -> str:
    """Return what a phone is told of its vote that counts: what it `said`, and how sure (1 to 4)."""
    how = f" ({SURE_WORDS[sure - 1].lower()})" if sure else ""
    return f"Counted: {said}{how}. You can change it until the poll closes."


def _page(number: str, say: str, main: Markup, *, said: str = "", v: str = "", again_s: int = 0,
          joined: bool = False) -> str:
    return _render("phone.html.j2", number=number, say=say, main=main, said=said, v=v, again_s=again_s, joined=joined,
                   cautions=CAUTIONS)


def _render(name: str, /, **values: object) -> Markup:
    return Markup(environment().get_template(name).render(values))  # noqa: S704 - our templates, which escape


@cache
def environment() -> Environment:
    """Return the templates of the room's pages; every text in them is escaped."""
    return Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
                       loader=FileSystemLoader(PAGES), auto_reload=False)
