"""Passes over a scenario as read: do its names exist, does its story lead anywhere, do its examples do it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from drill.airplane.failures import CATALOGUE
from drill.clean import clean_line
from drill.language import read
from drill.language.meaning import Action, Context, Look, Told, Transmit, Unclear
from drill.scenario.fitted import switches_of
from drill.scenario.model import LIMIT_ENDINGS, ActTree, Airplane, Item, Scenario
from drill.scenario.names import all_words, words_of
from drill.scenario.nearest import hint, listed, nearest
from drill.scenario.places import Listing, Node, Text
from drill.scenario.places import Mapping as Keyed
from drill.scenario.problems import Place, Problem
from drill.scenario.reading import Entry, NameKind, Reading, Reference
from drill.scenario.story import tree_patterns

LEAST_USES = 2
"""A name that so many places want is right there, and wrong where it is defined."""
_SECTIONS: Mapping[NameKind, str] = {"phase": "phases", "ending": "endings", "failure": "failures", "field": "fields"}


def check_references(root: Entry, tree: Node, airplane: Airplane | None, to: Reading) -> None:
    """Note every name that nothing defines. A section that could not be read has its names in `tree` all the same."""
    known = _known_names(tree, airplane, to)
    misspelt = _misspelt_where_defined(tree, known, to)
    for reference in to.references:
        names = known.get(reference.kind)
        if names is None or reference.name in names or (reference.kind, reference.name) in misspelt:
            continue
        rule = f"unknown-{reference.kind}"
        to.wrong(
            reference.place,
            rule,
            f"there is no {_called(reference.kind)} `{reference.name[:60]}`",
            hint(reference.name, names),
            reference.remedy or _crossed(reference, known) or _remedy(reference.kind),
        )
    for failure in (root.get("failures") or {}).values():
        if isinstance(failure, Entry):
            _check_how(failure, to)


def _misspelt_where_defined(
    tree: Node, known: Mapping[NameKind, Collection[str]], to: Reading,
) -> set[tuple[NameKind, str]]:
    """Note names that nothing uses and that are nearly one which several places want; return those wanted."""
    found = set[tuple[NameKind, str]]()
    for kind, section in _SECTIONS.items():
        wanted = [each for each in to.references if each.kind == kind]
        used = {each.name for each in wanted}
        for name, place in _keys_below(tree, section) or ():
            near = nearest(name, used - set(known.get(kind, ())))
            lines = sorted({each.place.line for each in wanted if each.name == near})
            if name in used or near is None or len(lines) < LEAST_USES or (kind, near) in found:
                continue
            found.add((kind, near))
            to.wrong(place, f"unknown-{kind}", f"nothing uses the {_called(kind)} `{name[:60]}`",
                     f"`{near[:60]}` is wanted in lines {', '.join(map(str, lines[:-1]))} and {lines[-1]}",
                     "correct the name here, or add the other one")
    return found


def _crossed(reference: Reference, known: Mapping[NameKind, Collection[str]]) -> str:
    """Return what to do about the name of an ending where a phase is wanted, or the other way round; else nothing."""
    if reference.kind == "phase" and reference.name in known.get("ending", ()):
        return f"`{reference.name}` is an ending: write `end: {reference.name}`"
    if reference.kind == "ending" and reference.name in known.get("phase", ()):
        return f"`{reference.name}` is a phase: write `go: {reference.name}`"
    return ""


def _called(kind: NameKind) -> str:
    return {"part": "part that can fail called", "item": "item of the grade sheet called"}.get(kind, kind)


def _remedy(kind: NameKind) -> str:
    return {
        "part": "write a part of the catalogue",
        "checklist": "write a checklist of the airplane",
        "switch": "write a switch of the airplane",
        "flag": "raise it with `note`, or correct the name",
    }.get(kind, f"correct the name, or add the {kind}")


def _known_names(tree: Node, airplane: Airplane | None, to: Reading) -> dict[NameKind, Collection[str]]:
    known: dict[NameKind, Collection[str]] = {"part": {part for part, _ in CATALOGUE}, "flag": to.raised}
    for kind, section in _SECTIONS.items():
        names = _keys_below(tree, section)
        if names is not None:
            known[kind] = [name for name, _ in names]
    if "ending" in known:
        known["ending"] = {*known["ending"], *LIMIT_ENDINGS}
    items = _item_names(tree)
    if items is not None:
        known["item"] = items
    if airplane is not None:
        known["checklist"] = [name for name, _ in airplane.checklists]
        known["switch"] = all_words(switches_of(airplane.airframe))
    return known


def _keys_below(tree: Node, section: str) -> list[tuple[str, Place]] | None:
    """Return the names that a section defines, and where: none if it is absent, None if that cannot be told."""
    if not isinstance(tree, Keyed):
        return None
    for key, value in tree.entries:
        if key.value == section:
            return [(name.value, name.place) for name, _ in value.entries] if isinstance(value, Keyed) else None
    misspelt = nearest(section, [key.value for key, _ in tree.entries])
    return [] if misspelt is None or misspelt == section else None


def _item_names(tree: Node) -> list[str] | None:
    """Return the names of the grade sheet's items, or None if there is one that cannot be told."""
    sheet = (
        next((value for key, value in tree.entries if key.value == "grade sheet"), None)
        if isinstance(tree, Keyed)
        else None
    )
    if not isinstance(sheet, Listing):
        return None
    names: list[str] = []
    for item in sheet.items:
        name = (
            next((value for key, value in item.entries if key.value == "item"), None)
            if isinstance(item, Keyed)
            else None
        )
        if not isinstance(name, Text):
            return None
        names.append(clean_line(name.value))
    return names


def _check_how(failure: Entry, to: Reading) -> None:
    part, how = str(failure.get("part", "")).lower(), str(failure.get("how", "")).lower()
    ways = [each for known, each in CATALOGUE if known == part]
    if ways and how and how not in ways:
        to.wrong(
            failure.at("how"),
            "unknown-how",
            f"{'an' if part[:1] in 'aeiou' else 'a'} {part} does not fail in the way `{how[:60]}`",
            f"known are {listed(ways)}",
            "write one of the known ways",
        )


def check_items(root: Entry, to: Reading) -> None:
    """Note grade-sheet items that share a name, and items that wait for one another."""
    first: dict[str, Entry] = {}
    for item in root.get("grade sheet") or ():
        name = item.get("item")
        if name is None:
            continue
        if name in first:
            to.wrong(
                item.at("item"),
                "duplicate-item",
                f"`{name}` is the name of an item in line {first[name].place.line} too",
                "",
                "give each item a name of its own",
            )
        first.setdefault(name, item)
    told: set[str] = set()
    for name, item in first.items():
        behind, seen = item.get("after"), {name}
        while behind in first and behind not in seen:
            seen.add(behind)
            behind = first[behind].get("after")
        if behind == name and name not in told:
            told |= seen
            to.wrong(
                item.at("after"), "items-in-a-circle", f"`{name}` comes after itself", "", "break the circle of `after`"
            )


def check_flow(root: Entry, to: Reading) -> None:
    """Note phases that lead nowhere or are never reached, and a story that has no end of its own."""
    phases = {name: each for name, each in (root.get("phases") or {}).items() if isinstance(each, Entry)}
    start = root.get("start").get("phase") if isinstance(root.get("start"), Entry) else None
    for name, phase in phases.items():
        if "branches" not in phase.values and not phase.spoiled:
            to.wrong(
                phase.place,
                "phase-leads-nowhere",
                f"phase `{name}` has no branches",
                "",
                "add `branches` with at least one `go` or `end`",
            )
    hidden = any(phase.spoiled or "branches" not in phase.values for phase in phases.values())
    hidden = hidden or "phases" in root.spoiled or any(
        problem.rule in ("unknown-phase", "unknown-ending") for problem in to.problems)
    if hidden or not phases or start not in phases:
        return
    reached, open_ = {start}, [start]
    ends = False
    while open_:
        for branch in phases[open_.pop()].get("branches", ()):
            ends = ends or branch.get("end") is not None
            go = branch.get("go")
            if go is not None and go not in reached:
                reached.add(go)
                open_.append(go)
    for name, phase in phases.items():
        if name not in reached:
            to.problems.append(
                Problem(
                    phase.place,
                    "phase-never-reached",
                    f"phase `{name}` is never reached",
                    "",
                    "add a `go` to it, or delete it",
                    "warning",
                )
            )
    if not ends:
        to.wrong(
            root.at("phases"),
            "no-ending",
            "no branch that can be reached ends the flight",
            "",
            "add an `end` to at least one branch",
        )


def check_examples(scenario: Scenario, root: Entry) -> list[Problem]:
    """Return a problem for each item whose example is not read as something that its `do` asks for.

    `root` is what the scenario was built from: it knows where the examples stand.
    """
    context = scenario.context
    return [
        Problem(
            written.at("example"),
            "example-does-not-do-it",
            f"the example of `{item.name}` (`{item.example}`) is read as {said}",
            f"wanted is {_wanted(item.do)}",
            "write an example that does it, or correct `do`",
        )
        for item, written in zip(scenario.grade_sheet, root.get("grade sheet"), strict=True)
        if item.do is not None and item.example is not None
        for said in [_misread(item, context)]
        if said is not None
    ]


def _misread(item: Item, context: Context) -> str | None:
    """Return what the example is read as, or None if it does what the item asks for."""
    assert item.do is not None and item.example is not None  # noqa: S101 PT018 - the caller has looked
    actions = read(item.example, context)
    told, done = Told(), set[str]()
    for action in actions:
        if isinstance(action, Transmit):   # where `answer` is wanted, the words follow a line of ATC
            action = replace(action, meaning=replace(action.meaning, answers=True))
            told = told.with_call(action.meaning)
        done |= {pattern.key for pattern in tree_patterns(item.do) if pattern.matches(action, told)}
    if tree_done(item.do, done):
        return None
    return ", then ".join(_in_words(action) for action in actions) or "nothing"


def _in_words(action: Action) -> str:
    """Return an action as an author would write it, e.g. `look at the suction gauge`."""
    labels = action.as_labels()
    match action:
        case Look(at):
            return f"look at the {words_of(at)}" if at != "outside" else "look outside"
        case Transmit():
            return "a call"
        case Unclear():
            return "nothing that is understood"
        case _:
            given = [value for key, value in labels.items() if key != "action" and value not in (None, "", [], False)]
            said = (" and ".join(map(str, each)) if isinstance(each, list) else f"{each:g}" if isinstance(each, float)
                    else str(each) for each in given)
            return words_of(" ".join([action.kind, *said]))


def tree_done(tree: ActTree, done: Collection[str]) -> bool:
    """Say whether an act tree is done when the patterns with the keys `done` are."""
    if tree.pattern is not None:
        return tree.pattern.key in done
    each = (tree_done(part, done) for part in tree.parts)
    return all(each) if tree.how == "all" else any(each)


def _wanted(tree: ActTree | None) -> str:
    if tree is None:
        return "nothing"
    if tree.pattern is not None:
        return f"`{tree.pattern.key}`"
    return f" {'and' if tree.how == 'all' else 'or'} ".join(_wanted(part) for part in tree.parts)
