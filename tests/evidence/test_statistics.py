"""Statistics of healthy flight: made by one function, kept by a fingerprint, shipped for our airplanes."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import platformdirs
import pytest

from drill.airplane.airframe import Airframe
from drill.evidence import keeping
from drill.evidence.hypotheses import hypotheses, with_everything
from drill.evidence.residuals import NAMES
from drill.evidence.statistics import AIRS, SCALES_S, Statistics, build, classes, taken_for
from drill.flight.recorder import MODEL_EDITION
from drill.scenario import load_airplane

AIRPLANES = sorted((Path(__file__).parents[2] / "procedures" / "airplanes").glob("*.yaml"))
FLOWN_OFTEN = [NAMES.index(name) for name in NAMES if name != "compass and card"]


def frame_of(path: Path) -> Airframe:
    return load_airplane(path.read_text(encoding="utf-8"), str(path)).airframe


@pytest.fixture
def empty_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(platformdirs, "user_cache_dir", lambda *_, **__: str(tmp_path))
    keeping._known.cache_clear()
    return tmp_path


def shipped() -> Statistics:
    found = keeping.known(Airframe())
    assert found is not None
    return found


@pytest.mark.parametrize("path", AIRPLANES, ids=lambda path: path.stem)
def test_every_airplane_of_ours_has_its_statistics(path: Path, empty_cache: Path) -> None:
    frame = frame_of(path)
    found = keeping.known(frame)
    assert found is not None
    assert found.thresholds.shape == (2, len(AIRS), len(hypotheses(frame)))
    assert (found.thresholds[0, 1] > 4.6).all()    # never below Wald's bound


def test_what_is_kept_is_read_back(empty_cache: Path) -> None:
    other = Airframe(mass_kg=1222.0)
    assert keeping.known(other) is None
    full = keeping.known(with_everything(Airframe()))
    assert full is not None
    path = keeping.keep(other, full)
    assert path.parent == empty_cache / "evidence"
    found = keeping.known(other)
    assert found is not None
    for each in fields(Statistics):
        if each.name != "thresholds":
            assert getattr(found, each.name) == pytest.approx(getattr(full, each.name), rel=2e-3, abs=2e-3)
    assert list(empty_cache.rglob("*.json")) == [path]


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '{"mean": 1}', '{"mean": [[["x"]]]}', "\udcff"])
def test_a_file_that_is_no_statistics_is_none(text: str, empty_cache: Path) -> None:
    other = Airframe(mass_kg=1222.0)
    path = empty_cache / "evidence" / f"{keeping.fingerprint(other)}.json"
    path.parent.mkdir()
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    assert keeping.known(other) is None


def test_the_fingerprint_is_the_airplanes_and_not_its_equipments() -> None:
    assert keeping.fingerprint(Airframe()) == keeping.fingerprint(Airframe(gps_fitted=False, battery_ah=12.0))
    assert keeping.fingerprint(Airframe()) != keeping.fingerprint(Airframe(mass_kg=1112.0))
    assert keeping.fingerprint(Airframe()) != keeping.fingerprint(Airframe(instruments="worn"))


def test_the_fingerprint_is_of_the_models_edition_too(monkeypatch: pytest.MonkeyPatch) -> None:
    before = keeping.fingerprint(Airframe())
    monkeypatch.setattr("drill.evidence.keeping.MODEL_EDITION", MODEL_EDITION + 1)
    assert keeping.fingerprint(Airframe()) != before


def test_covariances_are_covariances() -> None:
    found = shipped()
    assert found.covariance.shape == (len(AIRS), len(SCALES_S), len(NAMES), len(NAMES))
    assert np.linalg.eigvalsh(found.covariance).min() > 0.0
    spread = np.sqrt(np.diagonal(found.covariance, axis1=2, axis2=3))
    assert (spread[0, 0, FLOWN_OFTEN] > spread[0, 2, FLOWN_OFTEN]).all()    # a longer mean errs less


def test_the_rougher_of_what_is_felt_and_seen_is_the_class_of_air() -> None:
    edges = shipped().edges
    smooth, rough = edges[0] - 1.0, edges[-1] + 1.0
    felt = np.array([smooth, rough, [smooth[0], rough[1]], [np.nan, rough[1]]])
    assert classes(felt, edges, 1000).tolist() == [0, 3, 3, 3]
    assert classes(felt, edges, 150).tolist() == [1, 3, 3, 3]


def test_nobody_takes_the_air_for_smooth_before_it_has_been_felt_for_minutes() -> None:
    edges = shipped().edges
    calm = np.repeat(edges[:1] - 1.0, 3, axis=0)
    assert classes(calm, edges, np.array([30, 150, 300])).tolist() == [2, 1, 0]


def test_in_doubt_the_air_is_the_rougher_for_what_parts_and_the_calmer_for_what_stands_still() -> None:
    edges = shipped().edges
    judged, still = taken_for(np.stack([edges[0] - 0.5, edges[0] - 0.1, edges[0] + 0.05, edges[0] + 0.2]), edges, 1000)
    assert judged.tolist() == [0, 1, 1, 1]
    assert still.tolist() == [0, 0, 0, 1]
    assert taken_for(edges[-1:] + 1.0, edges, np.array([30]))[1].tolist() == [0]    # nobody has felt it yet


@pytest.mark.overnight
def test_what_is_shipped_is_what_the_function_makes() -> None:
    # A third of the flights: the spreads agree within their sampling, the thresholds, tails of few, within a half; in
    # calm air, where few leant horizons make the tail of pitot and static, within a factor of two and a half.
    made, kept = build(Airframe(), flights=32), keeping.known(with_everything(Airframe()))
    assert kept is not None
    assert made.edges == pytest.approx(kept.edges, abs=0.1)
    assert made.dead == pytest.approx(kept.dead, abs=0.01)
    for kind in range(3):
        mine, theirs = (np.sqrt(np.diagonal(each.covariance[kind], axis1=1, axis2=2)) for each in (made, kept))
        assert np.abs(np.log(mine / theirs)).max() < 0.3
        assert (np.abs(made.mean[kind] - kept.mean[kind]) < 0.5 * theirs).all()
        assert np.abs(np.log(made.thresholds[0, kind] / kept.thresholds[0, kind])).max() < (0.9 if kind == 0 else 0.5)


@pytest.mark.overnight
def test_the_same_function_makes_the_same_twice() -> None:
    one, other = (build(Airframe(), flights=2, seconds=400) for _ in range(2))
    assert all((getattr(one, each.name) == getattr(other, each.name)).all() for each in fields(Statistics))


def test_an_airplane_without_an_instrument_has_the_others_thresholds() -> None:
    plain, full = shipped(), keeping.known(replace(Airframe(), standby_attitude_fitted=True))
    assert full is not None
    names = [each.name for each in hypotheses(replace(Airframe(), standby_attitude_fitted=True))]
    for place, each in enumerate(hypotheses(Airframe())):
        assert (plain.thresholds[:, :, place] == full.thresholds[:, :, names.index(each.name)]).all()
