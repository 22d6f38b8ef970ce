"""No-gyro vectors: the controller watches the track and says when to start and when to stop each turn (AIM 5-4-11)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drill.airplane.arith import FLOATS, wrap_deg
from drill.flight.final import Spot, miss_nm

STRAIGHT_DEG = 5.0        # near enough to the wanted track
DRIFTED_DEG = 15.0        # so far off that another turn is called,
DRIFTED_S = 10.0          # if for so long
FINAL_DRIFTED_DEG, FINAL_DRIFTED_S = 8.0, 6.0   # the same with half standard rate
FINAL_MISS_NM, FINAL_MISS_A_MILE = 0.08, 0.045   # on final: how far beside the runway the track may lead
FINAL_LEAST_DEG, FINAL_QUIET_S = 6.0, 12.0      # a correction worth a turn there, and the time between two
LAST_MILE_NM = 1.3        # no turn is begun nearer than this
NOT_TURNING_DPS = 0.7
STILL_TURNING_DPS = 1.5
REPEAT_S = 15.0           # a turn that does not begin or does not end is called again,
WRONG_WAY_S = 7.0         # to begin a turn; one that then goes to the other side is no reaction still to come
MOST_REPEATS = 2          # and then the pilot is asked
ON_MY_WORD = "on my word"   # how turns are made has been said, or waits to be
NO_TURN = "radar shows no turn, are you able to turn?"
_LEAD_S = 3.0             # the delay of a pilot and an airplane in rolling out, until it has been seen,
_LEAST_LEAD_S, _MOST_LEAD_S, _LEARNED = 2.0, 8.0, 0.5   # within what, and how much each roll-out teaches
_MOST_LEAD_DEG = 24.0     # (all of it the author's choice)


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
    suspended: bool = False   # the pilot cannot follow now,
    doubted: bool = False     # or radar has shown no turn, and he was asked
    lead_s: float = _LEAD_S   # how long this pilot turns on after the word, as his roll-outs have shown,
    stop_deg: float | None = None   # and the track at the last word, until that turn has ended,
    stop_dps: float = 0.0     # and how fast it went round then
    wrong_way: bool = False   # the last turn went to the other side, and is called again once that one has stopped


def call_turn(turns: Turns, track_deg: float, turning_dps: float, wanted_deg: float, t_s: float, *,
              seen_dps: float | None = None) -> tuple[Turns, str]:
    """Return the service one second later and what the controller says ("" for nothing).

    `turning_dps` is the rate at which the track changes, right positive, as radar shows it in the last second;
    `seen_dps` the same smoothed, by which it is judged whether a turn is on at all and to which side. One to the wrong
    side is stopped, and the right one is called again.
    """
    turns = _rolled_out(turns, track_deg, turning_dps)
    smooth_dps = turning_dps if seen_dps is None else seen_dps
    error = float(wrap_deg(FLOATS, wanted_deg - track_deg))
    if turns.way:
        other_way = max(turning_dps * turns.way, smooth_dps * turns.way) < -NOT_TURNING_DPS
        if other_way and t_s - turns.called_s >= WRONG_WAY_S:
            return replace(turns, way=0, called_s=t_s, off_since_s=None, stop_again=True, wrong_way=True,
                           started=True), "stop turn"
        lead = min(_MOST_LEAD_DEG, max(STRAIGHT_DEG, abs(turning_dps) * turns.lead_s))
        if turns.way * error <= lead or abs(error) <= STRAIGHT_DEG:
            return replace(turns, way=0, called_s=t_s, off_since_s=None, stop_again=True, stop_deg=track_deg,
                           stop_dps=turning_dps), "stop turn"
        wait_s = REPEAT_S * (1 + turns.repeats)
        if t_s - turns.called_s >= wait_s and max(
                turning_dps * turns.way, smooth_dps * turns.way) < NOT_TURNING_DPS:
            side = "right" if turns.way > 0 else "left"
            if turns.repeats >= MOST_REPEATS:
                return replace(turns, way=0, called_s=t_s, suspended=True, doubted=True, repeats=0), NO_TURN
            return replace(turns, called_s=t_s, repeats=turns.repeats + 1), f"turn {side}"
        return turns, ""
    if turns.started and turns.stop_again and abs(turning_dps) > STILL_TURNING_DPS and (
            t_s - turns.called_s >= REPEAT_S):
        return replace(turns, called_s=t_s, stop_again=False), "stop turn"
    if turns.started and abs(turning_dps) > STILL_TURNING_DPS:
        return replace(turns, off_since_s=None), ""   # no new turn before the last one has ended
    off_deg, off_s = (FINAL_DRIFTED_DEG, FINAL_DRIFTED_S) if turns.half_rate else (DRIFTED_DEG, DRIFTED_S)
    limit = off_deg if turns.started and not turns.wrong_way else STRAIGHT_DEG
    if abs(error) <= limit:
        return replace(turns, off_since_s=None, wrong_way=False), ""
    since = turns.off_since_s if turns.off_since_s is not None else t_s
    if turns.started and not turns.wrong_way and t_s - since < off_s:
        return replace(turns, off_since_s=since), ""
    way = 1 if error > 0 else -1
    begun = replace(turns, way=way, called_s=t_s, off_since_s=None, started=True, repeats=0, wrong_way=False)
    return begun, f"turn {'right' if way > 0 else 'left'}"


def _rolled_out(turns: Turns, track_deg: float, turning_dps: float) -> Turns:
    """Return the service with the lead that the last roll-out has taught, once that turn has ended.

    How far round an airplane comes after "stop turn" is the pilot's delay, and his manner of rolling out, as much as
    the airplane's; the next word comes so much sooner.
    """
    if turns.way or turns.stop_deg is None or abs(turning_dps) > NOT_TURNING_DPS:
        return turns
    if abs(turns.stop_dps) < STILL_TURNING_DPS / 2.0:
        return replace(turns, stop_deg=None)
    on_s = float(wrap_deg(FLOATS, track_deg - turns.stop_deg)) / turns.stop_dps
    shown_s = max(_LEAST_LEAD_S, min(_MOST_LEAD_S, on_s))
    return replace(turns, stop_deg=None, lead_s=turns.lead_s + (shown_s - turns.lead_s) * _LEARNED)


def call_on_final(turns: Turns, spot: Spot, track_deg: float, turning_dps: float, wanted_deg: float,
                  t_s: float, *, seen_dps: float | None = None) -> tuple[Turns, str]:
    """Return the same on final: a turn only where the track leads well past the runway, none in the last mile."""
    turns = _rolled_out(turns, track_deg, turning_dps)
    if turns.way:
        if spot.before_nm < LAST_MILE_NM - 0.15:
            return replace(turns, way=0, called_s=t_s, off_since_s=None, stop_again=False), "stop turn"
        return call_turn(turns, track_deg, turning_dps, wanted_deg, t_s, seen_dps=seen_dps)
    if turns.wrong_way and spot.before_nm >= LAST_MILE_NM:
        return call_turn(turns, track_deg, turning_dps, wanted_deg, t_s, seen_dps=seen_dps)
    error = float(wrap_deg(FLOATS, wanted_deg - track_deg))
    miss = miss_nm(spot)
    near = abs(miss) <= FINAL_MISS_NM + FINAL_MISS_A_MILE * spot.before_nm
    if near or miss * error > 0.0 or abs(error) < FINAL_LEAST_DEG or spot.before_nm < LAST_MILE_NM:
        still = abs(turning_dps) > STILL_TURNING_DPS and turns.started and turns.stop_again
        if still and t_s - turns.called_s >= REPEAT_S:
            return replace(turns, called_s=t_s, stop_again=False, off_since_s=None), "stop turn"
        return replace(turns, off_since_s=None), ""
    since = turns.off_since_s if turns.off_since_s is not None else t_s
    if t_s - since < FINAL_DRIFTED_S or t_s - turns.called_s < FINAL_QUIET_S:
        return replace(turns, off_since_s=since), ""
    way = 1 if error > 0 else -1
    return replace(turns, way=way, called_s=t_s, off_since_s=None, started=True, repeats=0), (
        f"turn {'right' if way > 0 else 'left'}")


def seen_turning(turns: Turns, turning_dps: float, t_s: float) -> Turns:
    """Return the service on again where radar shows the turn that nobody reported.

    A suspension that the pilot asked for stays.
    """
    if not (turns.suspended and turns.doubted) or abs(turning_dps) < NOT_TURNING_DPS:
        return turns
    return replace(turns, suspended=False, doubted=False, way=1 if turning_dps > 0 else -1, called_s=t_s, started=True,
                   off_since_s=None, repeats=0)
