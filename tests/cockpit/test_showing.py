"""What the panel is shown of a flight beside its instruments' own readings."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from cockpit.flown import loaded
from program import TALLOWBY

from drill.clean import clean_line
from drill.cockpit.flying.showing import readings_now
from drill.flight.flight import Flight
from drill.flight.record import Recorder
from drill.seat.pace import PaceClock
from drill.seat.run import Run
from drill.seat.sitting import Sitting


def test_bearing_and_distance_are_shown_once_the_gps_leads_to_a_field(tmp_path: Path) -> None:
    flight, events = Flight.start(loaded(TALLOWBY), 1)
    with Recorder.create(tmp_path / "flight.jsonl", flight, events) as recorder:
        sitting = Sitting(Run(flight, recorder), PaceClock("turns", 0.0))
        sitting.begin(events)
        assert not {"bearing_deg", "distance_nm"} & set(readings_now(sitting))
        sitting.line(clean_line("divert to Tallowby"))
        list(sitting.finishing_turn())
        shown = readings_now(sitting)
        true, field = flight.truths, next(each for each in loaded(TALLOWBY).fields if each.name == "Tallowby")
        bearing = math.radians(field.bearing_deg)
        north = field.distance_nm * math.cos(bearing) - true.north_nm
        east = field.distance_nm * math.sin(bearing) - true.east_nm
        assert shown["distance_nm"] == pytest.approx(math.hypot(north, east))
        assert shown["bearing_deg"] == pytest.approx(math.degrees(math.atan2(east, north)) % 360)
