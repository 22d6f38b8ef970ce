"""No-gyro vectors: the controller watches the track and says when to start and when to stop each turn (AIM 5-4-11)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drill.airplane.arith import FLOATS, wrap_deg

STRAIGHT_DEG = 5.0        # near enough to the wanted track
DRIFTED_DEG = 15.0        # so far off that another turn is called,
DRIFTED_S = 10.0          # if for so long
FINAL_DRIFTED_DEG, FINAL_DRIFTED_S = 8.0, 6.0   # the same on final, with half standard rate
NOT_TURNING_DPS = 0.7
STILL_TURNING_DPS = 1.5
REPEAT_S = 15.0           # a turn that does not begin or does not end is called again,
MOST_REPEATS = 2          # and then the pilot is asked
NO_TURN = "radar shows no turn, are you able to turn?"
_LEAD_S = 3.0             # the pilot's and the airplane's delay in rolling out (the author's choice)


@dataclass(frozen=True, slots=True)
class Turns:
    """Where a no-gyro service stands. `way`: -1 a left turn is on, 1 right, 0 none; `called_s`: last word said."""

    place: str
    way: int = 0
    called_s: float = 0.0
    off_since_s: float | None = None
    started: bool = False
    half_rate: bool = False
    stop_again: bool = True   # a "stop turn" that is not followed may be said once more
    repeats: int = 0          # of a turn that does not begin; each waits longer
    suspended: bool = False   # the pilot cannot follow now


def call_turn(turns: Turns, track_deg: float, turning_dps: float, wanted_deg: float, t_s: float) -> tuple[Turns, str]:
    """Return the service one second later and what the controller says ("" for nothing).

    `turning_dps` is the rate at which the track changes, right positive, as radar shows it.
    """
    error = float(wrap_deg(FLOATS, wanted_deg - track_deg))
    if turns.way:
        lead = min(12.0, max(STRAIGHT_DEG, abs(turning_dps) * _LEAD_S))
        if turns.way * error <= lead or abs(error) <= STRAIGHT_DEG:
            return replace(turns, way=0, called_s=t_s, off_since_s=None, stop_again=True), "stop turn"
        wait_s = REPEAT_S * (1 + turns.repeats)
        if t_s - turns.called_s >= wait_s and turning_dps * turns.way < NOT_TURNING_DPS:
            side = "right" if turns.way > 0 else "left"
            if turns.repeats >= MOST_REPEATS:
                return replace(turns, way=0, called_s=t_s, suspended=True, repeats=0), NO_TURN
            return replace(turns, called_s=t_s, repeats=turns.repeats + 1), f"turn {side}"
        return turns, ""
    if turns.started and turns.stop_again and abs(turning_dps) > STILL_TURNING_DPS and (
            t_s - turns.called_s >= REPEAT_S):
        return replace(turns, called_s=t_s, stop_again=False), "stop turn"
    off_deg, off_s = (FINAL_DRIFTED_DEG, FINAL_DRIFTED_S) if turns.half_rate else (DRIFTED_DEG, DRIFTED_S)
    limit = off_deg if turns.started else STRAIGHT_DEG
    if abs(error) <= limit:
        return replace(turns, off_since_s=None), ""
    since = turns.off_since_s if turns.off_since_s is not None else t_s
    if turns.started and t_s - since < off_s:
        return replace(turns, off_since_s=since), ""
    way = 1 if error > 0 else -1
    begun = replace(turns, way=way, called_s=t_s, off_since_s=None, started=True, repeats=0)
    return begun, f"turn {'right' if way > 0 else 'left'}"
