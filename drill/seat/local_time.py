"""The time of day where a flight is flown."""

from __future__ import annotations


def local_s(start_clock: str, t_s: float) -> float:
    """Return the local time, seconds after midnight, `t_s` seconds into a flight that began at `start_clock`."""
    hours, minutes = map(int, start_clock.split(":"))
    return (hours * 3600 + minutes * 60 + t_s) % 86_400


def local_time(start_clock: str, t_s: float) -> str:
    """Return the same time as `HH:MM`."""
    minutes = int(local_s(start_clock, t_s) + 1e-6) // 60
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
