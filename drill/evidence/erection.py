"""How far a healthy horizon has erected itself to a turn, or to a change of speed: what a pilot allows it for.

The vanes take the apparent vertical for the vertical. In a turn they pull the gyro towards the bank that is flown, and
the tilt keeps its direction in space while the airplane turns under it (FAA-H-8083-15, errors of the attitude
indicator: some 3 to 5 degrees after a half turn). All that enters is what is shown.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from drill.airplane.constants import DEG, ERECTION_BAND_DEG, ERECTION_DPM, RAD, G
from drill.evidence.filters import mean_of_late

TURNS_DPS = 0.6
"""The mean rate of turn (deg/s) above which the horizon erects itself to the turn; below it the vanes hold the gyro
against its own drift as well, which nobody can reckon, so no pull of theirs is.
"""
FORGETS_S = 30.0
"""How soon, below `TURNS_DPS`, the lean that a turn has left is forgotten: to 1/e, in seconds."""
SEEN_S = 3.0
"""Over how long (s) the bank shown and the rate of turn are averaged before the vanes are reckoned by them."""
STRAYS_DEG = 0.3
"""One sigma of the lean (deg) that a turn begins with: what its own drift has left against the vanes."""
STRAYS_DPS, STRAYS_MOST_DEG = 0.02, 0.7
"""How much (deg) the reckoned lean goes wrong each second of a turn, and the most.

Chosen: of some ninety healthy hours in each of calm, light and moderate air one second in a thousand soon after a
turn had its pitch beyond 3.7, 3.3 and 4.6 sigmas, straight flight's own error among them.
"""


def turn_errors(bank_deg: Any, turn_dps: Any, gain_mps2: Any) -> tuple[Any, Any, Any]:
    """Return what a healthy horizon shows too much of bank and of pitch (deg), each (T, N), and how sure that is.

    From the bank it shows (deg), the rate of turn (deg/s) and how fast speed is gained (m/s2), each (T, N); NaN counts
    as nothing. The third, (T, N, 2), are sigmas (deg) of what is reckoned in turns, of bank and of pitch: an error of
    the one is carried round by the turn to be one of the other, and stays until the vanes are near their middle again.
    """
    turn = np.nan_to_num(turn_dps)
    turns = np.abs(np.nan_to_num(mean_of_late(turn, SEEN_S, 0.0))) > TURNS_DPS
    shown = np.nan_to_num(mean_of_late(bank_deg, SEEN_S, 1e-6))
    most = ERECTION_DPM / 60.0
    pull = most * np.where(turns, np.clip(shown / ERECTION_BAND_DEG, -1.0, 1.0), 0.0)
    keeps = np.where(turns, 1.0, 1.0 - 1.0 / FORGETS_S)
    back = np.arctan(np.nan_to_num(gain_mps2) / G) * RAD
    swing = turn * DEG
    grows = np.where(turns, STRAYS_DPS, 0.0)
    errors = np.zeros((4, *np.shape(bank_deg)))
    roll = pitch = strays = nods = np.zeros(np.shape(bank_deg)[1:])
    for second in range(len(turn)):
        tilt = (pitch - back[second]) / ERECTION_BAND_DEG
        roll = roll * keeps[second] - pull[second]
        pitch = pitch - most * np.clip(tilt, -1.0, 1.0)
        strays = np.minimum(strays * keeps[second] + grows[second], STRAYS_MOST_DEG)
        partly_open = np.clip(1.5 - np.abs(tilt), 0.0, 1.0)   # for a tilt that is known to half the band
        nods = nods * (1.0 - most / ERECTION_BAND_DEG * partly_open)
        nods = nods + (STRAYS_DEG + strays) * np.abs(swing[second])
        roll, pitch = roll + pitch * swing[second], pitch - roll * swing[second]
        errors[:, second] = roll, pitch, strays, nods
    return errors[0], errors[1], np.moveaxis(errors[2:], 0, -1)
