"""Small stories to explore: the sound scenario with other phases, endings, events, failures or items."""

from __future__ import annotations

from scenario.documents import TEXT, loaded

from drill.check.exploring import findings
from drill.scenario import Scenario


def story(
    phases: str, *, endings: str = "", sheet: str = "", failures: str = "", events: str = "", top: str = "",
) -> Scenario:
    """The sound scenario with these sections, each written at the left margin; what is empty stays as it was."""
    text = TEXT
    for name, lines in (("failures", failures), ("phases", phases), ("endings", endings), ("grade sheet", sheet)):
        if lines:
            text = _with(text, name, lines)
    if events:
        text = text.replace("phases:\n", f"events:\n{_indented(events)}phases:\n", 1)
    return loaded(top + text)


def _indented(lines: str) -> str:
    return "".join(f"  {line}\n" for line in lines.strip("\n").split("\n"))


def _with(text: str, section: str, lines: str) -> str:
    head, rest = text.split(f"{section}:\n", 1)
    after = [place for place, line in enumerate(rest.split("\n")) if line and not line.startswith(" ")]
    tail = "\n".join(rest.split("\n")[after[0]:]) if after else ""
    return f"{head}{section}:\n{_indented(lines)}{tail}"


def found(scenario: Scenario) -> list[tuple[str, str]]:
    """What exploration finds: the kind, and the line of the document that it points at."""
    lines = scenario.text.split("\n")
    return [(each.rule, lines[each.place.line - 1].strip()) for each in findings(scenario)]
