"""What a frequency and an assigned transponder code may look like."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from drill.clean import Clean
from drill.scenario.places import Node
from drill.scenario.reading import BAD, Reading
from drill.scenario.shapes import curly, text_of

LEAST_MHZ, MOST_MHZ = 118.0, 136.990
"""First and last channel of the aeronautical VHF band; 47 CFR 87.173 and ICAO Annex 10 vol. V, 4.1 (from memory)."""
STEP_KHZ = 5
"""The name of a channel, of 25 kHz or 8.33 kHz, is a multiple of it; ICAO Annex 10 vol. V, 4.1 (from memory)."""
_UNASKED = "it means {}, and the pilot sets it unasked"
NEVER_ASSIGNED = {
    "1200": "it is set in flight under VFR, and whoever flies under IFR has a code of their own",
    "7500": _UNASKED.format("unlawful interference"),
    "7600": _UNASKED.format("lost communications"),
    "7700": _UNASKED.format("an emergency"),
    "7777": "it is for military interceptors, and a civil pilot never sets it",
}
"""Codes with a meaning of their own, so that no clearance assigns them; AIM 4-1-20 (from memory)."""

_MHZ = re.compile(r"(\d{2,4})(?:[.,](\d{1,3}))?(?:\s*MHz)?", re.IGNORECASE)
BAND = f"from {LEAST_MHZ:.3f} to {MOST_MHZ:.3f} MHz"


def frequency_fault(words: str) -> tuple[str, str, str, str] | None:
    """Return (rule, what is wrong, what is allowed, what to do) of a frequency as written; None for a sound one."""
    match = _MHZ.fullmatch(words.strip())
    if match is None or "," in words:
        sample = f"{match[1]}.{match[2]}" if match is not None else "124.35"
        return "wrong-form", f"`{words[:40]}` is not a frequency in MHz", BAND, f"write it like {sample}"
    khz = int(match[1]) * 1_000 + int((match[2] or "").ljust(3, "0"))
    if not LEAST_MHZ <= khz / 1_000 <= MOST_MHZ:
        return "out-of-range", f"`{words[:40]}` is outside the band of the radio", BAND, "correct the number"
    if khz % STEP_KHZ:
        return ("out-of-range", f"`{words[:40]}` is no channel", f"the last of three figures is 0 or {STEP_KHZ}",
                "correct the number")
    return None


@dataclass(frozen=True, slots=True)
class Frequency:
    """A VHF frequency in MHz, e.g. `124.35`."""

    def read(self, node: Node, key: str, to: Reading) -> Clean | Any:
        """Return the frequency as it is written."""
        text = text_of(node, key, "a frequency in MHz", "write it like 124.35", to)
        if text is BAD:
            return BAD
        fault = frequency_fault(text.value)
        if fault is None:
            return Clean(text.value.strip())
        rule, wrong, allowed, remedy = fault
        return to.wrong(text.place, rule, f"`{key}`: {wrong}", allowed, curly(text.value) or remedy)


@dataclass(frozen=True, slots=True)
class Assigned:
    """A transponder code that a controller assigns, e.g. `4271`."""

    def read(self, node: Node, key: str, to: Reading) -> Clean | Any:
        """Return the four digits."""
        text = text_of(node, key, "a transponder code", "write it like 4271", to)
        if text is BAD:
            return BAD
        said = text.value.strip()
        if re.fullmatch(r"[0-7]{4}", said) is None:
            return to.wrong(text.place, "wrong-form", f"`{key}`: `{said[:40]}` is not a transponder code",
                            "four digits from 0 to 7", curly(said) or "write it like 4271")
        if said in NEVER_ASSIGNED:
            return to.wrong(text.place, "out-of-range", f"`{key}`: nobody is assigned {said}",
                            NEVER_ASSIGNED[said], "write another, like 4271")
        return Clean(said)
