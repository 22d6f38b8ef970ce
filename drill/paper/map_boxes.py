"""What stands in the boxes of a map, line by line, and how large they are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from drill.check.condition_words import GLUE
from drill.check.story_map import Close, Edge, Flown, Happening, Known, Shares, Stage, StoryMap
from drill.paper.lettering import width_of, wrapped

STAGE_WIDTH = 226.0
CLOSE_WIDTH = 150.0
BEGIN_WIDTH = 180.0
NAME, TEXT, NOTE = 16.0, 11.5, 10.5      # sizes of letters
LINE, NAME_LINE = 14.5, 19.0             # from one line to the next
PAD = 7.0
IN = 10.0                                # room beside words inside a rounded frame
NUMBER = 24.0                            # room for a branch's number, left of its words
BEGIN = "begin"
KNOWN_WORDS = {"never": "no flight, proven", "shown": "flown", "possible": "possible, not flown"}


@dataclass(frozen=True, slots=True)
class Written:
    """A line of words: from where (from the row's left), how it looks."""

    text: str
    class_: str
    x: float = PAD

    @property
    def height(self) -> float:
        """How much room it takes from top to bottom."""
        return NAME_LINE if self.class_ == "map-name" else LINE


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a box: its lines; a branch's has an edge."""

    lines: tuple[Written, ...]
    class_: str = ""
    edge: Edge | None = None
    pad: float = PAD                     # above and below its lines together

    @property
    def height(self) -> float:
        """How high it is."""
        return sum(each.height for each in self.lines) + self.pad


@dataclass(frozen=True, slots=True)
class Filled:
    """A box with its rows. `says`: what it is, for a title."""

    name: str
    kind: str                            # begin, stage, close
    width: float
    rows: tuple[Row, ...]
    known: Known
    says: str
    good: bool = True


def stage_id(name: str) -> str:
    """Return the name of a phase's box."""
    return f"stage {name}"


def close_id(name: str) -> str:
    """Return the name of an ending's box."""
    return f"close {name}"


def filled(story: StoryMap) -> list[Filled]:
    """Return every box, the first one first; endings that every phase can come to are not among them."""
    boxes = [_begin(story)]
    boxes += [_stage(stage, story) for stage in story.stages]
    boxes += [_close(close, story) for close in story.closes if not close.limit]
    return boxes


def limits_box(story: StoryMap) -> Filled | None:
    """Return the box of the endings that every phase can come to."""
    limits = [close for close in story.closes if close.limit]
    if not limits:
        return None
    rows = [Row((Written("From any phase", "map-name"),), "head")]
    for close in limits:
        lines = [Written(each, "map-text") for each in wrapped(f"{close.name}: {close.outcome}",
                                                               CLOSE_WIDTH - 2 * PAD, TEXT)]
        lines += _notes(_said_known(close.known, close.why, story), CLOSE_WIDTH, PAD)
        lines += _notes(shares_words(close.shares, story.flown), CLOSE_WIDTH, PAD)
        rows.append(Row(tuple(lines)))
    return Filled("limits", "close", CLOSE_WIDTH, tuple(rows), "possible", "Endings that a flight can come to from any "
                  "phase", good=False)


def _begin(story: StoryMap) -> Filled:
    rows = [Row(tuple(Written(each, "map-name") for each in wrapped(story.board_title, BEGIN_WIDTH - 2 * PAD, NAME,
                                                                    bold=True)), "head")]
    for title, happenings in (("Fails by the clock", story.failures), ("In any phase", story.events)):
        for place, each in enumerate(happenings):
            lines = [Written(title, "map-label")] if place == 0 else []
            said = wrapped(_happening_words(each), BEGIN_WIDTH - 2 * PAD, TEXT)
            lines += [Written(line, "map-text") for line in said]
            rows.append(Row(tuple(lines)))
    if not story.failures:
        rows.append(Row((Written("Nothing fails by the clock", "map-text"),)))
    return Filled(BEGIN, "begin", BEGIN_WIDTH, tuple(rows), "possible", f"Beginning of {story.board_title}")


def _happening_words(each: Happening) -> str:
    never = ", never in any flight" if each.known == "never" else ""
    return f"{each.changes}, {each.when}{never}"


def _stage(stage: Stage, story: StoryMap) -> Filled:
    inside = STAGE_WIDTH - 2 * PAD
    head = [Written(each, "map-name") for each in wrapped(stage.name, inside, NAME, bold=True)]
    if stage.known == "never":
        head += _notes(f"never: {stage.why}", STAGE_WIDTH, PAD)
    head += _notes(shares_words(stage.shares, story.flown), STAGE_WIDTH, PAD)
    rows = [Row(tuple(head), "head")]
    happens = [f"On entering: {stage.enters}"] if stage.enters else []
    happens += [f"Cue {_happening_words(each)}" for each in stage.cues]
    rows += [Row(tuple(Written(line, "map-note") for line in wrapped(each, inside, NOTE)), "cue") for each in happens]
    rows += [_branch(edge, story) for edge in stage.edges]
    if not stage.edges:
        rows.append(Row((Written("no branch leads out", "map-note"),)))
    return Filled(stage_id(stage.name), "stage", STAGE_WIDTH, tuple(rows), stage.known, f"Phase {stage.name}")


def _branch(edge: Edge, story: StoryMap) -> Row:
    room = STAGE_WIDTH - NUMBER - PAD
    words = f"{edge.when}{f', for {edge.hold}' if edge.hold else ''}"
    lines = [Written(each, "map-text", NUMBER) for each in wrapped(words, room, TEXT)]
    to = f"→ {'ending ' if edge.ends else ''}{edge.to}"
    lines += [Written(each, "map-to", NUMBER) for each in wrapped(to, room, TEXT, bold=True)]
    if edge.changes:
        lines += _notes(f"then {edge.changes}", STAGE_WIDTH, NUMBER)
    lines += _notes(_said_known(edge.known, edge.why, story), STAGE_WIDTH, NUMBER)
    lines += _notes(shares_words(edge.shares, story.flown), STAGE_WIDTH, NUMBER)
    return Row(tuple(lines), f"row-{edge.known}", edge)


def _close(close: Close, story: StoryMap) -> Filled:
    inside = CLOSE_WIDTH - 2 * IN
    head = [Written(each, "map-name", IN) for each in wrapped(close.name, inside, NAME, bold=True)]
    head += [Written(each, "map-text", IN) for each in wrapped(f"Ending: {close.outcome}", inside, TEXT)]
    head += _notes(_said_known(close.known, close.why, story), CLOSE_WIDTH, IN)
    head += _notes(shares_words(close.shares, story.flown), CLOSE_WIDTH, IN)
    return Filled(close_id(close.name), "close", CLOSE_WIDTH, (Row(tuple(head), "head", pad=2 * PAD),), close.known,
                  f"Ending {close.name}: {close.outcome}", good=close.good)


def _said_known(known: Known, why: str, story: StoryMap) -> str:
    if known == "never":
        return f"never: {why}"
    if not story.looked:
        return ""
    return f"flown: {why}" if known == "shown" else KNOWN_WORDS[known]


def shares_words(shares: Shares | None, flown: Flown | None) -> str:
    """Return what part of the simulated pilots came here, skill by skill; "" where none were flown."""
    if shares is None or flown is None:
        return ""
    if not any(shares.values()):
        return "pilots: none"
    return "pilots: " + ", ".join(f"{skill} {percent(shares.get(skill, 0.0))}".replace(" ", GLUE)
                                  for skill in flown.skills)


def percent(share: float) -> str:
    """Return a share in percent; a small one is not told as none, nor a great one as all."""
    if 0.0 < share < 0.01:
        return "<1 %"
    if 0.99 < share < 1.0:
        return ">99 %"
    return f"{share * 100:.0f} %"


def _notes(words: str, width: float, x: float) -> list[Written]:
    return [Written(each, "map-note", x) for each in wrapped(words, width - x - PAD, NOTE)] if words else []


def texts(boxes: Sequence[Filled]) -> Iterator[tuple[Filled, Written]]:
    """Yield every line of words with its box."""
    for box in boxes:
        for row in box.rows:
            yield from ((box, line) for line in row.lines)


def fits(box: Filled, line: Written) -> bool:
    """Say whether a line is taken to fit into its box."""
    size = {"map-name": NAME, "map-text": TEXT, "map-to": TEXT}.get(line.class_, NOTE)
    return line.x + width_of(line.text, size, bold=line.class_ in ("map-name", "map-to")) <= box.width
