"""The airplane room: an airplane, its instruments, what can fail in them, and hands that fly by what is shown.

`begin` a flight in a `World`, `step` it a tenth of a second at a time, `read` the panel, look at the `truths`. All of
it is pure; everything random is looked up in `Draws`. One flight runs on floats, N flights run on arrays, by the same
equations.
"""

from drill.airplane.air import Air
from drill.airplane.airframe import Airframe
from drill.airplane.arith import ARRAYS, FLOATS, Maths, Quantity
from drill.airplane.constants import STEP_S
from drill.airplane.controls import Controls
from drill.airplane.draws import Draws, draw_uniform
from drill.airplane.failures import CATALOGUE, Active, Failure, faults_at
from drill.airplane.faults import Faults
from drill.airplane.model import Start, State, align_heading, begin, read, step, truths
from drill.airplane.panel import Panel, Truths
from drill.airplane.world import World

__all__ = [
    "ARRAYS", "CATALOGUE", "FLOATS", "STEP_S", "Active", "Air", "Airframe", "Controls", "Draws",
    "Failure", "Faults", "Maths", "Panel", "Quantity", "Start", "State", "Truths", "World",
    "align_heading", "begin", "draw_uniform", "faults_at", "read", "step", "truths",
]
