"""Pages as a reader of HTML reads them: strictly, and every word of them."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree

VOID = {"meta", "link", "br", "img", "hr", "input"}


class Page(HTMLParser):
    """What a page holds: its elements in order with their attributes, and all its words."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open
        assert self.open.pop() == tag, f"</{tag}> closes another element"

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in ("style", "script"):
            self.words.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]

    @property
    def said(self) -> str:
        return " ".join(" ".join(self.words).split())


def drawings(text: str) -> list[ElementTree.Element]:
    """The drawings on a page, each read as strictly as XML is."""
    return [ElementTree.fromstring(each) for each in re.findall(r"<svg.*?</svg>", text, re.DOTALL)]  # noqa: S314 - ours
