"""What is looked at in a scenario that loads: each pass takes the scenario and its tree, and returns problems."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from drill.check.lints.asking import check_asking
from drill.check.lints.at_the_start import check_start
from drill.check.lints.conditions import check_conditions
from drill.check.lints.endurance import check_endurance
from drill.check.lints.fields import check_fields
from drill.check.lints.first_signs import check_first_signs
from drill.check.lints.fitted import check_fitted
from drill.check.lints.giving_away import check_giving_away
from drill.check.lints.graded_acts import check_graded_acts
from drill.check.lints.heights import check_heights
from drill.check.lints.icing import check_icing
from drill.check.lints.nearly_named import check_nearly_named
from drill.check.lints.parted import check_parted
from drill.check.lints.polls import check_polls
from drill.check.lints.sheet import check_sheet
from drill.check.lints.spoken import check_spoken
from drill.check.lints.texts import check_texts
from drill.check.lints.windows import check_windows
from drill.scenario.model import Scenario
from drill.scenario.places import Node
from drill.scenario.problems import Problem

Pass: TypeAlias = Callable[[Scenario, Node], list[Problem]]

PASSES: tuple[Pass, ...] = (
    check_fitted, check_giving_away, check_texts, check_conditions, check_asking, check_sheet, check_windows,
    check_first_signs, check_polls, check_fields, check_heights, check_spoken, check_nearly_named, check_start,
    check_graded_acts, check_parted, check_endurance, check_icing,
)
"""In the order in which they are made; what they find is sorted by its place."""
