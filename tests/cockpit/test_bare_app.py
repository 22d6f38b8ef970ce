"""What the benchmark holds beside the cockpit is alike in size."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.bare_app import BareApp
from cockpit.flown import flying

pytestmark = pytest.mark.long


async def test_the_bare_app_has_as_many_widgets_as_the_flight_screen(tmp_path: Path) -> None:
    async with flying(tmp_path) as (_, screen):
        wanted = len(screen.query("*"))
    app = BareApp()
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()    # the footer's keys come when everything else is there
        assert len(app.screen.query("*")) == wanted
