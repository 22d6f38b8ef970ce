"""One flight in steps of another length: `python flown_in_steps.py SECONDS_OF_A_STEP` prints what came of it as JSON.

The length of a step is a constant of the package, from which others are made as it is imported. So it is set here
before anything else of the package is there, which wants an interpreter of its own. Calm air, and hands that read
without error: what is left between two lengths of step is the steps' doing.
"""

from __future__ import annotations

import importlib.util
import json
import sys
from pathlib import Path
from typing import Any


def with_steps_of(seconds: float) -> None:
    """Let `drill.airplane`, not yet imported, be imported with steps of this length."""
    if "drill.airplane" in sys.modules:
        raise RuntimeError("the airplane has been imported already")
    path = Path(__file__).parents[2] / "drill" / "airplane" / "constants.py"
    name = "drill.airplane.constants"
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise RuntimeError(f"{path} cannot be imported")
    constants: Any = importlib.util.module_from_spec(spec)
    sys.modules[name] = constants
    spec.loader.exec_module(constants)
    constants.STEP_S = seconds


def fly() -> dict[str, dict[str, float | None]]:
    """Heading, altitude and bank 200 s after the start, and when the spiral began, of two flights."""
    import drill.airplane as model
    from drill.airplane.controls import BY_COMPASS, BY_PRESSURE, BY_TURN

    class Steady:
        """No gusts, no reading errors, looks at even intervals; an airplane with its own instruments."""

        single, count = True, None
        instruments = model.Draws(1).instruments

        def gusts(self, step: int) -> tuple[float, ...]:
            return (0.0, 0.0, 0.0, 0.0)

        def readings(self, step: int) -> tuple[float, ...]:
            return (0.0,) * 9

        def scans(self, step: int) -> tuple[float, ...]:
            return (0.5, 0.5, 0.5)

    def flight(orders: Any, faults: Any, seconds: float) -> dict[str, float | None]:
        world = model.World(model.Airframe(instruments="worn"), model.Air())
        draws: Any = Steady()
        state = model.begin(world, model.Start(), draws)
        found: dict[str, float | None] = {"spiral_s": None}
        for count in range(round(seconds / model.STEP_S)):
            t = count * model.STEP_S
            state = model.step(world, state, orders(t), faults, draws)
            truth = model.truths(world, state, orders(t))
            if found["spiral_s"] is None and truth.spiral > 0.5:
                found["spiral_s"] = t + model.STEP_S
            if abs(t + model.STEP_S - 200.0) < model.STEP_S / 2.0:
                found |= {"heading_deg": truth.heading_deg, "altitude_ft": truth.altitude_ft,
                          "bank_deg": truth.bank_deg}
        return found

    sheared = model.Faults(pump=0.0)
    partial = model.Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE)
    turned = model.Controls(bank_by=BY_TURN, heading_by=BY_COMPASS, pitch_by=BY_PRESSURE, heading_deg=30.0)
    return {"on the horizon": flight(lambda t: model.Controls(), sheared, 420.0),
            "partial panel": flight(lambda t: partial if t < 60.0 else turned, sheared, 200.0)}


if __name__ == "__main__":
    with_steps_of(float(sys.argv[1]))
    print(json.dumps(fly()))
