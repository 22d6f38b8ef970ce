"""The page of failures: made from the catalogue and the model, whole, and current."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from drill.airplane import CATALOGUE
from drill.airplane.catalogue_page import POWER, POWERED_BY, page
from drill.airplane.failure_flights import OFF, TURNING, fly, median
from drill.cautions import CAUTIONS
from drill.language.meaning import IN_SIGHT

WRITTEN = Path(__file__).parents[2] / "procedures" / "failures.md"
FIGURE = re.compile(r"^[+±-]?\d+(?:\.\d+)?$")


def cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip("|").split("|")]


def close(one: str, other: str) -> bool:
    """Whether two cells say the same but for what another machine's arithmetic may change."""
    if one == other:
        return True
    if not (FIGURE.match(one) and FIGURE.match(other)):
        return False
    first, second = (abs(float(each.strip("+±"))) for each in (one, other))
    return abs(first - second) <= max(0.05 * max(first, second), 50.0 if max(first, second) > 50.0 else 2.0)


def test_the_catalogue_has_at_least_25_failures() -> None:
    assert len(CATALOGUE) >= 25


def test_every_power_group_and_every_instrument_that_reveals_has_its_words() -> None:
    assert {failure.power_group for failure in CATALOGUE.values()} <= set(POWER)
    assert set(IN_SIGHT) <= set(POWERED_BY)
    assert {name for failure in CATALOGUE.values() for name in failure.revealed_by} <= set(POWERED_BY)


def test_the_written_page_names_every_failure_and_no_other_with_its_words() -> None:
    text = WRITTEN.read_text(encoding="utf-8")
    headings = re.findall(r"^### (.+): (.+)$", text, re.MULTILINE)
    assert set(headings) == set(CATALOGUE)
    assert len(headings) == len(CATALOGUE)
    for failure in CATALOGUE.values():
        assert failure.says in text
        assert f"- Seen: {failure.seen}\n" in text
    for caution in CAUTIONS:
        assert text.index(caution) < text.index("##")


@pytest.mark.long
def test_a_failures_flights_differ_from_their_twins_in_what_has_failed_alone() -> None:
    seen = fly([CATALOGUE["heading indicator", "seizes"]], 120.0)[0]
    for sight in OFF:
        if sight.instrument not in ("heading_indicator", "standby_instrument"):
            away = median(seen.failing[sight]) - median(seen.twins[sight])
            assert np.nanmax(np.abs(away[:TURNING])) <= sight.tolerance, sight.says
        elif sight.instrument == "heading_indicator":
            assert median(seen.failing[sight])[TURNING] < -30.0   # the card stays behind in a turn to the right
            assert abs(median(seen.twins[sight])[TURNING]) < 3.0


@pytest.mark.long
def test_a_page_of_one_failure_shows_what_it_does_and_when() -> None:
    drifts = CATALOGUE["heading indicator", "drifts"]
    text = page([drifts])
    row = next(line for line in text.splitlines() if line.startswith("| heading indicator: heading (deg) | +"))
    half, one, two, five, ten = (float(cell) for cell in cells(row)[1:])
    # 90 degrees an hour to the right is 1.5 a minute
    assert half <= one <= two <= five <= ten
    assert five == pytest.approx(7.5, abs=1.5)
    assert ten == pytest.approx(15.0, abs=1.5)
    assert "- Revealed by: magnetic compass (no power); turn coordinator, navigation (electric)." in text
    assert "suction" not in text[text.index("### heading"):]


@pytest.mark.long
def test_the_written_page_is_what_the_catalogue_and_the_model_give_now() -> None:
    # procedures/failures.md is made by: python -m drill.airplane catalogue procedures/failures.md
    now, written = page().splitlines(), WRITTEN.read_text(encoding="utf-8").splitlines()
    assert len(now) == len(written)
    for fresh, old in zip(now, written, strict=True):
        if fresh == old:
            continue
        assert fresh.startswith("| ")
        assert cells(fresh)[0] == cells(old)[0]
        assert all(close(one, other) for one, other in zip(cells(fresh), cells(old), strict=True)), (fresh, old)
