"""A debrief in Markdown (CommonMark: headings, lists and quotes only). Every word of it is escaped.

What people or records supply can be no heading, link, picture, code, HTML or entity, nor what some readers make of bare
addresses: it comes out as the letters that it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from drill.clean import clean
from drill.flight.readings import clock_words as clock
from drill.grading import telling
from drill.grading.debrief import CallHeard, Debrief
from drill.grading.published_words import NOTE, published_lines
from drill.grading.segments import segments, without_words
from drill.grading.series_words import series_words
from drill.paper.document import Document

_MARKUP = re.compile(r"([\\`*_{}\[\]<>&|~#$^=])")
_AT_THE_START = re.compile(r"^(\s*)([-+:]|\d{1,9}(?=[.)]))")
_ADDRESS = re.compile(r"(?i)(https?|ftp|mailto|xmpp)(:)|(www)(\.)|(@)")


def escaped(text: str) -> str:
    """Return `text` on one line, in which every character stands for itself."""
    line = " ".join(clean(text).split())
    line = _MARKUP.sub(r"\\\1", line)
    line = _ADDRESS.sub(lambda found: f"{found[1] or found[3] or ''}\\{found[2] or found[4] or found[5]}", line)
    return _AT_THE_START.sub(lambda found: f"{found[1]}\\{found[2]}" if not found[2].isdigit()
                             else f"{found[1]}{found[2]}\\", line)


def as_markdown(document: Document) -> str:
    """Return `document` as Markdown."""
    debrief = document.debrief
    blocks = [
        [f"# Debrief: {escaped(debrief.title)}"], *_cautions(document),
        [escaped(f"{debrief.board_title}. {telling.flight_words(debrief)}")],
        *([[escaped(document.flown_again)]] if document.flown_again else []),
        *([[f"Aim: {escaped(debrief.aim)}"]] if debrief.aim else []),
        [f"**{escaped(telling.ending_words(debrief))}**"], *_score(debrief), *_answers(debrief), *_failed(debrief),
        *_entries("Unsafe acts (they hold the grade down)", telling.unsafe(debrief)),
        *_entries("What to work on (costs in points of 100)", telling.work(debrief)),
        *_entries("What went well", telling.well(debrief)),
        *_calls(debrief), *_plots(document), *_moments(document),
        *_entries("Not graded", telling.not_needed(debrief)), *_published(document), *_strayed(debrief),
        *_discuss(debrief),
        *_editions(document), *_cautions(document),
    ]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _heading(words: str) -> list[str]:
    return [f"## {words}"]


def _listed(items: Iterable[str]) -> list[str]:
    return [f"- {each}" for each in items]


def _cautions(document: Document) -> Iterator[list[str]]:
    for caution in (*document.debrief.cautions, document.nothing_logged):
        yield [f"> {escaped(caution)}"]


def _score(debrief: Debrief) -> Iterator[list[str]]:
    yield _heading("Score")
    yield [f"**Overall: {escaped(telling.score_words(debrief))}**"]
    yield _listed(f"{telling.PART_WORDS[part]}: {'nothing to grade' if score is None else f'{score:.0f}'}"
                  for part, score in telling.parts(debrief))


def _answers(debrief: Debrief) -> Iterator[list[str]]:
    if debrief.answers:
        yield _heading("What the pilot said before being told")
        yield _listed(f"{escaped(question)}\n  **{escaped(answer) or '(no answer)'}**"
                      for question, answer in debrief.answers)


def _failed(debrief: Debrief) -> Iterator[list[str]]:
    yield _heading("What failed")
    if not debrief.failures:
        yield [escaped(telling.nothing_failed(debrief))]
        return
    yield _listed(f"**{clock(story.began_s)} {escaped(story.part)}**: {escaped(telling.failure_words(story))}"
                  for story in debrief.failures)


def _entries(heading: str, entries: Iterable[telling.Entry]) -> Iterator[list[str]]:
    for number, (what, words) in enumerate(entries):
        if number == 0:
            yield _heading(heading)
        yield [f"### {escaped(what)}"]
        yield [escaped(words)]


def _calls(debrief: Debrief) -> Iterator[list[str]]:
    if debrief.calls:
        yield _heading("The calls, as ATC heard them")
    for call in debrief.calls:
        yield [f"### {clock(call.at_s)} {_marked(call)}"]
        heard = dict.fromkeys(piece.element for piece in call.heard)
        rows = [f"Heard: {escaped(', '.join(heard) or 'nothing')}"]
        if call.not_heard:
            rows.append(f"**Not heard by then: {escaped(', '.join(call.not_heard))}**")
        if call.unread:
            rows.append(f"Not understood: {escaped(', '.join(f'“{each}”' for each in call.unread))}")
        yield _listed(rows)


def _marked(call: CallHeard) -> str:
    """Return the call with the element of each stretch in brackets behind it."""
    said = []
    for segment in segments(call):
        label = f" [{'; '.join(segment.labels)}]" if segment.labels else ""
        mark = " [not understood]" if segment.state == "not understood" else ""
        said.append(f"{segment.words}{label}{mark}")
    unseen = [f"[{each}]" for each in without_words(call)]
    return escaped(f"“{''.join(said)}”{' ' if unseen else ''}{' '.join(unseen)}")


def _plots(document: Document) -> Iterator[list[str]]:
    if document.reconstruction.series:
        yield _heading("Shown against true")
        yield _listed(f"{each.name.capitalize()}: {escaped(series_words(each))}"
                      for each in document.reconstruction.series)


def _moments(document: Document) -> Iterator[list[str]]:
    yield _heading("The flight, moment by moment")
    yield _listed(f"{'never' if each.t is None else clock(each.t)}: {escaped(each.title)}"
                  for each in document.reconstruction.moments)


def _published(document: Document) -> Iterator[list[str]]:
    lines = published_lines(document.debrief)
    if lines:
        yield _heading("On the published scales")
        yield [escaped(NOTE)]
        yield _listed(escaped(each) for each in lines)


def _strayed(debrief: Debrief) -> Iterator[list[str]]:
    strayed = telling.strayed(debrief)
    if strayed:
        yield _heading("How far it strayed")
        yield [escaped(telling.STRAYED)]
        yield _listed(escaped(each) for each in strayed)


def _discuss(debrief: Debrief) -> Iterator[list[str]]:
    if debrief.discuss:
        yield _heading("To talk about")
        yield [escaped(debrief.discuss)]


def _editions(document: Document) -> Iterator[list[str]]:
    editions = document.told_by
    yield _heading("Editions")
    yield _listed([
        f"Record {editions.record}, model {escaped(editions.model)}, scenario format {editions.scenario_format}, "
        f"grader {editions.grader}",
        f"Flown with {escaped(editions.flown_with)}; debriefed with {escaped(editions.debriefed_with)}",
        *(f"{escaped(each.code)}: {escaped(each.title)}; {escaped(each.edition)}" for each in editions.cited),
    ])
    yield [escaped(editions.in_force)]
