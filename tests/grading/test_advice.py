"""What would have been right is built from the catalogue and from what still works."""

from __future__ import annotations

import pytest

from drill.airplane.failures import CATALOGUE
from drill.flight.events import Failed
from drill.grading import grade
from drill.grading.advice import check, fly_on, report
from drill.grading.affected import looked_at, right_names, rightly_names, spoiled
from drill.grading.evidence import signs_of
from drill.grading.timeline import Onset
from drill.language import read, read_call
from drill.language.meaning import Context

from .builders import flown, scenario

HERE = Context("Larkspur 5304W", "Orrinfell Approach", ("Wendle", "Tallowby"))


def onset(part: str, how: str) -> Onset:
    return Onset("it", part, how, 100.0, None)


ALL = [onset(*key) for key in CATALOGUE]


@pytest.mark.parametrize(("part", "how", "words"), [
    ("heading indicator", "drifts", "compare the heading indicator with the magnetic compass"),
    ("attitude indicator", "leans", "compare the attitude indicator with the turn coordinator"),
    ("turn coordinator", "rotor stops", "compare the turn coordinator with the attitude indicator"),
    ("turn coordinator", "loses power", "look at the turn coordinator"),
    ("alternator", "quits", "look at the ammeter and the voltmeter"),
    ("avionics bus", "loses power", "look at the radio, the transponder and the GPS"),
    ("vacuum pump", "shaft shears", "look at the suction gauge"),
    ("magnetic compass", "sticks", "compare the magnetic compass with the heading indicator"),
])
def test_the_right_look_is_at_what_reveals_the_failure(part: str, how: str, words: str) -> None:
    failed = onset(part, how)
    assert check(failed, spoiled(failed)).startswith(words)


@pytest.mark.parametrize("failed", [each for each in ALL if signs_of(each.part)], ids=lambda each: each.how)
def test_every_right_look_can_be_typed_and_looks_at_what_shows_the_failure(failed: Onset) -> None:
    acts = [act for words in check(failed, spoiled(failed)).split("; ") for act in read(words, HERE)]
    seen = frozenset().union(*(looked_at(act) for act in acts))
    assert any(sign.read_on <= seen for sign in signs_of(failed.part))


def test_nothing_is_compared_with_an_instrument_that_has_failed_as_well() -> None:
    drifts = onset("heading indicator", "drifts")
    assert "compass" in check(drifts, {"heading_indicator"})
    assert "compass" not in check(drifts, {"heading_indicator", "magnetic_compass"})


def test_what_to_fly_by_leaves_out_what_has_failed() -> None:
    assert "heading indicator" in fly_on("attitude_indicator", {"attitude_indicator"})
    assert "magnetic compass" in fly_on("attitude_indicator", {"attitude_indicator", "heading_indicator"})
    both = {"attitude_indicator", "turn_coordinator"}
    assert all("turn coordinator" not in fly_on(bad, both) and "attitude" not in fly_on(bad, both) for bad in both)
    assert "compass" not in fly_on("heading_indicator", {"heading_indicator", "magnetic_compass"})


@pytest.mark.parametrize("failed", [each for each in ALL if right_names(each)], ids=lambda each: each.how)
def test_every_right_report_holds_the_four_contents(failed: Onset) -> None:
    # 14 CFR 91.187(b)(1)-(4)
    words = report(failed, spoiled(failed), facility="Orrinfell Approach", callsign="Larkspur 5304W", cloud=True)
    said = read_call(words, HERE)
    assert rightly_names(failed, frozenset(said.equipment))
    assert (said.callsign, said.impairment) == ("given", True)
    assert said.assistance


@pytest.mark.parametrize(("part", "how"), [("heading indicator", "drifts"), ("alternator", "quits")])
def test_nobody_is_told_to_look_for_a_dead_pump_when_something_else_has_failed(part: str, how: str) -> None:
    def shown(t: float) -> dict[str, float]:
        if part == "alternator":
            return {"low_voltage_light": float(t > 110.0)}
        return {"heading_deg": 240.0 + max(0.0, t - 100.0) * 0.1}
    events = [Failed(100.0, "it", part, how), *flown(fails_at=None, shown=shown, bank=lambda t, follows: 0.0)]
    better = [finding.better for finding in grade(scenario(()), events, 1).findings if finding.verdict == "missed"]
    assert better
    assert not any("suction" in words or "partial panel" in words for words in better)
