"""A story's map in words: how much is proven, shown and unknown, and the whole of it line by line."""

from __future__ import annotations

from collections.abc import Iterator

from drill.check.story_map import Close, Edge, Known, Stage, StoryMap
from drill.paper.map_boxes import shares_words


def summary(story: StoryMap) -> list[str]:
    """Return in sentences how much is proven, shown and unknown."""
    edges = list(story.edges)
    said = [f"{_counted(len(story.stages), 'phase')}, {_counted(len(edges), 'branch', 'branches')}, "
            f"{_counted(len(story.closes), 'ending')}."]
    never = _named(story, "never")
    if not story.complete:
        said.append("The story has too many states to look at all of them: nothing is proven to be out of reach.")
    else:
        said.append("Proven to be in no flight: " + (", ".join(never) if never else "none of them") + ".")
    if story.witnessed:
        said.append(f"Witness flights: {story.witnessed}.")
    if story.flown is not None:
        said.append(f"Simulated pilots: {story.flown.setup}.")
    if story.looked:
        shown, open_ = _named(story, "shown"), _named(story, "possible")
        said.append(f"Shown by flights: {len(shown)} of {len(shown) + len(open_)}.")
        said.append("Not flown, though the story allows it: " + (", ".join(open_) if open_ else "nothing") + ".")
    else:
        said.append("Of the rest it is not known whether an airplane can come to it: no flights were given.")
    return said


def _named(story: StoryMap, known: Known) -> list[str]:
    return [*(f"phase “{each.name}”" for each in story.stages if each.known == known),
            *(f"branch {each.number} of “{each.phase}”" for each in story.edges if each.known == known),
            *(f"ending “{each.name}”" for each in story.closes if each.known == known)]


def told_in_words(story: StoryMap) -> Iterator[str]:
    """Yield the map line by line; what belongs to something is moved in by two columns a step."""
    yield f"{story.board_title}: {story.title}"
    yield from summary(story)
    yield ""
    yield f"Begins in phase “{story.start}”."
    for each in (*story.failures, *story.events):
        yield f"  {each.changes}, {each.when}{', never in any flight' if each.known == 'never' else ''}"
    for stage in story.stages:
        yield ""
        yield _stage(stage, story)
        if stage.enters:
            yield f"  on entering: {stage.enters}"
        for cue in stage.cues:
            yield f"  cue: {cue.changes}, {cue.when}{', never in any flight' if cue.known == 'never' else ''}"
        for edge in stage.edges:
            yield from _edge(edge, story)
    yield ""
    yield "Endings"
    for close in story.closes:
        yield _close(close, story)
    if story.flights:
        yield ""
        yield "Witness flights"
        yield from (f"  {place}. {each}" for place, each in enumerate(story.flights, 1))


def _stage(stage: Stage, story: StoryMap) -> str:
    return _with(f"Phase “{stage.name}”, line {stage.line}", _about(stage, story))


def _edge(edge: Edge, story: StoryMap) -> Iterator[str]:
    hold = f", for {edge.hold}" if edge.hold else ""
    to = f"ending “{edge.to}”" if edge.ends else f"phase “{edge.to}”"
    changes = f", then {edge.changes}" if edge.changes else ""
    yield f"  {edge.number}. when {edge.when}{hold}: {to}{changes}"
    about = _about(edge, story)
    if about:
        yield f"     {about}"


def _close(close: Close, story: StoryMap) -> str:
    anywhere = ", from any phase" if close.limit else ""
    return "  " + _with(f"“{close.name}”: {close.outcome}{anywhere}", _about(close, story))


def _about(each: Stage | Edge | Close, story: StoryMap) -> str:
    known = f"never: {each.why}" if each.known == "never" else (
        "" if not story.looked else f"flown: {each.why}" if each.known == "shown" else "not flown")
    return "; ".join(filter(None, (known, shares_words(each.shares, story.flown))))


def _with(words: str, more: str) -> str:
    return f"{words}; {more}" if more else words


def _counted(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or f'{one}s'}"
