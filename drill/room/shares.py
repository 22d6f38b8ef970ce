"""Shares of a room in words. Pure."""

from __future__ import annotations


def percent(share: float | None) -> str:
    """Return a share (0 to 1) in whole percent; a few are never told as none, nor nearly all as all; None is a dash."""
    if share is None:
        return "–"
    whole = round(100.0 * share)
    if whole == 0 and share > 0.0:
        return "<1 %"
    return ">99 %" if whole == 100 and share < 1.0 else f"{whole} %"
