"""The instructor's guide: every block of YAML in it is run, and it speaks of the whole vocabulary."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from check.fragments import WHOLE, completed
from markdown_it import MarkdownIt

from drill.check.checking import check_text
from drill.scenario.acts import VERBS
from drill.scenario.document import SCENARIO
from drill.scenario.loading import airplanes_beside
from drill.scenario.mappings import Keys
from drill.scenario.model import ASKS, INSTEAD_OF, OUTCOMES, PARTS
from drill.scenario.names import ASSISTANCE, EQUIPMENT, INSTRUMENTS, REFERENCES, SWITCHES, TOLD, all_words
from drill.scenario.quantities import QUANTITIES, STATES
from drill.scenario.shelf import procedures
from drill.scenario.words import PLANS

GUIDE = procedures() / "README.md"
TEXT = GUIDE.read_text(encoding="utf-8")
BLOCKS = [
    (token.map[0] + 1 if token.map else 0, token.content)
    for token in MarkdownIt().parse(TEXT) if token.type == "fence" and token.info == "yaml"
]
BESIDE = airplanes_beside(WHOLE)


def test_the_guide_has_a_whole_scenario_many_pieces_and_some_that_are_wrong() -> None:
    assert sum(block.startswith("drill: 1") for _, block in BLOCKS) >= 1
    assert sum(block.startswith("# not so: ") for _, block in BLOCKS) >= 4
    assert len(BLOCKS) >= 18


@pytest.mark.parametrize(("line", "block"), BLOCKS, ids=[f"line {line}" for line, _ in BLOCKS])
def test_every_block_is_sound_or_has_the_fault_that_it_shows(line: int, block: str) -> None:
    text = block if block.startswith("drill: 1") else completed(block)[0]
    problems = check_text(text, "evening-flight.yaml", BESIDE).problems
    wrong = re.match(r"# not so: ([\w-]+)\n", block)
    if wrong:
        assert wrong[1] in {each.rule for each in problems}
        assert all(each.level == "warning" for each in problems)
    else:
        assert problems == (), [f"{each} [{each.rule}]" for each in problems]


def keys_of(shape: object) -> Iterator[str]:
    if isinstance(shape, Keys):
        for key in shape.keys:
            yield key.name
            yield from keys_of(key.shape)
    elif hasattr(shape, "shape"):
        yield from keys_of(shape.shape)


@pytest.mark.parametrize("word", sorted({
    *keys_of(SCENARIO), *VERBS, *STATES, *(each.name for each in QUANTITIES), *PLANS, *ASKS, *INSTEAD_OF[:1], *OUTCOMES,
    *PARTS, *all_words((*EQUIPMENT, *INSTRUMENTS, *REFERENCES, *ASSISTANCE, *TOLD, *SWITCHES)),
}))
def test_the_guide_speaks_of_every_word_of_the_vocabulary(word: str) -> None:
    assert re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", " ".join(TEXT.split()))


def test_every_command_of_the_guide_is_one() -> None:
    from drill.cli import parser

    for said in re.findall(r"^    drill (.+?)(?:  +#.*)?$", TEXT, re.MULTILINE):
        arguments = [each.strip('"') for each in re.findall(r'"[^"]+"|\S+', said.split(" > ")[0])]
        assert parser().parse_args(arguments).run


def test_links_of_the_guide_lead_somewhere() -> None:
    headings = {re.sub(r"[^\w -]", "", line.lstrip("# ").lower()).replace(" ", "-")
                for line in TEXT.splitlines() if line.startswith("#")}
    for target in re.findall(r"\]\(([^)]+)\)", TEXT):
        assert target[1:] in headings if target.startswith("#") else (GUIDE.parent / target).is_file(), target


def test_lines_of_the_guide_are_no_longer_than_a_page_is_wide() -> None:
    prose = [line for line in TEXT.splitlines() if not line.startswith(("|", " "))]
    assert max(map(len, prose)) <= 160
    assert Path(GUIDE).name == "README.md"
