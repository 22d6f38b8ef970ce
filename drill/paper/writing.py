"""A debrief as the text of a file, in each of its kinds."""

from __future__ import annotations

from drill.grading import debrief_lines
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
