"""The airplane document, and the shipped documents."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest

from drill.airplane.airframe import Airframe
from drill.scenario import DocumentError, find, load, load_airplane, problems_in, shipped
from drill.scenario.airplane_document import AIRFRAME_KEYS
from drill.scenario.shelf import procedures

LARKSPUR = procedures() / "airplanes" / "larkspur-180.yaml"
SMALL = "drill: 1\ntitle: Thistle 90\n"


def test_the_larkspur_is_the_airplane_that_the_model_has_by_default() -> None:
    airplane = load_airplane(LARKSPUR.read_text(encoding="utf-8"), LARKSPUR.name)
    assert (airplane.name, airplane.title, airplane.airframe) == ("larkspur-180", "Larkspur 180", Airframe())


def test_the_larkspur_says_that_it_is_invented() -> None:
    assert "invented" in LARKSPUR.read_text(encoding="utf-8")


def test_the_larkspur_has_the_checklists_that_the_scenarios_speak_of() -> None:
    names = [
        name
        for name, steps in load_airplane(LARKSPUR.read_text(encoding="utf-8"), "larkspur-180.yaml").checklists
        if steps
    ]
    assert names == ["vacuum failure", "alternator failure", "pitot-static failure", "lost communications", "icing",
                     "engine roughness", "before takeoff", "approach"]


def test_every_field_of_the_airframe_can_be_set_in_words_with_its_unit() -> None:
    assert set(AIRFRAME_KEYS) == {field.name for field in dataclasses.fields(Airframe)}
    text = SMALL + (
        "mass: 2000 lb\npower: 100 hp\nnever exceed: 140 kt\nload limit negative: -1.5 g\nlift slope: 5 per rad\n"
        "rpm idle: 700 rpm\nrpm windmill per mps: 20\npropeller speed: 22 m/s\nfuel full: 9 gph\n"
        "low vacuum light fitted: yes\n"
        "suction gauge at: manifold\ninstruments: worn\nheading nut latitude: -30 deg\n"
    )
    airframe = load_airplane(text, "thistle-90.yaml").airframe
    assert airframe.mass_kg == pytest.approx(907.18, abs=0.01)  # 1 lb is 0.45359237 kg exactly (NIST SP 811, B.8)
    assert airframe.power_kw == pytest.approx(74.57, abs=0.01)  # 1 hp is 745.6999 W (NIST SP 811, B.8)
    assert dataclasses.replace(airframe, mass_kg=1.0, power_kw=1.0) == Airframe(
        mass_kg=1.0,
        power_kw=1.0,
        never_exceed_kt=140.0,
        load_limit_negative_g=-1.5,
        lift_slope_per_rad=5.0,
        rpm_idle=700.0,
        rpm_windmill_per_mps=20.0,
        propeller_speed_mps=22.0,
        fuel_full_gph=9.0,
        low_vacuum_light_fitted=True,
        suction_gauge_at="manifold",
        instruments="worn",
        heading_nut_latitude_deg=-30.0,
    )


def test_every_mistake_of_an_airplane_document_is_told() -> None:
    with pytest.raises(DocumentError) as caught:
        load_airplane("drill: 1\nmass: 1000\nwingspan: 11 m\ninstruments: new\nstall: 53 mph\n", "thistle-90.yaml")
    assert [(each.place.line, each.rule) for each in caught.value.problems] == [
        (1, "missing-key"),
        (2, "unit-missing"),
        (3, "unknown-key"),
        (4, "unknown-choice"),
        (5, "wrong-unit"),
    ]


def test_an_airplane_beside_the_scenario_is_used_before_a_shipped_one(tmp_path: Path) -> None:
    scenario = tmp_path / "mine.yaml"
    scenario.write_text((Path(__file__).with_name("whole.yaml")).read_text(encoding="utf-8"), encoding="utf-8")
    assert load(scenario).airplane.title == "Larkspur 180"
    (tmp_path / "airplanes").mkdir()
    mine = LARKSPUR.read_text(encoding="utf-8").replace("title: Larkspur 180", "title: Larkspur of mine")
    (tmp_path / "airplanes" / "larkspur-180.yaml").write_text(mine, encoding="utf-8")
    assert load(scenario).airplane.title == "Larkspur of mine"


def test_a_fault_in_the_airplane_is_told_at_its_own_place(tmp_path: Path) -> None:
    scenario = tmp_path / "mine.yaml"
    scenario.write_text((Path(__file__).with_name("whole.yaml")).read_text(encoding="utf-8"), encoding="utf-8")
    (tmp_path / "airplanes").mkdir()
    (tmp_path / "airplanes" / "larkspur-180.yaml").write_text(SMALL + "mass: heavy\n", encoding="utf-8")
    assert [(each.place.file, each.place.line, each.rule) for each in problems_in(scenario)] == [
        ("larkspur-180.yaml", 3, "not-a-quantity")
    ]


@pytest.mark.parametrize("name", shipped())
def test_a_shipped_scenario_is_found_by_name_and_has_no_problems(name: str) -> None:
    path = find(name)
    assert problems_in(path) == []
    assert load(path).name == name


def test_an_airplane_that_no_model_could_fly_is_refused() -> None:
    with pytest.raises(DocumentError, match="cannot be meant"):
        load_airplane(SMALL + "mass: 0 kg\n", "thistle-90.yaml")
