"""A debrief, or flights side by side, as the text of a file, in each of its kinds."""

from __future__ import annotations

from textwrap import wrap

from drill.grading import debrief_lines
from drill.grading.beside_words import WIDTH, side_by_side_json, side_by_side_lines
from drill.paper.beside_paper import BesidePaper
from drill.paper.document import Paper
from drill.paper.kinds import Kind


def text_of(paper: Paper, kind: Kind) -> str:
    """Return `paper` as the text of a file of this kind; what the kind needs is loaded when it is asked for."""
    if kind == "html":
        from drill.paper.page import as_html

        return as_html(paper)
    if kind == "md":
        from drill.paper.markdown import as_markdown

        return as_markdown(paper.document)
    if kind == "json":
        from drill.paper.as_json import as_json

        return as_json(paper.document) + "\n"
    return "\n".join(debrief_lines(paper.document.debrief)) + "\n"


def beside_text_of(paper: BesidePaper, kind: Kind) -> str:
    """Return flights side by side as the text of a file of this kind."""
    if kind == "html":
        from drill.paper.beside_page import beside_as_html

        return beside_as_html(paper)
    if kind == "md":
        from drill.paper.beside_markdown import beside_as_markdown

        return beside_as_markdown(paper)
    if kind == "json":
        return side_by_side_json(paper.them) + "\n"
    cautions = [line for each in paper.cautions for line in wrap(each, WIDTH)]
    return "\n".join([*cautions, "", *side_by_side_lines(paper.them)]) + "\n"
