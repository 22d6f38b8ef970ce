"""The words that a face answers by itself: they cost no flight time, show nothing and are not recorded as typed."""

from __future__ import annotations

HELP = (
    "Type what you do, in plain words, and press Enter. Several things in one line are done one after the other.",
    "Orders to your hands: fly heading ..., turn left ..., stop turn, level wings, climb or descend to ..., "
    "hold altitude, airspeed ..., power ..., pitch ..., flaps ..., fly by ... (which instruments they trust).",
    "In the cockpit: panel (read all of it), look at ..., compare ... with ..., cover ..., uncover ..., "
    "switch ... on or off, breaker ..., set ..., squawk ..., checklist ..., wait ..., break off.",
    "Say what you think: I think the ... has failed. Decide: divert to ..., continue, land at ..., hold.",
    "On the radio: begin with the facility's name or with 'say', and speak as you would in an airplane.",
    "Words of this program, which cost no time: repeat (the last radio line to you), log (the radio so "
    "far), briefing (to read it again), time, pause, go on, cautions, help, quit.",
)

LEAVING = ("quit", "exit")
STAYING = ("no", "n", "stay")
OWN_WORDS = ("repeat", "time", "pause", "go on", "help", "cautions", "log", "briefing")
