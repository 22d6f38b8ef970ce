"""What this model makes of a situation for which somebody else publishes a number.

`computed` knows the situation by its words and takes the inputs by theirs, so that other people's rows need no special
wording. Each kind is worked out with the functions that the step itself uses; none has a formula of its own.
"""

from __future__ import annotations

import math

from drill.airplane import check_flight, check_instruments
from drill.airplane.given import CannotComputeError, Computed, given

KINDS = (*check_instruments.KINDS, *check_flight.KINDS)
"""Every kind of situation, in the order in which they are tried."""


def computed(situation: str, inputs: str) -> tuple[Computed, tuple[str, ...]]:
    """Return what the model makes of a situation, and the names of the inputs that it had no use for.

    Raises CannotComputeError, with the reason, for a situation of no known kind and for inputs missing or amiss.
    """
    asked = given(situation, inputs)
    for kind in KINDS:
        if all(asked.words & alternatives for alternatives in kind.says):
            try:
                found = kind.compute(asked)
            except CannotComputeError:
                raise
            except (ArithmeticError, ValueError) as error:
                raise CannotComputeError("these inputs lead to no number") from error
            if not isinstance(found.value, float) or not math.isfinite(found.value):
                raise CannotComputeError("these inputs lead to no number")
            return found, asked.unused()
    raise CannotComputeError("no kind of situation that the model knows is described in these words")
