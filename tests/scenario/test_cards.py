"""Cards say of the shipped scenarios what their documents say, and need no more than the heads of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from drill.scenario import load, shipped
from drill.scenario.cards import Card, cards, cards_in

AIRPLANE = "drill: 1\ntitle: Larkspur 180\nmass: 1111 kg\n"
HEAD = (
    "# a remark\ndrill: 1\nboard title: Cruise to Wendle\ntitle: What it is about\naim: >\n  Two rows\n  of prose.\n"
    "covers: [IR.VII.D.K1, IR.VII.D.S1]\nairplane: larkspur-180\nstart:\n  altitude: 6000 ft\nminutes: 25\n"
)


def card_of(folder: Path, text: str | bytes) -> Card:
    (folder / "airplanes").mkdir(exist_ok=True)
    (folder / "airplanes" / "larkspur-180.yaml").write_text(AIRPLANE, encoding="utf-8")
    (folder / "to-wendle.yaml").write_bytes(text if isinstance(text, bytes) else text.encode())
    (card,) = cards_in(folder)
    assert card.name == "to-wendle"
    assert card.path == folder / "to-wendle.yaml"
    return card


def test_every_shipped_scenario_has_a_card_that_says_what_loading_says() -> None:
    found = cards()
    assert [card.name for card in found] == sorted(shipped())
    for card in found:
        scenario = load(card.path)
        assert card == Card(
            scenario.name, card.path, scenario.board_title, scenario.airplane.title, scenario.minutes, scenario.title,
            scenario.aim, tuple(scenario.covers),
        )


def test_a_card_is_read_from_the_head_of_the_document(tmp_path: Path) -> None:
    assert card_of(tmp_path, HEAD) == Card(
        "to-wendle", tmp_path / "to-wendle.yaml", "Cruise to Wendle", "Larkspur 180", 25.0, "What it is about",
        "Two rows of prose.", ("IR.VII.D.K1", "IR.VII.D.S1"),
    )


def test_what_is_below_a_key_is_not_taken_for_a_key(tmp_path: Path) -> None:
    text = HEAD.replace("  altitude: 6000 ft", "  title: Spoiled\n  deep: [{aim: Spoiled}, [title, Spoiled]]")
    assert card_of(tmp_path, text) == card_of(tmp_path, HEAD)


def test_what_may_be_left_out_has_the_default_of_loading(tmp_path: Path) -> None:
    card = card_of(tmp_path, HEAD.replace("minutes: 25\n", "").replace("covers: [IR.VII.D.K1, IR.VII.D.S1]\n", ""))
    assert (card.minutes, card.covers, card.problem) == (20.0, (), "")
    assert card_of(tmp_path, HEAD.replace("[IR.VII.D.K1, IR.VII.D.S1]", "IR.VII.D.K1")).covers == ("IR.VII.D.K1",)


def test_the_text_of_a_card_is_clean(tmp_path: Path) -> None:
    card = card_of(tmp_path, HEAD.replace("Cruise to Wendle", r'"Cruise\e[31m to\u202e We\nndle"'))
    assert card.board_title == "Cruise[31m to We ndle"


def test_an_airplane_that_cannot_be_read_is_called_by_its_name(tmp_path: Path) -> None:
    assert card_of(tmp_path, HEAD.replace("larkspur-180", "../../etc/hosts")).airplane == "../../etc/hosts"


@pytest.mark.parametrize(("text", "words"), [
    ("", "`board title` is missing"), ("- a\n- b\n", "`board title` is missing"), ("words", "`board title` is missing"),
    (HEAD.replace("board title: Cruise to Wendle\n", ""), "`board title` is missing"),
    (HEAD.replace("Cruise to Wendle", "{a: b}"), "`board title` is missing"),
    (HEAD.replace("Cruise to Wendle", "[a"), "this is no scenario"), (b"\xff\xfe", "not UTF-8"),
    (HEAD.replace("minutes: 25", "minutes: soon"), "`minutes`"),
    ("board title: &a [*a]\n" + HEAD.split("\n", 3)[3], "`board title` is missing"),
    ("[" * 100_000, "this is no scenario"), (b"x" * 1_100_000, "larger than a scenario may be"),
])
def test_what_cannot_be_read_is_told_on_its_card(tmp_path: Path, text: str | bytes, words: str) -> None:
    card = card_of(tmp_path, text)
    assert words in card.problem
    assert "\n" not in card.problem
    assert (card.board_title, card.title, card.aim) == ("", "", "")


def test_a_scenario_that_cannot_be_opened_does_not_hide_the_others(tmp_path: Path) -> None:
    (tmp_path / "gone.yaml").symlink_to(tmp_path / "nowhere.yaml")
    (tmp_path / "sound.yaml").write_text(HEAD, encoding="utf-8")
    gone, sound = cards_in(tmp_path)
    assert "cannot be read" in gone.problem
    assert (sound.board_title, sound.problem) == ("Cruise to Wendle", "")
