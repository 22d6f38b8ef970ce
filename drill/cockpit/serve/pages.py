"""The pages of the served cockpit, made from the templates in `web/`; nothing in them comes from outside."""

from __future__ import annotations

from functools import cache
from html import escape
from pathlib import Path
from string import Template

from aiohttp import web

from drill.cautions import CAUTIONS

WEB = Path(__file__).parent / "web"


def cockpit_page(socket: str) -> web.Response:
    """Return the page whose terminal speaks with the WebSocket at the address `socket`."""
    return _page(200, "cockpit.html", socket=socket)


def words_page(status: int, title: str, words: str, *, to: str = "") -> web.Response:
    """Return a page that says something; with `to` it goes on there by itself."""
    onward = f'<meta http-equiv="refresh" content="0;url={escape(to)}">' if to else ""
    link = f'<p><a href="{escape(to)}">Go on</a></p>' if to else ""
    return _page(status, "words.html", {"onward": onward, "link": link}, title=title, words=words)


def _page(status: int, template: str, markup: dict[str, str] | None = None, **words: str) -> web.Response:
    filled = {name: escape(each) for name, each in words.items()} | (markup or {})
    cautions = "".join(f"<p>{escape(each)}</p>" for each in CAUTIONS)
    text = _template(template).substitute(filled, cautions=cautions)
    return web.Response(status=status, text=text, content_type="text/html")


@cache
def _template(name: str) -> Template:
    return Template((WEB / name).read_text(encoding="utf-8"))
